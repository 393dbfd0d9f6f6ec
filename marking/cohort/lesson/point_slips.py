"""Decimal places as a witness: a point that was moved also moves the number of places that are shown."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence

from marking.checking.answers import entries_of
from marking.cohort.lesson.reading_sets import Sheet, numbers_of
from marking.cohort.lesson.slips import Slip, SlipKind
from marking.write_up import Entry, State

Places = Mapping[tuple[str, str], Counter[int]]
"""(instrument, unit as understood) to how many readings show so many decimal places."""

SMOOTHING = 0.5
"""Readings that are added to each number of places, so that what nobody shows is rare and not impossible."""
USUAL_PLACES = 4
"""Numbers of places that are met with one instrument."""
SAME_PLACES = 0.5
"""Share of moved points that are written with the places that the reading would have had anyway."""
OTHER_PLACES = 1.0
"""Logarithm of how rarely an instrument shows other places than the rubric's; schools have finer and coarser ones."""
OWN_WEIGHT = 3
"""A student's other readings of an instrument count so many times as much as those of other sheets."""


def places_of(sheets: Sequence[Sheet]) -> Places:
    """Return the decimal places of a class's readings, instrument by instrument."""
    found: dict[tuple[str, str], Counter[int]] = {}
    for sheet in sheets:
        for item in numbers_of(sheet.rubric):
            for _, entry in entries_of(item, sheet.write_up):
                places = _places(entry)
                if places is not None:
                    found.setdefault(_key(sheet, item.name), Counter())[places] += 1
    return found


def beside(sheet: Sheet, places: Places) -> Places:
    """Return the places of a class as they count beside one sheet: the student's own count for more."""
    counts = {key: Counter(found) for key, found in places.items()}
    for key, own in places_of([sheet]).items():
        for shown, times in own.items():
            counts[key][shown] += (OWN_WEIGHT - 1) * times
    return counts


def witness(sheet: Sheet, slip: Slip, counts: Places) -> float:
    """Return how much likelier (as a factor) the places of a reading are after a slip than without; 1 if they are mute.

    A point that was moved shows as many places more or fewer; a number of another unit shows that unit's places.

    Args:
        sheet: The sheet.
        slip: What may have happened.
        counts: From :func:`beside`.
    """
    if slip.kind is SlipKind.SWAP or len(slip.cells) > 1:
        return 1.0
    ((name, row),) = slip.cells
    entry = sheet.entry(name, max(row, 1))
    shown = None if entry is None else _places(entry)
    if shown is None or (slip.unit is not None and row == 0):
        return 1.0
    key = _key(sheet, name)
    # The reading itself is no witness.
    usual = counts[key] - Counter({shown: OWN_WEIGHT})
    if slip.unit is not None:
        return _share(counts.get((key[0], slip.unit.symbol), Counter()), shown) / _share(usual, shown)
    moved = _share(usual, shown + slip.move) / _share(usual, shown)
    return SAME_PLACES + (1 - SAME_PLACES) * moved


def unusual_places(sheet: Sheet, slip: Slip) -> float:
    """Return how much better the places of the readings fit the rubric's instruments without a slip, a logarithm."""
    if slip.unit is not None:
        return 0.0
    if slip.kind is not SlipKind.SWAP:
        return sum(_amiss(sheet, cell, cell, 0) - _amiss(sheet, cell, cell, slip.move) for cell in slip.cells)
    pairs = list(zip(slip.cells[::2], slip.cells[1::2], strict=True))
    pairs += [(other, one) for one, other in pairs]
    total = sum(_amiss(sheet, one, one, 0) - _amiss(sheet, one, other, 0) for one, other in pairs)
    return total / (len(pairs) / 2)


def _amiss(sheet: Sheet, written: tuple[str, int], meant: tuple[str, int], move: int) -> float:
    """Return what it costs that a number written in one place, its point put right, was read for another."""
    item = sheet.rubric.items[meant[0]]
    first = next((entry for _, entry in entries_of(sheet.rubric.items[written[0]], sheet.write_up)), None)
    entry = sheet.entry(written[0], written[1]) if written[1] else first
    shown = None if entry is None else _places(entry)
    if shown is None or item.resolution is None or sheet.unit(meant[0], max(meant[1], 1)).symbol != item.unit.symbol:
        return 0.0
    usual = max(0, -math.floor(math.log10(item.resolution) + 1e-9))
    return OTHER_PLACES if shown + move != usual else 0.0


def _share(counts: Counter[int], shown: int) -> float:
    return (max(counts[shown], 0) + SMOOTHING) / (sum(counts.values()) + SMOOTHING * USUAL_PLACES)


def _key(sheet: Sheet, name: str) -> tuple[str, str]:
    item = sheet.rubric.items[name]
    return item.instrument or item.name, sheet.unit(name).symbol


def _places(entry: Entry) -> int | None:
    if entry.state is not State.NUMBER or entry.last_place is None or entry.zeros_unknown or entry.value == 0:
        return None
    return max(0, -entry.last_place[0])
