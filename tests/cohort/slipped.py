"""Honest pages with the slips that students make: misread, miscopied, an answer wrong, and now and then many."""

from __future__ import annotations

from collections.abc import Mapping
from random import Random

from msgspec.structs import replace

from marking.write_up import Entry, WriteUp
from rubrics.model import Role
from tests.cohort.answered import answered
from tests.cohort.simulated import rubric_of

SHARES = {"misread": 0.15, "miscopied": 0.08, "answer": 0.25, "formula": 0.05}
"""Share of the pages with each; judged, no source."""
CARELESS = 0.06
"""Share of the pages with three more of the first three; judged, no source."""
LOOK_ALIKE = {"1": "7", "7": "1", "4": "9", "9": "4", "0": "6", "6": "0", "3": "8", "8": "3", "5": "6", "2": "7"}

Cell = tuple[str, int | None]


def slipped(one: WriteUp, chance: Random) -> WriteUp:
    """Return a page with its own answers, and slips in some."""
    kinds = [kind for kind, share in SHARES.items() if chance.random() < share]
    if chance.random() < CARELESS:
        kinds += chance.choices(("misread", "miscopied", "answer"), k=3)
    read = one
    for _ in range(kinds.count("misread")):
        read = _change(read, chance.choice(cells(read, Role.READING)), chance)
    page = answered(read)
    if "formula" in kinds:
        page = _upside_down(page)
    for kind in kinds:
        if kind in ("miscopied", "answer"):
            there = cells(page, Role.READING if kind == "miscopied" else Role.ANSWER)
            page = _change(page, chance.choice(there), chance) if there else page
    return page


def cells(one: WriteUp, role: Role) -> list[Cell]:
    """Return where numbers of that *role* stand."""
    items = rubric_of(one.practical).items
    singles: list[Cell] = [(name, None) for name, entry in one.singles.items() if entry.value is not None]
    rows: list[Cell] = [
        (name, row) for name, column in one.columns.items() for row, entry in column.items() if entry.value is not None
    ]
    return [cell for cell in (*singles, *rows) if items[cell[0]].role is role]


def _change(one: WriteUp, cell: Cell, chance: Random) -> WriteUp:
    name, row = cell
    if row is None:
        return replace(one, singles={**one.singles, name: _wrong(one.singles[name], chance)})
    column = {**one.columns[name], row: _wrong(one.columns[name][row], chance)}
    return replace(one, columns={**one.columns, name: column})


def _wrong(entry: Entry, chance: Random) -> Entry:
    text = entry.raw
    digits = [at for at, sign in enumerate(text) if sign.isdigit()]
    at, kind = chance.choice(digits), chance.random()
    if kind < 0.35:
        text = text[:at] + LOOK_ALIKE[text[at]] + text[at + 1 :]
    elif kind < 0.6 and at + 1 in digits:
        text = text[:at] + text[at + 1] + text[at] + text[at + 2 :]
    elif kind < 0.8:
        text = text[:at] + str((int(text[at]) + chance.choice((1, 9))) % 10) + text[at + 1 :]
    else:
        places = max(0, len(text.partition(".")[2]) + 1)
        text = f"{float(text) * chance.choice((0.1, 2.0, 0.5)):.{places}f}"
    return replace(entry, raw=text, value=float(text), last_place=(-len(text.partition(".")[2]),) * 2)


def _upside_down(one: WriteUp) -> WriteUp:
    """Return a page whose answers in a row are all one divided by what they should be."""
    items = rubric_of(one.practical).items

    def turned(name: str, entry: Entry) -> Entry:
        if items[name].role is not Role.ANSWER or not entry.value:
            return entry
        text = f"{1 / entry.value:.4f}"
        return replace(entry, raw=text, value=float(text), last_place=(-4, -4)) if float(text) else entry

    singles: Mapping[str, Entry] = {name: turned(name, entry) for name, entry in one.singles.items()}
    columns = {
        name: {row: turned(name, entry) for row, entry in column.items()} for name, column in one.columns.items()
    }
    return replace(one, singles=singles, columns=columns)
