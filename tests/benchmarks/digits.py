"""Slips of the pen on a written number: digits swapped, changed, lost, doubled."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise


def _parts(text: str) -> tuple[str, str]:
    """Return the mantissa as written, and whatever follows it."""
    for mark in (" x", " ×", "e"):
        if mark in text:
            head, _, tail = text.partition(mark)
            return head, mark + tail
    return text, ""


def _without_idle_zeros(text: str) -> bool:
    """Tell whether a hand would write *text*: no zero too many in front."""
    whole = text.lstrip("-").partition(".")[0]
    return whole == "0" or not whole.startswith("0")


def swapped(text: str) -> Iterator[str]:
    """Yield *text* with two different neighbouring digits changed over."""
    head, tail = _parts(text)
    places = [place for place, sign in enumerate(head) if sign.isdigit()]
    for first, second in pairwise(places):
        if head[first] != head[second]:
            signs = list(head)
            signs[first], signs[second] = signs[second], signs[first]
            made = "".join(signs)
            if _without_idle_zeros(made):
                yield made + tail


def one_changed(text: str) -> Iterator[str]:
    """Yield *text* with one digit read as another; a zero that only holds a place stays."""
    head, tail = _parts(text)
    started = False
    for place, sign in enumerate(head):
        started = started or sign in "123456789"
        if not sign.isdigit() or not started:
            continue
        for digit in "0123456789":
            made = head[:place] + digit + head[place + 1 :]
            if digit != sign and _without_idle_zeros(made):
                yield made + tail


def one_lost_or_doubled(text: str) -> Iterator[str]:
    """Yield *text* with one digit left out, or written twice."""
    head, tail = _parts(text)
    for place, sign in enumerate(head):
        if not sign.isdigit():
            continue
        shorter, longer = head[:place] + head[place + 1 :], head[:place] + sign + head[place:]
        if any(one in "123456789" for one in shorter) and _without_idle_zeros(shorter) and shorter[-1] != ".":
            yield shorter + tail
        if _without_idle_zeros(longer):
            yield longer + tail


LOOK_ALIKE = ("17", "49", "06", "38", "56")
"""Digits taken for one another in handwriting."""


def look_alike(text: str, other: str) -> bool:
    """Tell whether two texts differ in one digit, by one that looks like it."""
    if len(text) != len(other):
        return False
    pairs = [one + two for one, two in zip(text, other, strict=True) if one != two]
    return len(pairs) == 1 and any(pairs[0] in (pair, pair[::-1]) for pair in LOOK_ALIKE)


def value_of(text: str) -> float:
    """Return the number that a text of this package stands for."""
    plain = text.translate(str.maketrans("⁻⁰¹²³⁴⁵⁶⁷⁸⁹", "-0123456789"))
    for mark in (" x 10^", " × 10"):
        plain = plain.replace(mark, "e")
    return float(plain)
