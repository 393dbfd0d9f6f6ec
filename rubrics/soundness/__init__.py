"""Is a rubric sound? A rubric in, every fault in it out: names, units, dimensions, marks, words."""

from rubrics.soundness.names_and_units import complaints

__all__ = ["complaints"]
