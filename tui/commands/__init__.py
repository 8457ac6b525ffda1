"""One module a command: what it asks for, what it does, what it says."""
