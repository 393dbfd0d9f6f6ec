"""Uncertainty of readings and results, after JCGM 100:2008, and in the simpler form that schools use.

``UncertainValue`` carries a standard uncertainty. The school's form is a plus-or-minus: half the range of
the repeats or half a division, percentages added along a product. Which of the two is asked for is the
rubric's level to say; both work through the formula's own derivatives, so a new practical needs nothing here.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from marking.checking.answers import evaluate
from rubrics.formulas import Formula

COVERAGE = 0.95
"""Share of results that an expanded uncertainty is to hold."""
SMALL_STEP = 1e-3
"""Share of an uncertainty by which an input is moved to take a derivative: far into the straight part, and
far above binary noise."""


@dataclass(frozen=True, slots=True, kw_only=True)
class UncertainValue:
    """A value, how far it may be off, and how well that is known."""

    value: float
    uncertainty: float
    """Standard uncertainty, in the unit of the value."""
    freedom: float = math.inf
    """Degrees of freedom behind the uncertainty; infinite where it is not from a few repeats."""

    @property
    def percentage(self) -> float:
        """Return the uncertainty in per cent of the value; infinite for a value of zero."""
        return math.inf if self.value == 0 else abs(100.0 * self.uncertainty / self.value)

    def expanded(self, coverage: float = COVERAGE) -> float:
        """Return the half-width that holds the true value with probability *coverage* (JCGM 100, G.3 and G.4)."""
        return coverage_factor(self.freedom, coverage) * self.uncertainty


def coverage_factor(freedom: float, coverage: float = COVERAGE) -> float:
    """Return Student's t for *coverage*; degrees of freedom are cut to a whole number (JCGM 100, G.4.1)."""
    from scipy.special import ndtri, stdtrit

    upper = 0.5 + coverage / 2.0
    # A whole number that binary arithmetic has missed from below is still that number.
    return float(ndtri(upper)) if math.isinf(freedom) else float(stdtrit(max(1, math.floor(freedom + 1e-9)), upper))


def rectangular(half_width: float) -> float:
    """Return the standard uncertainty of a value that lies anywhere within ± *half_width* (JCGM 100, 4.3.7)."""
    return half_width / math.sqrt(3.0)


def triangular(half_width: float) -> float:
    """Return that of a value that lies within ± *half_width*, and likeliest in the middle (JCGM 100, 4.3.9)."""
    return half_width / math.sqrt(6.0)


def of_resolution(step: float) -> float:
    """Return the standard uncertainty that an instrument's smallest step leaves (JCGM 100, F.2.2.1)."""
    return rectangular(step / 2.0)


def of_repeats(values: Sequence[float], step: float = 0.0) -> UncertainValue:
    """Return the mean of repeats with its standard uncertainty (JCGM 100, 4.2.3).

    Args:
        values: Two repeats or more.
        step: The instrument's smallest step; repeats that all agree are no better known than it allows.

    Raises:
        ValueError: Fewer than two repeats.
    """
    if len(values) < 2:
        raise ValueError("one reading has no scatter: give two repeats or more")
    scatter = float(np.std(values, ddof=1)) / math.sqrt(len(values))
    resolution = of_resolution(step)
    return UncertainValue(
        value=float(np.mean(values)),
        uncertainty=math.hypot(scatter, resolution),
        freedom=effective_freedom([(scatter, len(values) - 1.0), (resolution, math.inf)]),
    )


def effective_freedom(parts: Sequence[tuple[float, float]]) -> float:
    """Return the degrees of freedom of a sum of (uncertainty, degrees of freedom): Welch and Satterthwaite, G.4.1."""
    total = sum(part**2 for part, _ in parts) ** 2
    rest = sum(part**4 / freedom for part, freedom in parts)
    return math.inf if rest == 0 else total / rest


def combined(
    formula: Formula,
    inputs: Mapping[str, UncertainValue],
    correlations: Mapping[tuple[str, str], float] | None = None,
) -> UncertainValue:
    """Return what *formula* comes to, with the uncertainties of its inputs combined (JCGM 100, 5.1.2 and 5.2.2).

    Args:
        formula: Of single values; names and pi only.
        inputs: Each name of the formula, in one system of units.
        correlations: (name, name) to correlation coefficient; pairs left out are independent.
    """
    parts = _contributions(formula, {name: (x.value, x.uncertainty) for name, x in inputs.items()})
    variance = sum(part**2 for part in parts.values())
    for first, second in itertools.combinations(parts, 2):
        known = correlations or {}
        together = known.get((first, second), known.get((second, first), 0.0))
        variance += 2.0 * together * parts[first] * parts[second]
    return UncertainValue(
        value=_value(formula, {name: x.value for name, x in inputs.items()}),
        uncertainty=math.sqrt(max(variance, 0.0)),
        freedom=effective_freedom([(part, inputs[name].freedom) for name, part in parts.items()]),
    )


def correlation(first: Sequence[float], second: Sequence[float]) -> float:
    """Return the correlation of two quantities read at the same times, and of their means (JCGM 100, 5.2.3)."""
    return float(np.corrcoef(first, second)[0, 1])


def half_range(values: Sequence[float]) -> float:
    """Return the school's plus-or-minus of repeats: half of highest minus lowest."""
    return (max(values) - min(values)) / 2.0


def half_division(step: float) -> float:
    """Return the school's plus-or-minus of one reading: half of the smallest division."""
    return step / 2.0


def plus_or_minus(values: Sequence[float], step: float) -> float:
    """Return the school's plus-or-minus of a quantity: half the range, and never less than half a division."""
    return max(half_range(values), half_division(step))


def added(formula: Formula, inputs: Mapping[str, tuple[float, float]]) -> tuple[float, float]:
    """Return what *formula* comes to and its plus-or-minus, by the rule of the school.

    Percentages of factors are added, a power counts as often as it says, and plus-or-minus of terms are
    added: to first order all three are the sum of the sizes of the partial changes.

    Args:
        formula: Of single values.
        inputs: Name to (value, plus-or-minus).
    """
    parts = _contributions(formula, inputs)
    value = _value(formula, {name: one for name, (one, _) in inputs.items()})
    return value, sum(abs(part) for part in parts.values())


def percentage(value: float, plus_minus: float) -> float:
    """Return *plus_minus* in per cent of *value*; infinite for a value of zero."""
    return math.inf if value == 0 else abs(100.0 * plus_minus / value)


def _contributions(formula: Formula, inputs: Mapping[str, tuple[float, float]]) -> dict[str, float]:
    """Return each input's partial derivative times its uncertainty, with its sign."""
    middle = {name: value for name, (value, _) in inputs.items()}
    found = {}
    for name, (value, uncertainty) in inputs.items():
        step = SMALL_STEP * uncertainty
        above, below = _value(formula, middle | {name: value + step}), _value(formula, middle | {name: value - step})
        found[name] = (above - below) / (2.0 * SMALL_STEP)
    return found


def _value(formula: Formula, inputs: Mapping[str, float]) -> float:
    return float(evaluate(formula.tree, {name: np.full((1, 1), value) for name, value in inputs.items()})[0, 0])
