"""Our own widgets: a grid of rows that draws what changed, and single lines."""
