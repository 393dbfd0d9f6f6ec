"""Practicals as a department writes them, in under 60 lines each: sound as they stand, and their slips named."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from marking.checking.marking_set import mark_set
from marking.findings import Cause, Finding, Outcome
from marking.intake.read_inputs import read_inputs
from rubrics.load import read_rubric
from tests.commands.running import run_here

FOLDER = Path(__file__).parent / "own"
MOST_LINES = 60
MELT = {
    "m_w": ("200", "g"),
    "m_i": ("30", "g"),
    "T_1": ("24.0", "°C"),
    "T_2": ("11.0", "°C"),
    "Q_w": ("10868", "J"),
    "Q_m": ("1379", "J"),
    "L": ("316", "kJ/kg"),
}
MOTOR = {
    "m": ("0.200", "kg"),
    "h": ("0.80", "m"),
    "V": ("6.0", "V"),
    "I": ("0.45", "A"),
    "t": ("1.52", "s"),
    "W": ("1.57", "J"),
    "E": ("4.10", "J"),
    "eff": ("38.3", "%"),
}
SLOPE = {"W": ("5.20", "N"), "a": ("32", "°"), "F": ("2.76", "N")}


@pytest.mark.parametrize("file", sorted(FOLDER.glob("*.toml")), ids=lambda file: file.stem)
def test_each_is_short_and_sound(file: Path) -> None:
    """Under 60 lines, without a fault, and its worked example stands."""
    assert len(file.read_text(encoding="utf-8").splitlines()) < MOST_LINES
    assert run_here("rubric-check", str(file)).status == 0


def _finding(tmp_path: Path, name: str, boxes: dict[str, tuple[str, str]], item: str) -> Finding:
    rubric = read_rubric(FOLDER / f"{name}.toml")
    with (tmp_path / "class.csv").open("w", encoding="utf-8", newline="") as opened:
        writer = csv.writer(opened, lineterminator="\n")
        writer.writerow(["student", "bench", "practical", "item", "row", "entry", "unit"])
        writer.writerows(["S1", "", rubric.id, box, "", *written] for box, written in boxes.items())
    (class_set,) = read_inputs([tmp_path / "class.csv"], {rubric.id: rubric})
    (script,) = mark_set(rubric, class_set).scripts
    return next(one for one in script.findings if one.item == item and one.criterion)


@pytest.mark.parametrize(
    ("name", "boxes", "item", "cause", "detail"),
    [
        pytest.param("melted-ice", MELT | {"L": ("362", "kJ/kg")}, "L", Cause.MISSING_FACTOR, "Q_w / m_i", id="melted"),
        pytest.param(
            "melted-ice",
            {box: it for box, it in MELT.items() if box != "Q_m"} | {"L": ("362", "kJ/kg"), "Q_w": ("10.87", "kJ")},
            "L",
            Cause.MISSING_FACTOR,
            "Q_w / m_i",
            id="melted, its box left empty",
        ),
        pytest.param(
            "slope", SLOPE | {"F": ("2.87", "N")}, "F", Cause.UNIT_CONVERSION, "radians for degrees", id="rad"
        ),
        pytest.param(
            "motor",
            MOTOR | {"m": ("200", "g"), "W": ("1570", "J")},
            "W",
            Cause.UNIT_CONVERSION,
            "m: g for kg",
            id="in g",
        ),
    ],
)
def test_its_slip_is_named(
    tmp_path: Path, name: str, boxes: dict[str, tuple[str, str]], item: str, cause: Cause, detail: str
) -> None:
    """A term left out is no unit, and an angle in radians is told as such."""
    found = _finding(tmp_path, name, boxes, item)
    assert found.outcome is Outcome.WITHHELD
    assert found.cause is cause
    assert detail in found.explanations[0].detail


@pytest.mark.parametrize(
    ("name", "boxes", "item"),
    [
        ("melted-ice", MELT, "L"),
        ("slope", SLOPE, "F"),
        ("motor", MOTOR, "eff"),
        ("motor", MOTOR | {"m": ("200", "g")}, "W"),
    ],
    ids=["melted ice", "slope", "motor", "recorded in g"],
)
def test_what_is_right_stands(tmp_path: Path, name: str, boxes: dict[str, tuple[str, str]], item: str) -> None:
    """A mass that was recorded in g is no slip."""
    assert _finding(tmp_path, name, boxes, item).outcome is Outcome.AWARDED
