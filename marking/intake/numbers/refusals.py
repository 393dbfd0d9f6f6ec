"""Texts that are no number: which of them mean 'nothing given', and what to say of the others."""

from __future__ import annotations

import re
from functools import cache

from msgspec import Struct

from rubrics.patterns import late_pattern

_NOT_GIVEN = frozenset(
    (
        *("", "-", "--", "---", "—", ".", "…", "...", "?", "??", "???", "#", "/", "//", "x"),
        *("n/a", "na", "n.a.", "n.a", "none", "null", "nothing", "blank", "missing", "empty", "lost", "tbc"),
        *("absent", "abs", "ab", "not done", "not given", "not measured", "not taken", "not recorded"),
        *("no reading", "no value", "no data", "no result"),
    )
)
"""Case-folded; 'nil' and 'zero' are not among them, for they may mean 0."""
_NONE_FOR_A_REASON = late_pattern(
    "(?:n/a|n\\.a\\.?|not (?:done|given|measured|taken|recorded)|no (?:reading|value|data|result))"
    "(?: ?[-:,;(] ?|,? (?:because|as|since) )[^0-9]+"
)
"""N/A - heater broke; with a figure in it, a person looks."""
_FIRST_OF_NONE = "n"
_FIGURES_FOR_LETTERS = {"O": "0", "o": "0", "l": "1", "I": "1", "|": "1", "S": "5"}
_LOOK_ALIKE = late_pattern(r"(?<=[0-9.,])[OoIlS|]|[OoIlS|](?=[.,]?[0-9])")
_CLEAR_LETTERS = (
    (late_pattern(r"(?<=[0-9.,])[Oo]+(?=[.,]?[0-9])|(?<![^+-])[Oo](?=[.,][0-9])"), "0"),
    # Behind the figures a capital O may be an ohm or a ring, unless a unit follows.
    (late_pattern(r"(?<=[0-9])O+(?= (?![CFK]\b)[A-Za-zµ]| ?[Ω°%])"), "0"),
    # In front, l may be the sign of a length and .52 its number, unless a unit follows.
    (late_pattern(r"(?<![0-9.,])(?<=1)[Oo](?=\^)|(?<=[x×*· ]1)[Oo](?= ?\^|[⁻⁰¹²³⁴⁵⁶⁷⁸⁹])"), "0"),
    (late_pattern(r"(?<=[0-9.,])[lI|](?=[.,]?[0-9])|(?<![^+-])[lI|](?=[.,][0-9]+ ?[A-Za-zµΩ°%])"), "1"),
)
_FIGURES_AND_LETTERS = late_pattern(r"[+-]?[0-9OoIlS|.,]*[0-9][0-9OoIlS|.,]*")
_NUMBER_LIKE = late_pattern(_FIGURES_AND_LETTERS.pattern + r"(?![A-Za-z0-9]| C\b)")  # 20o C is a temperature
_LITRES = late_pattern(r"[+-]?[0-9]*[.,]?[0-9]+l(?![A-Za-z0-9])")
_SPACED_POINT = late_pattern(r"([0-9]+)(?: [.,] ?|[.,] )([0-9]+)")
_BRACKETED = late_pattern(r"\(([0-9.,]+)\)")

RESISTOR_CODE = late_pattern(r"(?P<whole>[0-9]{1,3})(?P<prefix>[RkKM])(?P<decimals>[0-9]{1,2})")
"""4k7 on a component is 4.7 kΩ; anywhere else it is no number."""
_KINDS = (
    (r"#{2,}", "the column was too narrow to show the number"),
    (r"#[A-Za-z0-9/?!]+", "an error of the spreadsheet"),
    (r"[=@].*", "a formula that was not worked out"),
    (r"(?i)true|false|yes|no", "a yes or no, not a number"),
    (r"(?i)nil|zero", "may be 0 or nothing given"),
    (r"(?i)[+-]?(?:nan|inf|infinity)", "not a finite number"),
    (r"[0-9]{1,2}:[0-9]{2}(?::[0-9]{2})?(?:\.[0-9]+)?", "a time in minutes and seconds"),
    (r"[0-9]{1,3}'[0-9]{1,2}(?:''|\")?", "a time in minutes and seconds"),
    (r"[0-9]{1,4}[/.-][0-9]{1,2}[/.-][0-9]{1,4}", "a date, or a number with too many points"),
    (r"(?i)[-+]?[0-9.,]+ ?(?:-|to|or|and| ) ?[0-9.,]+", "two numbers"),
    (r"[<>≤≥] ?[-+0-9.,].*", "a limit, not a reading"),
    (r"[-+0-9.,() ]*[0-9)] ?[*/x×÷+] ?[-+0-9.,() ]*[0-9)]", "a sum that was not worked out"),
    (r"[0-9]+_[0-9_]+", "figures with underscores"),
    (RESISTOR_CODE.pattern, "a letter among the figures"),
)
"""What a text is matched against whole, in this order."""


class Refusal(Struct, frozen=True, kw_only=True):
    """Why a text is no number."""

    problem: str
    """A clause, to stand in brackets behind the text."""
    likely: tuple[str, ...] = ()
    """What may have been meant."""


class NotANumberError(Exception):
    """A text that cannot be read as one number; never leaves the reader.

    Attributes:
        refusal: Why.
    """

    def __init__(self, problem: str, *likely: str) -> None:
        """Keep the reason."""
        super().__init__(problem)
        self.refusal = Refusal(problem=problem, likely=likely)


def says_nothing_given(text: str) -> bool:
    """Tell whether a plain text means that no value is given."""
    return text.casefold() in _NOT_GIVEN


def says_why_not_given(text: str) -> bool:
    """Tell whether a plain text where a number should be says that none is given, with the reason behind it."""
    bare = text.casefold()
    return bare[:1] == _FIRST_OF_NONE and _NONE_FOR_A_REASON.fullmatch(bare) is not None


def with_figures(text: str) -> str:
    """Return a plain text with figures for the letters that can be nothing else there: 2O.5, l.002, 5O Ω."""
    for pattern, figure in _CLEAR_LETTERS:
        text = pattern.sub(lambda match, figure=figure: figure * len(match[0]), text)  # type: ignore[misc]
    return text


def letter_for_figure(text: str) -> Refusal | None:
    """Return the refusal of a plain text in which a letter stands for a figure (0.5O); None for others.

    A single l behind the figures is let pass: it may be litres.
    """
    match = _NUMBER_LIKE.match(text)
    if match is None or _LITRES.match(text) or not _LOOK_ALIKE.search(match[0]):
        return None
    return _letter_refusal(text)


def explain(text: str) -> Refusal | None:
    """Return what a plain text that is no number looks like; None where it looks like nothing known."""
    if spaced := _SPACED_POINT.fullmatch(text):
        return Refusal(problem="a space beside the point", likely=(f"{spaced[1]}.{spaced[2]}",))
    for pattern, problem in _kinds():
        if pattern.fullmatch(text):
            return Refusal(problem=problem)
    if bracketed := _BRACKETED.fullmatch(text):
        return Refusal(problem="may be negative, or only in brackets", likely=(bracketed[1], f"-{bracketed[1]}"))
    start = _FIGURES_AND_LETTERS.match(text)
    return _letter_refusal(text) if start and _LOOK_ALIKE.search(start[0]) else None


@cache
def _kinds() -> tuple[tuple[re.Pattern[str], str], ...]:
    """Return the kinds, compiled when the first text is no number: most classes hold none."""
    return tuple((re.compile(pattern), problem) for pattern, problem in _KINDS)


def _letter_refusal(text: str) -> Refusal:
    place = next(match.start() for match in _LOOK_ALIKE.finditer(text))
    if place == 0:
        where = "its first character"
    elif place == len(text) - 1:
        where = "its last character"
    else:
        where = f"character {place + 1}"
    what = "a bar" if text[place] == "|" else f"the letter {text[place]}"
    meant = _LOOK_ALIKE.sub(lambda letter: _FIGURES_FOR_LETTERS[letter[0]], text)
    return Refusal(problem=f"{where} is {what}", likely=(meant,))
