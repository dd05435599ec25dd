"""One context builder per document, and the renderers that turn it into docx, PDF and xlsx."""
