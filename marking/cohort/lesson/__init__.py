"""Readings that make no sense, told while the apparatus is still out."""

from marking.cohort.lesson.telling import lesson_notes

__all__ = ["lesson_notes"]
