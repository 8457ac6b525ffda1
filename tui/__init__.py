"""The terminal: the command line, the screens, the keys and the looks."""
