"""Volumes, page numbers, bookmarks: the dossier built and moved into place."""

from dossier.handover.build import build

__all__ = ["build"]
