"""Slips that several of a class share: two groups of sheets that are alike once one of them is mended.

Whoever shares a slip bears the others out, so no sheet stands out of its class. But the class falls into two groups,
and what one wrote becomes what the other wrote when a reading is exchanged back or its point is put right. That honest
apparatus should do so is far-fetched; which of the two groups made the slip is another question, and only sense and
physics answer it: limits, signs, what the list of apparatus says, the decimal places of the instrument.
"""

from __future__ import annotations

import warnings
from collections.abc import Mapping, Sequence
from math import lgamma

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from marking.cohort.lesson.beside_class import COLUMN_END, breadth, kernel_widths, sense
from marking.cohort.lesson.features import feature_items, features, signed_answers, signs
from marking.cohort.lesson.point_slips import unusual_places
from marking.cohort.lesson.reading_sets import Readings, Sheet
from marking.cohort.lesson.slips import Slip, SlipKind, mended, slips_of, variants_of
from marking.cohort.lesson.smoothness import smoothness
from rubrics.model import Item, Rubric

Values = NDArray[np.float64]
Group = NDArray[np.bool_]
Key = tuple[SlipKind, tuple[tuple[str, int], ...], str, int]
"""What makes slips of two sheets the same one."""

FEWEST = 1
"""Sheets of a group: one that is the mirror of all others is found that way too."""
FEWEST_SHEETS = 5
"""Fewer show no groups."""
SHARED_FROM = 2.0
"""Logarithm of the odds from which a slip is taken for shared, by as many as there are or by two kinds of part."""
TOLD_ALONE_FROM = 6.0
"""Logarithm of the odds that it is this group and not the other, from which only this one is told: more than what the
list of apparatus says by itself, for a school may have other parts than those listed."""
FEW = 1 / 6
"""Share of a class that is told alone where neither sense nor physics says which group has it wrong."""
WORSE = -1.0
"""Logarithm of the odds that readings make sense: a slip whose mending costs more was none."""
MOST_SHARED = 3
"""Slips that are shared in one class; more have not been met."""
ROUNDS = 4
"""In which sheets choose their group; they seldom change after the second."""
NEARLY_ALL = 0.9
"""Share of the sheets that have to lie together once the slip is put right."""
CLEAR = 4.0
"""The slip moves a reading by so many times what nearly all then span."""
LEAST_APART = 0.05
"""Natural logarithm that sheets may lie apart by luck alone."""
LEAST_SHARE = 0.004
"""Share of what is possible that a reading may lie off another by luck: 5 % of its size, or half a degree."""
CHANGED = 1e-3
"""Natural logarithm by which a slip has to change something before it is compared."""
ANYWHERE = 0.01
"""What may lie anywhere counts, beside a sheet's own kernel at its middle, as much as so many sheets."""


class SharedSlip(Struct, frozen=True, kw_only=True):
    """One slip of several sheets."""

    made: Mapping[int, Slip]
    """Position of a sheet to its slip."""
    or_else: Mapping[int, Slip]
    """The slip of the others if it is they who made it; empty where sense or physics says who did."""
    odds: float
    """Logarithm of the odds that it happened."""


class _Found(Struct, frozen=True, kw_only=True):
    key: Key
    group: Group
    gain: float


def shared_slips(sheets: Sequence[Sheet]) -> tuple[tuple[SharedSlip, ...], tuple[Sheet, ...]]:
    """Return the slips that several of a class share, and the sheets with their readings as they would be without."""
    found: list[SharedSlip] = []
    left = tuple(sheets)
    while len(found) < MOST_SHARED and len(sheets) >= FEWEST_SHEETS:
        one = _clearest(left)
        if one is None:
            break
        found.append(one)
        left = tuple(_without(sheet, one.made.get(at)) for at, sheet in enumerate(left))
    return tuple(found), left


def _without(sheet: Sheet, slip: Slip | None) -> Sheet:
    if slip is None:
        return sheet
    return replace(sheet, readings={**sheet.readings, **mended(sheet, sheet.readings, slip)})


def _clearest(sheets: Sequence[Sheet]) -> SharedSlip | None:
    rubric = sheets[0].rubric
    items = (*feature_items(rubric), *(None for _ in signed_answers(rubric)))
    slips = [{_key(slip): slip for slip in slips_of(sheet) if _is_for_classes(sheet, slip)} for sheet in sheets]
    variants = [
        variants_of(sheet, sheet.readings, list(own.values())) for sheet, own in zip(sheets, slips, strict=True)
    ]
    shown = [np.concatenate((features(rubric, one), signs(rubric, one)), axis=1) for one in variants]
    written = np.stack([one[0] for one in shown])
    place = [{key: number for number, key in enumerate(own, 1)} for own in slips]
    found: list[_Found] = []
    for key in dict.fromkeys(key for own in slips for key in own):
        numbers = [at.get(key, 0) for at in place]
        changed = np.stack([one[at] for one, at in zip(shown, numbers, strict=True)])
        cell = [_cells(rubric, key, one, at) for one, at in zip(variants, numbers, strict=True)]
        possible = np.array([key in own for own in slips])
        own_items = (*items, *(rubric.items[name] for name, _ in _rows_of(rubric, key)))
        group, gain = _mirrored(
            own_items,
            np.concatenate((written, np.stack([one[0] for one in cell])), axis=1),
            np.concatenate((changed, np.stack([one[1] for one in cell])), axis=1),
            possible,
        )
        if gain > SHARED_FROM:
            found.append(_Found(key=key, group=group, gain=gain))
    found.sort(key=lambda one: -one.gain)
    settled = (_settled(sheets, slips, one) for one in found)
    return next((one for one in settled if one is not None), None)


def _rows_of(rubric: Rubric, key: Key) -> list[tuple[str, int]]:
    """Return the cells of tables that are compared by themselves: the one that a slip touches, or the first of all."""
    return [(name, max(row, 1)) for name, row in key[1] if rubric.items[name].table is not None]


def _cells(rubric: Rubric, key: Key, variants: Readings, number: int) -> Values:
    """Return what stands in one row for each reading of a slip, as it stands and without it; shape (2, cells)."""
    rows = _rows_of(rubric, key)
    found = np.full((2, len(rows)), np.nan)
    for place, (name, row) in enumerate(rows):
        if row <= variants[name].shape[1]:
            found[:, place] = rubric.items[name].unit.from_si(variants[name][[0, number], row - 1])
    with np.errstate(all="ignore"):
        size = np.log(np.abs(found))
    return np.where(np.isfinite(size), size, np.nan)


def _settled(sheets: Sequence[Sheet], slips: Sequence[Mapping[Key, Slip]], found: _Found) -> SharedSlip | None:
    """Return who made the slip that two groups differ by: either, where nothing says; None, where neither can have."""
    made = {at: slips[at][found.key] for at in np.flatnonzero(found.group).tolist()}
    turned = _turned(next(iter(made.values())))
    rest = [at for at in range(len(sheets)) if at not in made]
    others = {at: slips[at][turned] for at in rest if turned is not None and turned in slips[at]}
    amiss = _amiss(sheets, made)
    if len(others) < FEWEST:
        return SharedSlip(made=made, or_else={}, odds=found.gain) if amiss > WORSE else None
    others_amiss = _amiss(sheets, others)
    if max(amiss, others_amiss) < WORSE:
        return None
    odds = amiss - others_amiss
    if abs(odds) < TOLD_ALONE_FROM:  # a few beside a whole class that did as it was told are the likelier to have erred
        odds = TOLD_ALONE_FROM * ((len(made) <= FEW * len(sheets)) - (len(others) <= FEW * len(sheets)))
    if abs(odds) < TOLD_ALONE_FROM:
        return SharedSlip(made=made, or_else=others, odds=found.gain)
    return SharedSlip(made=made if odds > 0 else others, or_else={}, odds=found.gain)


def _amiss(sheets: Sequence[Sheet], group: Mapping[int, Slip]) -> float:
    """Return how much more sense the readings of a group make without the slip, on average: a logarithm of odds."""
    gains = []
    for at, slip in group.items():
        sheet = sheets[at]
        variants = variants_of(sheet, sheet.readings, [slip])
        likely = sense(sheet.rubric, variants) + smoothness(sheet.rubric, variants)
        gains.append(likely[1] - likely[0] + unusual_places(sheet, slip))
    return float(np.mean(gains))


def _mirrored(items: Sequence[Item | None], written: Values, changed: Values, possible: Group) -> tuple[Group, float]:
    """Return the sheets that are like the others once changed, and the logarithm of the odds that they were.

    Args:
        items: That the features are of.
        written: Features as written, shape (sheets, features).
        changed: The same without the slip.
        possible: Which sheets can have it, shape (sheets,).
    """
    none = np.zeros(len(written), np.bool_)
    with np.errstate(invalid="ignore"):
        touched = np.asarray((np.abs(changed - written) > CHANGED).any(axis=0))
    if not touched.any():
        return none, -np.inf
    items = [item for item, is_touched in zip(items, touched.tolist(), strict=True) if is_touched]
    written, changed = written[:, touched], changed[:, touched]
    group = _first_guess(items, written, changed) & possible
    for _ in range(ROUNDS):
        many = int(group.sum())
        if many < FEWEST or len(group) - many < FEWEST:
            return none, -np.inf
        as_is, without = _likeness(items, written, changed, group)
        chosen = possible & (without + np.log((many + 0.5) / (len(group) - many + 0.5)) > as_is)
        if (chosen == group).all():
            break
        group = chosen
    many = int(group.sum())
    mirror = _coincidence(items, written, changed, group)
    if mirror <= 0 or len(group) - many < FEWEST:
        return none, -np.inf
    as_is, without = _likeness(items, written, changed, group)
    before, _ = _likeness(items, written, changed, none)
    gain = float(np.where(group, without, as_is).sum() - before.sum())
    return group, gain + mirror - _surprise(many, len(group))


def _coincidence(items: Sequence[Item | None], written: Values, changed: Values, group: Group) -> float:
    """Return minus the logarithm of how rarely two kinds of part are one slip apart; 0 where it shows nothing.

    It shows something only where it moves a reading much farther than nearly all sheets lie apart without it. Parts of
    all sizes can be brought closer together by putting points here and there; that makes no two groups.
    """
    left = np.where(group[:, None], changed, written)
    with np.errstate(all="ignore"), warnings.catch_warnings():
        warnings.simplefilter("ignore", RuntimeWarning)  # a feature that nobody has is not clear
        low, high = (
            np.nanquantile(left, (1 - NEARLY_ALL) / 2, axis=0),
            np.nanquantile(left, (1 + NEARLY_ALL) / 2, axis=0),
        )
        moved = np.nanmedian(np.abs(changed - written)[group], axis=0) if group.any() else np.zeros(low.shape)
    apart = high - low
    is_clear = (moved > CLEAR * np.maximum(apart, LEAST_APART)) & np.array([item is not None for item in items])
    broad = np.array([breadth(item) for item in items])
    return float(np.log(broad / (2 * np.maximum(apart, broad * LEAST_SHARE)))[is_clear].max(initial=0.0))


def _surprise(many: int, of: int) -> float:
    """Return minus the logarithm of how likely it is that just these share a slip, any number being as likely."""
    return lgamma(of + 1) - lgamma(many + 1) - lgamma(of - many + 1) + float(np.log(of + 1))


def _first_guess(items: Sequence[Item | None], written: Values, changed: Values) -> Group:
    """Return the sheets that are nearer, once changed, to the one that most are near to in one way or the other."""
    widths = kernel_widths(items, written)
    same = _kernel(written, written, widths)
    other = _kernel(written, changed, widths)
    same, other = np.log(same).sum(axis=2), np.log(other).sum(axis=2)
    middle = int(np.argmax(np.maximum(same, other).sum(axis=1)))
    return np.asarray(other[middle] > same[middle])


def _kernel(one: Values, other: Values, widths: Values) -> Values:
    """Return how near each sheet is to each, shape (sheets, sheets, features), 1 at its middle and where unknown."""
    apart = (one[:, None, :] - other[None, :, :]) / widths
    return np.asarray((1.0 + np.where(np.isfinite(apart), apart, 0.0) ** 2 / 3.0) ** -2.0)


def _likeness(items: Sequence[Item | None], written: Values, changed: Values, group: Group) -> tuple[Values, Values]:
    """Return how usual each sheet is as it stands and without the slip, beside all others; (sheets,) each."""
    reference = np.where(group[:, None], changed, written)
    widths = kernel_widths(items, reference)
    known = np.isfinite(reference)[None, :, :] & ~np.eye(len(reference), dtype=np.bool_)[:, :, None]
    count = np.maximum(known.sum(axis=1), 1)
    weights = np.array([COLUMN_END if item is not None and item.table is not None else 1.0 for item in items])
    found = []
    for own in (written, changed):
        near = np.where(known, _kernel(own, reference, widths), 0.0).sum(axis=1)
        density = (near / count + ANYWHERE) / widths
        found.append((weights * np.where(np.isfinite(own), np.log(density), 0.0)).sum(axis=1))
    return found[0], found[1]


def _is_for_classes(sheet: Sheet, slip: Slip) -> bool:
    """Tell whether others may show a slip: of two readings exchanged in one row, the other rows know more."""
    return slip.kind is not SlipKind.SWAP or slip.cells[0][1] == 0 or sheet.rubric.items[slip.cells[0][0]].table is None


def _key(slip: Slip) -> Key:
    return slip.kind, slip.cells, slip.unit.symbol if slip.unit is not None else "", slip.move


def _turned(slip: Slip) -> Key | None:
    """Return the key of the slip that the others made if these did not; no unit is another one turned round."""
    return None if slip.unit is not None else (slip.kind, slip.cells, "", -slip.move)
