"""Welding procedure and quality dossiers: read, cross-check, merge, hand over."""

__version__ = "0.1.0"
