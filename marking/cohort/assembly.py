"""All that only the whole class shows, in one list: for teacher and technician, and for nobody's marks."""

from __future__ import annotations

from collections.abc import Sequence

from marking.cohort.bench_notes import bench_notes
from marking.cohort.groups import group_notes
from marking.cohort.notes import ClassNote
from marking.cohort.whole_class import class_notes
from marking.findings import MarkedSet


def notes_for(marked_sets: Sequence[MarkedSet]) -> tuple[ClassNote, ...]:
    """Return the notes on *marked_sets* of one class: benches first, then the class, then groups to teach again."""
    whole = [note for one in marked_sets for note in class_notes(one)]
    groups = [note for one in marked_sets for note in group_notes(one)]
    return (*bench_notes(marked_sets), *whole, *groups)
