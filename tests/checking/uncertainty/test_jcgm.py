"""Uncertainties of results by the way that marks, ``chains``, and whether a result agrees with an accepted value."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from uncertainties import ufloat, umath

from marking.checking.uncertainty.agreement import compare, compare_at_school
from marking.checking.uncertainty.jcgm import UncertainValue, coverage_factor, effective_freedom
from rubrics.model.practical import AcceptedValue, ResultInfo
from tests.checking.uncertainty.one_formula import worked_out

SIZES = st.floats(0.5, 50)
SHARES = st.floats(0.0005, 0.02)


def known(value: float, uncertainty: float = 0.0) -> UncertainValue:
    """Return a value with its standard uncertainty."""
    return UncertainValue(value=value, uncertainty=uncertainty)


@settings(deadline=None, max_examples=40)
@given(E=SIZES, m=SIZES, rise=SIZES, e_share=SHARES, m_share=SHARES, rise_share=SHARES)
def test_quotient_as_another_library_has_it(
    E: float, m: float, rise: float, e_share: float, m_share: float, rise_share: float
) -> None:
    """A quotient has the uncertainty that the uncertainties library gives it."""
    theirs = ufloat(E, E * e_share) / (ufloat(m, m * m_share) * ufloat(rise, rise * rise_share))
    inputs = {"E": (E, E * e_share), "m": (m, m * m_share), "dT": (rise, rise * rise_share)}
    assert worked_out("E / (m * dT)", inputs) == pytest.approx((theirs.nominal_value, theirs.std_dev), rel=1e-5)


@settings(deadline=None, max_examples=40)
@given(angle=st.floats(0.2, 1.3), length=SIZES, share=SHARES)
def test_functions_and_powers_as_another_library_has_them(angle: float, length: float, share: float) -> None:
    """Sines, roots, powers and reciprocals have the uncertainty that the uncertainties library gives them."""
    a, b = ufloat(angle, 0.01), ufloat(length, length * share)
    theirs = umath.sin(a) * umath.sqrt(b) + b**2 / 7 + 1 / b
    inputs = {"a": (angle, 0.01), "b": (length, length * share)}
    found = worked_out("sin(a) * sqrt(b) + b**2 / 7 + 1 / b", inputs)
    assert found == pytest.approx((theirs.nominal_value, theirs.std_dev), rel=1e-4)


def test_a_quantity_used_twice_is_one_quantity() -> None:
    """The uncertainty of x - x is none, and that of x + x is twice that of x."""
    assert worked_out("x - x", {"x": (3.0, 0.2)})[1] == pytest.approx(0, abs=1e-12)
    assert worked_out("x + x", {"x": (3.0, 0.2)})[1] == pytest.approx(0.4)


def test_few_repeats_need_a_wider_interval() -> None:
    """Two degrees of freedom ask for 4.30 standard uncertainties, many for 1.96; the number is cut to a whole one."""
    assert coverage_factor(2) == pytest.approx(4.303, abs=1e-3)
    assert coverage_factor(math.inf) == pytest.approx(1.960, abs=1e-3)
    assert coverage_factor(2.9999999999) == coverage_factor(3)
    assert coverage_factor(3.9) == coverage_factor(3)


def test_coverage_of_repeats() -> None:
    """Of two thousand sets of four honest repeats, 95 % of the intervals hold the true value."""
    sets = np.random.default_rng(3).normal(10.0, 0.3, (2000, 4))
    half = coverage_factor(3) * sets.std(axis=1, ddof=1) / 2.0
    assert 0.935 < np.mean(np.abs(sets.mean(axis=1) - 10.0) <= half) < 0.965


def test_freedom_of_a_sum() -> None:
    """A part known for certain adds no doubt about how well the sum is known; nothing known leaves none."""
    assert effective_freedom([(0.3, 4.0)]) == pytest.approx(4.0)
    assert effective_freedom([(0.3, 4.0), (0.3, math.inf)]) == pytest.approx(16.0)
    assert math.isinf(effective_freedom([(0.3, math.inf)]))


INFO = ResultInfo(answer="c", accepted=(), expected=None, stop=None, too_high="lost heat", too_low="late start")
ALUMINIUM = AcceptedValue(name="aluminium", value=900, uncertainty=3, source="handbook", edition="1")
ALLOWED = 1.959964 * math.hypot(20, 3 / math.sqrt(3))


@pytest.mark.parametrize(
    ("value", "agrees", "direction", "cause"),
    [
        (900 + 0.99 * ALLOWED, True, "", ""),
        (900 + 1.01 * ALLOWED, False, "high", "lost heat"),
        (900 - 0.99 * ALLOWED, True, "", ""),
        (900 - 1.01 * ALLOWED, False, "low", "late start"),
    ],
    ids=["just-within-above", "just-outside-above", "just-within-below", "just-outside-below"],
)
def test_agreement_with_the_accepted_value(value: float, agrees: bool, direction: str, cause: str) -> None:
    """A result agrees up to its expanded uncertainty and that of the accepted value; beyond it the cause is named."""
    found = compare(known(value, 20.0), ALUMINIUM, INFO)
    assert (found.agrees, found.direction, found.usual_cause) == (agrees, direction, cause)
    assert found.difference == pytest.approx(value - 900)


@pytest.mark.parametrize(("value", "agrees"), [(933, True), (933.1, False), (867, True), (866.9, False)])
def test_agreement_of_ranges_at_school(value: float, agrees: bool) -> None:
    """Ranges that touch agree, ranges with a gap do not."""
    assert compare_at_school(value, 30.0, ALUMINIUM, INFO).agrees is agrees
