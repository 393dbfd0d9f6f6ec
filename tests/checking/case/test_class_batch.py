"""A batch as lists: the numbers of its arrays, and nothing that keeps it in memory once its scripts are made."""

from __future__ import annotations

import gc
import weakref

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from marking.checking.answers import Judgement, judge, lay_out
from marking.checking.case import Case
from marking.checking.case.class_batch import Batch
from marking.checking.checks import Looker
from rubrics.model import CheckKind
from tests.checking.rows import HEAT, WIRE, changed, read_class


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


@pytest.mark.parametrize(
    ("lengths", "plain", "first", "places"),
    [
        (("0.10|m", "0.25|m", "1.00|m"), True, 1, (2, 1)),
        (("", "0.25|m", "1.00|m"), True, 2, (2, 2)),
        (("0|m", "0.25|m", "1.00|m"), True, 1, (2, 2)),
        (("2|m", "3|m", "1|m"), True, 1, (0, 1)),
        (("0.10|m", "0.2|m", "1.00|m"), True, 1, None),
        (("0|m", "0|m", "0|m"), True, 1, None),
        (("10|cm", "25|cm", "100|cm"), False, 1, (0, 1)),
        (("0.10|m", "0.25|", "1.00|m"), True, 1, (2, 1)),
        (("0.10|", "0.25|", "1.00|"), False, 1, None),
        (("0.10|m", "0.25|J", "1.00|m"), False, 1, None),
        (("0.10|m", "about 1#|m", "1.00|m"), False, 1, None),
        (("½|m", "0.25|m", "1.00|m"), False, 1, None),
        (("", "", ""), True, 0, None),
    ],
)
def test_of_what_nothing_is_to_be_asked(
    lengths: tuple[str, ...], plain: bool, first: int, places: tuple[int, int] | None
) -> None:
    """Numbers in the item's own unit with all their figures; blanks ask nothing, and noughts have no places."""
    lines = "".join(f"L,{row},{one.replace('|', ',')}\n" for row, one in enumerate(lengths, start=1) if one)
    rubric, class_set = read_class("wire-resistance", {"A": f"{lines}R,3,1.00,Ω", "B": WIRE})
    board = lay_out(rubric, class_set.write_ups)
    one = Batch(board, judge(board), {}, {})
    assert (one.plain["L"][0], one.first["L"][0], one.places["L"][0]) == (plain, first, places)
    assert (one.plain["L"][1], one.first["L"][1], one.places["L"][1]) == (True, 1, (3, 1))


@settings(deadline=None, max_examples=12)
@given(st.lists(st.sampled_from(("0.10", "0.2", "0", "", "1/2", "30 cm", "4#", "0.50 J")), min_size=1, max_size=5))
def test_who_is_told_at_a_glance_is_told_the_same_as_looked_at_closely(lengths: list[str]) -> None:
    """Readings and decimal places: with nothing taken for plain the same lines come out."""
    lines = "".join(f"L,{row},{one},{'' if ' ' in one else 'm'}\n" for row, one in enumerate(lengths, start=1))
    rubric, class_set = read_class("wire-resistance", {"A": f"{lines}R,1,1.00,Ω"})
    board = lay_out(rubric, class_set.write_ups)
    judged = judge(board)

    def told(batch: Batch) -> list[tuple[object, ...]]:
        write_up = class_set.write_ups[0]
        case = Case(batch=batch, student=0, rubric=rubric, write_up=write_up, shapes={}, selected=None)
        asked = [one for one in rubric.criteria if one.check in (CheckKind.READING, CheckKind.PLACES)]
        return [
            (line.item, line.row, line.outcome, line.reason, line.entry, line.explanations, dict(line.facts))
            for criterion in asked
            for line in Looker(criterion, rubric).lines(case)
        ]

    glanced, closely = Batch(board, judged, {}, {}), Batch(board, judged, {}, {})
    closely.clear.update({name: [False] for name in board.cells})
    closely.plain.update({name: [False] for name in board.cells})
    closely.places.update({name: [None] for name in board.cells})
    assert told(glanced) == told(closely)


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
