"""The practicals of the catalogue, each with its worked check."""
