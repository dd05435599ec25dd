"""Office files with equal bytes for equal content; the rule is one for all that writes them."""

from dossier.archive import canonical

__all__ = ["canonical"]
