"""Readings that make no sense, told while the apparatus is still out.

In: readings, with or without answers. Out: notes.
"""

from marking.cohort.lesson.telling import awaits_answers, lesson_notes

__all__ = ["awaits_answers", "lesson_notes"]
