"""Volumes, page numbers, bookmarks: the dossier built and moved into place."""

from dossier.handover.build import How, build

__all__ = ["How", "build"]
