"""Clampbook's tests: flat modules, helpers beside them, data and golden texts in folders."""
