"""The book of a rack, as pure values and functions; it knows nothing of a terminal."""
