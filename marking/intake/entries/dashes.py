"""Dashes in a column that counts things: a nought where the row was used, nothing where it was not."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec.structs import replace

from marking.intake.entries.piles import SINGLE, Slot
from marking.intake.grids import fold, is_count
from marking.intake.remarks import Notebook
from marking.write_up import Entry, State, Weight
from rubrics.model import Item

DASHES = frozenset({"-", "–", "—"})
"""In a count they may say that there was none, or that there was no such row."""


def settle_dashes(
    entries: Mapping[Slot, Entry], items: Mapping[str, Item], student: str, notebook: Notebook
) -> dict[Slot, Entry]:
    """Return *entries* with the dashes of rows that were never used taken as not given.

    A dash counts as nought where something else was written in its row. Where the table has no other column in use,
    it does so only above a row with a count: lines of dashes at the end are lines that were left over,
    and the student's teacher is told so.
    """
    dashes = {slot for slot, entry in entries.items() if slot[1] != SINGLE and is_dash(entry, items[slot[0]])}
    if not dashes:
        return dict(entries)
    written = {
        slot
        for slot, entry in entries.items()
        if slot not in dashes and slot[1] != SINGLE and entry.state is not State.BLANK
    }
    used = {row for _, row in written}
    columns = {name for name, _ in written} | {name for name, _ in dashes}
    last = max(used, default=SINGLE) if len(columns) == 1 else SINGLE
    unused = sorted((slot for slot in dashes if slot[1] not in used and slot[1] >= last), key=lambda slot: slot[::-1])
    if unused:
        cells = ", ".join(entries[slot].place.cell for slot in unused)
        said = f"dashes taken as rows that were not used: {cells}"
        mend = "Where a row was used and nothing found, type 0"
        place = entries[unused[0]].place
        notebook.tell(Weight.NOTE, said, mend, place=place, student=student, kind="dashes")
    return {**entries, **{slot: _not_given(entries[slot]) for slot in unused}}


def is_dash(entry: Entry, item: Item) -> bool:
    """Tell whether a cell of a column holds a dash that was read as a nought."""
    is_nought = entry.state is State.NUMBER and not entry.value
    return is_nought and is_count(item) and fold(entry.raw) in DASHES


def _not_given(entry: Entry) -> Entry:
    return replace(entry, state=State.BLANK, value=None, last_place=None, unit=None, notes=())
