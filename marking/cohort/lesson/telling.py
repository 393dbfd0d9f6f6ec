"""The lesson check: what makes no sense on each sheet of a class, with the likeliest slip, by bench.

A slip is told where the readings without it are far likelier than as they stand: beside the rest of the class,
the limits of the apparatus, the other rows of the table and the decimal places of the instrument together.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from marking.checking.answers import entries_of
from marking.class_notes import ClassNote, NoteKind
from marking.cohort.lesson.beside_class import is_beyond, likeness
from marking.cohort.lesson.features import Reference, reference_of
from marking.cohort.lesson.gaps import gaps_of
from marking.cohort.lesson.groups import SharedSlip, shared_slips
from marking.cohort.lesson.lesson_words import beyond_words, gap_words, group_words, sign_words, slip_words
from marking.cohort.lesson.lost_signs import lost_signs
from marking.cohort.lesson.point_slips import Places, beside, places_of, witness
from marking.cohort.lesson.reading_sets import Readings, Sheet, is_reading, numbers_of, sheets_of
from marking.cohort.lesson.slips import Slip, factor_of, mended, slips_of, variants_of
from marking.cohort.lesson.smoothness import smoothness
from marking.write_up import Entry, State, WriteUp
from rubrics.model import Item, Rubric

TOLD_FROM = 2.0
"""Logarithm of the odds from which a slip is told; with fewer, a sound sheet would too often be queried."""
MOST_SLIPS = 3
"""Slips looked for on one sheet; with more, the page is read with the student anyway."""
LOOKS = 2
"""The second look is at the class without what the first one found."""
SMALLEST_CHANCE = 1e-3
"""Of some thousands of simulated sound write-ups hardly one was queried; a smaller chance has not been measured."""


class Told(Struct, frozen=True, kw_only=True):
    """A slip that is told, with what is known of it."""

    slip: Slip
    odds: float
    """Logarithm of the odds that it happened."""
    factor: float | None
    """The number as written over the one meant."""


def awaits_answers(rubric: Rubric, write_ups: Sequence[WriteUp]) -> bool:
    """Tell whether readings have been handed in and nobody has given an answer yet: the lesson is still on."""
    entries = [(i, e) for item in rubric.items.values() for one in write_ups for i, e in _entries(item, one)]
    given = [item for item, entry in entries if entry.state is not State.BLANK]
    return bool(given) and all(is_reading(item) for item in given)


def _entries(item: Item, write_up: WriteUp) -> Iterator[tuple[Item, Entry]]:
    yield from ((item, entry) for _, entry in entries_of(item, write_up))


def lesson_notes(rubric: Rubric, write_ups: Sequence[WriteUp]) -> tuple[ClassNote, ...]:
    """Return what to mend while the apparatus is still out, bench by bench; empty where all is in order.

    Only readings are looked at, whether or not answers are there.
    """
    sheets = sheets_of(rubric, write_ups)
    if not sheets:
        return ()
    places = places_of(sheets)
    shared, left = shared_slips(sheets)
    mended_sheets = left
    # Two students with the same slip hide each other, until what the first look finds is out of the way.
    for _ in range(LOOKS):
        reference = reference_of(rubric, mended_sheets)
        looked = [_look(sheet, reference.without(at), places) for at, sheet in enumerate(left)]
        if not any(told for told, _ in looked):
            break
        mended_sheets = tuple(replace(sheet, readings=base) for sheet, (_, base) in zip(left, looked, strict=True))
    notes = [note for one in shared for note in _shared_notes(sheets, one)]
    for sheet, (told, base) in zip(left, looked, strict=True):
        gaps = gaps_of(sheet, sheets)
        notes += (_note(sheet, gap_words(gap), (gap.item.name,) if gap.item else ()) for gap in gaps)
        notes += (_slip_note(sheet, one) for one in told)
        notes += _beyond_notes(sheet, base)
    for sheet, items in lost_signs(sheets):
        notes.append(_note(sheet, sign_words(items), tuple(item.name for item in items)))
    return tuple(sorted(notes, key=lambda note: _in_order(note.bench)))


def _shared_notes(sheets: Sequence[Sheet], shared: SharedSlip) -> Iterator[ClassNote]:
    """Yield a note on each sheet with a slip that several share; one on both groups where nothing says who made it."""
    if not shared.or_else:
        for at, slip in shared.made.items():
            factor = factor_of(sheets[at], sheets[at].readings, slip)
            yield _slip_note(sheets[at], Told(slip=slip, odds=shared.odds, factor=factor))
        return
    groups = [[sheets[at] for at in group] for group in (shared.made, shared.or_else)]
    slip = next(iter(shared.made.values()))
    yield ClassNote(
        kind=NoteKind.LESSON,
        practical=sheets[0].rubric.id,
        message=group_words(groups[0], groups[1], slip),
        students=tuple(code for group in groups for sheet in group for code in sheet.students),
        items=tuple(dict.fromkeys(name for name, _ in slip.cells)),
        chance=chance_of(shared.odds),
    )


def _look(sheet: Sheet, others: Reference, places: Places) -> tuple[list[Told], Readings]:
    """Return the slips of one sheet, the likeliest first, and its readings without them."""
    told: list[Told] = []
    base: Readings = sheet.readings
    while len(told) < MOST_SLIPS:
        found = likeliest_slip(sheet, others, places, base)
        if found is None:
            break
        slip, odds = found
        told.append(Told(slip=slip, odds=odds, factor=factor_of(sheet, base, slip)))
        base = {**base, **mended(sheet, base, slip)}
    return told, base


def _slip_note(sheet: Sheet, told: Told) -> ClassNote:
    return _note(
        sheet,
        slip_words(sheet, told.slip),
        tuple(dict.fromkeys(name for name, _ in told.slip.cells)),
        factor=told.factor,
        chance=chance_of(told.odds),
    )


def chance_of(odds: float) -> float:
    """Return how likely it is that nothing happened, from the logarithm of the odds that it did."""
    return max(float(1.0 / (1.0 + np.exp(min(odds, 50.0)))), SMALLEST_CHANCE)


def _beyond_notes(sheet: Sheet, base: Readings) -> Iterator[ClassNote]:
    for item in numbers_of(sheet.rubric):
        beyond = np.flatnonzero(is_beyond(item, base[item.name][0]))
        if beyond.size:
            yield _note(sheet, beyond_words(sheet, item, int(beyond[0]) + 1), (item.name,))


def likeliest_slip(sheet: Sheet, others: Reference, places: Places, base: Readings) -> tuple[Slip, float] | None:
    """Return the slip that explains a sheet best, with the logarithm of its odds; None where it is well as it stands.

    Args:
        sheet: The sheet.
        others: What the rest of the class shows.
        places: Decimal places of the class's readings.
        base: The sheet's readings, earlier slips mended.
    """
    slips = slips_of(sheet)
    if not slips:
        return None
    variants = variants_of(sheet, base, slips)
    with np.errstate(all="ignore"):
        usual = likeness(sheet, others, variants) + smoothness(sheet.rubric, variants)
    counts = beside(sheet, places)
    odds = usual[1:] - usual[0] + np.array([slip.prior + np.log(witness(sheet, slip, counts)) for slip in slips])
    best = int(np.argmax(odds))
    return (slips[best], float(odds[best])) if odds[best] > TOLD_FROM else None


def _note(
    sheet: Sheet, message: str, items: tuple[str, ...], *, factor: float | None = None, chance: float | None = None
) -> ClassNote:
    return ClassNote(
        kind=NoteKind.LESSON,
        practical=sheet.rubric.id,
        message=message,
        bench=sheet.bench,
        students=sheet.students,
        items=items,
        direction="" if factor is None or factor <= 0 else "high" if factor > 1 else "low",
        factor=factor,
        chance=chance,
    )


def _in_order(bench: str) -> tuple[tuple[int, str], ...]:
    """Return a key that puts bench 2 before bench 10."""
    return tuple((int(part), "") if part.isdigit() else (0, part) for part in re.findall(r"\d+|\D+", bench))
