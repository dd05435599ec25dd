"""The review page: one HTML file that holds the project and answers questions about it, offline."""

from dossier.review.assembly import Link, link, page

__all__ = ["Link", "link", "page"]
