"""Patterns of text that are compiled when a text needs them. Knows nothing of what they are for."""

from rubrics.patterns.late_pattern import late_pattern

__all__ = ["late_pattern"]
