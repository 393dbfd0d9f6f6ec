from __future__ import annotations

from functools import partial

import pytest

from marking.checking.marking_set import mark_set
from marking.class_notes import ClassNote, NoteKind
from marking.cohort.picture.whole_class import class_notes
from marking.write_up import ClassSet
from tests.cohort.simulated import block, rubric_of, simulate


def notes(c: float) -> tuple[ClassNote, ...]:
    """Return what is said of a class whose blocks behave as if their heat capacity were *c*."""
    write_ups = simulate("specific-heat-block", 2, set_up=partial(block, c=c))
    one = ClassSet(practical="specific-heat-block", write_ups=write_ups, remarks=(), sources=())
    return class_notes(mark_set(rubric_of("specific-heat-block"), one))


def test_a_class_inside_the_band_is_left_alone() -> None:
    """Lagged blocks come out some 10 % high; that is where careful results fall."""
    assert notes(897.0) == ()


@pytest.mark.parametrize(("c", "direction"), [(1100.0, "high"), (720.0, "low")])
def test_a_class_off_one_way_is_told(c: float, direction: str) -> None:
    """Everybody well outside the band on one side: the method or what is shared, not the students."""
    (note,) = notes(c)
    assert (note.kind, note.direction, note.bench) == (NoteKind.CLASS, direction, "")
    assert note.factor is not None
    assert (note.factor > 1) == (direction == "high")
    assert note.message.startswith("The whole class is off one way: ")
