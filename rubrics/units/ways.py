"""The ways to read a whole unit: every word's candidates, put together as the grammar says."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import islice, product

from msgspec import Struct

from rubrics.units.grammar import Expression, Factor, Remark
from rubrics.units.quantities import Terms, merge
from rubrics.units.scales import TEN
from rubrics.units.spellings import Style
from rubrics.units.unit_names import GLUED_OTHER_CASE, MISSPELT, Candidate, Context, candidates

_MAX_WAYS = 300
"""Ways to read one text that are looked at; a real unit has fewer than fifty."""
_MIXED = "keep to names or to symbols"
_DEGREES = frozenset({"degree", "degrees", "deg", "degs", "°"})
_SCALES = (["°C"], ["K"], ["°F"])
_POWERED_NAME = "powers go with symbols"


class Way(Struct, frozen=True):
    """One way to read a whole text."""

    terms: Terms
    cost: int
    reasons: tuple[str, ...]
    is_noted: bool
    is_unclear: bool
    is_doubtful: bool = False
    """Likelier another thousand, unless it is asked for: mPa."""

    @property
    def is_mixed(self) -> bool:
        """Tell whether names stand beside symbols."""
        return _MIXED in self.reasons

    @property
    def is_far_fetched(self) -> bool:
        """Tell whether letters had to be run together in another case, as in 'half' from h, A, l and F."""
        return GLUED_OTHER_CASE <= self.cost < MISSPELT


def ways_to_read(expression: Expression, context: Context) -> Iterator[Way]:
    """Yield the ways to read *expression*; with a slash and a negative power, both readings of that."""
    factors = expression.factors
    is_bare = len(factors) == 1 and factors[0].power == 1
    options = [candidates(factor.word, context, is_bare=is_bare) for factor in factors]
    shapes = (expression, expression.below_once()) if expression.is_unclear else (expression,)
    tens = ((TEN, expression.tens),) if expression.tens else ()
    for shape, picked in product(shapes, islice(product(*options), _MAX_WAYS)):
        terms = merge((*tens, *_terms_of(_without_degrees(shape.factors, picked))))
        if terms is None:
            continue
        reasons = dict.fromkeys((*(reason for c in picked for reason in c.reasons), *_remarks(expression, picked)))
        yield Way(
            terms,
            cost=sum(candidate.cost for candidate in picked),
            reasons=tuple(reasons),
            is_noted=bool(reasons) or any(candidate.is_noted for candidate in picked),
            is_unclear=expression.is_unclear or any(candidate.is_unclear for candidate in picked),
            is_doubtful=any(candidate.is_doubtful for candidate in picked),
        )


def _terms_of(pairs: Sequence[tuple[Factor, Candidate]]) -> Iterator[tuple[str, int]]:
    for factor, candidate in pairs:
        for part, times in ((candidate.run_in, -1 if factor.is_below else 1), (candidate.terms, factor.power)):
            yield from ((symbol, power * times) for symbol, power in part)


def _without_degrees(factors: Sequence[Factor], picked: Sequence[Candidate]) -> list[tuple[Factor, Candidate]]:
    """Return factors with what they stand for, 'degree' in front of the name of a scale left out."""
    pairs = list(zip(factors, picked, strict=True))
    return [
        pair
        for pair, following in zip(pairs, [*pairs[1:], None], strict=True)
        if following is None or not _is_of_scale(pair, following)
    ]


def _is_of_scale(degree: tuple[Factor, Candidate], scale: tuple[Factor, Candidate]) -> bool:
    is_degree = degree[0].word.casefold() in _DEGREES and degree[0].written == 1
    is_scale = [symbol for symbol, _ in scale[1].terms] in _SCALES and not scale[1].run_in
    return is_degree and is_scale and degree[0].is_below == scale[0].is_below


def _remarks(expression: Expression, picked: Sequence[Candidate]) -> Iterator[str]:
    styles = {candidate.style for candidate in picked}
    for remark in Remark:
        if remark in expression.remarks and (remark is not Remark.PER or Style.SYMBOL in styles):
            yield remark.value
    if {Style.SYMBOL, Style.NAME} <= styles:
        yield _MIXED
    elif any(f.is_flat and c.style is Style.NAME for f, c in zip(expression.factors, picked, strict=True)):
        yield _POWERED_NAME
