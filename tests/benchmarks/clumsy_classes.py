"""The sample classes once more, written clumsily: units left out, and slips in answers, by a fixed seed.

Every third number goes without its unit, in the way that a student forgets it: for a whole column or for one box. One
answer in six has a slip in it: a factor of ten, two digits swapped, or twice the value.
"""

from __future__ import annotations

import csv
import random
from collections.abc import Iterable
from pathlib import Path

from marking.write_up import Entry, State, WriteUp
from rubrics.model import Role, Rubric

UNITS_LEFT_OUT = 0.35
SLIPS = 0.16
HEADINGS = ("student", "bench", "practical", "item", "row", "entry", "unit")


def write_clumsily(rubric: Rubric, write_ups: Iterable[WriteUp], file: Path, seed: str) -> None:
    """Write *write_ups* of *rubric* as tidy CSV to *file*, without some of their units and with slips."""
    chance = random.Random(f"{seed} {rubric.id}")
    with file.open("w", encoding="utf-8", newline="") as target:
        writer = csv.writer(target, lineterminator="\n")
        writer.writerow(HEADINGS)
        for one in write_ups:
            columns = {name: {0: entry} for name, entry in one.singles.items()} | dict(one.columns)
            for name, cells in columns.items():
                item = rubric.items.get(name)
                forgotten = chance.random() < UNITS_LEFT_OUT
                for row, entry in cells.items():
                    text, unit = _told(entry, forgotten=forgotten)
                    if item is not None and item.role is Role.ANSWER and entry.state is State.NUMBER:
                        text = _slipped(text, chance)
                    writer.writerow([one.student.code, one.student.bench, rubric.id, name, row or "", text, unit])


def _told(entry: Entry, *, forgotten: bool) -> tuple[str, str]:
    """Return number and unit as written; where the unit is *forgotten*, the number alone."""
    if entry.state is not State.NUMBER or not forgotten:
        return entry.raw, "" if entry.unit_raw and entry.unit_raw in entry.raw else entry.unit_raw
    bare = entry.raw.removesuffix(entry.unit_raw).strip() if entry.unit_raw else entry.raw
    return bare or entry.raw, ""


def _slipped(text: str, chance: random.Random) -> str:
    if chance.random() >= SLIPS:
        return text
    kind = chance.randrange(3)
    digits = [at for at, sign in enumerate(text) if sign.isdigit()]
    if not digits:
        return text
    if kind == 0:  # the point has moved
        return text.replace(".", "", 1) if "." in text else f"{text[: digits[0]]}0.{text[digits[0] :]}"
    swap = [at for at in digits[:-1] if at + 1 in digits and text[at] != text[at + 1]]
    if kind == 1 and swap:
        at = swap[0]
        return text[:at] + text[at + 1] + text[at] + text[at + 2 :]
    first = digits[0]
    return text[:first] + str((int(text[first]) * 2) % 10 or 7) + text[first + 1 :]
