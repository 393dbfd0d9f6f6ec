"""The picture of a class: counts, shared causes, and what waits."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from marking.cohort.picture.class_picture import Band, band_of, named_cause, picture, slip_of
from marking.findings import Cause, MarkedSet
from rubrics.load import load_catalogue
from tests.reports.invented import (
    GRAMS,
    KILOJOULES,
    a_finding,
    a_student,
    an_explained_script,
    an_explanation,
    heat_set,
    nothing_in,
    wire_script,
    wire_set,
)
from tests.reports.invented_practicals import RUBRICS, WIRE


def a_set_sharing(sharing: int, students: int, *, absent: int = 0) -> MarkedSet:
    """Return a set in which *sharing* of *students* turned the formula round; *absent* more handed in nothing."""
    upside_down = an_explanation(Cause.REARRANGEMENT, 0.9)
    scripts = [
        an_explained_script(a_student(f"S{number:03d}"), upside_down)
        if number < sharing
        else wire_script(a_student(f"S{number:03d}"))
        for number in range(students)
    ]
    scripts += [nothing_in(a_student(f"A{number:03d}", absent=True)) for number in range(absent)]
    return MarkedSet(rubric=RUBRICS[WIRE], scripts=tuple(scripts), remarks=(), sources=())


@pytest.mark.parametrize(
    ("sharing", "handed_in", "band"),
    [
        pytest.param(31, 100, Band.RETEACH, id="just over 30 %"),
        pytest.param(30, 100, Band.GROUP, id="30 % is a group"),
        pytest.param(10, 100, Band.GROUP, id="10 % is a group"),
        pytest.param(9, 100, Band.SHEET, id="just under 10 %"),
        pytest.param(1, 2, Band.SHEET, id="one student is no group"),
        pytest.param(2, 2, Band.RETEACH, id="both of two"),
    ],
)
def test_how_many_share_a_cause_decides_what_it_asks_for(sharing: int, handed_in: int, band: Band) -> None:
    """More than 30 % is taught again to all, from 10 % to a group, below that the sheet does the work."""
    assert band_of(sharing, handed_in) is band


def test_shares_are_of_those_who_handed_in() -> None:
    """Students who were away do not thin out a cause."""
    seen = picture(a_set_sharing(4, 12, absent=8))
    (shared,) = seen.causes
    assert (shared.cause, shared.share, shared.band) == (Cause.REARRANGEMENT, 4 / 12, Band.RETEACH)
    assert shared.students == ("S000", "S001", "S002", "S003")
    assert shared.items == ("R",)


@pytest.mark.parametrize(
    ("explanations", "cause"),
    [
        pytest.param([(Cause.REARRANGEMENT, 0.5)], Cause.REARRANGEMENT, id="just likely"),
        pytest.param([(Cause.REARRANGEMENT, 0.49)], None, id="just not likely"),
        pytest.param([(Cause.UNEXPLAINED, 0.9)], None, id="unexplained is no cause to teach"),
        pytest.param([(Cause.COPYING, 0.3), (Cause.SIGN, 0.3), (Cause.COPYING, 0.3)], Cause.COPYING, id="summed"),
        pytest.param([], None, id="nothing known"),
    ],
)
def test_only_a_likely_cause_counts_for_a_group(explanations: list[tuple[Cause, float]], cause: Cause | None) -> None:
    """A guess about one student is not counted into a group."""
    script = an_explained_script(a_student("S001"), *(an_explanation(c, chance) for c, chance in explanations))
    assert named_cause(script.findings[0]) is cause


def test_two_ways_to_one_cause_count_as_that_cause() -> None:
    """Grams or kilojoules: either way a unit was not converted."""
    script = an_explained_script(
        a_student("S001"), replace(GRAMS, probability=0.45), replace(KILOJOULES, probability=0.4)
    )
    assert named_cause(script.findings[0]) is Cause.UNIT_CONVERSION


def test_every_student_is_somewhere_in_the_picture() -> None:
    """Handed in, away or missing: nobody drops out, and no nought is made of nothing."""
    seen = picture(wire_set())
    assert (seen.students, seen.handed_in) == (28, 26)
    assert (seen.absent, seen.missing) == (("S010",), ("S020",))
    assert sum(seen.distribution) == seen.handed_in
    assert len(seen.distribution) == seen.out_of + 1


def test_criteria_count_open_marks_apart() -> None:
    """A mark that waits for the teacher is neither earned nor lost."""
    seen = {criterion.code: criterion for criterion in picture(wire_set()).criteria}
    assert (seen["G4"].pending, seen["G4"].facility) == (26, None)
    assert (seen["F1"].full, seen["F1"].none, seen["F1"].pending) == (17, 9, 0)
    assert seen["F1"].facility == pytest.approx(17 / 26)


def test_what_waits_is_counted_once_a_kind() -> None:
    """For each kind of thing: how many, and whose."""
    waiting = {(one.reason, one.criterion): one for one in picture(wire_set()).waiting}
    assert set(waiting) == {("teacher-looks", "G4"), ("teacher-looks", "K1"), ("teacher-looks", "V1")}
    assert len(waiting["teacher-looks", "G4"].students) == 26


def test_results_stand_beside_the_value_they_were_compared_with() -> None:
    """Each result with its student, the accepted value once."""
    seen = picture(heat_set())
    assert len(seen.results) == 28
    assert [one.name for one in seen.accepted] == ["aluminium"]


def test_a_set_without_write_ups_has_a_picture() -> None:
    """Nobody handed in: counts of nothing, and no mean."""
    seen = picture(a_set_sharing(0, 0, absent=3))
    assert (seen.handed_in, seen.mean, seen.causes, seen.results) == (0, None, (), ())


def test_who_added_did_not_turn_the_formula_round() -> None:
    """One cause, two slips: two groups, each with its own students and a line that shows it."""
    turned = an_explanation(Cause.REARRANGEMENT, 0.9, "I / V", used="I ÷ V", right="V ÷ I")
    added = an_explanation(Cause.REARRANGEMENT, 0.8, "V + I", used="V + I", right="V ÷ I")
    scripts = tuple(
        an_explained_script(a_student(f"S{number}"), added if number < 2 else turned) for number in range(5)
    )
    seen = picture(MarkedSet(rubric=RUBRICS[WIRE], scripts=scripts, remarks=(), sources=()))
    first, second = seen.causes
    assert first.students == ("S2", "S3", "S4")
    assert second.students == ("S0", "S1")
    assert first.cause is second.cause is Cause.REARRANGEMENT
    assert second.shown.explanations == (added,)


@pytest.mark.parametrize(
    ("one", "other", "is_same"),
    [
        pytest.param("V_1 * I_1", "V_2 * I_2", True, id="another resistor"),
        pytest.param("R / L of row 1", "R / L of row 7", True, id="another row"),
        pytest.param("V_1 * I_1", "V_1 + I_1", False, id="another operation"),
    ],
)
def test_a_slip_is_known_by_what_was_done(one: str, other: str, *, is_same: bool) -> None:
    """Which of several equal parts it was done to makes no other slip of it."""
    rubric = load_catalogue()["resistor-combinations"]
    first, second = (
        slip_of(a_finding("wrong-value", explanations=(an_explanation(Cause.REARRANGEMENT, 0.9, detail),)), rubric)
        for detail in (one, other)
    )
    assert (first == second) is is_same


def test_grams_and_kilojoules_left_are_two_slips() -> None:
    """What is taught again is one change of unit or the other."""
    slips = {slip_of(a_finding("wrong-value", explanations=(one,)), RUBRICS[WIRE]) for one in (GRAMS, KILOJOULES)}
    assert len(slips) == 2
