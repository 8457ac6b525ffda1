"""The screens, each a folder: a pure state, the cells it is drawn as, and the thin Textual part."""
