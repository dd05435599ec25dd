"""Files to records: readers, schema validation, joint numbering."""

from dossier.intake.load import load_project

__all__ = ["load_project"]
