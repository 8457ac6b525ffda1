"""TOML text to page and back, the one save, the folder of pages, and how a new page begins."""
