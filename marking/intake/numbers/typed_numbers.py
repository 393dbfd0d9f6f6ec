"""Numbers as students type them: read whole, or not at all.

A full-match grammar of our own: what ``float`` takes (nan, 1_000, figures of other scripts) is refused,
what it refuses (20,5, 8.8×10³, −4.5, ½) is read, and of a text that is left over never half is taken.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from functools import lru_cache

from marking.intake.numbers.mantissa import Figures, LastPlace
from marking.intake.numbers.refusals import (
    RESISTOR_CODE,
    NotANumberError,
    Refusal,
    explain,
    letter_for_figure,
    says_nothing_given,
    says_why_not_given,
    with_figures,
)
from marking.intake.numbers.spreads import Rest, read_rest, without_brackets
from marking.intake.numbers.student_words import says_not_known, says_only_not_known, says_withdrawn, without_struck
from marking.intake.numbers.typed_text import PlainText, make_plain, show_text
from marking.intake.numbers.written_numbers import MAX_FIGURES, WrittenNumber, read_at
from marking.write_up import State
from rubrics.patterns import late_pattern

__all__ = ["NumberReading", "blank_reading", "is_bare_unit", "plain_number", "read_blank", "read_number", "show_text"]

MAX_DECIMALS = 400
"""Characters of a plain decimal that is cut to MAX_FIGURES: calculators and spreadsheets show many."""
MAX_TEXT = 100
"""Characters of any other entry; a unit spelt out in words is under 50."""
_LONGEST_UNIT = 50

_ORDINARY = late_pattern(r"(?P<sign>-?)(?P<digits>[0-9]{1,20}(?:\.[0-9]{1,19})?)")
"""Most entries by far; everything after this is for the others."""
_PLAIN = late_pattern(r"-?[0-9]{1,9}(?:\.[0-9]{1,9})?")
_BEHIND_POINT: tuple[LastPlace, ...] = tuple((-figures, -figures) for figures in range(10))
_BEFORE_ZEROS: tuple[LastPlace, ...] = tuple((0, zeros) for zeros in range(10))
_LONG_DECIMAL = late_pattern(rf"-?[0-9]{{1,{MAX_FIGURES // 2}}}[.,][0-9]*")
_ABOUT = late_pattern(r"(?:~|c\.|(?:ca|circa|about|approx|approximately|around|roughly)\b\.?) ?", re.IGNORECASE)
_SIGNED_IN_BRACKETS = late_pattern(r"\((?P<number>[+-] ?[0-9]+(?:[.,][0-9]+)?)\)(?:[^0-9].*)?")
_QUOTED = late_pattern(r"\[(?P<inside>[^\[\]]+)\]|\"(?P<other>[^\"]+)\"")
_ISH = late_pattern(" ?-?ish(?![A-Za-z])", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberReading:
    """What one typed text says as a number."""

    state: State
    """NUMBER, BLANK or UNREADABLE."""
    value: float | None = None
    last_place: LastPlace | None = None
    """As in Entry. A fraction has no last place of its own: its interval is practically exact."""
    is_fraction: bool = False
    """Written as 1/5 or ½: its significant figures cannot be told."""
    uncertainty: float | None = None
    """The plus-or-minus written with it, in the same unit; a percentage of the value is worked out."""
    unit_text: str = ""
    """What followed the number, as typed: kJ, %."""
    notes: tuple[str, ...] = ()
    """What was done to the text, each a short clause."""
    problem: str = ""
    """Why it cannot be read, a clause to stand in brackets behind the text; empty unless UNREADABLE."""
    likely: tuple[str, ...] = ()
    """What may have been meant, to be shown; never used."""
    ways: tuple[NumberReading, ...] = field(default=(), compare=False)
    """The same as readings, where the marks in the figures can be read two ways; something else has to settle it."""
    is_declined: bool = False
    """BLANK in words: '?', 'none', 'I don't know'."""
    label: str = ""
    """What stood in front of an equals sign before it: c."""
    is_in_parts: bool = field(default=False, compare=False)
    """A time written as 2 min 30 s or 2:30, whose seconds are ours."""


def read_number(
    text: str, *, decimal_comma: bool | None = None, limits: tuple[float, float] | None = None
) -> NumberReading:
    """Return what *text* says as a number.

    Args:
        text: The entry exactly as typed.
        decimal_comma: True where the file is known to write 20,5 for 20.5, False where it is known to write
            decimal points; it settles 10,400.
        limits: Lowest and highest possible value, in the unit of the number; they settle 10,400 where only
            one reading is possible, and nothing else.
    """
    if decimal_comma is not True and (match := _ORDINARY.fullmatch(text)):
        return _ordinary(match["sign"], match["digits"])
    figures, _, unit = text.partition(" ")
    if decimal_comma is not True and (number := plain_number(figures)) and is_bare_unit(unit):
        return NumberReading(state=State.NUMBER, value=number[0], last_place=number[1], unit_text=unit)
    return _read_closely(text, decimal_comma, limits)


@lru_cache(maxsize=1024)
def is_bare_unit(text: str) -> bool:
    """Tell whether a text behind figures and a space is the unit, whatever the figures are, and no more is to be said.

    It holds no figure itself, so that it changes none, and is read behind one number as behind any other.
    """
    if not text or len(text) > _LONGEST_UNIT or any(map(str.isnumeric, text)):
        return False
    one = NumberReading(state=State.NUMBER, value=1.25, last_place=(-2, -2), unit_text=text)
    return _read_closely(f"1.25 {text}", None, None) == one


def _read_closely(text: str, decimal_comma: bool | None, limits: tuple[float, float] | None) -> NumberReading:
    plain = make_plain(text)
    if plain.problem:
        return _unreadable(Refusal(problem=plain.problem))
    if blank := blank_reading(plain):
        return blank
    try:
        return _read(_prepared(plain), decimal_comma, limits)
    except NotANumberError as error:
        # What the whole text looks like says more than where reading broke off, unless a likely reading is known.
        is_settled = bool(error.refusal.likely) or len(plain.plain) > MAX_TEXT
        return _unreadable(error.refusal if is_settled else explain(plain.plain) or error.refusal)


def plain_number(text: str) -> tuple[float, LastPlace] | None:
    """Return value and last place of a few figures alone, as ``read_number`` would; None for any other text."""
    if not _PLAIN.fullmatch(text):
        return None
    _, point, decimals = text.partition(".")
    value = float(text) + 0.0  # no number of theirs is less than nothing by nothing
    if point:
        return value, _BEHIND_POINT[len(decimals)]
    digits = text.removeprefix("-")
    zeros = len(digits) - len(digits.rstrip("0"))
    return value, _BEFORE_ZEROS[zeros if zeros < len(digits) else 0]


def _ordinary(sign: str, digits: str) -> NumberReading:
    figures = Figures(digits=digits, is_decimal="." in digits)
    number = WrittenNumber(end=0, ways=(figures,), is_negative=bool(sign))
    return NumberReading(state=State.NUMBER, value=number.value(figures), last_place=number.last_place(figures))


def read_blank(text: str) -> NumberReading | None:
    """Return the reading of a written answer that is none; None for any other text.

    In a sentence 'cannot', 'nothing' and 'later' are words like others, so that the whole of it has to decline.
    """
    plain = make_plain(text)
    if plain.problem:
        return None
    is_none = says_nothing_given(plain.plain) or says_only_not_known(plain.plain)
    return _blank(plain) if is_none or not without_struck(plain.typed) else None


def blank_reading(plain: PlainText) -> NumberReading | None:
    """Return the reading of a text that gives no value; None where it gives something."""
    bare = without_struck(plain.typed)
    tests = (says_nothing_given, says_why_not_given, says_not_known, says_withdrawn)
    return None if bare and not any(test(plain.plain) for test in tests) else _blank(plain)


def _blank(plain: PlainText) -> NumberReading:
    notes = (f'"{show_text(plain.typed)}" taken as not given',) if plain.typed else ()
    is_declined = any(sign.isalnum() or sign == "?" for sign in plain.typed)
    return NumberReading(state=State.BLANK, notes=notes, is_declined=is_declined)


def _unreadable(refusal: Refusal) -> NumberReading:
    return NumberReading(state=State.UNREADABLE, problem=refusal.problem, likely=refusal.likely)


def _prepared(plain: PlainText) -> PlainText:
    """Return *plain* cut to what is kept, without an apostrophe in front of it."""
    if MAX_FIGURES < len(plain.plain) <= MAX_DECIMALS and _LONG_DECIMAL.fullmatch(plain.plain):
        plain = plain.part(0, MAX_FIGURES, f"only its first {MAX_FIGURES} characters used")
    if len(plain.plain) > MAX_TEXT:
        raise NotANumberError("too long for a number")
    if plain.plain.startswith("'"):
        plain = plain.part(1, len(plain.plain), "apostrophe in front left out")
    if quoted := _QUOTED.fullmatch(plain.plain):
        plain = plain.part(*quoted.span(quoted.lastgroup or 0))
    if signed := _SIGNED_IN_BRACKETS.fullmatch(plain.plain):
        inside, behind = plain.part(*signed.span("number")), plain.part(signed.end("number") + 1, len(plain.plain))
        typed, text = inside.typed + behind.typed, inside.plain + behind.plain
        plain = PlainText(typed=typed, plain=text, notes=plain.notes, problem="")
    if (mended := with_figures(plain.plain)) != plain.plain:
        note = f"read as {mended} (a letter stood for a figure)"
        plain = PlainText(typed=mended, plain=mended, notes=(*plain.notes, note), problem="")
    if RESISTOR_CODE.fullmatch(plain.plain):
        raise NotANumberError("a letter among the figures")
    if (refusal := letter_for_figure(plain.plain)) is not None:
        raise NotANumberError(refusal.problem, *refusal.likely)
    return plain


def _read(plain: PlainText, decimal_comma: bool | None, limits: tuple[float, float] | None) -> NumberReading:
    plain, in_brackets = without_brackets(plain)
    about = _ABOUT.match(plain.plain)
    start = about.end() if about else 0
    has_decimal_commas = decimal_comma is True
    number = read_at(plain.plain, start, has_decimal_commas=has_decimal_commas)
    if number is None:
        has_figures = any(sign.isdigit() for sign in plain.plain)
        raise NotANumberError("not a number" if has_figures else "no number in it")
    ish = _ISH.match(plain.plain, number.end)
    behind = plain.part(ish.end() if ish else number.end, len(plain.plain))
    rest = read_rest(behind, number, in_brackets=in_brackets, has_decimal_commas=has_decimal_commas)
    try:
        figures, settled = _settle(number, decimal_comma, limits)
    except NotANumberError as error:
        ways = tuple(_reading(number, way, rest) for way in number.ways)
        return replace(_unreadable(error.refusal), ways=ways)
    value = number.value(figures)
    minus = "typographic minus" if number.is_negative and plain.typed[start] != "-" else ""
    reasons = [reason for reason in (number.note, figures.note if figures else "", settled, minus) if reason]
    notes = [*plain.notes]
    notes += ["written as about"] if about or ish else []
    notes += [f"read as {number.printed(figures)} ({', '.join(reasons)})"] if reasons else []
    notes += [rest.note] if rest.note else []
    return NumberReading(
        state=State.NUMBER,
        value=value,
        last_place=number.last_place(figures),
        is_fraction=figures is None,
        uncertainty=rest.spread_of(value),
        unit_text=rest.unit,
        notes=tuple(notes),
    )


def _reading(number: WrittenNumber, way: Figures, rest: Rest) -> NumberReading:
    return NumberReading(
        state=State.NUMBER,
        value=number.value(way),
        last_place=number.last_place(way),
        uncertainty=rest.spread_of(number.value(way)),
        unit_text=rest.unit,
        notes=(f"read as {number.printed(way)} ({way.note}, as the sum in front of it)",),
    )


def _settle(
    number: WrittenNumber, decimal_comma: bool | None, limits: tuple[float, float] | None
) -> tuple[Figures | None, str]:
    """Return the way that counts (None for a fraction), and what settled it where the text did not.

    Raises:
        NotANumberError: Nothing settles it, or the file and the limits say different things.
    """
    if len(number.ways) < 2:
        return (number.ways[0] if number.ways else None), ""
    possible = [way for way in number.ways if limits and limits[0] <= number.value(way) <= limits[1]]
    usual = [way for way in number.ways if way.is_decimal == decimal_comma and way.mark == ","]
    if len(possible) == 1 and usual in ([], possible):
        return possible[0], "nothing else is within reach of the apparatus"
    if usual and len(possible) != 1:
        return usual[0], ""
    meant = tuple(number.printed(way) for way in number.ways)
    raise NotANumberError(f"could be {' or '.join(meant)}", *meant)
