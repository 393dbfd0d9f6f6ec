"""How readings get onto the sheet: with units, with the figures of the instrument, and with what a tired hand drops."""

from __future__ import annotations

from collections.abc import Mapping
from random import Random

from samples.answers import Numbers
from samples.mistakes import SHARE_PLACES_DROPPED
from samples.recording import DIODE_CURRENT, READING_WAYS, SAME_WAY, Way, Written, choose, write_reading
from samples.sheet import WriteUp, rows_of

SHARE_UNIT_ONCE = 0.3
"""Of students, who write the unit of a column in its first row only."""
MISREAD = 1.4
"""What stands in an odd row, for one that fits."""


def choose_ways(practical: str, kind: str, chance: Random) -> dict[str, Way]:
    """Return how this student writes each reading: one instrument, one unit."""
    chosen: dict[str, Way] = {}
    for item, ways in READING_WAYS[practical].items():
        alike = next((chosen[other] for group in SAME_WAY if item in group for other in group if other in chosen), None)
        offered = DIODE_CURRENT if kind == "diode" and item == "I" else ways
        chosen[item] = alike or choose(offered, chance)
    return chosen


def write_single(work: WriteUp, item: str, value: float, way: Way) -> None:
    """Write one reading down; what comes later goes on with the figure on the paper."""
    text = write_reading(value, way)
    work.cells[item] = (text, work.chance.choice(way.spellings))
    work.numbers.noted[item] = float(text)
    work.numbers.value[item] = float(text) / way.factor


def write_column(work: WriteUp, item: str, values: tuple[float, ...], way: Way, odd_row: int) -> None:
    """Write a column down; the reading of *odd_row* (0: none) does not fit the rest."""
    unit = work.chance.choice(way.spellings)
    unit_once = work.chance.random() < SHARE_UNIT_ONCE
    cells: dict[int, Written] = {}
    for row, value in enumerate(values, 1):
        text = write_reading(value * (MISREAD if row == odd_row else 1.0), way)
        cells[row] = (text, "" if unit_once and row > 1 else unit)
        numbers = work.rows.setdefault(row, Numbers())
        numbers.noted[item] = float(text)
        numbers.value[item] = float(text) / way.factor
    work.cells[item] = cells


def drop_places(work: WriteUp, ways: Mapping[str, Way]) -> None:
    """Leave the last zero of one reading out, as a tired hand does, where others of the instrument keep theirs."""
    if work.chance.random() >= SHARE_PLACES_DROPPED:
        return
    groups = [sorted(group & ways.keys()) for group in SAME_WAY] + [
        [i] for i in ways if isinstance(work.cells[i], dict)
    ]
    found = []
    for group in groups:
        texts = {(item, row): text for item in group for row, (text, _) in rows_of(work.cells[item]).items()}
        zeros = [slot for slot, text in texts.items() if "." in text and text.endswith("0") and float(text)]
        if zeros and len(zeros) < len(texts):
            found += zeros
    if found:
        item, row = work.chance.choice(found)
        cell = work.cells[item]
        text, unit = rows_of(cell)[row]
        short = (text[:-1].rstrip("."), unit)
        if isinstance(cell, dict):
            cell[row] = short
        else:
            work.cells[item] = short
        work.plant(item, "places", "significant-figures", f"{short[0]} for {text}", row or None)


def lose_minus(work: WriteUp) -> None:
    """Leave the signs of the currents out, after the resistances have been worked out with them."""
    cell = rows_of(work.cells["I"])
    work.cells["I"] = {row: (text.removeprefix("-"), unit) for row, (text, unit) in cell.items()}
    for row, (text, _) in cell.items():
        if text.startswith("-"):
            work.plant("R", "value", "sign", "the current lost its minus", row)
