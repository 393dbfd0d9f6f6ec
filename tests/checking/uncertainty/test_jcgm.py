"""Uncertainties of readings and results, in the form of JCGM 100 and in the school's."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import ufloat, umath

from marking.checking.uncertainty.agreement import compare, compare_at_school
from marking.checking.uncertainty.jcgm import (
    UncertainValue,
    added,
    combined,
    coverage_factor,
    half_division,
    of_repeats,
    of_resolution,
    percentage,
    plus_or_minus,
)
from rubrics.formulas.formula import parse_formula
from rubrics.model.practical import AcceptedValue, ResultInfo

SIZES = st.floats(0.5, 50)
SHARES = st.floats(0.0005, 0.02)


def known(value: float, uncertainty: float = 0.0) -> UncertainValue:
    """Return a value with its standard uncertainty."""
    return UncertainValue(value=value, uncertainty=uncertainty)


@given(E=SIZES, m=SIZES, rise=SIZES, e_share=SHARES, m_share=SHARES, rise_share=SHARES)
def test_quotient_as_another_library_has_it(
    E: float, m: float, rise: float, e_share: float, m_share: float, rise_share: float
) -> None:
    """A specific heat capacity has the uncertainty that the uncertainties library gives it."""
    theirs = ufloat(E, E * e_share) / (ufloat(m, m * m_share) * ufloat(rise, rise * rise_share))
    inputs = {"E": known(E, E * e_share), "m": known(m, m * m_share), "dT": known(rise, rise * rise_share)}
    ours = combined(parse_formula("E / (m * dT)"), inputs)
    assert ours.uncertainty == pytest.approx(theirs.std_dev, rel=1e-5)


@given(angle=st.floats(0.2, 1.3), length=SIZES, share=SHARES)
def test_functions_and_powers_as_another_library_has_them(angle: float, length: float, share: float) -> None:
    """Sines, roots, powers and reciprocals have the uncertainty that the uncertainties library gives them."""
    a, b = ufloat(angle, 0.01), ufloat(length, length * share)
    theirs = umath.sin(a) * umath.sqrt(b) + b**2 / 7 + 1 / b
    inputs = {"a": known(angle, 0.01), "b": known(length, length * share)}
    ours = combined(parse_formula("sin(a) * sqrt(b) + b**2 / 7 + 1 / b"), inputs)
    assert ours.value == pytest.approx(theirs.nominal_value)
    assert ours.uncertainty == pytest.approx(theirs.std_dev, rel=1e-4)


def test_a_quantity_used_twice_is_one_quantity() -> None:
    """The uncertainty of x - x is none, and that of x + x is twice that of x."""
    inputs = {"x": known(3.0, 0.2)}
    assert combined(parse_formula("x - x"), inputs).uncertainty == pytest.approx(0, abs=1e-12)
    assert combined(parse_formula("x + x"), inputs).uncertainty == pytest.approx(0.4)


@pytest.mark.parametrize(("together", "uncertainty"), [(0.0, math.sqrt(0.05)), (1.0, 0.3), (-1.0, 0.1)])
def test_correlated_inputs(together: float, uncertainty: float) -> None:
    """What varies together adds, what varies against each other cancels, and the order of the pair is no matter."""
    inputs = {"a": known(1.0, 0.1), "b": known(2.0, 0.2)}
    for pair in (("a", "b"), ("b", "a")):
        found = combined(parse_formula("a + b"), inputs, {pair: together})
        assert found.uncertainty == pytest.approx(uncertainty)


def test_equal_repeats_are_no_better_than_the_instrument() -> None:
    """Three equal readings of a 0.1 instrument are known to 0.029, not exactly."""
    found = of_repeats([20.4, 20.4, 20.4], step=0.1)
    assert found.uncertainty == pytest.approx(of_resolution(0.1))
    assert math.isinf(found.freedom)


def test_one_reading_has_no_scatter() -> None:
    """Two repeats have a standard uncertainty, one is refused."""
    assert of_repeats([2.0, 3.0]).uncertainty == pytest.approx(0.5)
    with pytest.raises(ValueError, match="two repeats"):
        of_repeats([2.0])


def test_few_repeats_need_a_wider_interval() -> None:
    """The interval of three repeats is 4.30 standard uncertainties, of well-known ones 1.96."""
    assert of_repeats([1.0, 2.0, 3.0]).expanded() == pytest.approx(4.303 / math.sqrt(3), abs=1e-3)
    assert known(2.0, 1.0).expanded() == pytest.approx(1.960, abs=1e-3)
    assert coverage_factor(2.9999999999) == coverage_factor(3)


@pytest.mark.parametrize(
    ("text", "inputs", "value", "plus_minus"),
    [
        ("V / I", {"V": (3.00, 0.03), "I": (0.50, 0.01)}, 6.0, 0.18),
        ("4 / 3 * pi * r**3", {"r": (10.0, 0.1)}, 4188.79, 125.66),
        ("T_2 - T_1", {"T_2": (40.0, 0.5), "T_1": (19.5, 0.5)}, 20.5, 1.0),
        ("4 * pi**2 * L / T**2", {"L": (1.0, 0.0), "T": (2.0, 0.02)}, 9.8696, 0.1974),
    ],
    ids=["percentages-1-and-2", "a-cube-counts-three-times", "terms", "a-square-below-counts-twice"],
)
def test_percentages_added(text: str, inputs: dict[str, tuple[float, float]], value: float, plus_minus: float) -> None:
    """Percentages of factors are added, powers count as often as they say, plus-or-minus of terms are added."""
    found = added(parse_formula(text), inputs)
    assert found == pytest.approx((value, plus_minus), rel=1e-4)


@pytest.mark.parametrize(
    ("repeats", "step", "plus_minus"),
    [([0.38, 0.37, 0.38], 0.01, 0.005), ([1.82, 1.86], 0.01, 0.02), ([20.5, 20.5], 0.5, 0.25), ([7.0], 1.0, 0.5)],
    ids=["half-range-is-half-division", "half-range", "no-spread", "one-reading"],
)
def test_plus_or_minus_of_the_school(repeats: list[float], step: float, plus_minus: float) -> None:
    """Half the range of the repeats, and never less than half a division."""
    assert plus_or_minus(repeats, step) == pytest.approx(plus_minus)
    assert half_division(step) <= plus_minus + 1e-12


def test_percentage() -> None:
    """0.5 of 20 is 2.5 %, whatever the sign; of zero there is no percentage."""
    assert percentage(20.0, 0.5) == known(-20.0, 0.5).percentage == pytest.approx(2.5)
    assert math.isinf(percentage(0.0, 0.5))
    assert math.isinf(known(0.0, 0.5).percentage)


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


def test_coverage_of_repeats() -> None:
    """Of two thousand sets of four honest repeats, 95 % of the intervals hold the true value."""
    random = np.random.default_rng(3)
    sets = random.normal(10.0, 0.3, (2000, 4))
    held = [abs(of_repeats(list(one)).value - 10.0) <= of_repeats(list(one)).expanded() for one in sets]
    assert 0.935 < np.mean(held) < 0.965
