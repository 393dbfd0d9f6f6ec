"""What the teacher is told of single entries: what was written, what it was taken for, how to mend it."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from marking.intake.entries.entry_units import OTHER_SCALE
from marking.intake.entries.piles import SINGLE, Slot
from marking.intake.grids import STORED
from marking.intake.remarks import Notebook, quote
from marking.write_up import Entry, State, Weight
from rubrics.model import Item, Role
from rubrics.patterns import late_pattern
from rubrics.units import Verdict

_LEAVE_IT = "Correct the cell, or leave it and the answer goes to you"
_REASON = late_pattern(r"\(([^()]*)\)$")
_FIGURES_AND_QUOTES = late_pattern(r'\d[\d.]*|"[^"]*"')
_MOST_PLACES = 12


def tell_entry(entry: Entry, student: str, item: Item, notebook: Notebook) -> None:
    """Tell what was done to an entry, or why it cannot be used; nothing where all is plain."""
    if not entry.notes or entry.state is State.BLANK or notebook.is_quiet_about(entry.place):
        return
    if entry.state is State.UNREADABLE:
        said = f"{quote(entry.raw)} cannot be used ({'; '.join(entry.notes)})"
        notebook.tell(Weight.QUERY, said, _LEAVE_IT, place=entry.place, student=student, item=item.name)
        return
    notes = "; ".join(entry.notes)
    said = f"{quote(entry.raw)} {notes}" if notes.startswith("read as") else f"{quote(entry.raw)}: {notes}"
    if _has_unclear_unit(entry):
        notebook.tell(
            Weight.QUERY, said, "Ask which unit was meant", place=entry.place, student=student, item=item.name
        )
        return
    kind = _kind_of(entry.notes)
    notebook.tell(Weight.NOTE, said, _mend(entry), place=entry.place, student=student, item=item.name, kind=kind)


def tell_blanks(entries: Mapping[Slot, Entry], items: Mapping[str, Item], student: str, notebook: Notebook) -> None:
    """Tell, once for a student, what was left without a value where something like a dash says so.

    A reading that is not given is for the teacher, for what should follow from it cannot be worked out. A
    whole line of dashes in a table is a line that was not needed.

    Args:
        entries: Item and row to entry, in the order in which they were read.
        items: The practical's items by name.
        student: The student's code.
        notebook: Where it is told.
    """
    used = {row for (_, row), entry in entries.items() if row == SINGLE or entry.state is not State.BLANK}
    blanks = {slot: entry for slot, entry in entries.items() if entry.state is State.BLANK and slot[1] in used}
    marked = {slot: entry for slot, entry in blanks.items() if entry.raw.strip()}
    if not marked:
        return
    rows = {row for _, row in marked}
    listed = ", ".join(
        f"{name} ({entry.place.cell}, {quote(entry.raw) if entry.raw.strip() else 'empty'})"
        for (name, row), entry in blanks.items()
        if row in rows
    )
    said = f"taken as not given: {listed}"
    is_reading = any(items[name].role is Role.READING and not items[name].is_words for name, _ in marked)
    weight = Weight.QUERY if is_reading else Weight.NOTE
    notebook.tell(weight, said, place=next(iter(marked.values())).place, student=student, kind="not given")


def _has_unclear_unit(entry: Entry) -> bool:
    reading = entry.unit
    if reading is None:
        return False
    return reading.verdict is Verdict.AMBIGUOUS or (reading.verdict is Verdict.WRONG and reading.unit is None)


def _kind_of(notes: Sequence[str]) -> str:
    # Notes alike but for their figures are of one kind: 'read as 20.5 (decimal comma)' and its like.
    reasons = [_REASON.search(note) for note in notes]
    return "; ".join(
        reason[1] if reason else re.sub(r'\d[\d.]*|"[^"]*"', "…", note)
        for reason, note in zip(reasons, notes, strict=True)
    )


def _mend(entry: Entry) -> str:
    # What would have been read without a remark, as far as one cell can show it.
    last = entry.notes[-1]
    if last.endswith(OTHER_SCALE):
        return "To avoid this, keep to the unit of the column"
    if entry.value is None or entry.last_place is None or last.startswith(STORED):
        return ""
    places = max(0, -entry.last_place[0])
    # A fraction has no last place of its own; twelve figures are as good as all.
    plain = f"{entry.value:.{places}f}" if places <= _MOST_PLACES else f"{entry.value:.12g}"
    return "" if plain == entry.raw.strip() else f"To avoid this, type {plain}"
