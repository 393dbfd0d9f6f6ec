"""Words that are symbols run together, or look like it: how they part, and which may not be parted."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from rubrics.units.quantities import terms_of
from rubrics.units.spellings import Spelling, Style, spelling_table

MAX_PIECES = 4
"""Symbols run together in one word: JkgK has three."""
NEVER_FIRST = frozenset({"K", "C"})
"""Kg and Cm are slips of case before they are kelvin gram and coulomb metre."""
_LONGEST_PIECE = 12
_SHORTEST_GLUED_NAME = 4
_LONGEST_SYMBOL = 2
"""Letters of a symbol without its prefix; ohm, which keyboards use as one, has more."""
_PURE = frozenset({"%", "count", "rad"})
"""Never run together with a unit; ° is, for J/kg°."""


def parted(word: str, is_known: Callable[[str], bool]) -> Iterator[tuple[str, ...]]:
    """Yield every way to part *word* into two or more known pieces, longer first pieces first.

    Nobody writes one symbol twice running: mm² beside a volume is an area, and no metre times square metre.
    """
    open_ways: list[tuple[tuple[str, ...], str]] = [((), word)]
    while open_ways:
        pieces, rest = open_ways.pop()
        if not rest and len(pieces) > 1:
            yield pieces
        if not rest or len(pieces) == MAX_PIECES:
            continue
        for length in range(1, min(len(rest), _LONGEST_PIECE) + 1):
            if is_known(rest[:length]) and pieces[-1:] != (rest[:length],):
                open_ways.append(((*pieces, rest[:length]), rest[length:]))


def may_be_glued(spelling: Spelling) -> bool:
    """Tell whether a spelling may be one of several run together."""
    is_short_name = spelling.style is Style.NAME and len(spelling.text) < _SHORTEST_GLUED_NAME
    is_pure = all(symbol in _PURE for symbol, _ in terms_of(spelling.meaning))
    return not (spelling.is_noted or spelling.is_rare or is_short_name or is_pure or " " in spelling.text)


def is_short_name(spelling: Spelling) -> bool:
    """Tell of sec, secs, gm, celsius: run together only where nothing else explains the word."""
    is_pure = all(symbol in _PURE for symbol, _ in terms_of(spelling.meaning))
    return spelling.style is Style.NAME and not (spelling.is_rare or is_pure or " " in spelling.text)


def is_name(word: str) -> bool:
    """Tell whether a word is the name of a unit, which is never symbols run together: metres are no metre seconds."""
    found = spelling_table().folded.get(word.casefold(), ())
    return any(spelling.style is Style.NAME and not spelling.is_rare for spelling in found)


def mixes_names_with_symbols(pieces: tuple[str, ...]) -> bool:
    """Tell of gramms and ohmns: a slip of grams and ohms first. ohmm is the ohm metre."""
    styles = [(spelling_table().exact[piece].style, piece) for piece in pieces]
    has_name = any(style is Style.NAME for style, _ in styles)
    has_long_symbol = any(style is Style.SYMBOL and len(piece) > 1 for style, piece in styles)
    is_word = any(style is Style.EITHER and piece.isalpha() and len(piece) > _LONGEST_SYMBOL for style, piece in styles)
    return (has_name and any(style is Style.SYMBOL for style, _ in styles)) or (is_word and has_long_symbol)


def is_product(word: str) -> bool:
    """Tell whether symbols as they stand make a word, as in Nm; Kg and Cm are slips of case all the same."""

    def is_symbol(text: str) -> bool:
        spelling = spelling_table().exact.get(text)
        return spelling is not None and spelling.style is Style.SYMBOL and may_be_glued(spelling)

    return any(pieces[0] not in NEVER_FIRST for pieces in parted(word, is_symbol))
