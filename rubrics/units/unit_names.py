"""What one typed word may stand for: the spelling itself first, then the slips that lead to it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise, product

from rubrics.units.quantities import Terms, merge, terms_of
from rubrics.units.spellings import Spelling, Style, spelling_table

MAX_PIECES = 4
"""Symbols run together in one word: JkgK has three."""
_LONGEST_PIECE = 12
_SHORTEST_GLUED_NAME = 4
_SHORTEST_MISSPELT = 4
_PURE = frozenset({"%", "count", "rad"})
"""Never run together with a unit; ° is, for J/kg°."""
_NEVER_FIRST = frozenset({"K", "C"})
"""Kg and Cm are slips of case before they are kelvin gram and coulomb metre."""
_SCALES = frozenset({"C", "F", "K"})
"""Behind the ring they are a scale, never a unit of their own."""
_LONG_NAME = 7
"""From this length on a name may be two letters off, below it one: 'kelp' must not become 'cell'."""

# How far a candidate is from what was typed; the cheapest one of the wanted quantity is taken.
# The last two lie beyond any sum of the others over the words of one unit.
AS_TYPED, GLUED, UNCLEAR, PLURAL, OTHER_CASE, GLUED_LATE, RARE_OTHER_CASE = 0, 1, 2, 3, 4, 5, 7
GLUED_OTHER_CASE, MISSPELT = 50, 500

# Reasons, as the student reads them.
_CAPITALS = "capitals and small letters count"
_GAP = "leave a space between symbols"
_PLURAL = "symbols take no s"
_SPELLING = "check the spelling"
_COULOMB = "C alone is the coulomb"
_DEGREE = "say which degree"


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """One thing that a word may stand for."""

    terms: Terms
    """What the power behind the word belongs to."""
    cost: int
    style: Style
    run_in: Terms = ()
    """Symbols run together in front of it, which the power leaves alone: the N of Nm-1."""
    is_noted: bool = False
    """Understood, but the student should hear of the usual spelling."""
    reasons: tuple[str, ...] = ()
    is_unclear: bool = False
    """Only a person can say whether this was meant."""
    is_doubtful: bool = False
    """Likelier another thousand, unless it is asked for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Context:
    """What is wanted, as far as it changes how a word is read."""

    has_temperature: bool = False
    has_change: bool = False
    """A change of temperature, or something per degree."""
    has_angle: bool = False


@lru_cache(maxsize=4096)
def candidates(word: str, context: Context, *, is_bare: bool) -> tuple[Candidate, ...]:
    """Return what *word* may stand for, nearest first; empty where nothing comes near.

    Args:
        word: One word of a tidied unit.
        context: What is wanted.
        is_bare: The word is the whole unit, without a power. Then a slip that is itself another unit of
            the school (S for s) is unclear; inside m/S nobody means the siemens.
    """
    found = [
        *_as_typed(word, context),
        *_glued(word, context, is_bare=is_bare),
        *_unclear(word, is_bare=is_bare),
        *_plural(word),
    ]
    found += [*_other_case(word, context, is_bare=is_bare), *_glued_other_case(word, context)]
    if all(candidate.cost >= GLUED_OTHER_CASE for candidate in found):
        found += _misspelt(word, context)
    return tuple(sorted(found, key=lambda candidate: candidate.cost))


def _as_typed(word: str, context: Context) -> Iterator[Candidate]:
    table = spelling_table()
    for applies, meanings, reasons in (
        (context.has_temperature, table.in_temperatures, (_COULOMB if word == "C" else _DEGREE,)),
        (context.has_change, table.in_changes, (_DEGREE,)),
        (context.has_angle, table.in_angles, ()),
    ):
        if applies and word in meanings:
            terms = terms_of(meanings[word])
            yield Candidate(terms=terms, cost=AS_TYPED, style=Style.EITHER, is_noted=True, reasons=reasons)
            return
    if word in table.exact:
        spelling = table.exact[word]
        terms = terms_of(spelling.meaning)
        yield Candidate(
            terms=terms,
            cost=AS_TYPED,
            style=spelling.style,
            is_noted=spelling.is_noted,
            is_doubtful=word in table.doubtful,
        )


def _glued(word: str, context: Context, *, is_bare: bool) -> Iterator[Candidate]:
    table = spelling_table()
    if is_bare and word in table.exact:  # mΩ is the milliohm, though ms-1 is no power of the millisecond
        return
    for pieces in _parted(word, lambda text: text in table.exact and _may_be_glued(table.exact[text])):
        if any(piece == "°" and following in _SCALES for piece, following in pairwise(pieces)):
            continue
        cost = GLUED_LATE if pieces[0] in _NEVER_FIRST else GLUED
        styles = {table.exact[piece].style for piece in pieces}
        if {Style.NAME, Style.SYMBOL} <= styles:  # 'gramms' is a slip of grams before it is gram milliseconds
            cost = GLUED_OTHER_CASE
        yield _run_together([next(_as_typed(piece, context)) for piece in pieces], pieces, cost)


def _glued_other_case(word: str, context: Context) -> Iterator[Candidate]:
    table = spelling_table()
    if word in table.exact:  # kg is no slip for K g
        return

    def gluable(text: str) -> list[Spelling]:
        return [spelling for spelling in table.folded.get(text.casefold(), ()) if _may_be_glued(spelling)]

    for pieces in _parted(word, lambda text: bool(gluable(text))):
        for spellings in product(*(gluable(piece) for piece in pieces)):
            if all(spelling.text == piece for spelling, piece in zip(spellings, pieces, strict=True)):
                continue
            parts = [next(_as_typed(spelling.text, context)) for spelling in spellings]
            found = _run_together(parts, pieces, GLUED_OTHER_CASE)
            yield replace(found, is_noted=True, reasons=(*found.reasons, _CAPITALS))


def _may_be_glued(spelling: Spelling) -> bool:
    is_short_name = spelling.style is Style.NAME and len(spelling.text) < _SHORTEST_GLUED_NAME
    is_pure = all(symbol in _PURE for symbol, _ in terms_of(spelling.meaning))
    return not (spelling.is_noted or spelling.is_rare or is_short_name or is_pure or " " in spelling.text)


def _parted(word: str, is_known: Callable[[str], bool]) -> Iterator[tuple[str, ...]]:
    """Yield every way to part *word* into two or more known pieces, longer first pieces first."""
    open_ways: list[tuple[tuple[str, ...], str]] = [((), word)]
    while open_ways:
        pieces, rest = open_ways.pop()
        if not rest and len(pieces) > 1:
            yield pieces
        if not rest or len(pieces) == MAX_PIECES:
            continue
        for length in range(1, min(len(rest), _LONGEST_PIECE) + 1):
            if is_known(rest[:length]):
                open_ways.append(((*pieces, rest[:length]), rest[length:]))


def _run_together(parts: list[Candidate], pieces: tuple[str, ...], cost: int) -> Candidate:
    # No space is missed in front of a degree sign: kg°C is printed on question papers.
    has_gap = any(not piece.startswith("°") for piece in pieces[1:])
    reasons = dict.fromkeys(reason for part in parts for reason in part.reasons)
    return Candidate(
        terms=parts[-1].terms,
        cost=cost,
        style=Style.SYMBOL,
        run_in=merge(term for part in parts[:-1] for term in part.terms) or (),
        is_noted=has_gap or any(part.is_noted for part in parts),
        reasons=(*([_GAP] if has_gap else []), *reasons),
    )


def _unclear(word: str, *, is_bare: bool) -> Iterator[Candidate]:
    table = spelling_table()
    for meaning in (*table.unclear.get(word, ()), *(table.unclear_alone.get(word, ()) if is_bare else ())):
        yield Candidate(terms=terms_of(meaning), cost=UNCLEAR, style=Style.EITHER, is_unclear=True)


def _plural(word: str) -> Iterator[Candidate]:
    table = spelling_table()
    bare = word.removesuffix("s")
    stem = table.exact.get(bare)
    if stem is None and bare != word and len(bare) > 1:
        folded = table.folded.get(bare.casefold(), ())
        stem = folded[0] if len(folded) == 1 else None
    if stem and stem.text != word and stem.style is Style.SYMBOL and not stem.is_noted and word not in table.unclear:
        yield Candidate(terms=terms_of(stem.meaning), cost=PLURAL, style=stem.style, is_noted=True, reasons=(_PLURAL,))


def _other_case(word: str, context: Context, *, is_bare: bool) -> Iterator[Candidate]:
    table = spelling_table()
    for spelling in table.folded.get(word.casefold(), ()):
        if spelling.text == word:
            continue
        is_unclear = (is_bare and word in table.exact) or _swaps_milli_and_mega(word, spelling)
        for candidate in _as_typed(spelling.text, context):
            reasons = (*candidate.reasons, _CAPITALS)
            cost = RARE_OTHER_CASE if spelling.is_rare else OTHER_CASE
            yield replace(candidate, cost=cost, is_noted=True, reasons=reasons, is_unclear=is_unclear)


def _swaps_milli_and_mega(word: str, spelling: Spelling) -> bool:
    # The one slip of case that is a factor of a thousand million. MM is let pass: no M stands on its own.
    defined = spelling_table().defined
    if spelling.style is Style.NAME or spelling.text[1:] not in defined:
        return False
    is_swapped = {word[0], spelling.text[0]} == {"m", "M"}
    return is_swapped and not (word.isupper() and word[1:] not in defined)


def _misspelt(word: str, context: Context) -> list[Candidate]:
    if len(word) < _SHORTEST_MISSPELT or not word.isascii() or not word.isalpha():
        return []
    from rapidfuzz.distance import OSA  # only for words that nothing else explains

    letters = word.casefold()
    farthest = 2 if len(letters) >= _LONG_NAME else 1
    distances = {
        name: OSA.distance(letters, name, score_cutoff=farthest)
        for name in spelling_table().names
        if len(name) >= _SHORTEST_MISSPELT
    }
    nearest = min(distances.values())
    if nearest > farthest:
        return []
    return [
        replace(candidate, cost=MISSPELT, is_noted=True, reasons=(*candidate.reasons, _SPELLING))
        for name, distance in distances.items()
        if distance == nearest
        for candidate in (*_as_typed(name, context), *([] if context.has_change else _unclear(name, is_bare=False)))
    ]
