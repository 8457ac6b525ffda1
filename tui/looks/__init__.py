"""How things look: what each role of text is drawn with, for a dark stage and without colour."""
