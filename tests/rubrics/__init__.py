"""The formula language, dimensions, and what can be wrong with a rubric file."""
