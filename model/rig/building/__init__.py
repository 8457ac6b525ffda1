"""How a rig is made: each step a pure answer of what changes on the page, or why it cannot be."""
