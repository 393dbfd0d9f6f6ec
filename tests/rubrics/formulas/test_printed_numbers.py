"""Numbers as they are printed for people: one form for one number, on whatever paper."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from marking.checking.case import number_text
from rubrics.formulas import grouped, listed, printed


@pytest.mark.parametrize(
    ("value", "figures", "text"),
    [
        (1.1e11, None, "1.1 × 10¹¹"),
        (1e10, None, "1 × 10¹⁰"),
        (1.1e11, 3, "1.10 × 10¹¹"),
        (6.62607015e-34, None, "6.62607015 × 10⁻³⁴"),
        (900.0, None, "900"),
        (24600.0, 3, "24\u202f600"),
        (Decimal("22076.86"), None, "22\u202f076.86"),
        (0.001, 3, "0.00100"),
        (0.000999, 3, "9.99 × 10⁻⁴"),
        (999999.0, None, "999\u202f999"),
        (1000000.0, None, "1 × 10⁶"),
        (-9.996, 3, "−10.0"),
        (0.0, 3, "0"),
        (Decimal("0.00"), None, "0.00"),
        (float("nan"), None, "no value"),
    ],
)
def test_printed(value: float, figures: int | None, text: str) -> None:
    """All figures that a number has and no more, or as many as are asked for; powers of ten beyond easy reading."""
    assert printed(value, figures) == text


@given(st.floats(min_value=1e-12, max_value=1e12), st.integers(min_value=1, max_value=8))
@settings(deadline=None, max_examples=100)
def test_findings_and_sheets_print_a_number_alike(value: float, figures: int) -> None:
    """The check's facts and the sheet's sums have one printer; what is grouped once is not grouped again."""
    assert number_text(value, figures) == printed(value, figures)
    assert grouped(printed(value, figures)) == printed(value, figures)


@pytest.mark.parametrize(
    ("words", "most", "text"),
    [((), None, ""), (("a",), None, "a"), (("a", "b"), None, "a and b"), (("a", "b", "c", "d"), 3, "a, b and 2 more")],
)
def test_listed(words: tuple[str, ...], most: int | None, text: str) -> None:
    """A list in prose."""
    assert listed(words, most) == text
