"""Sketches, strip maps and charts as SVG, drawn from the geometry in the records."""
