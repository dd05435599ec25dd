"""The dossier: volumes, page numbers, bookmarks, evidence."""
