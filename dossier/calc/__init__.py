"""Engineering formulas: pure functions, one subject a file."""
