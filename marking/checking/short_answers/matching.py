"""What an answer is read as, and what is proposed: a mark only where nothing in the answer speaks against it."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from functools import lru_cache

from msgspec.structs import replace

from marking.checking.short_answers.against import speaks_against
from marking.checking.short_answers.by_sources import by_sources
from marking.checking.short_answers.directions import read_directions
from marking.checking.short_answers.marked_before import Counts, Marked, counts_of, marked_before
from marking.checking.short_answers.own_figures import ideas_shown, is_contradicted
from marking.checking.short_answers.proposals import HARMLESS, Found, Parts, Proposal, Reading, Why, as_read
from marking.checking.short_answers.turns import own_words
from marking.checking.short_answers.weight import is_unlike, is_well_founded, left_open, likely_idea
from marking.checking.short_answers.words import Match, all_matches, is_two_ways, places_of, read_words
from rubrics.model import Evidence, Moves, Question

Figures = Mapping[str, Sequence[float]]
"""Column to the student's own values, as written or as they follow from the readings."""


def read_answer(
    question: Question,
    answer: str | Parts,
    own: Figures | None = None,
    off: Moves | None = None,
    marked: Marked | None = None,
    tested: str | None = None,
) -> Reading:
    """Return which ideas of *question* stand in *answer*, and what is proposed.

    Args:
        question: What was asked.
        answer: The whole answer as written, or its boxes where direction and reason have boxes of their own.
        own: The student's own figures, against which those in the answer are held.
        off: The direction that the student's own result has, where the question asks for that one.
        marked: Answers to go by that were marked before; None for those of the program.
        tested: What was tested, for sources of error that only some of the rubric's choices have; None if unknown. What
            the answer says of it itself goes before.
    """
    if own or marked is not None:
        return _read(question, answer, own or {}, off, marked, tested)
    return _read_by_text(question, answer, off, tested)


@lru_cache(maxsize=4096)  # many students write the same few words
def _read_by_text(question: Question, answer: str | Parts, off: Moves | None, tested: str | None) -> Reading:
    """Return what an answer is read as that is held against no figures of its student."""
    return _read(question, answer, {}, off, None, tested)


def _read(
    question: Question,
    answer: str | Parts,
    own: Figures,
    off: Moves | None,
    marked: Marked | None,
    tested: str | None,
) -> Reading:
    known = counts_of(marked) if marked is not None else marked_before(question)
    parts = Parts(what=answer) if isinstance(answer, str) else answer
    question = _asked_of(question, _says_tested(question, parts) or tested)
    found = _look(question, parts.what)
    proposals = []
    if question.sources:
        proposals.append(by_sources(question, found, parts, off, known))
    is_settled = parts.way is not None and any(one.proposal is Proposal.AWARDED for one in proposals)
    if (question.ideas or not question.sources) and not is_settled:  # a source in its box is no improvement
        is_open = bool(proposals) and proposals[0].proposal is not Proposal.AWARDED
        says_off = is_open and _says_off(question, found)
        proposals.append(_by_ideas(question, found, own, known, says_off=says_off))
    order = [Proposal.AWARDED, Proposal.UNSURE, Proposal.WITHHELD]
    best = min(proposals, key=lambda one: (order.index(one.proposal), -len(one.ideas)))
    if any(one.proposal is Proposal.UNSURE and one.why not in HARMLESS for one in proposals):
        # What speaks against an answer speaks against it whichever way it is read.
        best = max(proposals, key=lambda one: one.why not in HARMLESS)
    if known is None or _is_borne_out(question, best.ideas, own):
        return best
    return left_open(best) if is_unlike(question, best, answer, known) else best


def _says_tested(question: Question, parts: Parts) -> str | None:
    """Return which of the rubric's choices an answer names itself: 'tilted on the ball'; None for none, or several."""
    words = read_words(f"{parts.what}. {parts.because}") if question.tested else ()
    named = [choice for choice, also in question.tested if any(any(places_of(one, words)) for one in also)]
    return named[0] if len(named) == 1 else None


def _asked_of(question: Question, tested: str | None) -> Question:
    """Return *question* without the sources of something else than was *tested*, for None the first choice."""
    tested = tested or next((choice for choice, _ in question.tested), None)
    sources = tuple(one for one in question.sources if not one.when or tested in one.when)
    return question if len(sources) == len(question.sources) else replace(question, sources=sources)


def _is_borne_out(question: Question, ideas: Collection[str], own: Figures) -> bool:
    """Tell whether the student's own columns were held against one of *ideas*, and did not speak against it."""
    return any(
        idea.id in ideas
        and idea.evidence not in (None, Evidence.ALIKE, Evidence.SCATTERED)
        and all(name in own for name in idea.columns)
        for idea in question.ideas
    )


@lru_cache(maxsize=1024)
def _look(question: Question, text: str) -> Found:
    everything = read_words(text)
    words = own_words(question.prompt, everything)
    matches = all_matches((*question.ideas, *question.sources), words)
    right = tuple(one for one in matches if not one.is_denied)
    denied = tuple(one for one in matches if one.is_denied and not _is_covered(one, right))
    wrong = tuple(one for one in all_matches(question.wrong, words) if not one.is_denied)
    return Found(
        text=text,
        words=words,
        right=right,
        denied=denied,
        wrong=wrong,
        ignored=tuple(all_matches(question.ignore, words)),
        why=speaks_against(question, text, words, everything, right, denied, wrong),
    )


def _is_covered(denied: Match, right: Collection[Match]) -> bool:
    if denied.is_backwards:
        return False
    # Where a wording takes either direction, the one that was written counts.
    # So does another idea that is made of the very same words: a meter that reads low, for one that reads high.
    spans = set(denied.spans)
    return any((one.idea == denied.idea and spans & set(one.spans)) or spans <= set(one.spans) for one in right)


def _says_off(question: Question, found: Found) -> bool:
    """Tell whether the result is said to come out too high or too low: that is what an error does, no improvement."""
    claims = read_directions(question, found.text, found.words, ()).claims
    return any(one.is_result and not one.is_vague for one in claims)


def _by_ideas(question: Question, found: Found, own: Figures, marked: Counts | None, *, says_off: bool) -> Reading:
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
    if not enough and why is Why.NONE and marked is not None:
        likely = likely_idea(question, found.text, found.words, marked)
        if likely is not None and not is_contradicted(question, (likely.idea,), found.text, own):
            ideas, rests, enough = (likely.idea,), (likely,), True
    return as_read(found, ideas, rests, enough=enough, why=why)


def _matches_of(matches: Sequence[Match], ideas: Collection[str]) -> tuple[Match, ...]:
    return tuple(one for one in matches if one.idea in ideas)
