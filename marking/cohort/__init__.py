"""What only the whole class shows."""
