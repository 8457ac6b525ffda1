"""Where everything ends up: frames, rails, joints, positions, and how sure they are."""
