"""What leaves the workshop on paper: facts gathered, frozen, printed, and kept as they were printed."""
