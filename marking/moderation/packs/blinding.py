"""What a student wrote, without anything that tells who wrote it.

Entries are copied out cell by cell: file names, cells, benches, codes of the class and ticks stay behind. Students do
sign their answers, though, and name their partners, so words are searched for names and codes too.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence

from msgspec import Struct

from marking.moderation.sampling import ClassMarks
from marking.write_up import Entry, State, WriteUp
from rubrics.model import Item, Rubric

HIDDEN = "[hidden]"
_UNCLEAN = re.compile(r"[\x00-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufffe\uffff]+")
"""Signs that do not come back from a workbook as they went in."""
_LONGEST = 32_000
"""Characters; a spreadsheet cell holds 32,767."""
_SHORTEST_PART = 3
"""Letters of a part of a name that is looked for by itself."""


class Shown(Struct, frozen=True, kw_only=True):
    """One thing that the student wrote down."""

    item: str
    label: str
    """Symbol and quantity, as on the results sheet."""
    row: int | None
    text: str
    """Exactly as written, unit included; names hidden."""


def names_to_hide(classes: Sequence[ClassMarks]) -> tuple[str, ...]:
    """Return every name and code that could tell whose a script is: students, classes, markers; longest first."""
    found: set[str] = set()
    for one in classes:
        found |= {one.class_name, one.marker, *_parts(one.marker)}
        for script in one.marked.scripts:
            student = script.write_up.student
            found |= {student.code, student.name, *_parts(student.name)}
    return tuple(sorted((name for name in found if name.strip()), key=lambda name: (-len(name), name)))


def _parts(name: str) -> Iterator[str]:
    for part in re.split(r"[\s.]+", name):
        if len(part) >= _SHORTEST_PART:
            yield part


def hide(text: str, names: Iterable[str], own: Iterable[str] = ()) -> str:
    """Return *text* with names and codes hidden where they stand as words.

    Args:
        text: What was written.
        names: As from `names_to_hide`; a single word among them is a name only where it has a capital, for some names
            are words of the trade too.
        own: Names of the student, hidden however they are written.
    """
    shown = text
    for name in names:
        is_word = name.isalpha()
        shown = _hidden(shown, name, re.NOFLAG if is_word else re.IGNORECASE)
        if is_word:
            shown = _hidden(shown, name.upper(), re.NOFLAG)
    for name in own:
        shown = _hidden(shown, name, re.IGNORECASE)
    return shown


def _hidden(text: str, name: str, flags: re.RegexFlag) -> str:
    return re.sub(rf"(?<!\w){re.escape(name)}(?!\w)", HIDDEN, text, flags=flags)


def evidence(rubric: Rubric, work: WriteUp, names: Sequence[str]) -> tuple[Shown, ...]:
    """Return everything a student wrote, in the order of the results sheet, blanks left out."""
    student = work.student
    own = tuple(
        sorted(
            {name for name in (student.name, student.code, *_parts(student.name)) if name}, key=lambda name: -len(name)
        )
    )
    return tuple(
        Shown(item=item.name, label=_label(item), row=row, text=_text(entry, names, own))
        for item in rubric.items.values()
        for row, entry in _entries(item, work)
        if entry.state is not State.BLANK
    )


def _label(item: Item) -> str:
    return item.quantity if item.is_words or item.symbol == item.quantity else f"{item.symbol}, {item.quantity}"


def _entries(item: Item, work: WriteUp) -> Iterator[tuple[int | None, Entry]]:
    if item.table is None:
        if item.name in work.singles:
            yield None, work.singles[item.name]
        return
    yield from sorted(work.columns.get(item.name, {}).items())


def _text(entry: Entry, names: Sequence[str], own: Sequence[str]) -> str:
    written = entry.raw if entry.unit_raw and entry.unit_raw in entry.raw else f"{entry.raw} {entry.unit_raw}".strip()
    written = _UNCLEAN.sub(" ", written)[:_LONGEST].strip()
    # A reading of '10 A' is no class; where a number was read there is no room for a name.
    return written if entry.state is State.NUMBER else hide(written, names, own)
