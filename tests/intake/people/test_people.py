"""Codes as typed, and what they have in common."""

from __future__ import annotations

import pytest

from marking.intake.people.people import CodeBook, code_key, code_of, says_absent


@pytest.mark.parametrize(
    ("typed", "code"),
    [(" A01 ", "A01"), ("\u00a0A01\u200b", "A01"), ("007", "007"), ("A 01", "A 01"), ("\ufeff", ""), ("É1", "É1")],
)
def test_a_code_is_kept_as_typed(typed: str, code: str) -> None:
    """Outer spaces and signs that show nothing go; everything else stays."""
    assert code_of(typed) == code


@pytest.mark.parametrize(
    ("one", "other", "is_alike"),
    [
        ("A01", "a01", True),
        ("A01", "A 01", True),
        ("É1", "E\u03011", True),
        ("K1", "\u212a1", True),
        ("7", "007", False),
        ("A01", "A1", False),
    ],
)
def test_codes_are_alike_that_differ_in_form_only(one: str, other: str, is_alike: bool) -> None:
    """Case, spaces and the form of an accent; never a figure."""
    assert (code_key(one) == code_key(other)) is is_alike


@pytest.mark.parametrize(
    ("codes", "typed", "wanted"),
    [
        (("A01", "A02", "a03"), "a03", "A03"),
        (("A01", "a03"), "a03", "a03"),  # one other is not enough to go by
        (("A01", "A02", "A03", "a03"), "a03", "a03"),  # the capitals are another student's
        (("A01", "A02", "xyz"), "xyz", "xyz"),  # not a code of that kind
        (("a01", "a02", "a03"), "a03", "a03"),
        (("A01", "A02", "b01", "b02", "b03"), "b01", "b01"),  # too many to be slips
    ],
)
def test_an_odd_code_in_small_letters_is_told_by_the_others(codes: tuple[str, ...], typed: str, wanted: str) -> None:
    """Only where the others leave no doubt."""
    assert CodeBook(codes).capital_form(typed) == wanted


@pytest.mark.parametrize(
    ("text", "absent"), [("yes", True), (" X ", True), ("AB", True), ("TRUE", True), ("no", False), ("", False)]
)
def test_a_tick_says_absent(text: str, absent: bool) -> None:
    """The usual ways to say yes."""
    assert says_absent(text) is absent
