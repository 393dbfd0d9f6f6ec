"""Every spelling of the two tables beside this file, each with the verdict that marking gives it."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from rubrics.units.definition import define_unit
from rubrics.units.read_unit import read_unit
from rubrics.units.unit_record import Unit

_CHANGE = "change of "


def _rows(name: str) -> list[dict[str, str]]:
    with Path(__file__).with_name(name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


def _wanted(text: str) -> Unit:
    if text.startswith(_CHANGE):
        return define_unit(text.removeprefix(_CHANGE)).as_change()
    return define_unit(text)


def _scale(unit: Unit) -> tuple[object, ...]:
    # A unit apart from its symbol: g/ml and g/cm³ are one.
    return (pytest.approx(unit.factor), unit.dimension, unit.offset)


_GENERAL = _rows("unit_spellings.csv")
_SCHOOL = _rows("school_spellings.csv")


@pytest.mark.parametrize("row", _GENERAL, ids=[f"{row['quantity']}<-{row['typed']}" for row in _GENERAL])
def test_general_spellings(row: dict[str, str]) -> None:
    """A spelling gets the verdict of the table, and is understood as the unit that stands beside it."""
    reading = read_unit(row["typed"], _wanted(row["quantity"]))
    assert reading.verdict.value == row["verdict"]
    assert reading.typed == row["typed"]
    if row["canonical"]:
        assert reading.unit is not None
        assert (reading.unit.factor, reading.unit.dimension, reading.unit.offset) == _scale(
            define_unit(row["canonical"])
        )
    else:
        assert reading.unit is None


@pytest.mark.parametrize("row", _SCHOOL, ids=[f"{row['wanted']}<-{row['typed']}" for row in _SCHOOL])
def test_school_spellings(row: dict[str, str]) -> None:
    """A spelling met in write-ups gets its verdict, and its unit comes back in our own spelling."""
    reading = read_unit(row["typed"], _wanted(row["wanted"]))
    symbol = "" if reading.unit is None else reading.unit.symbol or "none"
    assert (reading.verdict.value, symbol) == (row["verdict"], row["unit"])


@pytest.mark.parametrize("row", _GENERAL + _SCHOOL, ids=lambda row: row["typed"])
def test_a_note_is_there_whenever_something_is_to_be_said(row: dict[str, str]) -> None:
    """Only a spelling that is accepted as it stands, or a blank, comes without a note."""
    reading = read_unit(row["typed"], _wanted(row.get("wanted") or row["quantity"]))
    assert bool(reading.note) == (reading.verdict.value not in ("accept", "missing"))
