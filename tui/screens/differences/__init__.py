"""What differs between two pages: structure, then settings, beyond their uncertainty or all."""
