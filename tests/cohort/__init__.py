"""What a whole class shows: simulated classes, and what is said about them."""
