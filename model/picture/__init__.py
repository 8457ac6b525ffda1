"""Lines, ellipses and labels in true scale; the sheet and its SVG."""
