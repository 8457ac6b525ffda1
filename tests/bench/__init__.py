"""Measurements: run by hand, printed as a table, never asserted."""
