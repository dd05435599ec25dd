"""The review page: one HTML file that holds the project and answers questions about it, offline."""

from dossier.review.assembly import Blocks, Link, data_blocks, link, page

__all__ = ["Blocks", "Link", "data_blocks", "link", "page"]
