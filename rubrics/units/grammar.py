"""The shape of a unit: which words stand above the line, which below, to which power.

Our own small grammar, because a unit parser made for programs reads ``J/kg K`` as J K/kg, ``ms-2`` as
per square millisecond, and does not come back from ``9**9**9``. Nothing here knows any unit.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import Enum

from msgspec import Struct
from msgspec.structs import replace

from rubrics.patterns import late_pattern

MAX_WORDS = 6
"""Factors in one unit; kg m² s⁻³ A⁻¹ has four."""
MAX_POWER = 9
_MAX_DEPTH = 2
_TENS = r"10 ?(?:\^ ?\(?(?P<raised>[+-]?[0-9]{1,2})\)?|(?P<flat>[+-][0-9]{1,2}))"
_TENS_FIRST = late_pattern(rf"(?:[xX*] ?)?{_TENS} ?[xX*]? ?(?![0-9])(?=.)")
_TENS_LAST = late_pattern(rf" ?[xX*] ?{_TENS}$")
_TOKEN = late_pattern(r"(?P<space> ?)(?P<token>[A-Za-z°%‰ΩωµÅ]+|[0-9]+|[-^/*.()])")
_PER = "per"


class Remark(Enum):
    """What is unusual about the way a unit is put together."""

    TWO_SLASHES = "use one slash, with brackets"
    PRODUCT_BELOW = "put brackets round what is below the slash"
    SLASH_AND_POWER = "use a slash or negative powers, not both"
    PER = "'per' goes with names"
    SPACED_POWER = "write the power next to its symbol"


class Factor(Struct, frozen=True, kw_only=True):
    """One word with its power."""

    word: str
    written: int
    """The power as the figures or words beside it say: -1 for kg⁻¹, 2 for 'squared'."""
    is_below: bool
    """Behind a slash or 'per'."""
    is_flat: bool = False
    """Its power was written in figures (sec-1), not in words (seconds squared)."""
    is_raised: bool = False
    """Its power stands raised, or behind a sign that says so (s², s^2)."""

    @property
    def power(self) -> int:
        """Return the power that counts: -2 for the s of m/s²."""
        return -self.written if self.is_below else self.written


class Expression(Struct, frozen=True, kw_only=True):
    """A unit's shape."""

    factors: tuple[Factor, ...]
    remarks: frozenset[Remark]
    tens: int = 0
    """The power of ten that belongs to the unit: -3 for 10⁻³ s⁻¹."""

    @property
    def is_unclear(self) -> bool:
        """Tell whether a slash and a negative power contradict each other, as in m/s-1."""
        return any(factor.is_below and factor.written < 0 for factor in self.factors)

    def below_once(self) -> Expression:
        """Return what was probably meant by m/s-1: below the line, once."""
        factors = (replace(f, written=abs(f.written)) if f.is_below else f for f in self.factors)
        return replace(self, factors=tuple(factors))


class Phrases(Struct, frozen=True, kw_only=True):
    """The words of the grammar that are data."""

    before: Mapping[str, int]
    """square, cubic: the power of the word that follows."""
    after: Mapping[str, int]
    """squared, cubed: the power of the word in front."""
    joined: frozenset[str]
    """Case-folded spellings of two words that are one: degrees c, per cent."""


class _NotAUnitError(Exception):
    """The text has not the shape of a unit."""


def parse(text: str, phrases: Phrases) -> Expression | None:
    """Return the shape of a tidied text, or None where it has not the shape of a unit."""
    text, tens = _without_tens(text)
    tokens: list[_Token] = []
    position = 0
    for match in _TOKEN.finditer(text):
        if match.start() != position:
            return None
        position = match.end()
        tokens.append(_Token(match["token"], bool(match["space"])))
    if position != len(text):
        return None
    parser = _Parser(_join_phrases(tokens, phrases.joined), phrases)
    try:
        factors = parser.whole()
    except _NotAUnitError:
        return None
    if len(factors) > MAX_WORDS or any(abs(factor.written) > MAX_POWER for factor in factors):
        return None
    return Expression(factors=tuple(factors), remarks=frozenset(parser.remarks), tens=tens)


def _without_tens(text: str) -> tuple[str, int]:
    """Return the text without a power of ten in front or behind, and that power; 0 where there is none."""
    first, last = _TENS_FIRST.match(text), _TENS_LAST.search(text)
    match = first or last
    if match is None:
        return text, 0
    return text[match.end() :] if first else text[: match.start()], int(match["raised"] or match["flat"])


class _Token(Struct, frozen=True):
    text: str
    is_spaced: bool
    """A space stood in front of it."""

    @property
    def is_word(self) -> bool:
        return self.text[:1].isalpha() or self.text[:1] in ("°", "%", "‰")

    @property
    def is_parting(self) -> bool:
        return self.text == "/" or self.text.casefold() == "per"


_END = _Token("", False)


def _join_phrases(tokens: list[_Token], joined: frozenset[str]) -> list[_Token]:
    out: list[_Token] = []
    for token in tokens:
        phrase = f"{out[-1].text} {token.text}" if out and token.is_spaced else ""
        if phrase.casefold() in joined:
            out[-1] = _Token(phrase, out[-1].is_spaced)
        else:
            out.append(token)
    return out


class _Parser:
    """Reads the tokens from left to right; what follows a slash stays below the line."""

    def __init__(self, tokens: list[_Token], phrases: Phrases) -> None:
        self._tokens = tokens
        self._phrases = phrases
        self._at = 0
        self.remarks: set[Remark] = set()

    def whole(self) -> list[Factor]:
        """Return the factors of the whole text."""
        factors = self._group(depth=0)
        if self._peek() is not _END:
            raise _NotAUnitError
        return factors

    def _group(self, depth: int) -> list[Factor]:
        # Up to the end or to the closing bracket.
        if depth > _MAX_DEPTH:
            raise _NotAUnitError
        factors: list[Factor] = []
        partings: list[str] = []
        if self._peek().text == "1" and self._peek(1).is_parting:
            self._at += 1
        is_open = True  # a factor has to follow
        while (token := self._peek()) is not _END and token.text != ")":
            if token.is_parting:
                if is_open and (factors or partings):
                    raise _NotAUnitError
                partings.append(self._take().text)
                is_open = True
            elif token.text in ("*", ".", "-") and not is_open:
                self._product(is_below=bool(partings))
                is_open = True
            else:
                self._factor(factors, bool(partings), depth)
                is_open = False
        if is_open:
            raise _NotAUnitError
        self._look_back(factors, partings)
        return factors

    def _product(self, *, is_below: bool) -> None:
        if self._take().text != "-" and is_below:
            self.remarks.add(Remark.PRODUCT_BELOW)

    def _look_back(self, factors: list[Factor], partings: list[str]) -> None:
        slashes = partings.count("/")
        if slashes < len(partings):
            self.remarks.add(Remark.PER)
        if slashes > 1:
            self.remarks.add(Remark.TWO_SLASHES)
        if partings and any(factor.written < 0 for factor in factors):
            self.remarks.add(Remark.SLASH_AND_POWER)

    def _factor(self, factors: list[Factor], is_below: bool, depth: int) -> None:
        """Take a bracket, a word with its power, or a word that is the power of the one before."""
        is_parted = self._at > 0 and self._tokens[self._at - 1].is_parting
        token = self._take()
        word = token.text.casefold()
        if token.text == "(":
            inner = self._group(depth + 1)
            self._expect(")")
            power, _ = self._power()
            factors.extend(replace(f, written=f.written * power, is_below=f.is_below != is_below) for f in inner)
        elif factors and word in self._phrases.after and not self._is_in_front(word):
            factors[-1] = replace(factors[-1], written=factors[-1].written * self._phrases.after[word])
        elif word in self._phrases.before and self._is_in_front(word):
            if self._peek().text in ("-", "."):
                self._at += 1
            factors.append(self._word(self._take(), self._phrases.before[word], is_below))
        else:
            factor = self._word(token, 1, is_below)
            # J/kg °C⁻¹ from the left: what carries its own minus behind one that has none stands for itself; m/s⁻¹ not.
            is_apart = token.is_spaced or not is_parted
            is_own = is_below and factor.written < 0 and is_apart and factors[-1:] and factors[-1].written > 0
            factors.append(replace(factor, is_below=False) if is_own else factor)

    def _is_in_front(self, word: str) -> bool:
        # 'sq' may stand on either side: sq m, m/s sq.
        following = self._peek(1) if self._peek().text in ("-", ".") else self._peek()
        return word in self._phrases.before and following.is_word and not following.is_parting

    def _word(self, token: _Token, times: int, is_below: bool) -> Factor:
        if not token.is_word:
            raise _NotAUnitError
        is_raised = self._peek().text == "^"
        power, is_flat = self._power()
        return Factor(word=token.text, written=power * times, is_below=is_below, is_flat=is_flat, is_raised=is_raised)

    def _power(self) -> tuple[int, bool]:
        """Take the power that follows; 1 and False where none is written."""
        start, first = self._at, self._peek()
        has_caret = first.text == "^"
        self._at += has_caret
        has_bracket = has_caret and self._peek().text == "("
        self._at += has_bracket
        sign = self._peek().text
        self._at += sign == "-"
        figures = self._peek().text
        if not figures.isdigit():
            if has_caret:
                raise _NotAUnitError
            self._at = start
            return 1, False
        self._at += 1
        if len(figures) > 1 or figures == "0":
            raise _NotAUnitError
        if has_bracket:
            self._expect(")")
        if first.is_spaced:
            self.remarks.add(Remark.SPACED_POWER)
        return (-int(figures) if sign == "-" else int(figures)), True

    def _expect(self, text: str) -> None:
        if self._take().text != text:
            raise _NotAUnitError

    def _take(self) -> _Token:
        token = self._peek()
        self._at += 1
        return token

    def _peek(self, ahead: int = 0) -> _Token:
        place = self._at + ahead
        return self._tokens[place] if place < len(self._tokens) else _END
