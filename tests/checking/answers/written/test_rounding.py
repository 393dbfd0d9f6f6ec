"""What printed figures stand for, and what rounding a step may do to it."""

from __future__ import annotations

from decimal import ROUND_DOWN, ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from marking.checking.answers.written.rounding import (
    Kept,
    kept_interval,
    magnitude,
    nearly,
    overlaps,
    printed_interval,
    rounded_interval,
    step_interval,
    ten_to,
    trusted_place,
)

WAYS = (ROUND_HALF_UP, ROUND_HALF_EVEN, ROUND_DOWN)
"""Ways in which a careful student shortens a number: halves up, halves to even, the rest cut off."""


def test_powers_of_ten_are_those_of_arithmetic() -> None:
    """To the last binary place; past what a number holds they are nothing, or without bound."""
    places = np.arange(-60, 60)
    assert ten_to(places).tolist() == (10.0 ** places.astype(np.float64)).tolist()
    assert ten_to(np.array([[-400, 400]])).tolist() == [[0.0, np.inf]]


def one(value: float) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    """Return a class of one student with one row."""
    return np.array([[value]])


def places(position: int) -> np.ndarray[tuple[int, int], np.dtype[np.int64]]:
    """Return a decimal position for that class."""
    return np.array([[position]])


def ends(interval: tuple[object, object]) -> list[float]:
    """Return the ends of an interval of that class."""
    return [float(np.asarray(end)[0, 0]) for end in interval]


def shortened(value: Decimal, figures: int, way: str) -> Decimal:
    """Return *value* to some significant figures, rounded or cut off."""
    return value.quantize(Decimal((0, (1,), value.adjusted() - figures + 1)), rounding=way)


@pytest.mark.parametrize(
    ("value", "position"),
    [
        (3.0, 0),
        (20.5, 1),
        (0.004, -3),
        (1000.0, 3),
        (999.999, 2),
        (999.9999999999999, 3),
        (-0.25, -1),
        (0.1 + 0.2, -1),
        (1e-7, -7),
        (0.0, 0),
        (float("nan"), 0),
        (float("inf"), 0),
    ],
)
def test_first_digit_stands_where_people_see_it(value: float, position: int) -> None:
    """The position of the first digit counts powers of ten, and binary noise never moves it."""
    assert int(magnitude(one(value))[0, 0]) == position


@settings(deadline=None)
@given(st.integers(-30, 30))
def test_every_power_of_ten_has_its_own_position(exponent: int) -> None:
    """1 × 10ⁿ stands at position n, whichever way binary arithmetic missed it."""
    assert int(magnitude(one(10.0**exponent))[0, 0]) == exponent
    assert int(magnitude(one(float(f"1e{exponent}")))[0, 0]) == exponent


@pytest.mark.parametrize(
    ("value", "last", "low", "high"),
    [
        (20.5, -1, 20.45, 20.6),
        (3.0, 0, 2.5, 4.0),
        (-20.5, -1, -20.6, -20.45),
        (0.0, -1, -0.1, 0.1),
        (1040.0, 1, 1035.0, 1050.0),
    ],
)
def test_printed_figures_are_an_interval(value: float, last: int, low: float, high: float) -> None:
    """20.5 is anything that rounds to it, or that was cut off to it; a negative the same, turned round."""
    assert ends(printed_interval(one(value), places(last))) == pytest.approx([low, high])


def test_rounded_figures_are_half_a_unit_either_way() -> None:
    """Carried into a later step, 20.5 stands for 20.45 to 20.55."""
    assert ends(rounded_interval(one(20.5), places(-1))) == pytest.approx([20.45, 20.55])


@settings(deadline=None)
@given(st.decimals("-1e6", "1e6", places=6).filter(lambda value: value != 0), st.integers(1, 6), st.sampled_from(WAYS))
def test_a_shortened_number_stands_for_what_it_was(value: Decimal, figures: int, way: str) -> None:
    """However a number was shortened, what it was is inside the interval that its figures stand for."""
    printed = shortened(value, figures, way)
    last = value.adjusted() - figures + 1
    low, high = ends(printed_interval(one(float(printed)), places(last)))
    noise = abs(float(value)) * 1e-12
    assert low - noise <= float(value) <= high + noise


@pytest.mark.parametrize(
    ("value", "finest", "coarsest", "trusted"),
    [
        (997.0, 0, 0, 0),
        (0.50, -2, -2, -2),
        (1040.0, 0, 1, 1),
        (1200.0, 0, 2, 2),
        (1000.0, 0, 3, 2),
        (400.0, 0, 2, 1),
        (30.0, 0, 1, 0),
        (20000.0, 0, 4, 3),
    ],
    ids=["plain", "decimals", "one-zero", "two-zeros", "thousand", "four-hundred", "thirty", "twenty-thousand"],
)
def test_zeros_of_a_whole_number_are_doubted_down_to_two_figures(
    value: float, finest: int, coarsest: int, trusted: int
) -> None:
    """1200 may be a hundred to the hundred; 1000 is not taken for a single figure."""
    assert int(trusted_place(one(value), places(finest), places(coarsest))[0, 0]) == trusted


@settings(deadline=None)
@given(
    st.decimals("-1e4", "1e4", places=4).filter(lambda value: value != 0),
    st.integers(2, 3),
    st.integers(0, 3),
    st.sampled_from(WAYS),
)
def test_a_step_kept_with_care_is_inside(value: Decimal, figures: int, more: int, way: str) -> None:
    """A step kept to the figures or to more, rounded or cut off, lies in the interval of the step."""
    low, high = ends(step_interval(one(float(value)), one(float(value)), places(figures)))
    kept = float(shortened(value, figures + more, way))
    noise = abs(float(value)) * 1e-8
    assert low - noise <= kept <= high + noise


@pytest.mark.parametrize(
    ("value", "figures", "low", "high"),
    [(2.346, 3, 2.34, 2.35), (2.344, 3, 2.34, 2.3445), (1.05, 2, 1.0, 1.1), (-2.346, 3, -2.35, -2.34), (0.0, 3, 0, 0)],
)
def test_a_step_gives_no_more_room_than_care_needs(value: float, figures: int, low: float, high: float) -> None:
    """The room is what rounding can do, not a flat share of the value."""
    assert ends(step_interval(one(value), one(value), places(figures))) == pytest.approx([low, high], abs=0.005)


def test_a_constant_is_kept_to_the_figures_of_each_row() -> None:
    """A constant has one value, and each row keeps it to the figures of its own readings."""
    low, high = kept_interval(one(9.8066), one(9.8066), np.array([[2, 3, 4]]))
    assert low[0].tolist() == pytest.approx([9.8, 9.8, 9.806])
    assert high[0].tolist() == pytest.approx([9.81, 9.81, 9.807])


def test_a_missing_step_stays_missing() -> None:
    """Nothing comes of nothing: a missing value has no interval."""
    assert np.isnan(ends(step_interval(one(float("nan")), one(float("nan")), places(3)))).all()


@pytest.mark.parametrize(
    ("first", "second", "meet"),
    [
        ((1.0, 2.0), (1.5, 3.0), True),
        ((1.0, 2.0), (2.0, 3.0), True),
        ((1.0, 2.0), (2.0000001, 3.0), False),
        ((1.0, 2.0), (2.000000000001, 3.0), True),
        ((1.0, 2.0), (float("nan"), float("nan")), False),
        ((-2.0, -1.0), (-1.0, 0.0), True),
    ],
    ids=["inside", "touching", "apart", "apart-by-binary-noise", "missing", "negative"],
)
def test_intervals_meet(first: tuple[float, float], second: tuple[float, float], meet: bool) -> None:
    """Two intervals share a value or they do not; noise of binary arithmetic decides nothing."""
    assert bool(overlaps(one(first[0]), one(first[1]), one(second[0]), one(second[1]))[0, 0]) is meet


@pytest.mark.parametrize(
    ("value", "figures", "low", "high"),
    [
        (2.34444, 3, 2.34, 2.34449),
        (2.34666, 3, 2.34, 2.35),
        (2.34996, 3, 2.34, 2.35001),
        (2.30001, 3, 2.29996, 2.30006),
        (-2.34444, 3, -2.34449, -2.34),
        (23444.4, 2, 23000.0, 23449.4),
        (0.00234444, 3, 0.00234, 0.00234449),
    ],
)
def test_finer_rounding_has_half_a_unit_two_figures_on(value: float, figures: int, low: float, high: float) -> None:
    """Kept to three figures, to four, or to five and more: that moves 2.34444 by five in the sixth figure, no more."""
    found = ends(step_interval(one(value), one(value), places(figures)))
    assert found == pytest.approx([low, high], rel=1e-8)


@settings(deadline=None)
@given(st.floats(1.0, 9.99), st.integers(2, 4), st.integers(-4, 4), st.sampled_from([-1, 1]))
def test_a_step_never_has_more_room_than_its_last_figure(value: float, figures: int, power: int, sign: int) -> None:
    """What is kept to three figures lies within one unit of the third, the end outwards within half of one."""
    number = sign * value * 10.0**power
    unit = 10.0 ** (power - figures + 1)
    low, high = ends(step_interval(one(number), one(number), places(figures)))
    inwards, outwards = (number - low, high - number) if sign > 0 else (high - number, number - low)
    assert 0 <= inwards <= unit * 1.0001
    assert 0 <= outwards <= unit * 0.5001


@pytest.mark.parametrize(
    ("value", "wanted"),
    [(-1.2345678, [-1.235, -1.23]), (1.2345678, [1.23, 1.235]), (-7.0, [-7.0, -7.0]), (0.0, [0.0, 0.0])],
)
def test_a_number_is_kept_to_its_figures_or_to_one_more(value: float, wanted: list[float]) -> None:
    """To three or four figures, cut off or rounded, and never to five: -1.2346 is nobody's step."""
    assert ends(kept_interval(one(value), one(value), places(3))) == pytest.approx(wanted)


@pytest.mark.parametrize(("value", "figures"), [(0.29, 2), (2.9, 2), (1.15, 3), (8.2, 2)])
def test_a_number_that_is_short_already_is_not_cut(value: float, figures: int) -> None:
    """0.29 over a hundredth is 28.999999999999996 in binary arithmetic, and is cut to 0.29 all the same."""
    kept = Kept(one(value))
    rounded, cut = kept.to(figures), kept.to(figures, cut=True)
    assert [float(rounded[0, 0]), float(cut[0, 0])] == pytest.approx([value, value], rel=1e-12)


@pytest.mark.parametrize(
    ("first", "second", "shared"),
    [
        ((1.0, 2.0), (2.0, 3.0), True),
        ((2.0, 3.0), (1.0, 2.0), True),
        ((1e6, 1e6), (1e6 + 1e-4, 1e6 + 1e-4), True),
        ((1e6 + 1e-4, 1e6 + 1e-4), (1e6, 1e6), True),
        ((1.0, 2.0), (2.001, 3.0), False),
        ((2.001, 3.0), (1.0, 2.0), False),
        ((0.0, 0.0), (0.0, 1.0), True),
        ((0.0, 1.0), (1.0, 2.0), True),
        ((-1.0, 0.0), (0.0, 0.0), True),
    ],
)
def test_intervals_that_touch_share_a_value(
    first: tuple[float, float], second: tuple[float, float], shared: bool
) -> None:
    """An end in common is enough, and so is one that only binary arithmetic keeps apart."""
    values = [one(end) for end in (*first, *second)]
    assert bool(overlaps(*values)[0, 0]) is shared


NUMBERS = st.floats(allow_nan=True, allow_infinity=True) | st.floats(-10.0, 10.0)


@settings(deadline=None)
@given(first=NUMBERS, second=NUMBERS, share=st.sampled_from((1e-9, 1e-6, 2e-3)), off=st.floats(-3e-3, 3e-3))
def test_near_is_what_numpy_holds_for_it(first: float, second: float, share: float, off: float) -> None:
    """Missing and endless numbers among them, and those just at the edge."""
    values = np.array([first, first, first, first * (1.0 + share), first * (1.0 + off)])
    others = np.array([second, first, -first, first, first])
    assert nearly(values, others, share).tolist() == np.isclose(values, others, rtol=share, atol=0.0).tolist()
