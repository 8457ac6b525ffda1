"""The walk: round the rack in order, one setting at a time, large."""
