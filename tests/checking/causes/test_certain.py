"""Slips that arithmetic alone makes certain, and what they say of a step."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from pathlib import Path

import pytest

from marking.checking.answers import Board, Judged, judge, lay_out
from marking.checking.causes import Priors, certain_of, denies, explain, load_priors
from marking.checking.causes.certain import CERTAIN, CERTAIN_FORMULA
from marking.checking.causes.explaining import Explanations
from marking.findings import Cause, Explanation
from marking.intake.read_inputs import read_inputs
from marking.write_up import ClassSet
from rubrics.load import load_catalogue
from tests.apparatus import write_tidy
from tests.benchmarks.cohorts import cohort
from tests.checking.causes.wrong_answers_of import board_of
from tests.checking.rows import HEAT, changed


def explained(cause: Cause, probability: float, detail: str = "", **facts: str) -> Explanation:
    """Return one explanation."""
    return Explanation(cause=cause, detail=detail, probability=probability, facts=facts)


UNIT, TURNED, OTHER = Cause.UNIT_CONVERSION, Cause.REARRANGEMENT, Cause.WRONG_QUANTITY


@pytest.mark.parametrize(
    ("told", "lost_by", "denied"),
    [
        ((), ["rearrangement"], None),
        ((explained(TURNED, CERTAIN_FORMULA),), ["rearrangement"], True),
        ((explained(TURNED, CERTAIN_FORMULA - 0.001),), ["rearrangement"], None),
        ((explained(TURNED, 0.5), explained(TURNED, 0.42)), ["rearrangement"], True),
        ((explained(TURNED, 0.89), explained(UNIT, 0.11)), ["rearrangement"], None),
        ((explained(UNIT, CERTAIN),), ["unit-conversion"], True),
        ((explained(UNIT, CERTAIN - 0.001),), ["unit-conversion"], None),
        ((explained(TURNED, 1.0),), [], None),
        ((explained(TURNED, 1.0),), ["sign"], None),
        ((explained(UNIT, 1.0, "m: g for kg"),), ["rearrangement"], False),
        ((explained(Cause.COPYING, 1.0),), ["rearrangement"], False),
        ((explained(Cause.POWER_OF_TEN, 1.0),), ["unit-conversion"], False),
        ((explained(UNIT, 1.0, "m: g for kg"),), ["unit-conversion"], True),
        ((explained(UNIT, 1.0, "m: g for kg"),), ["unit-conversion of m"], True),
        ((explained(UNIT, 1.0, "m: g for kg"),), ["unit-conversion of E"], False),
        ((explained(UNIT, 1.0, "E: kJ for J; m: g for kg"),), ["unit-conversion of m"], True),
        ((explained(UNIT, 0.6, "E: kJ for J"), explained(UNIT, 0.4, "m: g for kg")), ["unit-conversion of E"], None),
        ((explained(OTHER, 0.6, "means: v"), explained(OTHER, 0.36, "means: f")), ["wrong-quantity of means"], True),
        ((explained(OTHER, 1.0, "max(v) for mean(v)"),), ["wrong-quantity of means"], None),
        ((explained(UNIT, 0.5, "E: kJ for J"), explained(UNIT, 0.46, "E: MJ for J")), ["unit-conversion of m"], False),
        ((explained(UNIT, 1.0, "m: g for kg", second="digits-swapped"),), ["unit-conversion"], None),
        ((explained(Cause.UNEXPLAINED, 1.0),), ["unit-conversion"], None),
    ],
)
def test_what_a_slip_says_of_a_step(told: tuple[Explanation, ...], lost_by: list[str], denied: bool | None) -> None:
    """Denied by a slip that is named, shown behind one of unit or digits, and else not told."""
    assert denies(told, lost_by) is denied


def _certain(board: Board, judged: Mapping[str, Judged], names: Collection[str]) -> Explanations:
    return certain_of(explain(board, judged, load_priors(), names=names), names)


def test_only_the_items_asked_for() -> None:
    """Other answers are not explained for it, and a right one never is."""
    board, judged = board_of("specific-heat-block", {"S1": changed(HEAT, c="0.9734", m="998|g", dT="12.0"), "S2": HEAT})
    assert {key[0] for key in _certain(board, judged, ["c"])} <= {"c"}
    assert _certain(board, judged, []) == {}


@pytest.mark.parametrize("practical", ["specific-heat-block", "resistor-combinations", "density-cuboid"])
def test_certain_alone_and_in_any_class(practical: str, tmp_path: Path) -> None:
    """Whoever sits beside a student, the same slips are certain, with the same explanations."""
    rubric = load_catalogue()[practical]
    pages = cohort(practical, 30, "certain", levelled=True)
    (whole,) = read_inputs([write_tidy(tmp_path / "set.csv", [page.sheet for page in pages])], {practical: rubric})
    names = [item.name for item in rubric.answers if item.formula is not None]

    def certain(class_set: ClassSet) -> dict[tuple[str, str, int], list[tuple[str, str, float]]]:
        board = lay_out(rubric, class_set.write_ups)
        found = _certain(board, judge(board), names)
        return {
            (item, class_set.write_ups[student].student.code, row): [
                (one.cause, one.detail, round(one.probability, 6)) for one in told
            ]
            for (item, student, row), told in found.items()
        }

    together = certain(whole)
    assert len(together) > 8
    alone = {}
    for write_up in whole.write_ups:
        alone |= certain(ClassSet(practical=practical, write_ups=(write_up,), remarks=(), sources=()))
    assert alone == together


def test_shares_of_a_class_do_not_count() -> None:
    """What is certain comes from the fixed shares, whatever shares others are weighed by."""
    board, judged = board_of("specific-heat-block", {"S1": changed(HEAT, c="0.9734", m="998|g")})
    swayed: Priors = {
        kind: {cause: 0.999 if cause is Cause.SIGN else 1e-6 for cause in shares}
        for kind, shares in load_priors().items()
    }
    others = explain(board, judged, swayed).explanations["c", 0, 0]
    fixed = _certain(board, judged, ["c"])["c", 0, 0]
    assert fixed == explain(board, judged, load_priors()).explanations["c", 0, 0]
    assert [one.probability for one in fixed] != [one.probability for one in others]
