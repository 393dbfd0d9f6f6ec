"""What an answer is worth: from the readings, from earlier answers, or a matter for the teacher."""

from __future__ import annotations

import numpy as np
import pytest

from marking.checking.answers.answer_order import in_order
from marking.checking.answers.judged import Judgement
from marking.checking.answers.judging import judge
from marking.checking.answers.written.board import lay_out
from marking.checking.marking_set import BATCH
from rubrics.load import load_catalogue
from tests.checking.rows import CUBOID, HEAT, WIRE, changed, found, in_table, mark, mark_class, rows


def judgement(practical: str, lines: str, item: str, row: int = 1) -> Judgement:
    """Return what one answer of one student is worth."""
    board = lay_out(load_catalogue()[practical], [mark(practical, lines).write_up])
    return Judgement(int(judge(board)[item].judgement[0, row - 1]))


@pytest.mark.parametrize(
    ("changes", "wanted"),
    [
        ({}, Judgement.RIGHT),
        ({"dT": "62.0"}, Judgement.RIGHT),
        ({"dT": "62.0", "c": "330"}, Judgement.FOLLOWS),
        ({"c": "123"}, Judgement.WRONG),
        ({"c": "97O"}, Judgement.UNREADABLE),
        ({"c": ""}, Judgement.NOT_GIVEN),
        ({"m": ""}, Judgement.NOT_RECALCULABLE),
        ({"m": "0.998|J"}, Judgement.NOT_RECALCULABLE),
        ({"m": "0"}, Judgement.NOT_RECALCULABLE),
        ({"T_end": "20.5", "dT": "0.0", "c": "0"}, Judgement.NOT_RECALCULABLE),
        ({"E": "30000", "c": "1000"}, Judgement.ROUGH),
        ({"E": "30000", "c": "1400"}, Judgement.RIGHT),
    ],
    ids=[
        "right",
        "right-though-a-step-is-wrong",
        "follows",
        "wrong",
        "unreadable",
        "not-given",
        "reading-missing",
        "reading-of-another-quantity",
        "division-by-a-reading-of-zero",
        "division-by-an-answer-of-zero",
        "one-figure-that-may-be-meant",
        "two-figures",
    ],
)
def test_worth_of_an_answer(changes: dict[str, str], wanted: Judgement) -> None:
    """Each answer has exactly one worth; nothing that cannot be worked out again is ever wrong."""
    assert judgement("specific-heat-block", changed(HEAT, **changes), "c") is wanted


def test_one_rough_figure_is_the_teacher_s() -> None:
    """1000 for 1431 is right if it was meant as one figure: the mark waits, and no cause is guessed."""
    (finding,) = found("specific-heat-block", changed(HEAT, E="30000", c="1000"), "F1")
    assert (finding.outcome, finding.reason, finding.cause) == ("for-teacher", "rough-figure", "none")


@pytest.mark.parametrize(
    ("gradient", "outcome"),
    [
        ("4.29", "awarded"),
        ("4.3", "awarded"),
        ("4.08", "awarded"),
        ("4.50", "awarded"),
        ("4.02", "for-teacher"),
        ("4.60", "for-teacher"),
        ("3.70", "withheld"),
        ("4.90", "withheld"),
        ("0.0429|Ω/cm", "awarded"),
        ("4.29e6|µΩ/m", "awarded"),
        ("4290|mzz/m", "for-teacher"),
        ("4900|mzz/m", "withheld"),
        ("0.233", "withheld"),
    ],
)
def test_line_drawn_by_hand(gradient: str, outcome: str) -> None:
    """A gradient within a twentieth stands, within a tenth a teacher looks at the line, beyond it is withheld."""
    lines = WIRE + "\ngradient,,0,Ω/m"
    assert [row[2] for row in rows("wire-resistance", changed(lines, gradient=gradient), "G5")] == [outcome]


def test_gradient_follows_from_the_points_that_were_worked_out() -> None:
    """A gradient is judged by the student's own points as well as by what the readings lead to."""
    wrong = in_table(R="0.090 0.132 0.176 0.216 0.264 0.302 0.348 Ω")
    readings = "\n".join(line for line in WIRE.split("\n") if not line.startswith("R,"))
    lines = f"{readings}\n{wrong}\ngradient,,0.429,Ω/m"
    (finding,) = found("wire-resistance", lines, "G5")
    assert (finding.outcome, finding.basis) == ("awarded", "carried-forward")
    (finding,) = found("wire-resistance", lines.replace("0.429,", "4.29,"), "G5")
    assert (finding.outcome, finding.basis) == ("awarded", "own-readings")


def test_gradient_without_enough_points_is_the_teacher_s() -> None:
    """One usable point has no gradient, so whatever was written waits for the teacher."""
    lines = "L,1,0.20,m\nV,1,0.45,V\nI,1,0.50,A\nR,1,0.90,Ω\ngradient,,4.5,Ω/m"
    (finding,) = found("wire-resistance", lines, "G5")
    assert (finding.outcome, finding.expected) == ("for-teacher", None)


@pytest.mark.parametrize(
    ("practical", "lines", "other"),
    [
        ("density-cuboid", CUBOID, {"l": "40.5|mm", "w": "30.2|mm", "h": "19.8|mm", "m": "0.0654|kg"}),
        ("specific-heat-block", HEAT, {"m": "998|g", "E": "20.4|kJ", "T_start": "293.65|K", "T_end": "314.65|K"}),
    ],
    ids=["cuboid", "heat"],
)
def test_same_readings_in_other_units(practical: str, lines: str, other: dict[str, str]) -> None:
    """The same readings in other units lead to the same outcomes, right answers and wrong ones alike."""
    last = "rho" if practical == "density-cuboid" else "c"
    kept = {"P1", "P3", "F1", "F2", "F3"}
    for answer in ({}, {last: "1.23"}, {last: "0.00123"}):
        here = rows(practical, changed(lines, **answer), *kept)
        there = rows(practical, changed(lines, **answer, **other), *kept)
        assert [row[:3] for row in here] == [row[:3] for row in there]


def test_answers_come_after_what_they_are_worked_out_from() -> None:
    """However a rubric is ordered, an answer is judged after those that lead to it."""
    for rubric in load_catalogue().values():
        order = [item.name for item in in_order(rubric)]
        assert sorted(order) == sorted(item.name for item in rubric.answers)
        for item in rubric.answers:
            for name in item.formula.names if item.formula else ():
                if name in order:
                    assert order.index(name) < order.index(item.name)


def test_a_large_set_is_marked_in_batches_and_in_order() -> None:
    """Where a set is larger than a batch every student has a script, in order, with their own marks."""
    few = mark_class("density-displacement", {"S0": "m,,65.4,g\nV,,24.5,cm³\nrho,,2.67,g/cm³"}).scripts[0]
    write_ups = {
        f"S{number:05d}": f"m,,65.4,g\nV,,24.5,cm³\nrho,,{'2.67' if number % 3 else '0.375'},g/cm³"
        for number in range(BATCH + 5)
    }
    scripts = mark_class("density-displacement", write_ups).scripts
    assert [script.write_up.student.code for script in scripts] == list(write_ups)
    assert np.array([script.awarded == few.awarded for script in scripts]).tolist() == [
        bool(number % 3) for number in range(BATCH + 5)
    ]


@pytest.mark.parametrize(
    ("gradient", "outcome", "reason"),
    [
        ("0.449", "awarded", "right-carried-forward"),
        ("0.460", "for-teacher", "near-line"),
        ("0.400", "for-teacher", "near-line"),
        ("0.490", "withheld", "wrong-value"),
        ("0.370", "withheld", "wrong-value"),
    ],
)
def test_a_line_near_the_student_s_own_points_is_the_teacher_s(gradient: str, outcome: str, reason: str) -> None:
    """The shares of a line drawn by hand go for points that were worked out wrong as for right ones."""
    wrong = in_table(R="0.090 0.132 0.176 0.216 0.264 0.302 0.348 Ω")
    readings = "\n".join(line for line in WIRE.split("\n") if not line.startswith("R,"))
    (finding,) = found("wire-resistance", f"{readings}\n{wrong}\ngradient,,{gradient},Ω/m", "G5")
    assert (finding.outcome, finding.reason) == (outcome, reason)


def density(*volumes: str, V: str, rho: str) -> str:
    """Return the lines of 27.3 g and of readings of a volume, their mean and the density; '' for what is not there."""
    cells = {f"V_{n}": text for n, text in enumerate(volumes, 1)} | {"V": V}
    lines = [f"{name},,{text},cm³" for name, text in cells.items() if text]
    return "\n".join(["m,,27.3,g", *lines, f"rho,,{rho},g/cm³"])


@pytest.mark.parametrize(
    ("volumes", "V", "rho", "wanted"),
    [
        (("10.0", "10.2", "10.1"), "10.1", "2.70", (Judgement.RIGHT, Judgement.RIGHT)),
        (("10.0", "1#2", "10.1"), "10.1", "2.70", (Judgement.NOT_RECALCULABLE, Judgement.RIGHT)),
        (("10.0", "1#2", "10.1"), "9.0", "3.03", (Judgement.NOT_RECALCULABLE, Judgement.RIGHT)),
        (("10.0", "1#2", "10.1"), "9.0", "2.00", (Judgement.NOT_RECALCULABLE, Judgement.WRONG)),
        (("10.0", "1#2", "10.1"), "", "2.00", (Judgement.NOT_GIVEN, Judgement.NOT_RECALCULABLE)),
        (("10.0", "1#2", "10.1"), "", "2.72", (Judgement.NOT_GIVEN, Judgement.FOLLOWS)),
        (("10.0", "10.2", "10.1"), "", "2.00", (Judgement.NOT_GIVEN, Judgement.WRONG)),
        (("10.0", "10.2", "10.1"), "", "2.70", (Judgement.NOT_GIVEN, Judgement.RIGHT)),
        (("", "", ""), "10.1", "2.00", (Judgement.NOT_RECALCULABLE, Judgement.WRONG)),
        (("", "", ""), "10.1", "2.70", (Judgement.NOT_RECALCULABLE, Judgement.RIGHT)),
    ],
    ids=[
        "all-there",
        "one-unread",
        "unread-and-mean-astray",
        "a-mean-astray-does-not-excuse-the-next",
        "unread-and-no-mean",
        "the-mean-of-the-others",
        "no-mean-and-wrong",
        "no-mean-and-right",
        "mean-alone-and-wrong",
        "mean-alone-and-right",
    ],
)
def test_what_rests_on_a_reading_that_cannot_be_read(
    volumes: tuple[str, ...], V: str, rho: str, wanted: tuple[Judgement, Judgement]
) -> None:
    """A mean waits while one of its readings cannot be read; whoever wrote it down goes on with it."""
    lines = density(*volumes, V=V, rho=rho)
    assert tuple(judgement("density-displacement", lines, item) for item in ("V", "rho")) == wanted


def test_what_is_known_of_an_answer_that_was_judged() -> None:
    """Its value by the readings, to all figures, stands within where careful answers lie, and within 1 % of it."""
    board = lay_out(load_catalogue()["specific-heat-block"], [mark("specific-heat-block", HEAT).write_up])
    found = judge(board)["c"]
    low, high = (float(end[0, 0]) for end in found.own_interval)
    assert float(found.own[0, 0]) == pytest.approx(20400 / (0.998 * 21.0))
    assert 0.99 * 973.4 < low < 973.4 < high < 1.01 * 973.4
    assert float(found.unrounded[0, 0]) == pytest.approx(float(found.own[0, 0]))
    assert [int(ends[0, 0]) for ends in found.figures] == [3, 3]


@pytest.mark.parametrize(
    ("percent", "wanted"),
    [
        ("-6.1", Judgement.RIGHT),
        ("6.1", Judgement.RIGHT),
        ("3.0", Judgement.WRONG),
        ("0.5", Judgement.WRONG),
        ("-8.0", Judgement.WRONG),
    ],
)
def test_what_lies_between_two_ways_is_near_neither(percent: str, wanted: Judgement) -> None:
    """A percentage difference stands with either sign, and nothing between the two does."""
    lines = "dH,,-53.5,kJ/mol\nref,,-57,kJ/mol\nV_a,,25.0,cm³\nV_b,,25.0,cm³\nc_a,,1.00,mol/dm³\nc_b,,1.00,mol/dm³\n"
    lines += f"T_start,,20.0,°C\nT_end,,26.4,°C\npercent_off,,{percent},%"
    assert judgement("neutralisation-enthalpy", lines, "percent_off") is wanted
