"""What differs between two pages: settings beyond their readings' uncertainty, and structure."""
