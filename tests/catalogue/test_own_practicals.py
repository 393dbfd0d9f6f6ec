"""Practicals as a department writes them, in under 60 lines each: sound as they stand, and their slips named."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from marking.checking.marking_set import mark_set
from marking.findings import Cause, Finding, Outcome
from marking.intake.read_inputs import read_inputs
from rubrics.load import read_rubric
from tests.checking.rows import mark, rubric_of
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
BALL = {
    **{f"d_{number}": (text, "mm") for number, text in enumerate(("3.00", "3.01", "2.99"), start=1)},
    **{f"t_{number}": (text, "s") for number, text in enumerate(("8.45", "8.52", "8.50"), start=1)},
    "m": ("0.11", "g"),
    "x": ("20.0", "cm"),
    "rho_l": ("1.26", "g/cm³"),
    "d": ("3.00", "mm"),
    "t": ("8.49", "s"),
    "V": ("0.0141", "cm³"),
    "rho": ("7.80", "g/cm³"),
    "speed": ("0.0236", "m/s"),
    "eta": ("1.36", "Pa s"),
    "off": ("3.5", "%"),
}
MIX = {
    "m_h": ("150", "g"),
    "m_c": ("100", "g"),
    "T_h": ("70.0", "°C"),
    "T_c": ("20.0", "°C"),
    "T_m": ("48.0", "°C"),
    "Q_h": ("13900", "J"),
    "Q_c": ("11800", "J"),
    "share": ("84.8", "%"),
    "lost": ("75", "J/°C"),
    "T_0": ("50.0", "°C"),
}
TIMES = ((41.0, 40.0, 39.0), (21.0, 20.0, 22.0), (12.0, 11.0, 13.0), (9.0, 9.0, 9.3), (30.0, 31.0, 29.0))
RATES = ("0.0250", "0.0476", "0.0833", "0.110", "0.0333")
SLOPE = {"W": ("5.20", "N"), "a": ("32", "°"), "F": ("2.76", "N")}


@pytest.mark.parametrize("file", sorted(FOLDER.glob("*.toml")), ids=lambda file: file.stem)
def test_each_is_short_and_sound(file: Path) -> None:
    """Under 60 lines, without a fault, and its worked example stands."""
    assert len(file.read_text(encoding="utf-8").splitlines()) < MOST_LINES
    assert run_here("rubric-check", str(file)).status == 0


def test_its_items_are_shown_like_those_of_the_catalogue() -> None:
    """By its file: the item names for a tidy CSV are not to be guessed."""
    shown = run_here("catalogue", str(FOLDER / "spring-oscillation.toml"))
    assert shown.status == 0
    assert all(name in shown.out for name in ("t_1", "T2", "slope(T2, m)"))


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
        pytest.param(
            "falling-ball", BALL | {"eta": ("5.44", "Pa s")}, "eta", Cause.WRONG_QUANTITY, "d**2", id="d for r"
        ),
        pytest.param(
            "falling-ball",
            BALL | {"eta": ("1.62", "Pa s")},
            "eta",
            Cause.WRONG_QUANTITY,
            "g * rho / (9 * speed)",
            id="upthrust",
        ),
        pytest.param(
            "mixing-water", MIX | {"lost": ("43.8", "J/°C")}, "lost", Cause.WRONG_QUANTITY, "/ T_m", id="room"
        ),
        pytest.param(
            "mixing-water", MIX | {"share": ("118", "%")}, "share", Cause.REARRANGEMENT, "Q_h / Q_c", id="inverted"
        ),
        pytest.param(
            "mixing-water",
            MIX | {"Q_h": ("30240", "J")},
            "Q_h",
            Cause.WRONG_QUANTITY,
            "m_h * c * T_m",
            id="temperature for change",
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
        ("falling-ball", BALL, "eta"),
        ("falling-ball", BALL | {"eta": ("1360", "mPa s")}, "off"),
        ("mixing-water", MIX, "lost"),
        ("mixing-water", MIX | {"lost": ("78", "J/°C")}, "lost"),
    ],
    ids=["melted ice", "slope", "motor", "recorded in g", "ball", "in mPa s", "mixing", "the other room temperature"],
)
def test_what_is_right_stands(tmp_path: Path, name: str, boxes: dict[str, tuple[str, str]], item: str) -> None:
    """A mass that was recorded in g is no slip."""
    assert _finding(tmp_path, name, boxes, item).outcome is Outcome.AWARDED


@pytest.mark.parametrize(
    ("change", "codes"),
    [
        ({}, {}),
        ({"order": ("5", "3", "2", "1", "4")}, {"P3": 0}),
        ({"q": ("0.525", "0.571", "0.757", "3.30", "")}, {"P2": 0}),
        ({"middle": "22.4"}, {"F1": 2}),
        ({"spread": "11.4"}, {"F1": 2}),
    ],
    ids=["right", "rank from the fastest", "row below", "mean for median", "population"],
)
def test_rank_median_spread_and_the_row_above(change: dict[str, str | tuple[str, ...]], codes: dict[str, int]) -> None:
    """What biology needs, each by a criterion of its own; a slip in one costs no other."""
    columns = {"rate": RATES, "q": ("", "1.90", "1.75", "1.32", "0.303"), "order": ("1", "3", "4", "5", "2")}
    singles = {"best": "0.110", "middle": "21.0", "spread": "12.8"}
    columns |= {name: told for name, told in change.items() if isinstance(told, tuple)}
    singles |= {name: told for name, told in change.items() if isinstance(told, str)}
    lines = [f"temp,{row},{10 * row}.0,°C" for row in range(1, 6)]
    for row, times in enumerate(TIMES, start=1):
        lines += [f"t_{number},{row},{time},s" for number, time in enumerate(times, start=1)]
        lines += [f"t,{row},{sum(times) / 3:.1f},s", f"rate,{row},{columns['rate'][row - 1]},1/s"]
        lines += [f"{name},{row},{columns[name][row - 1]}," for name in ("q", "order")]
    lines += [f"{name},,{text},{'1/s' if name == 'best' else 's'}" for name, text in singles.items()]
    script = mark(rubric_of((FOLDER / "enzyme-q10.toml").read_text(encoding="utf-8")), "\n".join(lines))
    found = {one.criterion.code: one.marks for one in script.criteria if one.criterion.code in ("P1", "P2", "P3", "F1")}
    assert found == {"P1": 1, "P2": 1, "P3": 1, "F1": 3} | codes
