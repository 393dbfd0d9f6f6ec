"""How well answers are known, from the readings that stand in a write-up."""

from __future__ import annotations

import numpy as np
import pytest
from uncertainties import ufloat

from marking.checking.answers.written.board import lay_out
from marking.checking.uncertainty.of_answers import AnswerUncertainty, answer_uncertainty
from rubrics.model.practical import Rubric
from tests.checking.rows import read_class, rubric_of

BLOCK = "m,,0.998,kg\nT_start,,19.5,°C\nT_end,,40.0,°C\nE,,20400,J"
SWING = """format = 1
id = "swing"
edition = 1
title = "Time of a swing"
level = "16 to 18"
purpose = "To find the time of one swing."
cautions = ["Before you start, follow your school's own risk assessment and local rules."]

[readings.t]
quantity = "time of ten swings"
unit = "s"
table = "repeats"
resolution = 0.01

[readings.L]
quantity = "length"
unit = "m"
resolution = 0.001

[answers.period]
quantity = "time of one swing"
unit = "s"
formula = "mean(t) / 10"

[answers.g]
quantity = "acceleration of free fall"
unit = "m/s²"
formula = "4 * pi**2 * L / period**2"

[[criteria]]
code = "F1"
point = "Time of one swing"
check = "value"
items = ["period", "g"]
"""


def worked_out(practical: str | Rubric, lines: str, answer: str) -> AnswerUncertainty:
    """Return what one student's readings lead to for an answer."""
    rubric, class_set = read_class(practical, {"S001": lines})
    return answer_uncertainty(lay_out(rubric, class_set.write_ups), rubric.items[answer])


def step(size: float) -> float:
    """Return the standard uncertainty of an instrument's step."""
    return float(size / np.sqrt(12))


def test_resolution_through_a_chain_of_answers() -> None:
    """A heat capacity is as uncertain as mass, energy and temperatures make it, through the rise in between."""
    found = worked_out("specific-heat-block", BLOCK, "c")
    rise = ufloat(40.0, step(0.5)) - ufloat(19.5, step(0.5))
    theirs = ufloat(20400, step(100)) / (ufloat(0.998, step(0.001)) * rise)
    assert found.value[0, 0] == pytest.approx(theirs.nominal_value)
    assert found.standard[0, 0] == pytest.approx(theirs.std_dev, rel=1e-5)
    assert np.isinf(found.freedom[0, 0])


def test_units_recorded_do_not_matter() -> None:
    """Grams and kilojoules lead to the same uncertainty as kilograms and joules."""
    other = BLOCK.replace("0.998,kg", "998,g").replace("20400,J", "20.4,kJ")
    one = worked_out("specific-heat-block", BLOCK, "c")
    assert worked_out("specific-heat-block", other, "c").standard[0, 0] == pytest.approx(one.standard[0, 0], rel=1e-9)


def test_finer_reading_than_the_instrument_of_the_rubric() -> None:
    """A thermometer read to 0.1 is taken at its word once a reading shows it."""
    finer = BLOCK.replace("19.5,", "19.4,").replace("40.0,", "40.1,")
    found = worked_out("specific-heat-block", finer, "dT")
    assert found.standard[0, 0] == pytest.approx(np.sqrt(2) * step(0.1), rel=1e-5)
    coarse = worked_out("specific-heat-block", BLOCK, "dT")
    assert coarse.standard[0, 0] == pytest.approx(np.sqrt(2) * step(0.5), rel=1e-5)


def test_answer_in_each_row() -> None:
    """Each row's resistance has the uncertainty of its own two readings."""
    lines = "L,1,0.100,m\nV,1,0.24,V\nI,1,0.40,A\nL,2,0.200,m\nV,2,0.41,V\nI,2,0.40,A"
    found = worked_out("wire-resistance", lines, "R")
    for row, volts in enumerate((0.24, 0.41)):
        theirs = ufloat(volts, step(0.01)) / ufloat(0.40, step(0.01))
        assert found.standard[0, row] == pytest.approx(theirs.std_dev, rel=1e-5)


WIRE = {0.1: 0.24, 0.2: 0.41, 0.3: 0.59, 0.4: 0.76, 0.6: 1.12, 0.8: 1.46, 1.0: 1.83}


def wire_lines(volts: dict[float, float]) -> str:
    """Return a table of lengths and p.d.s at 0.40 A."""
    rows = enumerate(volts.items(), 1)
    return "\n".join(f"L,{row},{L:.3f},m\nV,{row},{V:.2f},V\nI,{row},0.40,A" for row, (L, V) in rows)


def test_gradient_has_at_least_what_the_meters_leave() -> None:
    """Points closer to a line than the meters can show do not make the gradient better known than the meters allow."""
    found = worked_out("wire-resistance", wire_lines(WIRE), "gradient")
    ohms = [ufloat(V, step(0.01)) / ufloat(0.40, step(0.01)) for V in WIRE.values()]
    lengths = [ufloat(L, step(0.001)) for L in WIRE]
    middle_x, middle_y = sum(lengths) / 7, sum(ohms) / 7
    across = [one - middle_x for one in lengths]
    pairs = zip(across, ohms, strict=True)
    theirs = sum(dx * (R - middle_y) for dx, R in pairs) / sum(dx**2 for dx in across)
    assert found.value[0, 0] == pytest.approx(theirs.nominal_value)
    assert found.standard[0, 0] == pytest.approx(theirs.std_dev, rel=1e-4)
    assert np.isinf(found.freedom[0, 0])


def test_gradient_of_scattered_points_has_their_standard_error() -> None:
    """Where the scatter is wider than the meters' steps, the gradient has the standard error of the line."""
    scattered = {L: round(V + 0.12 * (-1) ** n, 2) for n, (L, V) in enumerate(WIRE.items())}
    found = worked_out("wire-resistance", wire_lines(scattered), "gradient")
    x, y = np.array(list(scattered)), np.array(list(scattered.values())) / 0.4
    residual = y - np.polyval(np.polyfit(x, y, 1), x)
    error = np.sqrt((residual**2).sum() / (x.size - 2) / ((x - x.mean()) ** 2).sum())
    assert found.standard[0, 0] == pytest.approx(error, rel=1e-6)
    assert found.freedom[0, 0] == x.size - 2


def test_mean_of_repeats_carried_on() -> None:
    """The result has the scatter of the repeats, twice as a share, and the resolution of the length."""
    times = [20.12, 20.31, 20.05, 20.22, 20.17]
    lines = "\n".join(f"t,{row},{t},s" for row, t in enumerate(times, 1)) + "\nL,,1.012,m"
    found = worked_out(rubric_of(SWING), lines, "g")
    mean = ufloat(np.mean(times), np.std(times, ddof=1) / np.sqrt(5))
    theirs = 4 * np.pi**2 * ufloat(1.012, step(0.001)) / (mean / 10) ** 2
    assert found.value[0, 0] == pytest.approx(theirs.nominal_value)
    assert found.standard[0, 0] == pytest.approx(theirs.std_dev, rel=1e-5)
    assert found.freedom[0, 0] == pytest.approx(4, rel=0.01)


def test_equal_repeats_keep_the_resolution() -> None:
    """Repeats that all agree are known to the watch's step, which no repetition improves."""
    lines = "t,1,20.10,s\nt,2,20.10,s\nt,3,20.10,s\nL,,1.012,m"
    found = worked_out(rubric_of(SWING), lines, "period")
    assert found.standard[0, 0] == pytest.approx(step(0.01) / 10, rel=1e-5)


def test_missing_reading() -> None:
    """Without a reading there is neither a value nor an uncertainty."""
    found = worked_out("specific-heat-block", BLOCK.replace("\nE,,20400,J", ""), "c")
    assert np.isnan(found.value[0, 0])
    assert np.isnan(found.standard[0, 0])
