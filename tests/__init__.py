"""The tests: flat modules, what they share beside them, data and golden texts in folders."""
