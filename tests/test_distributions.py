"""Chances against the library that has them all, over what practicals and classes ask for."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import special, stats

from marking.distributions import beta_share, f_limit, gamma_rest, gamma_share, median, t_below, t_limit, t_limits

FREEDOM = st.one_of(st.integers(1, 400), st.floats(1.0, 400.0))
EASY = settings(deadline=None, max_examples=300)


@EASY
@given(st.floats(0.25, 300.0), st.floats(0.25, 300.0), st.floats(1e-12, 1.0))
def test_the_incomplete_beta_function(a: float, b: float, x: float) -> None:
    """Relative in the small tail, absolute in the large one."""
    assert beta_share(a, b, x) == pytest.approx(float(special.betainc(a, b, x)), rel=1e-10, abs=1e-290)


@EASY
@given(st.floats(0.25, 500.0), st.floats(1e-12, 2000.0))
def test_the_incomplete_gamma_function(a: float, x: float) -> None:
    """Both sides of it, each right where it is small."""
    assert gamma_share(a, x) == pytest.approx(float(special.gammainc(a, x)), rel=1e-10, abs=1e-290)
    assert gamma_rest(a, x) == pytest.approx(float(special.gammaincc(a, x)), rel=1e-10, abs=1e-290)


@EASY
@given(FREEDOM, st.floats(-100.0, 100.0))
def test_students_t(freedom: float, t: float) -> None:
    """The chance of less, down into a tail of one in millions; nearest to the middle the library itself is rougher."""
    wanted = float(special.stdtr(freedom, t)) if abs(t) > 1e-6 else 0.5 + t * float(stats.t.pdf(0.0, freedom))
    assert t_below(freedom, t) == pytest.approx(wanted, rel=1e-10)


@EASY
@given(FREEDOM, st.floats(0.0005, 0.4).flatmap(lambda tail: st.sampled_from([tail, 1.0 - tail])))
def test_limits_of_students_t(freedom: float, share: float) -> None:
    """Inside which so much lies."""
    assert t_limit(freedom, share) == pytest.approx(float(special.stdtrit(freedom, share)), rel=1e-10)


@EASY
@given(st.integers(1, 400), st.integers(2, 5000), st.sampled_from([0.025, 0.05, 0.5, 0.95, 0.975]))
def test_limits_of_f(upper: int, lower: int, share: float) -> None:
    """As the interval of a coefficient asks for them."""
    assert f_limit(upper, lower, share) == pytest.approx(float(special.fdtri(upper, lower, share)), rel=1e-9)


def test_the_ends() -> None:
    """Infinitely many degrees of freedom are the normal distribution; none have no limit."""
    assert t_limit(math.inf, 0.975) == pytest.approx(1.959963984540054, rel=1e-14)
    assert t_below(math.inf, -1.959963984540054) == pytest.approx(0.025, rel=1e-14)
    assert t_limit(7, 0.5) == 0.0
    assert t_limit(3, 0.025) == -t_limit(3, 0.975)
    assert math.isnan(t_limit(0, 0.9))
    assert math.isnan(t_limit(3, 1.0))
    assert math.isnan(t_below(3, math.nan))
    assert (t_below(3, -math.inf), t_below(3, math.inf)) == (0.0, 1.0)
    assert (beta_share(2, 3, 0.0), beta_share(2, 3, 1.0)) == (0.0, 1.0)
    assert (gamma_share(2, 0.0), gamma_rest(2, 0.0), gamma_share(2, math.inf)) == (0.0, 1.0, 1.0)


def test_arrays_are_worked_out_element_by_element() -> None:
    """Shapes are broadcast, and a fit without a degree of freedom has no limit."""
    found = t_limits(np.array([[np.nan], [2.0], [9.0]]), np.array([0.95, 0.995]))
    wanted = special.stdtrit(np.array([[np.nan], [2.0], [9.0]]), np.array([0.95, 0.995]))
    assert found.shape == (3, 2)
    np.testing.assert_allclose(found, wanted, rtol=1e-11)


@pytest.mark.parametrize(("freedom", "limit"), [(1, 12.706), (4, 2.776), (10, 2.228), (30, 2.042), (120, 1.980)])
def test_the_printed_table(freedom: int, limit: float) -> None:
    """Two-sided 95 %: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2 (from memory)."""
    assert round(t_limit(freedom, 0.975), 3) == limit


@EASY
@given(st.lists(st.floats(-1e12, 1e12), min_size=1, max_size=40))
def test_medians(values: list[float]) -> None:
    """To the last bit, so that what rests on them has the same bytes whichever worked them out."""
    assert median(np.array(values)) == float(np.median(values))


def test_a_median_of_what_is_not_known_is_not_known() -> None:
    """As the library has it, without its warnings."""
    assert math.isnan(median([]))
    assert math.isnan(median([1.0, math.nan, 3.0]))
    assert median(np.array([[1, 2], [3, 10]])) == 2.5
