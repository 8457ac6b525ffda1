"""The put-back's checklist: moves ticked as they are done, and how far from home each piece is."""
