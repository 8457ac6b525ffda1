"""What reaches the disk and comes back whole: one guarded way in, one way out."""
