"""One context builder per document and the renderers; given findings, it makes none."""
