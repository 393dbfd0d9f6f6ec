"""How far each bench is off, supposing that one instrument is to blame.

For each bench the ratio of its results to those of sound benches is taken, one ratio for every quantity that the
instrument enters, and averaged: quantities that are known better, or that follow the instrument more strongly,
count for more. The average is told as the quantity that follows the instrument most closely shows it: a density
that comes out 5 % too high, whether from the balance or, by its cube, from the calipers.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.cohort.benches.bench_quantities import Quantities
from marking.cohort.benches.careless_readings import without_careless

Values = NDArray[np.float64]

ORDINARY_BENCHES = 8.0
"""How many benches' worth of evidence the usual figure counts for beside the class's own."""

OF_THE_METER = 0.5
"""Share of the variance between sound benches that is the meter's, and so in all that is read with it; the rest is each
part's own, and averages out over several. Judged, no source."""


class Beforehand(Struct, frozen=True, kw_only=True):
    """What is known of sound benches before any class has measured."""

    ordinary: float
    """What they usually differ by, as a variance."""
    is_known: bool
    """Nature or the material fixes what is measured."""
    is_lossy: bool
    """They differ by a loss, above all."""


class Measured(Struct, frozen=True, kw_only=True):
    """The factors of one contrast, in natural logarithms; arrays of shape (benches,), NaN where there is none."""

    factors: Values
    scatter: float
    """Variance between the groups of one bench, as all benches show it; 0 where none has two."""
    scatter_degrees: int
    """Degrees of freedom of that scatter."""
    shares: Values
    """Variance of each factor that comes of its bench's few groups, in units of *scatter*."""
    measurements: Values
    """Measurements behind each factor that rest on no reading in common: groups times families of quantities."""
    companions: Values
    """Sound benches of the same kind, the bench itself not counted."""
    kinds: int
    """Middles that were fitted."""
    usual: float
    """Variance between sound benches, as the class and what is usual have it."""
    beforehand: Beforehand
    without_farthest: Values
    """Each factor without the group that is farthest to its side; the factor itself where a bench has one group."""


class Contrast(Struct, frozen=True, kw_only=True):
    """How far off every bench is, supposing that one instrument alone is to blame."""

    instrument: str
    parts: tuple[Quantities, ...]
    """The practicals it is taken from; of two, only the benches that did both count."""
    benches: tuple[str, ...]

    def powers(self, part: Quantities) -> Values:
        """Return the power of each quantity of *part* in the one that follows the instrument most closely."""
        everything = np.concatenate([one.exponents[self.instrument] for one in self.parts])
        leading = everything[int(np.argmax(np.abs(everything)))]
        return np.asarray(part.exponents[self.instrument] / leading)

    @property
    def is_known(self) -> bool:
        """Tell whether nature or the material fixes all that is compared."""
        return all(bool(part.known[self.powers(part) != 0].all()) for part in self.parts)

    def measured(self, sound: frozenset[str]) -> Measured:
        """Return the ratio of every bench to the mean of the *sound* benches that have parts of the same kind."""
        each = [_in_order(_measured_in(part, self.powers(part), sound), part, self.benches) for part in self.parts]
        return each[0] if len(each) == 1 else _together(each)


def contrast(instrument: str, parts: Sequence[Quantities]) -> Contrast:
    """Return the contrast of *instrument* in those practicals, over the benches that can be compared in all."""
    comparable = [_comparable(part, instrument) for part in parts]
    benches = tuple(bench for bench in parts[0].benches if all(bench in one for one in comparable))
    return Contrast(instrument=instrument, parts=tuple(parts), benches=benches)


def _comparable(part: Quantities, instrument: str) -> frozenset[str]:
    """Return the benches with a value that follows *instrument*, and another bench of the same kind."""
    used = np.flatnonzero(part.exponents[instrument])
    kinds = part.kinds[:, used]
    company = (kinds[:, None, :] == kinds[None, :, :]).sum(axis=1)
    known = ((kinds >= 0) & (company > 1)).any(axis=1)
    return frozenset(bench for bench, has in zip(part.benches, known, strict=True) if has)


def _together(each: Sequence[Measured]) -> Measured:
    weights = np.array([1.0 / one.usual for one in each])
    weights /= weights.sum()

    def blend(values: Sequence[Values], by: Values) -> Values:
        return np.asarray(np.tensordot(by, np.stack(values), 1))

    scatters = weights**2 * [one.scatter for one in each]
    scatter = float(scatters.sum())
    return Measured(
        factors=blend([one.factors for one in each], weights),
        scatter=scatter,
        scatter_degrees=min(one.scatter_degrees for one in each),
        shares=blend([one.shares for one in each], scatters / scatter if scatter else weights),
        measurements=np.sum([one.measurements for one in each], axis=0),
        companions=np.min([one.companions for one in each], axis=0),
        kinds=max(one.kinds for one in each),
        usual=float((weights**2) @ [one.usual for one in each]),
        beforehand=Beforehand(
            ordinary=float(weights @ [one.beforehand.ordinary for one in each]),
            is_known=all(one.beforehand.is_known for one in each),
            is_lossy=all(one.beforehand.is_lossy for one in each),
        ),
        without_farthest=blend([one.without_farthest for one in each], weights),
    )


def _in_order(measured: Measured, part: Quantities, benches: Sequence[str]) -> Measured:
    places = [part.benches.index(bench) for bench in benches]
    return Measured(
        factors=measured.factors[places],
        scatter=measured.scatter,
        scatter_degrees=measured.scatter_degrees,
        shares=measured.shares[places],
        measurements=measured.measurements[places],
        companions=measured.companions[places],
        kinds=measured.kinds,
        usual=measured.usual,
        beforehand=measured.beforehand,
        without_farthest=measured.without_farthest[places],
    )


def _measured_in(part: Quantities, exponents: Values, sound: frozenset[str]) -> Measured:
    used = np.flatnonzero(exponents)
    is_sound = np.array([bench in sound for bench in part.benches])
    middles = _middles(part.means[:, used], part.kinds[:, used], is_sound)
    variances = _usual(
        part.means[is_sound][:, used] - middles[is_sound], part.kinds[is_sound][:, used], part.ordinary[used]
    )
    weights = exponents[used] / variances
    residuals = without_careless(part.logs[:, used] - middles[part.bench_of], exponents[used], part.bench_of)
    present = np.isfinite(residuals)
    total = np.where(present, weights * exponents[used], 0.0).sum(axis=1)
    with np.errstate(all="ignore"):
        values = np.where(present, residuals * weights, 0.0).sum(axis=1) / np.where(total > 0, total, np.nan)
    main = part.kinds[:, used[int(np.argmin(variances))]]
    shares = weights * exponents[used]
    families = part.families[used]
    different = sorted(set(families.tolist()))  # numpy's own way loads masked arrays, 6 ms, for a handful of numbers
    several = OF_THE_METER + (1.0 - OF_THE_METER) / len(different)
    beforehand = Beforehand(
        ordinary=float(several * (shares @ part.ordinary[used] ** 2) / shares.sum()),
        is_known=bool(part.known[used].all()),
        is_lossy=bool(part.lossy[used].all()),
    )
    apart = np.stack([present[:, families == one].any(axis=1) for one in different]).sum(axis=0)
    return _by_bench(part, values, apart.astype(np.float64), main, is_sound, beforehand)


def beside_sound(part: Quantities, sound: frozenset[str]) -> tuple[Values, Values]:
    """Return each bench's ratios to the sound benches of its kind, and the variance of each ratio between those."""
    is_sound = np.array([bench in sound for bench in part.benches])
    residuals = part.means - _middles(part.means, part.kinds, is_sound)
    return residuals, _usual(residuals[is_sound], part.kinds[is_sound], part.ordinary)


def _middles(means: Values, kinds: NDArray[np.int64], is_sound: NDArray[np.bool_]) -> Values:
    """Return the mean of the sound benches of each bench's kind, all benches counting alike."""
    usable = np.where(is_sound[:, None] & np.isfinite(means), means, 0.0)
    counts = (is_sound[:, None] & np.isfinite(means)).astype(np.float64)
    same = (kinds[:, None, :] == kinds[None, :, :]) & (kinds >= 0)[:, None, :]
    totals, sizes = np.einsum("abq,bq->aq", same, usable), np.einsum("abq,bq->aq", same, counts)
    with np.errstate(all="ignore"):
        return np.where(sizes > 0, totals / sizes, np.nan)


def _usual(residuals: Values, kinds: NDArray[np.int64], ordinary: Values) -> Values:
    """Return each quantity's variance between sound benches, averaged with the variance that is usual in schools."""
    present = np.isfinite(residuals)
    fitted = np.array([len({int(kind) for kind in column if kind >= 0}) for column in kinds.T])
    degrees = np.maximum(present.sum(axis=0) - fitted, 0)
    squares = np.where(present, residuals, 0.0) ** 2
    return np.asarray((ORDINARY_BENCHES * ordinary**2 + squares.sum(axis=0)) / (ORDINARY_BENCHES + degrees))


def _by_bench(
    part: Quantities,
    values: Values,
    measurements: Values,
    kinds: NDArray[np.int64],
    is_sound: NDArray[np.bool_],
    beforehand: Beforehand,
) -> Measured:
    count = len(part.benches)
    present = np.isfinite(values)
    where = part.bench_of[present]
    groups = np.bincount(where, minlength=count).astype(np.float64)
    with np.errstate(all="ignore"):
        factors = np.bincount(where, weights=values[present], minlength=count) / np.where(groups > 0, groups, np.nan)
    squares = (values[present] - factors[where]) ** 2
    degrees = int(np.maximum(groups - 1, 0).sum())
    scatter = float(squares.sum()) / degrees if degrees else 0.0
    farthest = np.zeros(count)
    side = np.sign(factors[where])
    np.maximum.at(farthest, where, side * values[present])
    with np.errstate(all="ignore"):
        rest = np.where(groups > 1, (groups * factors - np.sign(factors) * farthest) / (groups - 1), factors)
    same = (kinds[:, None] == kinds[None, :]) & (kinds >= 0)[:, None] & is_sound[None, :]
    np.fill_diagonal(same, val=False)
    chosen = factors[is_sound & np.isfinite(factors)]
    return Measured(
        factors=factors,
        scatter=scatter,
        scatter_degrees=degrees,
        shares=np.where(groups > 0, 1.0 / np.maximum(groups, 1), np.nan),
        measurements=np.bincount(where, weights=measurements[present], minlength=count).astype(np.float64),
        companions=same.sum(axis=1).astype(np.float64),
        kinds=len({int(kind) for kind in kinds[is_sound] if kind >= 0}),
        beforehand=beforehand,
        usual=(ORDINARY_BENCHES * beforehand.ordinary + float((chosen**2).sum())) / (ORDINARY_BENCHES + chosen.size),
        without_farthest=rest,
    )
