"""What one typed word may stand for: the spelling itself first, then the slips that lead to it."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from itertools import pairwise, product

from msgspec import Struct
from msgspec.structs import replace

from rubrics.units.quantities import Terms, merge, terms_of
from rubrics.units.run_together import (
    NEVER_FIRST,
    is_name,
    is_product,
    is_short_name,
    may_be_glued,
    mixes_names_with_symbols,
    parted,
)
from rubrics.units.spellings import Spelling, Style, spelling_table

_SHORTEST_MISSPELT = 4
_SHORTEST_LACKING = 3
"""A letter inside a name may lack even here, between its first and its last: ams."""
_SCALES = frozenset({"C", "F", "K"})
"""Behind the ring they are a scale, never a unit of their own."""
_WRITTEN_OUT = ("milli", "mega", "nano")
_LONG_NAME = 7
"""From this length on a name may be two letters off, below it one: 'kelp' must not become 'cell'."""

# How far a candidate is from what was typed; the cheapest one of the wanted quantity is taken.
# The last two lie beyond any sum of the others over the words of one unit.
AS_TYPED, GLUED, UNCLEAR, PLURAL, OTHER_CASE, GLUED_LATE, RARE_OTHER_CASE = 0, 1, 2, 3, 4, 5, 7
PLURAL_OTHER_CASE = 8
GLUED_OTHER_CASE, MISSPELT = 50, 500

# Reasons, as the student reads them.
_CAPITALS = "capitals and small letters count"
_GAP = "leave a space between symbols"
_PLURAL = "symbols take no s"
_SPELLING = "check the spelling"
_COULOMB = "C alone is the coulomb"
_DEGREE = "say which degree"


class Candidate(Struct, frozen=True, kw_only=True):
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


class Context(Struct, frozen=True, kw_only=True):
    """What is wanted, as far as it changes how a word is read."""

    has_temperature: bool = False
    has_change: bool = False
    """A change of temperature, or something per degree."""
    has_angle: bool = False
    is_kelvin: bool = False
    """Kelvins alone are asked for: 293 degrees may be meant in them, or in °C."""


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
    if all(
        candidate.cost >= GLUED_OTHER_CASE or (word.isupper() and candidate.run_in) for candidate in found
    ):  # WATS is no W A T S
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
            if context.is_kelvin and word != "C":
                yield Candidate(terms=terms, cost=UNCLEAR, style=Style.EITHER, is_unclear=True)
                return
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
            is_doubtful=_is_doubtful(spelling),
        )


def _is_doubtful(spelling: Spelling) -> bool:
    # Mamps as much as MA, but nobody writes megaamperes out who means the thousandth.
    is_written_out = spelling.text.casefold().startswith(_WRITTEN_OUT)
    return spelling.meaning in spelling_table().doubtful and not is_written_out


def _glued(word: str, context: Context, *, is_bare: bool) -> Iterator[Candidate]:
    table = spelling_table()
    if is_bare and word in table.exact:  # mΩ is the milliohm, though ms-1 is no power of the millisecond
        yield from _turned_round(word, context)
        return
    if is_name(word):
        return
    for pieces in parted(word, lambda text: text in table.exact and may_be_glued(table.exact[text])):
        if any(piece == "°" and following in _SCALES for piece, following in pairwise(pieces)):
            continue
        cost = GLUED_LATE if pieces[0] in NEVER_FIRST else GLUED
        if mixes_names_with_symbols(pieces):  # 'gramms' is a slip of grams before it is gram milliseconds
            cost = GLUED_OTHER_CASE
        yield _run_together([next(_as_typed(piece, context)) for piece in pieces], pieces, cost)


def _turned_round(word: str, context: Context) -> Iterator[Candidate]:
    """Yield the product that a symbol with a prefix may be: mΩ for the ohm metre, mN for the newton metre."""
    table = spelling_table()
    whole = terms_of(table.exact[word].meaning)
    if word not in table.defined or len(whole) != 1:
        return
    prefix, symbol = word[:1], word[1:]
    if prefix != symbol and prefix.isalpha() and {prefix, symbol} <= table.defined.keys():
        parts = [next(_as_typed(piece, context)) for piece in (prefix, symbol)]
        yield replace(_run_together(parts, (prefix, symbol), UNCLEAR), is_unclear=True)


def _glued_other_case(word: str, context: Context) -> Iterator[Candidate]:
    table = spelling_table()
    if is_name(word):
        return
    # nm, where the newton metre is asked for, and Mpa, where m Pa is
    usual = [s for s in table.folded.get(word.casefold(), ()) if s.style is Style.SYMBOL and not s.is_rare]
    is_exact = word in table.exact or bool(usual)

    def gluable(text: str) -> list[Spelling]:
        found = [s for s in table.folded.get(text.casefold(), ()) if may_be_glued(s) or is_short_name(s)]
        if len(text) > 2 and text[-1:] == "s":  # molsdm-3
            stems = table.folded.get(text[:-1].casefold(), ())
            found += [s for s in stems if may_be_glued(s) and s.style is Style.SYMBOL]
        return found

    for pieces in parted(word, lambda text: bool(gluable(text))):
        if is_exact and pieces[0].upper() in NEVER_FIRST:  # kg is no slip for K g
            continue
        # Vs is the volt second as it stands; that it is V S, only a person can say.
        is_whole = all(piece in table.exact and may_be_glued(table.exact[piece]) for piece in pieces)
        for spellings in product(*(gluable(piece) for piece in pieces)):
            if all(s.text == piece and may_be_glued(s) for s, piece in zip(spellings, pieces, strict=True)):
                continue
            parts = [next(_as_typed(spelling.text, context)) for spelling in spellings]
            found = _run_together(parts, pieces, GLUED_OTHER_CASE)
            yield replace(found, is_noted=True, reasons=(*found.reasons, _CAPITALS), is_unclear=is_whole or is_exact)


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
    bare = word.removesuffix("S" if word.isupper() and len(word) > 2 else "s")
    if bare == word or word in table.unclear or word in table.exact:
        return
    stem = table.exact.get(bare)
    stems = [stem] if stem is not None else list(table.folded.get(bare.casefold(), ())) if len(bare) > 1 else []
    usual = [stem for stem in stems if not stem.is_rare] or stems
    for stem in usual:
        if stem.style is Style.SYMBOL and (stem.text != bare or not stem.is_noted or stem.meaning == "ml"):
            cost = PLURAL if stem.text == bare else PLURAL_OTHER_CASE
            doubtful = _is_doubtful(stem)
            terms = terms_of(stem.meaning)
            reasons = (_PLURAL,)
            yield Candidate(
                terms=terms, cost=cost, style=stem.style, is_noted=True, reasons=reasons, is_doubtful=doubtful
            )


def _other_case(word: str, context: Context, *, is_bare: bool) -> Iterator[Candidate]:
    table = spelling_table()
    for spelling in table.folded.get(word.casefold(), ()):
        if spelling.text == word:
            continue
        # Nm is the newton metre before it is a slip of nm; Pascal is no product.
        is_itself = word in table.exact or (spelling.style is Style.SYMBOL and is_product(word))
        # A small s is a second: that the siemens was meant, inside 1/s too, only a person can say.
        is_unclear = (is_itself and (is_bare or word.islower())) or _swaps_milli_and_mega(word, spelling)
        for candidate in _as_typed(spelling.text, context):
            reasons = (*candidate.reasons, _CAPITALS)
            cost = RARE_OTHER_CASE if spelling.is_rare else OTHER_CASE
            cost += spelling.is_rare and spelling.text[:1] != word[:1]  # mAmps are milliamperes, not MA
            yield replace(candidate, cost=cost, is_noted=True, reasons=reasons, is_unclear=is_unclear)


def _swaps_milli_and_mega(word: str, spelling: Spelling) -> bool:
    # The one slip of case that is a factor of a thousand million. MM is let pass: no M stands on its own.
    defined = spelling_table().defined
    if spelling.style is Style.NAME or spelling.text[1:] not in defined:
        return False
    is_swapped = {word[0], spelling.text[0]} == {"m", "M"}
    return is_swapped and not (word.isupper() and word[1:] not in defined)


def _may_be_meant(name: str, letters: str) -> bool:
    # uvolts are no volts: a letter too many in front is a prefix, known or not.
    if len(letters) < _SHORTEST_MISSPELT:
        return len(name) == len(letters) + 1 and (name[0], name[-1]) == (letters[0], letters[-1])
    return len(name) >= _SHORTEST_MISSPELT and (name[0] == letters[0] or len(name) == len(letters))


def _misspelt(word: str, context: Context) -> list[Candidate]:
    if len(word) < _SHORTEST_LACKING or not word.isascii() or not word.isalpha():
        return []
    from rapidfuzz.distance import OSA  # only for words that nothing else explains

    letters = word.casefold()
    farthest = 2 if len(letters) >= _LONG_NAME else 1
    distances = {
        name: OSA.distance(letters, name, score_cutoff=farthest)
        for name in spelling_table().names
        if _may_be_meant(name, letters)
    }
    nearest = min(distances.values(), default=farthest + 1)
    if nearest > farthest:
        return []
    return [
        replace(candidate, cost=MISSPELT, is_noted=True, reasons=(*candidate.reasons, _SPELLING))
        for name, distance in distances.items()
        if distance == nearest
        for candidate in (*_as_typed(name, context), *([] if context.has_change else _unclear(name, is_bare=False)))
    ]
