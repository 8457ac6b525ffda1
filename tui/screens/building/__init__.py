"""Building: the rig's parts as a tree, added, hung, set, copied and taken off by keys."""
