"""The rig as values: parts, kinds, settings, the page; what hangs on what, and in which order."""
