"""A batch as lists: the numbers of its arrays, and nothing that keeps it in memory once its scripts are made."""

from __future__ import annotations

import gc
import weakref

from marking.checking.answers import Judgement, judge, lay_out
from marking.checking.case.class_batch import Batch
from tests.checking.rows import HEAT, changed, read_class


def batch() -> Batch:
    """Return two students, one of them right."""
    rubric, class_set = read_class("specific-heat-block", {"A": HEAT, "B": changed(HEAT, c="123")})
    board = lay_out(rubric, class_set.write_ups)
    return Batch(board, judge(board), {}, {})


def test_lists_hold_what_the_arrays_hold() -> None:
    """Number by number; what each answer is worth stands there by its name."""
    one = batch()
    assert one.si["E"] == one.board.cells["E"].si.tolist()
    assert one.own["c"] == one.judged["c"].own.tolist()
    assert [row[0] for row in one.judgements["c"]] == [Judgement.RIGHT, Judgement.WRONG]
    assert [item.name for item in one.earlier["c"]] == ["dT"]
    assert one.words["c"] is one.words["c"]


def test_a_batch_goes_without_the_cycle_collector() -> None:
    """The collector rests while a set is marked: a batch that held itself would stay to the end."""
    gc.disable()
    try:
        one = batch()
        assert one.earlier["c"]
        assert one.words["c"].equation
        seen = weakref.ref(one)
        del one
        assert seen() is None
    finally:
        gc.enable()
