"""What lies beside the pages and may be the only copy of a reading: found, taken from, kept."""
