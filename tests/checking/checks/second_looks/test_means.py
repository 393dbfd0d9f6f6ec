"""Means of repeats: with and without a reading that stands out."""

from __future__ import annotations

import numpy as np
import pytest

from marking.checking.fits.outliers import chance_beside_others, grubbs_limit
from tests.checking.rows import found, in_table, rubric_of

HEAD = """format = 1
id = "own"
edition = 1
title = "Own"
level = "14 to 16"
purpose = "To find a time."
cautions = ["Before you start, follow your school's own risk assessment and local rules."]
"""
COLUMN = rubric_of(
    HEAD
    + """
[readings.t]
quantity = "time"
unit = "s"
table = "repeats"
resolution = 0.01

[answers.mean_t]
quantity = "mean time"
unit = "s"
formula = "mean(t)"

[[criteria]]
code = "F"
point = "Mean follows"
check = "value"
items = ["mean_t"]
"""
)
FIVE = "1.82 1.84 1.83 1.85 2.31 s"
"""Mean of all 1.930, without 2.31 1.835; Grubbs' G is 1.787, its limit at 1 % 1.764 (Grubbs and Beck 1972)."""


def outcome(times: str, mean: str) -> tuple[str, str, str]:
    """Return outcome, reason and cause of a mean."""
    (finding,) = found(COLUMN, in_table(t=times) + f"\nmean_t,,{mean},s", "F")
    return finding.outcome.value, finding.reason, finding.cause.value


def test_limit_at_one_per_cent() -> None:
    """Two-sided 1 % for five readings is 1.764, for eight 2.274 (ISO 5725-2:1994, Table 5)."""
    assert [round(grubbs_limit(n, chance=0.01), 3) for n in (5, 8)] == [1.764, 2.274]


def test_a_mean_with_the_odd_reading_is_proposed() -> None:
    """The teacher decides, the reading is named, and nothing is withheld."""
    assert outcome(FIVE, "1.930") == ("for-teacher", "mean-with-odd", "anomaly-included")
    (finding,) = found(COLUMN, in_table(t=FIVE) + "\nmean_t,,1.93,s", "F")
    assert finding.facts["odd"] == "2.31 s"
    assert finding.explanations[0].detail == "t 5"


@pytest.mark.parametrize(
    ("times", "mean"),
    [
        pytest.param(FIVE, "1.835", id="without the odd one"),
        pytest.param("1.82 1.84 2.31 s", "1.83", id="three, without the one that stands out"),
        pytest.param("1.82 1.84 1.95 s", "1.87", id="three, with it: no test can tell"),
        pytest.param("1.5 1.5 2.0 s", "1.67", id="read to the half, one step apart"),
        pytest.param("1.50 1.60 2.00 s", "1.70", id="three that scatter"),
        pytest.param("1.82 1.84 1.83 1.85 1.86 s", "1.84", id="all sound"),
        pytest.param("1.82 1.82 1.82 1.82 1.83 s", "1.822", id="one step is no odd reading"),
    ],
)
def test_what_stands(times: str, mean: str) -> None:
    """Both means where it is arguable, the sound one where it is not."""
    assert outcome(times, mean) == ("awarded", "right", "none")


def test_a_sound_reading_left_out_is_for_the_teacher() -> None:
    """1.855 is the mean of 1.820, 1.860 and 1.885: 1.950 may have been left out for a reason."""
    assert outcome("1.820 1.860 1.885 1.950 s", "1.855")[:2] == ("for-teacher", "mean-without-sound")


def test_any_other_mean_is_wrong() -> None:
    """A sum divided by the wrong number is no mean of these."""
    assert outcome("1.82 1.84 1.83 1.85 1.86 s", "2.30")[0] == "withheld"


def test_sound_repeats_are_hardly_ever_named() -> None:
    """One student in a hundred at most, whose five repeats all come from one bell curve (2000 students, fixed seed)."""
    draws = np.random.default_rng(1).normal(1.80, 0.03, size=(2000, 5)).round(2)
    distance = np.abs(draws - draws.mean(axis=1, keepdims=True)).max(axis=1) / draws.std(axis=1, ddof=1)
    assert (distance > grubbs_limit(5, chance=0.01)).mean() <= 0.015


@pytest.mark.parametrize(
    ("times", "mean", "outcome_"),
    [
        ("1.85 1.86 1.85 1.84 2.31 s", "1.9", "awarded"),
        ("1.85 1.86 1.85 1.84 2.31 s", "1.94", "for-teacher"),
        ("1.84 1.83 1.85 1.82 2.31 s", "1.9", "for-teacher"),
    ],
    ids=["fits-both", "with-it-alone", "short-and-with-it-alone"],
)
def test_a_mean_that_is_right_with_and_without_the_odd_one_stands(times: str, mean: str, outcome_: str) -> None:
    """1.9 is the mean of all five and of the four: nobody can say that the odd one was kept."""
    assert outcome(times, mean)[0] == outcome_


ALONG = rubric_of(
    HEAD
    + """
[readings.t_1]
quantity = "time, first"
unit = "s"
table = "runs"

[readings.t_2]
quantity = "time, second"
unit = "s"
table = "runs"

[readings.t_3]
quantity = "time, third"
unit = "s"
table = "runs"

[readings.t_4]
quantity = "time, fourth"
unit = "s"
table = "runs"

[readings.t_5]
quantity = "time, fifth"
unit = "s"
table = "runs"

[answers.t]
quantity = "mean time"
unit = "s"
table = "runs"
formula = "mean(t_1, t_2, t_3, t_4, t_5)"

[[criteria]]
code = "F"
point = "Mean follows"
check = "value"
items = ["t"]
"""
)


def test_a_mean_along_a_row_names_the_reading_of_its_row() -> None:
    """In the second row the fifth time is odd: it is named with its column and row, and the first row stands."""
    rows_of = {"t_1": "1.21 1.82", "t_2": "1.22 1.84", "t_3": "1.23 1.83", "t_4": "1.21 1.85", "t_5": "1.22 2.31"}
    lines = in_table(**{name: f"{cells} s" for name, cells in rows_of.items()}, t="1.218 1.930 s")
    first, second = found(ALONG, lines, "F")
    assert (first.outcome, first.reason, first.row) == ("awarded", "right", 1)
    assert (second.outcome, second.reason, second.row) == ("for-teacher", "mean-with-odd", 2)
    assert second.explanations[0].detail == "t_5 2"
    assert (second.facts["odd"], second.explanations[0].facts["used_value"]) == ("2.31 s", "2.31 s")
    assert (second.entry, second.basis, second.expected) == ("1.930", "own-readings", pytest.approx(1.930))
    assert second.explanations[0].probability == 0.9


@pytest.mark.parametrize(
    ("times", "mean", "wanted"),
    [
        ("1.82 1.84 1.83 1.85 2.31 s", "1.930", ("for-teacher", "mean-with-odd", "2.31 s")),
        ("2.31 1.84 1.83 1.85 1.82 s", "1.930", ("for-teacher", "mean-with-odd", "2.31 s")),
        ("1.82 1.84 1.83 1.35 1.85 s", "1.738", ("for-teacher", "mean-with-odd", "1.35 s")),
        ("1.82 1.84 1.83 1.85 2.31 s", "1.835", ("awarded", "right", "")),
        ("1.82 1.84 1.83 1.85 2.31 s", "1.9575", ("for-teacher", "mean-without-sound", "1.82 s")),
        ("1.82 1.84 1.83 2.31 s", "1.95", ("for-teacher", "mean-with-odd", "2.31 s")),
        ("1.82 1.84 2.31 s", "1.99", ("for-teacher", "mean-with-odd", "2.31 s")),
        ("1.5 1.5 5.0 s", "2.67", ("for-teacher", "mean-with-odd", "5.0 s")),
        ("1.820 1.950 s", "1.820", ("withheld", "wrong-value", "")),
        ("1.820 1.860 1.950 s", "1.840", ("awarded", "right", "")),
        ("1.80 1.80 1.80 1.80 1.82 s", "1.804", ("awarded", "right", "")),
        ("1.80 1.80 1.80 1.80 1.90 s", "1.82", ("for-teacher", "mean-with-odd", "1.90 s")),
    ],
)
def test_what_is_told_of_a_mean(times: str, mean: str, wanted: tuple[str, str, str]) -> None:
    """Which of the readings is named, or none: three give a test no power, and only what anybody sees is named."""
    (finding,) = found(COLUMN, in_table(t=times) + f"\nmean_t,,{mean},s", "F")
    assert (finding.outcome, finding.reason, finding.facts.get("odd", "")) == wanted


def test_a_mean_in_another_unit() -> None:
    """1930 ms kept the odd one as 1.930 s did."""
    (finding,) = found(COLUMN, in_table(t=FIVE) + "\nmean_t,,1930,ms", "F")
    assert (finding.reason, finding.facts["odd"]) == ("mean-with-odd", "2.31 s")


@pytest.mark.parametrize(("repeats", "named"), [(12, True), (13, False)])
def test_of_many_repeats_one_more_or_less_is_not_looked_for(repeats: int, named: bool) -> None:
    """Up to twelve repeats the odd one is named."""
    sound = [f"{1.80 + 0.01 * (number % 3):.2f}" for number in range(repeats - 1)]
    values = [*map(float, sound), 2.60]
    lines = in_table(t=" ".join([*sound, "2.60", "s"])) + f"\nmean_t,,{sum(values) / repeats:.4f},s"
    (finding,) = found(COLUMN, lines, "F")
    assert (finding.reason == "mean-with-odd") is named


@pytest.mark.parametrize(("odd", "named"), [("1.81", False), ("1.82", False), ("1.83", True), ("1.84", True)])
def test_an_odd_reading_is_further_off_than_two_steps(odd: str, named: bool) -> None:
    """Beside four equal readings the test alone would name anything: what is two steps of 0.01 s off is left."""
    mean = (4 * 1.80 + float(odd)) / 5
    given = outcome(f"1.80 1.80 1.80 1.80 {odd} s", f"{mean:.3f}")
    assert (given[1] == "mean-with-odd") is named


THREE = {"t_1": "24.0 31.0 41.2 62.1 130.4", "t_2": "24.4 30.5 41.0 94.0 131.0", "t_3": "24.1 30.8 40.7 62.6 129.9"}
"""Three repeats in each of five rows, within 1 % of each other but for 94.0."""
SOUND = "24.17 30.77 40.97"
CROSS = "rate-disappearing-cross"


def crosses(means: str, **changed: str) -> list[tuple[str, str, str]]:
    """Return outcome, reason and cause of the mean of each row."""
    columns = {name: f"{changed.get(name, cells)} s" for name, cells in THREE.items()}
    told = found(CROSS, in_table(**columns, t=f"{means} s"), "R4")
    return [(one.outcome.value, one.reason, one.cause.value) for one in told if one.item == "t"]


def test_one_of_three_that_no_chance_explains_is_to_be_left_out() -> None:
    """The other rows tell how far three times lie apart: the mean with 94.0 loses the mark, and its fellows stand."""
    told = crosses(f"{SOUND} 72.9 130.4")
    assert told[3] == ("withheld", "wrong-value", "anomaly-included")
    assert {one[0] for number, one in enumerate(told) if number != 3} == {"awarded"}
    assert crosses(f"{SOUND} 62.35 130.4")[3] == ("awarded", "right", "none")


def test_what_is_said_of_a_mean_with_such_a_reading_leads_to_the_mean_beside_it() -> None:
    """The sentence quotes the two that belong and their mean, and names the third."""
    columns = {name: f"{cells} s" for name, cells in THREE.items()}
    (told,) = [one for one in found(CROSS, in_table(**columns, t=f"{SOUND} 72.9 130.4 s"), "R4") if one.row == 4]
    assert told.expected == pytest.approx(62.35)
    assert told.facts["readings"] == "t (1) = 62.1 s and t (3) = 62.6 s"
    assert told.explanations[0].facts["used_value"] == "94.0 s"


@pytest.mark.parametrize(
    ("time", "mean", "wanted"),
    [("63.4", "62.7", ("awarded", "right")), ("66.0", "63.6", ("for-teacher", "mean-with-odd"))],
)
def test_one_of_three_that_only_stands_out_is_the_teacher_s(time: str, mean: str, wanted: tuple[str, str]) -> None:
    """66.0 beside 62.1 and 62.6, where others lie within 1 %: odd by the test, and not beyond all doubt."""
    told = crosses(f"{SOUND} {mean} 130.4", t_2=f"24.4 30.5 41.0 {time} 131.0")
    assert told[3][:2] == wanted


def test_three_sound_repeats_are_hardly_ever_named() -> None:
    """One student in a hundred at most, of five rows of three times from bell curves (600 students, fixed seed)."""
    draws = np.random.default_rng(2).normal(1.0, 0.02, size=(600, 5, 3)) * np.array([20.0, 25, 35, 60, 120])[:, None]
    named = sum(any(chance_beside_others(sets, row, 0.1)[1] < 0.01 for row in range(5)) for sets in draws.round(1))
    assert named <= 9


def test_means_of_what_was_worked_out_row_by_row_are_no_repeats() -> None:
    """12.22 beside 12.00 to 12.03 is a focal length at other distances: the mean of all stands."""
    lens = in_table(u="18.0 20.0 24.0 30.0 36.0 cm", v="36.2 31.4 24.0 20.1 18.0 cm")
    lines = f"{lens}\n{in_table(f_row='12.0 12.2 12.0 12.0 12.0 cm')}\nf,,12.1,cm"
    assert [one.reason for one in found("lens-focal-length", lines, "F1") if one.item == "f"] == ["right"]


@pytest.mark.parametrize(("again", "reason"), [("", "repeats-missing"), ("10.1", "right")])
def test_a_mean_of_one_reading_a_row_is_the_teacher_s(again: str, reason: str) -> None:
    """Repeats were asked for; they may stand on paper. One row with two readings shows that they were taken."""
    times = "10.1 12.6 14.9"
    second = f"\nt10_2,1,{again},s" if again else ""
    told = found("pendulum-g", in_table(L="0.25 0.40 0.55 m", t10_1=f"{times} s", t10=f"{times} s") + second, "R4")
    assert {one.reason for one in told if one.item == "t10"} == {reason}
