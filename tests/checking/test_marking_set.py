"""What a setting of the set does to the whole of it."""

from __future__ import annotations

from msgspec.structs import replace

from marking.checking import mark_set
from marking.intake.entries.typed_ticks import with_ticks
from marking.write_up import ClassSet, Student, WriteUp
from rubrics.load import load_catalogue, without_paper

BOYLE = load_catalogue()["boyle"]


def a_class(*marks_graph: bool) -> ClassSet:
    """Return a class that handed nothing in, one student a setting."""
    work = [
        WriteUp(student=Student(code=f"S{at}", marks_graph=said), practical="boyle", singles={}, columns={})
        for at, said in enumerate(marks_graph)
    ]
    return ClassSet(practical="boyle", write_ups=tuple(work), remarks=(), sources=())


def test_a_graph_that_is_not_marked_is_in_no_total() -> None:
    """The set has one total: without what only the graph on paper shows."""
    marked = mark_set(BOYLE, a_class(False, False))
    assert marked.rubric == without_paper(BOYLE)
    assert marked.rubric.total == BOYLE.total - sum(one.marks for one in BOYLE.criteria if one.on_paper)
    assert mark_set(BOYLE, a_class(True, True)).rubric == BOYLE


def test_a_rubric_without_paper_stays_as_it_is() -> None:
    """Saying it twice, by option and roster, is saying it once."""
    once = without_paper(BOYLE)
    assert mark_set(once, a_class(False)).rubric == once
    assert replace(once, criteria=BOYLE.criteria, unmarked=()) == BOYLE


def test_a_sheet_with_boxes_for_the_graph_is_still_read() -> None:
    """The boxes for ticks of an unmarked graph are known to the reader of files."""
    once = without_paper(BOYLE)
    assert with_ticks(once).items.keys() == with_ticks(BOYLE).items.keys()
