"""What an answer is read as, and what is proposed: a mark only where nothing in the answer speaks against it."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from enum import StrEnum

from msgspec import Struct

from marking.checking.short_answers.denied_causes import is_denied_cause, speaks_against_reason
from marking.checking.short_answers.directions import Claim, Directions, read_directions
from marking.checking.short_answers.improvements import makes_worse
from marking.checking.short_answers.likely_sources import goes_with, is_of_a_kind, likely_source
from marking.checking.short_answers.own_figures import ideas_shown, is_contradicted
from marking.checking.short_answers.quoted_names import quoted_way
from marking.checking.short_answers.reading_words import (
    Direction,
    Word,
    is_two_ways,
    known_words,
    opposites_of,
    read_words,
)
from marking.checking.short_answers.turns import (
    has_turn,
    is_circle,
    is_hedged,
    opens_with_denial,
    own_words,
    says_nothing_new,
    tells_both_ways,
)
from marking.checking.short_answers.weight import is_well_founded
from marking.checking.short_answers.wordings_found import Match, all_matches
from rubrics.model import ErrorSource, Moves, Question

SOURCE = "source"
DIRECTION = "direction"
"""Ids told for a source of error that was named, and for a direction that belongs to it."""
MOST_BESIDE = 4
"""Words beside what neither helps nor harms in an answer that says nothing else."""
Figures = Mapping[str, Sequence[float]]
"""Column to the student's own values, as written or as they follow from the readings."""
_WAYS = {Moves.HIGH: Direction.UP, Moves.LOW: Direction.DOWN, Moves.SAME: Direction.NONE}


class Proposal(StrEnum):
    """What is proposed to the teacher."""

    AWARDED = "awarded"
    WITHHELD = "withheld"
    UNSURE = "unsure"


class Why(StrEnum):
    """Why an answer is left to the teacher."""

    NONE = ""
    PARTLY = "partly"
    """Some of what is asked for is there."""
    NOT_FOUND = "not-found"
    TURN = "turn"
    """Something is denied, or said to be wrong."""
    DIRECTION = "direction"
    """The direction is not the one that belongs to the source, or goes both ways."""
    WRONG = "wrong"
    """A wrong idea stands beside it."""
    COPIED = "copied"
    """The words of the question, or a circle."""
    FIGURES = "figures"
    """The figures quoted do not show it."""


class Reading(Struct, frozen=True, kw_only=True):
    """What an answer was read as."""

    proposal: Proposal
    ideas: tuple[str, ...]
    """Ids of the ideas found, in the order of the question; those that a contradiction spoils among them."""
    wrong: tuple[str, ...]
    """Ids of wrong ideas found."""
    spans: tuple[tuple[int, int], ...]
    """What it rests on, in order."""
    group: str
    """Same for answers that mean the same."""
    why: Why = Why.NONE


class Parts(Struct, frozen=True, kw_only=True):
    """An answer in its boxes."""

    what: str
    way: Moves | None = None
    because: str = ""


class _Found(Struct, frozen=True, kw_only=True):
    """What stands in a text."""

    text: str
    words: tuple[Word, ...]
    right: tuple[Match, ...]
    denied: tuple[Match, ...]
    wrong: tuple[Match, ...]
    ignored: tuple[Match, ...]
    why: Why
    """What speaks against taking it for sure."""


def read_answer(
    question: Question, answer: str | Parts, own: Figures | None = None, off: Moves | None = None
) -> Reading:
    """Return which ideas of *question* stand in *answer*, and what is proposed.

    Args:
        question: What was asked.
        answer: The whole answer as written, or its boxes where direction and reason have boxes of their own.
        own: The student's own figures, against which those in the answer are held.
        off: The direction that the student's own result has, where the question asks for that one.
    """
    parts = Parts(what=answer) if isinstance(answer, str) else answer
    found = _look(question, parts.what)
    proposals = []
    if question.sources:
        proposals.append(_by_sources(question, found, parts, off))
    if question.ideas or not question.sources:
        is_open = bool(proposals) and proposals[0].proposal is not Proposal.AWARDED
        proposals.append(_by_ideas(question, found, own or {}, says_off=is_open and _says_off(question, found)))
    order = [Proposal.AWARDED, Proposal.UNSURE, Proposal.WITHHELD]
    best = min(proposals, key=lambda one: (order.index(one.proposal), -len(one.ideas)))
    if any(one.proposal is Proposal.UNSURE and one.why not in _HARMLESS for one in proposals):
        # What speaks against an answer speaks against it whichever way it is read.
        best = max(proposals, key=lambda one: one.why not in _HARMLESS)
    return best


_HARMLESS = (Why.NONE, Why.NOT_FOUND, Why.PARTLY)


def _look(question: Question, text: str) -> _Found:
    everything = read_words(text)
    words = own_words(question.prompt, everything)
    matches = all_matches((*question.ideas, *question.sources), words)
    right = tuple(one for one in matches if not one.is_denied)
    denied = tuple(one for one in matches if one.is_denied and not _is_covered(one, right))
    wrong = tuple(one for one in all_matches(question.wrong, words) if not one.is_denied)
    return _Found(
        text=text,
        words=words,
        right=right,
        denied=denied,
        wrong=wrong,
        ignored=tuple(all_matches(question.ignore, words)),
        why=_against(question, words, everything, right, denied, wrong),
    )


def _against(
    question: Question,
    words: tuple[Word, ...],
    everything: tuple[Word, ...],
    right: Sequence[Match],
    denied: Sequence[Match],
    wrong: Sequence[Match],
) -> Why:
    if wrong:
        return Why.WRONG
    if _denies(question, words, right, denied) or has_turn(words) or _has_opposite(question, words, right):
        return Why.TURN
    if opens_with_denial(words, right) or makes_worse(question, words, right):
        return Why.TURN
    if right and is_hedged(words) and not _goes_either_way(_sources_of(question, right), words):
        return Why.DIRECTION
    if len(words) < len(everything) and says_nothing_new(question.prompt, everything):
        return Why.COPIED
    return Why.COPIED if is_circle(words) or says_nothing_new(question.prompt, everything) else Why.NONE


def _sources_of(question: Question, right: Sequence[Match]) -> list[ErrorSource]:
    """Return the sources that are named, none of them where an idea of another kind is."""
    named = {one.idea for one in right}
    found = [one for one in question.sources if one.id in named]
    return found if len(found) == len(named) else []


def _denies(question: Question, words: Sequence[Word], right: Sequence[Match], denied: Sequence[Match]) -> bool:
    """Tell whether an idea is denied; what an improvement is there to prevent is not: 'so it does not run down'."""
    sources = {source.id for source in question.sources}
    ideas = [min(one.at) for one in right if one.idea not in sources]
    purposes = [at for at, word in enumerate(words) if word.text in known_words()["purposes"]]
    named = {at for one in right if one.idea in sources for at in one.at}
    return not all(
        # What an improvement is there to prevent, or what a source names as missing: 'no lid'.
        (one.idea in sources and any(idea < at < max(one.at) for idea in ideas for at in purposes))
        or (one.idea not in sources and named & set(one.at))
        for one in denied
    )


def _has_opposite(question: Question, words: Sequence[Word], right: Sequence[Match]) -> bool:
    """Tell whether an idea stands beside the opposite of one of its words: a wide slit, for a thin ray."""
    ideas = {idea.id for idea in question.ideas}
    named = {at for one in right for at in one.at}
    for one in right:
        if one.idea not in ideas:
            continue
        opposite = frozenset().union(*(opposites_of(words[at].text) for at in one.at))
        if any(word.text in opposite for at, word in enumerate(words) if at not in named):
            return True
    return False


def _is_covered(denied: Match, right: Collection[Match]) -> bool:
    # Where a wording takes either direction, the one that was written counts.
    # So does another idea that is made of the very same words: a meter that reads low, for one that reads high.
    spans = set(denied.spans)
    return any((one.idea == denied.idea and spans & set(one.spans)) or spans <= set(one.spans) for one in right)


def _cures(question: Question, found: _Found) -> list[Match]:
    """Return the improvements that stand in an answer about sources of error."""
    known = {one.id for one in question.sources}
    here = [one for one in found.right if one.idea not in known]
    return here + [one for one in all_matches(question.cures, found.words) if not one.is_denied]


def _says_off(question: Question, found: _Found) -> bool:
    """Tell whether the result is said to come out too high or too low: that is what an error does, no improvement."""
    claims = read_directions(question, found.text, found.words, ()).claims
    return any(one.is_result and not one.is_vague for one in claims)


def _by_ideas(question: Question, found: _Found, own: Figures, *, says_off: bool) -> Reading:
    shown = ideas_shown(question, found.text, own)
    held = {one.idea for one in found.right} | shown
    ideas = tuple(idea.id for idea in question.ideas if idea.id in held)
    why = found.why
    if why is Why.NONE and is_two_ways(found.words):
        why = Why.DIRECTION
    if why is Why.NONE and ideas and says_off:
        why = Why.DIRECTION
    if why is Why.NONE and is_contradicted(question, ideas, found.text, own):
        why = Why.FIGURES
    rests = _matches_of(found.right, ideas)
    passed = {at for one in found.ignored for at in one.at}
    enough = len(ideas) >= question.need and bool(question.ideas)
    enough = enough and (bool(shown) or is_well_founded(question, found.words, rests, ideas, passed))
    return _reading(found, ideas, rests, enough=enough, why=why)


def _matches_of(matches: Sequence[Match], ideas: Collection[str]) -> tuple[Match, ...]:
    return tuple(one for one in matches if one.idea in ideas)


def _by_sources(question: Question, found: _Found, parts: Parts, off: Moves | None) -> Reading:
    known = {one.id: one for one in question.sources}
    named = tuple(one for one in found.right if one.idea in known)
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
        reason = read_words(parts.because)
        likely = likely_source(question, found.words, {one.direction for one in claims}, reason)
        if likely is not None:
            sources, named = [likely[0]], (likely[1],)
    either = _goes_either_way(sources, found.words)
    off = off if off is not None else quoted_way(question, parts.what)
    fits = either or _fit(sources, claims, has_way=parts.way is not None)
    if off is not None:
        fits = fits and {one.direction for one in claims} == {_WAYS[off]}
    told = told or either
    why = found.why
    if why is Why.NONE and (said.is_denied or behind.is_denied or has_turn(read_words(parts.because))):
        why = Why.TURN
    if why is Why.NONE and is_denied_cause(found.words, named, _cures(question, found)):
        why = Why.TURN
    if why is Why.NONE and _goes_another_way(found.words, sources, said, claims, fits=fits, either=either):
        why = Why.DIRECTION
    ideas = tuple(([SOURCE] if sources else []) + ([DIRECTION] if told and (fits or not sources) else []))
    group = " ".join(sorted(one.id for one in sources)) + _told(claims)
    return _reading(found, ideas, named, enough=bool(sources) and told and fits, why=why, group=group)


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


def _goes_either_way(sources: Sequence[ErrorSource], words: Sequence[Word]) -> bool:
    """Tell whether both ways are told of sources that go either way: 'the counts are random, so over or under'."""
    return any(one.moves is Moves.EITHER for one in sources) and tells_both_ways(words)


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
    return _Behind(claims, said.is_denied)


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


def _reading(
    found: _Found,
    ideas: tuple[str, ...],
    rests: Sequence[Match],
    *,
    enough: bool,
    why: Why,
    group: str = "",
) -> Reading:
    wrong = tuple(dict.fromkeys(one.idea for one in found.wrong))
    spoilt = why not in _HARMLESS
    if spoilt:
        proposal = Proposal.WITHHELD if wrong and not ideas else Proposal.UNSURE
    elif enough:
        proposal = Proposal.AWARDED
    else:
        why = Why.PARTLY if ideas else Why.NOT_FOUND
        proposal = Proposal.WITHHELD if not ideas and _says_only(found.words, found.ignored) else Proposal.UNSURE
    spans = {span for one in (*rests, *found.wrong, *found.denied) for span in one.spans}
    return Reading(
        proposal=proposal,
        ideas=ideas,
        wrong=wrong,
        spans=tuple(sorted(spans)),
        group=_group(found, ideas, wrong, group, why if spoilt else Why.NONE),
        why=why,
    )


def _says_only(words: Sequence[Word], ignored: Sequence[Match]) -> bool:
    """Tell whether an answer says little beside what neither helps nor harms: 'human error when measuring'."""
    at = {at for one in ignored for at in one.at}
    others = [word for number, word in enumerate(words) if number not in at and not word.is_passed_over]
    return bool(ignored) and len(others) <= MOST_BESIDE


def _group(found: _Found, ideas: Sequence[str], wrong: Sequence[str], named: str, why: Why) -> str:
    denied = sorted({one.idea for one in found.denied})
    if named.strip() or ideas or wrong or denied:
        said = [
            named.strip() or " ".join(ideas),
            *(f"wrong:{one}" for one in wrong),
            *(f"denied:{one}" for one in denied),
        ]
        return " ".join([*said, f"({why})"] if why else said).strip()
    return "other: " + " ".join(sorted({word.stem for word in found.words if not word.is_passed_over}))
