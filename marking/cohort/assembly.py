"""All that only the whole class shows, in one list: for teacher and technician, and for nobody's marks."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from marking.class_notes import ClassNote
from marking.cohort.benches import Trials, bench_notes
from marking.cohort.leads import lead_notes
from marking.cohort.lesson import awaits_answers, lesson_notes
from marking.cohort.picture import class_notes, group_notes
from marking.findings import MarkedSet


def notes_for(
    marked_sets: Sequence[MarkedSet], trials: Trials | None = None, leads: Iterable[Sequence[ClassNote]] | None = None
) -> tuple[ClassNote, ...]:
    """Return the notes on *marked_sets* of one class: readings to mend, benches, the class, leads, groups to teach.

    Args:
        marked_sets: The practicals; a bench of the same name is taken for the same bench in all of them.
        trials: What the technician found at each bench, where it is known.
        leads: Those of each practical, in any order, where ``leads_in`` has found them already.
    """
    whole = [note for one in marked_sets for note in class_notes(one)]
    groups = [note for one in marked_sets for note in group_notes(one)]
    others = (*_lesson(marked_sets), *bench_notes(marked_sets, trials), *whole)
    found = map(lead_notes, marked_sets) if leads is None else leads
    places = {one.rubric.id: place for place, one in enumerate(marked_sets)}
    in_order = sorted((note for each in found for note in each), key=lambda note: places[note.practical])
    return (*others, *in_order, *groups)


def _lesson(marked_sets: Sequence[MarkedSet]) -> list[ClassNote]:
    # Once a student's answers are there the apparatus is back in its cupboard, and a reading is the student's own.
    # All readings of the class are compared, but only those are told whose students have yet to answer.
    notes: list[ClassNote] = []
    for one in marked_sets:
        write_ups = [script.write_up for script in one.scripts]
        awaiting = {work.student.code for work in write_ups if awaits_answers(one.rubric, [work])}
        if awaiting:
            notes += (note for note in lesson_notes(one.rubric, write_ups) if awaiting & set(note.students))
    return notes
