"""Printed numbers as digits: what a pen may do to them."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from marking.checking.causes.wrong.printed_digits import (
    LOOK_ALIKE,
    LOOK_ALIKE_SHARE,
    MISREAD,
    as_digits,
    as_text,
    leaves_idle_zero,
    meant_text,
    swap,
)


def one(value: int) -> np.ndarray[tuple[int], np.dtype[np.int64]]:
    """Return one whole number as an array."""
    return np.array([value], np.int64)


@pytest.mark.parametrize(
    ("number", "last", "digits"),
    [(3.14, -2, 314), (3.10, -2, 310), (-0.052, -3, 52), (20400.0, 2, 204), (20400.0, 0, 20400), (0.0, -2, 0)],
)
def test_digits_of_a_number(number: float, last: int, digits: int) -> None:
    """A number is its digits down to the last place, without sign and point."""
    assert as_digits(np.array([number]), one(last)).tolist() == [digits]


@pytest.mark.parametrize("number", [float("nan"), float("inf"), 1e300])
def test_what_has_no_digits(number: float) -> None:
    """What is no number, or far too long for any page, has none."""
    assert as_digits(np.array([number]), one(0)).tolist() == [0]


@given(st.integers(1, 10**8), st.integers(-6, 0))
@settings(deadline=None)
def test_text_and_back(digits: int, last: int) -> None:
    """What is printed from digits has just these digits."""
    assert as_digits(np.array([float(as_text(digits, last))]), one(last)).tolist() == [digits]


@pytest.mark.parametrize(
    ("digits", "low", "swapped", "changes"),
    [(314, 0, 341, True), (314, 1, 134, True), (344, 0, 344, False), (14, 1, 104, True), (1004, 1, 1004, False)],
)
def test_two_digits_swapped(digits: int, low: int, swapped: int, changes: bool) -> None:
    """Neighbours from the place *low* up change over; two alike change nothing."""
    found, possible = swap(one(digits), low)
    assert (found.tolist(), possible.tolist()) == ([swapped], [changes])


@given(st.integers(0, 10**9), st.integers(0, 7))
@settings(deadline=None)
def test_swapping_twice_is_nothing(digits: int, low: int) -> None:
    """The same two digits changed over again stand as before, and a swap moves the value by nines."""
    once, _ = swap(one(digits), low)
    assert swap(once, low)[0].tolist() == [digits]
    assert (once[0] - digits) % (9 * 10**low) == 0


@pytest.mark.parametrize(
    ("digits", "low", "length", "last", "idle"),
    [(41, 1, 3, 0, True), (41, 1, 3, -2, False), (41, 1, 3, -1, True), (41, 0, 3, 0, False), (141, 1, 3, 0, False)],
)
def test_no_hand_puts_a_zero_in_front(digits: int, low: int, length: int, last: int, idle: bool) -> None:
    """041 is not written; 0.41 is."""
    assert leaves_idle_zero(one(digits), low, one(length), one(last)).tolist() == [idle]


def test_a_digit_is_taken_for_any_of_nine() -> None:
    """Each row of chances is whole, no digit is taken for itself, those that look alike are likelier by so much."""
    assert MISREAD.sum(axis=1) == pytest.approx(np.ones(10))
    assert np.diag(MISREAD).tolist() == [0.0] * 10
    assert ((MISREAD > 0).sum(axis=1) == 9).all()
    for first, second in LOOK_ALIKE:
        alike = sum(first in pair for pair in LOOK_ALIKE)
        assert MISREAD[first, second] == pytest.approx(LOOK_ALIKE_SHARE / alike)
        assert MISREAD[first, second] > MISREAD[2].max()


@pytest.mark.parametrize(
    ("value", "last", "text"),
    [
        (3.10, -2, "3.1"),
        (431.0, 0, "431"),
        (20400.0, 2, "20\u202f400"),
        (0.5, -1, "0.5"),
        (1182.56, -2, "1182.56"),
        (0.1 + 0.2, -2, "0.3"),
        (-1.4, -1, "−1.4"),
    ],
)
def test_what_was_meant_is_written_as_people_do(value: float, last: int, text: str) -> None:
    """All its digits, without zeros that say nothing and without the noise of binary arithmetic."""
    assert meant_text(value, last) == text
