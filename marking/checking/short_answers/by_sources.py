"""An answer about sources of error: which are named, and whether what is told of directions belongs to them."""

from __future__ import annotations

from collections.abc import Sequence
from math import fsum

from msgspec import Struct

from marking.checking.short_answers.against import goes_either_way
from marking.checking.short_answers.denied_causes import is_denied_cause, speaks_against_reason
from marking.checking.short_answers.directions import Claim, Directions, read_directions, way_of_arrival
from marking.checking.short_answers.likely_sources import (
    goes_with,
    is_avoided,
    is_of_a_kind,
    likely_source,
    said_source,
)
from marking.checking.short_answers.marked_before import Counts, shares_of
from marking.checking.short_answers.proposals import Found, Parts, Reading, Why, as_read, says_nothing
from marking.checking.short_answers.quoted_names import quoted_way
from marking.checking.short_answers.turns import has_turn, is_hedged
from marking.checking.short_answers.words import Direction, Match, Word, all_matches, is_two_ways, read_words
from rubrics.model import ErrorSource, Moves, Question

SOURCE = "source"
DIRECTION = "direction"
"""Ids told for a source of error that was named, and for a direction that belongs to it."""
SEVERAL = 2
LEAST_BESIDE = 0.05
"""How likely a source has to be beside the likeliest of those whose wordings stand in a box."""
MOST_SURE = 0.9
SPOILT = 0.97
"""How likely something that spoils an answer has to be for it to be left to the teacher."""
_WAYS = {Moves.HIGH: Direction.UP, Moves.LOW: Direction.DOWN, Moves.SAME: Direction.NONE}


def by_sources(question: Question, found: Found, parts: Parts, off: Moves | None, counts: Counts | None) -> Reading:
    """Return what is proposed for an answer by the sources of error that it names and the directions it tells.

    Args:
        question: What was asked.
        found: What stands in the whole answer, or in the box for the source.
        parts: The answer in its boxes.
        off: The direction that the student's own result has, where the question asks for that one.
        counts: How often words stand in answers and phrases that are known; None where none are.
    """
    known = {one.id: one for one in question.sources}
    named = _nearest(tuple(one for one in found.right if one.idea in known))
    named = _likelier(question, named, parts, counts)
    sources = [known[name] for name in dict.fromkeys(one.idea for one in named)]
    # What only says that something is off does not say which way: 'the start was lower' is a direction of its own.
    taken = {at for one in named for at in one.at if known[one.idea].moves is not Moves.EITHER}
    said = read_directions(question, found.text, found.words, taken)
    behind = _because(question, parts)
    claims = _clear([*said.claims, *behind.claims])
    if parts.way is not None:
        claims.append(Claim(direction=_WAYS[parts.way], is_result=True, is_vague=False))
    told = any(one.is_result for one in claims)
    if told and not named and not found.denied:
        likely = _likely(question, found, parts, {one.direction for one in claims}, counts)
        if likely is not None:
            sources, named = [likely[0]], (likely[1],)
    either = goes_either_way(sources, found.words)
    off = off if off is not None else quoted_way(question, parts.what)
    fits = either or _fit(sources, claims, has_way=parts.way is not None)
    if off is not None:
        fits = fits and {one.direction for one in claims} == {_WAYS[off]}
    told = told or either
    why = _spoilt_by(question, found, parts, counts)
    if why is Why.NONE and (said.is_denied or behind.is_denied or has_turn(read_words(parts.because))):
        why = Why.TURN
    if why is Why.NONE and is_denied_cause(found.words, named, _cures(question, found)):
        why = Why.TURN
    if why is Why.NONE and _goes_another_way(found.words, sources, said, claims, fits=fits, either=either):
        why = Why.DIRECTION
    if why is Why.NONE and speaks_against_reason(read_words(parts.because), sources):
        why = Why.DIRECTION
    if why is Why.NONE and _is_avoided(question, sources, parts, counts):
        why = Why.TURN
    names_way = told and (fits if sources else not says_nothing(found))
    ideas = tuple(([SOURCE] if sources else []) + ([DIRECTION] if names_way else []))
    group = " ".join(sorted(one.id for one in sources)) + _told(claims)
    return as_read(found, ideas, named, enough=bool(sources) and told and fits, why=why, group=group)


def _nearest(named: tuple[Match, ...]) -> tuple[Match, ...]:
    """Return *named* without sources of which another one says more: plants on the edge, of those that are left out."""
    return tuple(
        one for one in named if not any(one.idea != other.idea and set(one.at) < set(other.at) for other in named)
    )


def _likely(
    question: Question, found: Found, parts: Parts, ways: set[Direction], counts: Counts | None
) -> tuple[ErrorSource, Match] | None:
    """Return the source that an answer tells though no wording of it stands there; None where none is sure."""
    likely = likely_source(question, found.words, ways, read_words(parts.because))
    if likely is not None or counts is None or parts.way is None:
        return likely  # the other words of a whole sentence say other things
    return said_source(question, found.words, ways, f"{parts.what}. {parts.because}", counts)


def _likelier(question: Question, named: tuple[Match, ...], parts: Parts, counts: Counts | None) -> tuple[Match, ...]:
    """Return those of *named* in a box of their own that its words, taken together, do not make unlikely."""
    if counts is None or parts.way is None or len({one.idea for one in named}) < SEVERAL:
        return named
    shares = shares_of(f"{parts.what}. {parts.because}", question, counts)
    most = max(shares.get(one.idea, 0.0) for one in named)
    return tuple(one for one in named if shares.get(one.idea, 0.0) >= LEAST_BESIDE * most)


def _spoilt_by(question: Question, found: Found, parts: Parts, counts: Counts | None) -> Why:
    """Return what speaks against what was found, where it stands in its box by all its words."""
    if found.why is Why.WRONG and _is_no_spoil(question, parts, counts):
        return Why.NONE
    if found.why is Why.NONE and _share_of_spoils(question, parts, counts) >= SPOILT:
        return Why.WRONG
    return found.why


def _is_no_spoil(question: Question, parts: Parts, counts: Counts | None) -> bool:
    """Tell whether what spoils an improvement only shares words with the source that stands in its box."""
    if counts is None or parts.way is None:
        return False
    shares = shares_of(f"{parts.what}. {parts.because}", question, counts)
    fits = (one.id for one in question.sources if one.moves in (Moves.EITHER, parts.way))
    return fsum(shares.get(name, 0.0) for name in fits) >= MOST_SURE


def _share_of_spoils(question: Question, parts: Parts, counts: Counts | None) -> float:
    """Return how likely it is that what stands in the boxes is one of the things that spoil an answer."""
    if counts is None or parts.way is None:
        return 0.0
    shares = shares_of(f"{parts.what}. {parts.because}", question, counts)
    return fsum(shares.get(one.id, 0.0) for one in question.wrong)


def _is_avoided(question: Question, sources: Sequence[ErrorSource], parts: Parts, counts: Counts | None) -> bool:
    """Tell whether what is named as a source was avoided; where improvements are taken too, they say so of it."""
    if counts is None or question.ideas:
        return False
    return is_avoided(question, sources, f"{parts.what}. {parts.because}", counts)


def _cures(question: Question, found: Found) -> list[Match]:
    """Return the improvements that stand in an answer about sources of error."""
    known = {one.id for one in question.sources}
    here = [one for one in found.right if one.idea not in known]
    return here + [one for one in all_matches(question.cures, found.words) if not one.is_denied]


def _goes_another_way(
    words: Sequence[Word],
    sources: Sequence[ErrorSource],
    said: Directions,
    claims: Sequence[Claim],
    *,
    fits: bool,
    either: bool,
) -> bool:
    """Tell whether what is told of directions is not what belongs to *sources*."""
    if not sources:
        return False
    if claims and not fits and not either:
        return True
    return _speaks_against(words, sources, said, claims, either=either)


def _speaks_against(
    words: Sequence[Word], sources: Sequence[ErrorSource], said: Directions, claims: Sequence[Claim], *, either: bool
) -> bool:
    """Tell whether something in *words* does not go with *sources*: a sign, a reason, a direction said of nothing."""
    if said.is_against_sign or speaks_against_reason(words, sources):
        return True
    if either:
        return False
    if is_two_ways(words):
        return True
    if not any(one.is_result and not one.is_vague for one in claims):
        return any(word.direction for word in said.loose)
    # Beside a clear 'c is too high' a 'more' does no harm; 'hotter' and 'faster' have to be what the source says.
    loose = {*said.loose, *(word for word in words if word.direction)}
    return any(is_of_a_kind(word.text) and not goes_with(word, sources) for word in loose)


def _clear(claims: list[Claim]) -> list[Claim]:
    """Return *claims*, without those about an 'it' where one names the result: 'it is colder, so R is too high'."""
    named = [one for one in claims if not one.is_vague]
    return named if any(one.is_result for one in named) else claims


class _Behind(Struct, frozen=True):
    claims: tuple[Claim, ...] = ()
    is_denied: bool = False


def _because(question: Question, parts: Parts) -> _Behind:
    """Return what the box for the reason says of directions; what it rests on is not asked for again."""
    if not parts.because:
        return _Behind()
    words = read_words(parts.because)
    if parts.way is not None and is_hedged(words):
        return _Behind()  # both ways are possible, and the box for the direction says which
    taken = {at for one in all_matches(question.sources, words) for at in one.at}
    said = read_directions(question, parts.because, words, taken)
    # With the direction in its own box, a vague 'it is less' here may be about anything.
    claims = tuple(one for one in said.claims if not (one.is_vague and parts.way is not None))
    return _Behind((*claims, *_arrived(question, parts.because)), said.is_denied)


def _arrived(question: Question, text: str) -> tuple[Claim, ...]:
    """Return what is said of the result where something comes early or late, and a time is on the way to it."""
    way = way_of_arrival(text)
    signs = {sign for phrase, sign in question.through if phrase in ("t", "time")}
    if not way or len(signs) != 1:
        return ()
    return (Claim(direction=Direction(way * signs.pop()), is_result=question.any_of, is_vague=False),)


def _fit(sources: Sequence[ErrorSource], claims: Sequence[Claim], *, has_way: bool) -> bool:
    """Tell whether every direction that is told is the one that belongs to every source that is named."""
    ways = {one.direction for one in claims}
    wanted = {_WAYS[one.moves] for one in sources if one.moves is not Moves.EITHER}
    if len(ways) != 1 or len(wanted) > 1:
        return False
    if Direction.NONE in ways and not (has_way and wanted):
        return False
    return not wanted or ways == wanted


def _told(claims: Sequence[Claim]) -> str:
    ways = sorted({one.direction for one in claims})
    return "".join({Direction.UP: " high", Direction.DOWN: " low", Direction.NONE: " same"}[way] for way in ways)
