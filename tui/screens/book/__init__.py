"""The book: its nights and their pages; where a page is opened or begun."""
