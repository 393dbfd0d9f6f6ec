"""Chances of the usual distributions, one number at a time: Student's t, F, the incomplete gamma function; medians.

The library that has them all takes as long to load as a class to mark, and as much memory again. What is needed here
are two functions that every table of chances rests on, the incomplete beta and gamma functions, worked out as the
Digital Library of Mathematical Functions gives them (https://dlmf.nist.gov: 8.9, 8.11, 8.17). Tests hold each of
them against that library.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Callable
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

_TINY = 1e-300
_CLOSE = 1e-16
"""Relative size of a term that changes nothing any more."""
_MOST_TERMS = 20_000
"""Far more than any practical needs: the number grows with the root of the degrees of freedom."""


def median(values: ArrayLike) -> float:
    """Return the middle of all *values*, of any shape; NaN where one of them is NaN, or there is none.

    The same number as ``numpy.median``, which takes six times as long for a class and loads masked arrays beside it.
    """
    listed = np.ravel(values).tolist()
    return float(statistics.median(listed)) if listed and not any(map(math.isnan, listed)) else math.nan


def beta_share(a: float, b: float, x: float) -> float:
    """Return the regularised incomplete beta function I_x(a, b), 0 to 1 (DLMF 8.17.22).

    Args:
        a: Above 0.
        b: Above 0.
        x: 0 to 1.
    """
    if not 0.0 < x < 1.0:
        return math.nan if math.isnan(x) else float(x >= 1.0)
    if x > (a + 1.0) / (a + b + 2.0):  # where the fraction converges fast
        return 1.0 - beta_share(b, a, 1.0 - x)
    front = math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b) + a * math.log(x) + b * math.log1p(-x)

    def step(n: int) -> float:
        half = n // 2
        if n % 2:
            return -(a + half) * (a + b + half) * x / ((a + n - 1) * (a + n))
        return half * (b - half) * x / ((a + n - 1) * (a + n))

    return math.exp(front) / (a * _fraction(step))


def _fraction(step: Callable[[int], float]) -> float:
    """Return 1 + step(1) / (1 + step(2) / (1 + ...)), by the method of Lentz (DLMF 3.10(iii))."""
    value = upper = 1.0
    lower = 0.0
    for n in range(1, _MOST_TERMS):
        term = step(n)
        lower = 1.0 / ((1.0 + term * lower) or _TINY)
        upper = (1.0 + term / upper) or _TINY
        value *= upper * lower
        if abs(upper * lower - 1.0) < _CLOSE:
            break
    return value


def gamma_share(a: float, x: float) -> float:
    """Return the regularised incomplete gamma function P(a, x), 0 to 1 (DLMF 8.11.4; 8.9.2 for large *x*).

    The chance that a sum of 2a squares of standard normal values is below 2x: chi-squared with 2a degrees of freedom.
    """
    return 1.0 - gamma_rest(a, x) if x > a + 1.0 else _gamma_series(a, x)


def gamma_rest(a: float, x: float) -> float:
    """Return Q(a, x) = 1 - P(a, x), right in the far tail too."""
    if x <= a + 1.0:
        return 1.0 - _gamma_series(a, x)
    if math.isinf(x):
        return 0.0

    value = lower = 1.0 / (x + 1.0 - a)
    upper = 1.0 / _TINY
    for n in range(1, _MOST_TERMS):
        term, base = -n * (n - a), x + 2.0 * n + 1.0 - a
        lower = 1.0 / ((base + term * lower) or _TINY)
        upper = (base + term / upper) or _TINY
        value *= upper * lower
        if abs(upper * lower - 1.0) < _CLOSE:
            break
    return math.exp(-x + a * math.log(x) - math.lgamma(a)) * value


def _gamma_series(a: float, x: float) -> float:
    if not x > 0.0:
        return math.nan if math.isnan(x) else 0.0
    term = total = 1.0 / a
    for n in range(1, _MOST_TERMS):
        term *= x / (a + n)
        total += term
        if term < total * _CLOSE:
            break
    return math.exp(-x + a * math.log(x) - math.lgamma(a)) * total


def t_below(freedom: float, t: float) -> float:
    """Return the chance that Student's t with *freedom* degrees of freedom lies below *t*."""
    if math.isnan(t) or not freedom > 0:
        return math.nan
    if math.isinf(freedom):
        return 0.5 * math.erfc(-t / math.sqrt(2.0))
    tail = _t_tail(freedom, abs(t))
    return 1.0 - tail if t > 0 else tail


def _t_tail(freedom: float, t: float) -> float:
    """Return the chance above *t*, which is not negative: from the middle or from the end, whichever is nearer."""
    square = t * t
    if square < freedom:
        return 0.5 - 0.5 * beta_share(0.5, freedom / 2.0, square / (freedom + square))
    return 0.5 * beta_share(freedom / 2.0, 0.5, freedom / (freedom + square)) if math.isfinite(square) else 0.0


@lru_cache(maxsize=4096)  # a class asks for the same few again and again
def t_limit(freedom: float, share: float) -> float:
    """Return the t below which a *share* (0 to 1) of Student's t with *freedom* degrees of freedom lies."""
    if not freedom > 0 or not 0.0 < share < 1.0:
        return math.nan
    if share == 0.5:
        return 0.0
    if share < 0.5:
        return -t_limit(freedom, 1.0 - share)
    if math.isinf(freedom):
        return _where(lambda t: 0.5 * math.erfc(t / math.sqrt(2.0)) - (1.0 - share))
    tail = 1.0 - share
    return _where(lambda t: _t_tail(freedom, t) - tail)


def t_limits(freedom: ArrayLike, share: ArrayLike) -> NDArray[np.float64]:
    """Return `t_limit` of arrays, element by element; NaN where there is no degree of freedom."""
    freedoms, shares = np.broadcast_arrays(np.asarray(freedom, np.float64), np.asarray(share, np.float64))
    # A class asks for few different ones: each is worked out once.
    pairs, places = np.unique((freedoms + 1j * shares).ravel(), return_inverse=True)
    found = np.array([t_limit(one.real, one.imag) if one.real > 0 else np.nan for one in pairs.tolist()])
    return found[places].reshape(freedoms.shape)


def f_limit(upper: float, lower: float, share: float) -> float:
    """Return the F below which a *share* (0 to 1) lies, with *upper* and *lower* degrees of freedom."""
    return _where(lambda f: share - beta_share(upper / 2.0, lower / 2.0, upper * f / (upper * f + lower)))


def _where(falling: Callable[[float], float]) -> float:
    """Return the positive number at which a *falling* function passes through 0, to the last figures."""
    high = 1.0
    while falling(high) > 0.0:
        high *= 2.0
    low = high / 2.0 if high > 1.0 else 0.0
    at_low, at_high = falling(low), falling(high)
    # Straight lines between the two ends, the end that stays put counting half as much each time: it cannot stick.
    for _ in range(200):
        middle = high - at_high * (high - low) / (at_high - at_low) if at_high != at_low else high
        if not low < middle < high:
            break
        here = falling(middle)
        if here == 0.0 or high - low < _CLOSE * high:
            return middle
        if here < 0.0:
            high, at_high = middle, here
            at_low *= 0.5
        else:
            low, at_low = middle, here
            at_high *= 0.5
    return low if abs(at_low) < abs(at_high) else high
