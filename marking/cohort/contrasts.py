"""How far each bench is off, if one instrument is to blame: all that follows that instrument, weighed together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from marking.cohort.quantities import Quantities

Values = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Contrast:
    """One instrument's factor at every bench, in natural logarithms, if it alone were off."""

    instrument: str
    parts: tuple[Quantities, ...]
    """The practicals it is taken from; two of them count only benches that did both."""

    @property
    def benches(self) -> tuple[str, ...]:
        """Return the benches with a value, in the order of the first practical."""
        known = [_with_value(part, self.instrument) for part in self.parts]
        return tuple(bench for bench in self.parts[0].benches if all(bench in one for one in known))

    def measured(self, sound: frozenset[str]) -> Measured:
        """Return the factor of every bench beside the middle of the *sound* ones of its kind."""
        each = [_measured_in(part, self.instrument, sound) for part in self.parts]
        if len(each) == 1:
            return each[0].of(self.benches)
        chosen = [one.of(self.benches) for one in each]
        weights = np.array([1.0 / one.usual_variance for one in chosen])
        weights /= weights.sum()
        return Measured(
            benches=self.benches,
            factors=np.tensordot(weights, np.stack([one.factors for one in chosen]), 1),
            sampling=np.tensordot(weights**2, np.stack([one.sampling for one in chosen]), 1),
            sampling_degrees=min(one.sampling_degrees for one in chosen),
            groups=np.sum([one.groups for one in chosen], axis=0),
            companions=np.min([one.companions for one in chosen], axis=0),
            kinds=max(one.kinds for one in chosen),
            usual_variance=float((weights**2) @ [one.usual_variance for one in chosen]),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """The factors of one contrast; arrays of shape (benches,)."""

    benches: tuple[str, ...]
    factors: Values
    """Natural logarithms."""
    sampling: Values
    """Variance from the scatter of a bench's own groups."""
    sampling_degrees: int
    """Degrees of freedom of that scatter; 0 where no bench has two groups."""
    groups: Values
    """Independent measurements behind each factor."""
    companions: Values
    """Sound benches of the same kind beside the bench itself."""
    kinds: int
    """Middles that were fitted."""
    usual_variance: float
    """Between benches, robust."""

    def of(self, benches: Sequence[str]) -> Measured:
        """Return the same for some of the benches, in the order asked for."""
        places = [self.benches.index(bench) for bench in benches]
        return Measured(
            benches=tuple(benches),
            factors=self.factors[places],
            sampling=self.sampling[places],
            sampling_degrees=self.sampling_degrees,
            groups=self.groups[places],
            companions=self.companions[places],
            kinds=self.kinds,
            usual_variance=self.usual_variance,
        )


def _with_value(part: Quantities, instrument: str) -> frozenset[str]:
    """Return the benches that have a value of something that follows *instrument*, and another bench of their kind."""
    used = np.flatnonzero(part.exponents[instrument])
    found = set()
    for place, bench in enumerate(part.benches):
        for quantity in used:
            kind = part.kinds[place, quantity]
            if kind >= 0 and (part.kinds[:, quantity] == kind).sum() > 1:
                found.add(bench)
    return frozenset(found)


def _measured_in(part: Quantities, instrument: str, sound: frozenset[str]) -> Measured:
    exponents = part.exponents[instrument]
    used = np.flatnonzero(exponents)
    weights = exponents[used] / part.spread[used] ** 2
    residuals = np.column_stack([_beside_kind(part, quantity, sound) for quantity in used])
    present = np.isfinite(residuals)
    total = np.where(present, weights * exponents[used], 0.0).sum(axis=1)
    with np.errstate(all="ignore"):
        values = np.where(present, residuals * weights, 0.0).sum(axis=1) / np.where(total > 0, total, np.nan)
    return _by_bench(part, values, present.sum(axis=1), used)


def _beside_kind(part: Quantities, quantity: int, sound: frozenset[str]) -> Values:
    """Return each group's value less the mean of the sound benches of its kind, their benches counting alike."""
    logs = part.logs[:, quantity]
    middles = np.full(len(part.benches), np.nan)
    means = np.array([_mean(logs[part.bench_of == place]) for place in range(len(part.benches))])
    is_sound = np.array([bench in sound for bench in part.benches])
    for kind in range(int(part.kinds[:, quantity].max(initial=-1)) + 1):
        mine = part.kinds[:, quantity] == kind
        others = means[mine & is_sound & np.isfinite(means)]
        if others.size:
            middles[mine] = others.mean()
    return np.asarray(logs - middles[part.bench_of])


def _mean(values: Values) -> float:
    present = values[np.isfinite(values)]
    return float(present.mean()) if present.size else np.nan


def _by_bench(part: Quantities, values: Values, measurements: NDArray[np.int64], used: NDArray[np.int64]) -> Measured:
    count = len(part.benches)
    factors, groups, independent = np.full(count, np.nan), np.zeros(count), np.zeros(count)
    squares, degrees = 0.0, 0
    for place in range(count):
        mine = (part.bench_of == place) & np.isfinite(values)
        if not mine.any():
            continue
        factors[place] = values[mine].mean()
        groups[place] = mine.sum()
        independent[place] = measurements[mine].sum()
        squares += float(((values[mine] - factors[place]) ** 2).sum())
        degrees += int(mine.sum()) - 1
    scatter = squares / degrees if degrees else 0.0
    main = used[int(np.argmin(part.spread[used]))]
    kinds = part.kinds[:, main]
    sizes = np.array([(kinds == kind).sum() if kind >= 0 else 0 for kind in kinds], np.float64)
    return Measured(
        benches=part.benches,
        factors=factors,
        sampling=np.where(groups > 0, scatter / np.maximum(groups, 1), np.nan),
        sampling_degrees=degrees,
        groups=independent,
        companions=np.maximum(sizes - 1, 0),
        kinds=len({int(kind) for kind in kinds if kind >= 0}),
        usual_variance=_robust_variance(factors),
    )


def _robust_variance(factors: Values) -> float:
    present = factors[np.isfinite(factors)]
    if present.size < 2:
        return np.inf
    return float((1.4826 * np.median(np.abs(present - np.median(present)))) ** 2) + 1e-8
