"""Checks, one file a kind: a few lines of tidy CSV in, short rows out."""
