"""One cross-check a file; each yields findings, none imports another."""
