"""Standards as code: one module or package per standard and edition, pure functions."""
