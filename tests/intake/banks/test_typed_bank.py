"""Every entry of the bank beside this file, read for an answer in the unit that is asked."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from msgspec.structs import replace

from marking.intake.entries import WrittenUnit, read_entry
from marking.intake.grids import Vocabulary
from marking.write_up import Entry, Place, State
from rubrics.load import load_catalogue
from rubrics.model import Item
from rubrics.units import Unit, Verdict, define_unit

_PLACE = Place(file="class.csv", sheet="", cell="F2")
_PURE = ("1", "count")
_BANKS = (
    "typed_open.csv",
    "typed_held.csv",
    "typed_held_second.csv",
    "typed_third.csv",
    "typed_fourth.csv",
    "typed_ours.csv",
)
_JUDGED_OTHERWISE = {
    ("ten", ""): {"fair": "no-unit"},
    ("?", "V"): {"fair": "not-given"},
    ("1.234,5", "g"): {"fair": "read", "value": "1234.5", "unit": "g"},
    ("4k7", ""): {"fair": "ask"},
    ("2.30", "min"): {"fair": "ask"},
    ("-", "V"): {"fair": "blank"},
    ("293 K (20 °C)", ""): {"value": "20", "unit": "°C"},
    ("٣٫٠٠", ""): {"fair": "no-unit", "value": "3.00"},
    ("19300/(1.002*21.5) = 869 J/kg°C", ""): {"fair": "ask"},
}
"""Rows, by text and unit box, on which the banks differ from one another, or from every other entry of the kind.

A number in words is the number, and has no unit as little as in figures. A question mark is not given, as in the other
banks, and a dash is a blank. A full stop before three figures and a comma behind the last of them leave one reading, as
two banks of three say: 1.234,5 is 1234.5. 4k7 is the code on a component to one bank and two numbers to another, 2.30
beside min a decimal or 2 min 30 s: asked about. A result that its own sum contradicts is asked about, whichever slip it
was. Where a temperature stands in kelvin and in °C, the one that is asked for counts. Arabic figures are read, as one
bank says, and what has no unit has none in them either.
"""


def _rows() -> list[dict[str, str]]:
    rows: list[dict[str, str]] = []
    for name in _BANKS:
        with Path(__file__).with_name(name).open(encoding="utf-8", newline="") as file:
            rows += csv.DictReader(file)
    return rows


def _unit(text: str) -> Unit:
    return define_unit("" if text in _PURE else text)


def _item(asked: str) -> Item:
    catalogue = load_catalogue()
    if asked == "count":
        return replace(catalogue["quadrat"].items["plants"], table=None, limits=None)
    answer = catalogue["specific-heat-block"].items["c"]
    return replace(answer, unit=_unit(asked), recorded_in=(_unit(asked),), limits=None)


def _read(row: dict[str, str]) -> Entry:
    rubric, item = load_catalogue()["specific-heat-block"], _item(row["asked_unit"])
    vocabulary = Vocabulary(replace(rubric, items={**rubric.items, item.name: item}))
    return read_entry(row["text"], WrittenUnit(field=row["unit_box"], cell="G2"), item, _PLACE, vocabulary)


def _is_read(entry: Entry, row: dict[str, str]) -> bool:
    unit = entry.unit.unit if entry.unit is not None else None
    if entry.state is not State.NUMBER or entry.value is None or unit is None:
        return False
    wanted = _unit(row["unit"])
    is_same = unit.to_si(entry.value) == pytest.approx(wanted.to_si(float(row["value"])))
    return is_same and unit.dimension == wanted.dimension


def _outcome(entry: Entry, row: dict[str, str]) -> str:
    if entry.state is State.BLANK:
        return "not-given" if entry.is_declined else "blank"
    if _is_read(entry, row) if row["value"] and row["fair"] != "no-unit" else False:
        return row["fair"]
    if entry.state is State.UNREADABLE or entry.unit is None:
        return "ask"
    if entry.unit.verdict is Verdict.MISSING and row["value"] and entry.value == float(row["value"]):
        return "no-unit"
    is_unknown = entry.unit.verdict is Verdict.AMBIGUOUS or entry.unit.unit is None
    return "ask" if is_unknown and entry.unit.verdict is not Verdict.MISSING else "misread"


@pytest.mark.parametrize("row", _rows(), ids=lambda row: f"{row['text']}|{row['unit_box']}|{row['asked_unit']}")
def test_an_entry_is_what_a_fair_teacher_makes_of_it(row: dict[str, str]) -> None:
    """What is clear is read, what has two readings is asked, and what is not given is no blank."""
    row |= _JUDGED_OTHERWISE.get((row["text"], row["unit_box"]), {})
    assert _outcome(_read(row), row) == row["fair"]
