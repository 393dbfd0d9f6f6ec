"""The quantities of one practical that sound benches find alike, and the instruments that each is worked out from.

Everything here is in natural logarithms: a meter that reads wrong by a steady factor then adds a constant.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.checking.answers import Board, lay_out
from marking.cohort.benches.known_materials import references
from marking.cohort.benches.part_kinds import CLEAR, bench_kinds, bench_means
from marking.cohort.benches.stray_values import without_strays
from marking.cohort.evidence import (
    Partners,
    exponents_of,
    families_of,
    logs_of,
    one_of_each_table,
    partners_of,
    readings_of,
    worked_out,
)
from marking.distributions import median
from marking.findings import MarkedSet
from marking.write_up import WriteUp
from rubrics.model import Item, Role, Rubric
from rubrics.units import define_unit

Values = NDArray[np.float64]
Places = NDArray[np.int64]

Trials = Mapping[str, Sequence[WriteUp]]
"""What the technician found before the lesson: practical to what was written down at each bench, with the bench named
as that of its student. Readings, or answers where these were measured themselves."""

STATES = ("°C", "s", "J", "W", "A", "V", "N")
"""Units of quantities that a group chooses (a time, a p.d.) or that follow from its choice. They are no property of the
apparatus, so that comparing them between benches would put the blame on the wrong instrument."""
WIDEST_ANSWER = 0.05
"""Answers that differ more than this between benches are no common quantity of the class."""
WIDEST_READING = 0.03
"""The same for a reading: what stands on every bench, such as a block of one kilogram."""
MOST_TIED = 0.3
"""Readings that this share of benches have exactly alike were set, or copied off a label, not measured."""
SMALLEST_SPREAD = 0.002
"""No school bench repeats another more closely than this, whatever a few of them seem to show."""
ORDINARY = 0.01
"""Usual relative difference between sound benches: meters and parts are sold to 1 % (common practice, no source)."""
ORDINARY_OF_MATERIAL = 0.009
"""The same where the material fixes what is measured, so that only meters and groups differ; judged, no source."""
BAND_IN_DEVIATIONS = 14.0
"""A loss that differs from bench to bench, such as heat through the lagging, puts all results on one side; the band
that careful results fall in is then this many standard deviations of one class wide."""
MAY_BE_OFF = 0.2
"""Share of the benches that is left out when the spread of the others is found; some of them may be off."""
OF_THE_NEAREST = 0.662
"""Standard deviation of the nearest 80 % of normal values over that of all."""
NARROWEST_GAP = 0.10
"""Room between kinds of parts, natural logarithm: steps of 20 % less what parts differ by."""


class Quantities(Struct, frozen=True, kw_only=True):
    """The common quantities of one practical, for every group of a class."""

    rubric: Rubric
    partners: tuple[Partners, ...]
    """One a group; the technician's trials come last and have no students."""
    names: tuple[str, ...]
    logs: Values
    """Shape (groups, quantities); NaN where there is no value, or one of no bench's kind (a slip)."""
    references: Values
    """What *logs* are beside, shape (groups, quantities): the accepted value of a group's own material, else 0."""
    benches: tuple[str, ...]
    bench_of: Places
    """Position in *benches*, one a group."""
    means: Values
    """Mean of each bench's groups, shape (benches, quantities)."""
    kinds: Places
    """Shape (benches, quantities): benches with parts of one kind share a number; -1 where there is no value."""
    spread: Values
    """Standard deviation between benches of one kind, without those farthest off."""
    exponents: Mapping[str, Values]
    """Instrument to the power that each quantity follows it with."""
    ordinary: Values
    """What sound benches usually differ by in each quantity, as a standard deviation."""
    families: Places
    """Quantities that are worked out from the same readings share a number."""
    known: NDArray[np.bool_]
    """Quantities that nature or the material fixes, so that what sound benches differ by is known the better."""
    lossy: NDArray[np.bool_]
    """Quantities in which sound benches differ by a loss, such as heat through the lagging."""
    beside_trials: bool
    """The logarithms are of ratios to the technician's trial at the same bench."""


class _Column(Struct, frozen=True, kw_only=True):
    name: str
    logs: Values
    beside: Values
    kinds: Places
    spread: float


def quantities_of(marked: MarkedSet, trials: Trials | None = None) -> Quantities | None:
    """Return what the groups of a class can be compared by, a trial being one more group; None for nothing."""
    return _found(marked, (trials or {}).get(marked.rubric.id, ()), beside_trials=False)


def quantities_beside_trials(marked: MarkedSet, trials: Trials) -> Quantities | None:
    """Return the same beside the technician's trial at each bench; None where there is none."""
    own = trials.get(marked.rubric.id, ())
    return _found(marked, own, beside_trials=True) if own else None


def _found(marked: MarkedSet, trials: Sequence[WriteUp], *, beside_trials: bool) -> Quantities | None:
    partners = one_of_each_table(marked.rubric, [one for one in partners_of(marked) if one.bench])
    if not partners:
        return None
    partners += tuple(Partners(bench=one.student.bench, students=(), write_up=one) for one in trials)
    rubric = marked.rubric
    board = lay_out(rubric, [one.write_up for one in partners])
    readings = readings_of(board)
    benches = tuple(dict.fromkeys(one.bench for one in partners))
    bench_of = np.array([benches.index(one.bench) for one in partners], np.int64)
    is_trial = np.array([not one.students for one in partners])
    plain = _with_given(board, worked_out(rubric, readings), is_trial)
    columns = _columns(board, plain, bench_of, len(benches), is_trial, beside_trials=beside_trials)
    kept = [one for one in columns if _is_common(rubric.items[one.name], one, bench_of)]
    names = {one.name for one in kept}
    kept = [one for one in kept if not _repeats(rubric, one.name, names)]
    if not kept:
        return None
    return Quantities(
        rubric=rubric,
        partners=partners,
        names=tuple(one.name for one in kept),
        logs=np.column_stack([one.logs for one in kept]),
        references=np.column_stack([one.beside for one in kept]),
        benches=benches,
        bench_of=bench_of,
        means=np.column_stack([bench_means(one.logs, bench_of, len(benches)) for one in kept]),
        kinds=np.column_stack([one.kinds for one in kept]),
        spread=np.array([one.spread for one in kept]),
        exponents=exponents_of(board, readings, [one.name for one in kept]),
        ordinary=np.array([_ordinary(rubric, one.name) for one in kept]),
        families=families_of(rubric, [one.name for one in kept]),
        known=np.array([_is_fixed(rubric, one.name) for one in kept]),
        lossy=np.array([_is_lossy(rubric, one.name) for one in kept]),
        beside_trials=beside_trials,
    )


def _with_given(board: Board, values: dict[str, Values], is_trial: NDArray[np.bool_]) -> dict[str, Values]:
    """Return *values* with the answers that a technician gave in place of what would follow from readings."""
    found = dict(values)
    for item in board.rubric.singles:
        if item.role is Role.READING or item.name not in board.cells:
            continue
        own = board.cells[item.name].si
        given = is_trial[:, None] & np.isfinite(own)
        if given.any():
            found[item.name] = np.where(given, own, found.get(item.name, np.full(own.shape, np.nan)))
    return found


def _is_lossy(rubric: Rubric, name: str) -> bool:
    """Tell whether the rubric's band for careful results lies on one side of nature's value."""
    result = rubric.result
    if result is None or result.answer != name or result.expected is None:
        return False
    low, high = result.expected
    return not low < 0 < high


def _is_fixed(rubric: Rubric, name: str) -> bool:
    """Tell whether there is an accepted value of what is measured: a density, but not the stiffness of a spring."""
    result = rubric.result
    return result is not None and result.answer == name and bool(result.accepted)


def _ordinary(rubric: Rubric, name: str) -> float:
    """Return what sound benches usually differ by; more where they differ by a loss."""
    result = rubric.result
    if result is None or result.expected is None or not _is_lossy(rubric, name):
        return ORDINARY_OF_MATERIAL if _is_fixed(rubric, name) else ORDINARY
    low, high = result.expected
    return max(ORDINARY, (high - low) / BAND_IN_DEVIATIONS)


def _columns(
    board: Board,
    plain: Mapping[str, Values],
    bench_of: Places,
    benches: int,
    is_trial: NDArray[np.bool_],
    *,
    beside_trials: bool,
) -> list[_Column]:
    """Return every single item that may be a property of the apparatus; ratios to the trials if asked for."""
    selected = _selected(board)
    states = {define_unit(symbol).dimension for symbol in STATES}
    columns = []
    for item in board.rubric.singles:
        if item.name not in plain or item.is_words or item.unit.dimension in states:
            continue
        logs = logs_of(plain, item.name, len(bench_of))
        beside = np.zeros(logs.shape) if beside_trials else _references(board.rubric, item, logs, bench_of)
        logs = logs - beside
        if beside_trials:
            tried = bench_means(np.where(is_trial, logs, np.nan), bench_of, benches)
            logs = np.where(is_trial, np.nan, logs - tried[bench_of])
        kept, kinds = _settled(logs, bench_of, benches, selected)
        centres, ordinary = _centres(kept, bench_of, kinds), _ordinary(board.rubric, item.name)
        kept = without_strays(kept, bench_of, centres, ordinary, is_trial)
        spread = _spread(bench_means(kept, bench_of, benches), kinds)
        columns.append(_Column(name=item.name, logs=kept, beside=beside, kinds=kinds, spread=spread))
    return columns


def _references(rubric: Rubric, item: Item, logs: Values, bench_of: Places) -> Values:
    """Return the accepted value that each group's result belongs to, natural logarithm, else 0."""
    result = rubric.result
    if result is None or result.answer != item.name or len(result.accepted) < 2:
        return np.zeros(logs.shape)
    accepted = np.array([item.unit.change_to_si(one.value) for one in result.accepted])
    return references(logs, bench_of, np.log(accepted[accepted > 0]))


def _selected(board: Board) -> list[str]:
    """Return what each group says it tested, where the practical has several components."""
    selector = board.rubric.selector
    entries = [one.singles.get(selector) if selector else None for one in board.write_ups]
    return ["" if entry is None else entry.raw.strip().casefold() for entry in entries]


def _settled(logs: Values, bench_of: Places, benches: int, selected: Sequence[str]) -> tuple[Values, Places]:
    """Return a column without values of another kind than its bench's, and the kind of each bench."""
    kinds = np.full(benches, -1, np.int64)
    kept = np.full(logs.shape, np.nan)
    for word in dict.fromkeys(selected):
        mine = np.array([one == word for one in selected])
        found, own = bench_kinds(np.where(mine, logs, np.nan), bench_of, benches)
        # A bench that tested several things is taken by the first of them.
        taken = (found >= 0) & (kinds < 0)
        kinds = np.where(taken, found + kinds.max(initial=-1) + 1, kinds)
        kept = np.where(taken[bench_of] & np.isfinite(own), own, kept)
    return kept, kinds


def _centres(logs: Values, bench_of: Places, kinds: Places) -> Values:
    """Return the middle of each group's kind of bench, groups counting alike."""
    own = kinds[bench_of]
    found = np.full(logs.shape, np.nan)
    for kind in set(own[own >= 0].tolist()):
        mine = (own == kind) & np.isfinite(logs)
        if mine.any():
            found[own == kind] = median(logs[mine])
    return found


def _spread(means: Values, kinds: Places) -> float:
    """Return the standard deviation between benches with parts of one kind, leaving out those that differ most."""
    distances = []
    fitted = 0
    for kind in range(int(kinds.max(initial=-1)) + 1):
        mine = means[(kinds == kind) & np.isfinite(means)]
        if mine.size:
            distances.append(np.abs(mine - median(mine)))
            fitted += 1
    together = np.sort(np.concatenate(distances)) if distances else np.empty(0)
    left_out = int(MAY_BE_OFF * together.size)
    kept = together[: together.size - left_out]
    degrees = kept.size - fitted
    if degrees <= 0:
        return np.inf
    # What is left out lies farthest: without it the others look more alike than they are.
    nearest = OF_THE_NEAREST if left_out else 1.0
    return max(float(np.sqrt((kept**2).sum() / degrees)) / nearest, SMALLEST_SPREAD)


def _is_common(item: Item, column: _Column, bench_of: Places) -> bool:
    several = len({int(kind) for kind in column.kinds if kind >= 0}) > 1
    if item.role is Role.READING:
        tied = _tied_share(column.logs, bench_of)
        return not several and column.spread <= WIDEST_READING and tied <= MOST_TIED
    if several:
        # Values all over the place fall into kinds by chance, but not into narrow and well-filled ones.
        return column.spread <= NARROWEST_GAP / CLEAR and _well_filled(column.kinds)
    return column.spread <= WIDEST_ANSWER


def _well_filled(kinds: Places) -> bool:
    known = kinds[kinds >= 0]
    alone = sum((known == kind).sum() == 1 for kind in set(known.tolist()))
    return bool(alone <= MAY_BE_OFF * known.size)


def _tied_share(logs: Values, bench_of: Places) -> float:
    """Return how many pairs of groups at different benches have exactly the same value."""
    present = np.isfinite(logs)
    values, benches = logs[present], bench_of[present]
    apart = benches[:, None] != benches[None, :]
    same = np.abs(values[:, None] - values[None, :]) < 1e-9
    return float((same & apart).sum() / max(int(apart.sum()), 1))


def _repeats(rubric: Rubric, name: str, kept: set[str]) -> bool:
    """Tell whether a quantity follows from others that are kept already, so that it is no evidence of its own."""
    formula = rubric.items[name].formula
    return formula is not None and all(other in kept or other in rubric.constants for other in formula.names)
