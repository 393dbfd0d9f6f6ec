"""Which ideas of a question an answer holds: words in order, near one another, with their negations and directions.

The time taken grows in step with the length of the answer, which is cut, and with the words of the question.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache

from marking.checking.short_answers.reading_words import (
    Direction,
    Word,
    direction_of,
    is_same_word,
    is_two_ways,
    known_words,
    read_words,
    words_like,
)
from rubrics.model import Idea, Question

WIDEST_GAP = 5
"""Words that may stand between two words of a wording: 'energy *from the hot metal block* escapes'."""
NEGATION_REACH = 3
"""Words before a wording in which a 'not' denies it: 'not very well insulated'."""


class Proposal(StrEnum):
    """What is proposed to the teacher."""

    AWARDED = "awarded"
    WITHHELD = "withheld"
    UNSURE = "unsure"


@dataclass(frozen=True, slots=True, kw_only=True)
class Match:
    """One wording found in an answer."""

    idea: str
    spans: tuple[tuple[int, int], ...]
    """(start, end) of the words that it rests on, in characters of the answer."""
    is_denied: bool
    """True where the answer says the opposite: negated, or in the other direction."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What an answer was read as."""

    proposal: Proposal
    ideas: tuple[str, ...]
    """Ids of the ideas found, in the order of the question; those that a contradiction spoils among them."""
    wrong: tuple[str, ...]
    """Ids of wrong ideas found."""
    is_contradictory: bool
    spans: tuple[tuple[int, int], ...]
    """What it rests on, in order."""
    group: str
    """Same for answers that mean the same."""


def read_answer(question: Question, text: str) -> Reading:
    """Return which ideas of *question* stand in *text*, and what is proposed."""
    words = read_words(text)
    found = _all_matches(question.ideas, words)
    wrong = [one for one in _all_matches(question.wrong, words) if not one.is_denied]
    stands = {one.spans for one in found if not one.is_denied}
    denied = [one for one in found if one.is_denied and not _is_covered(one, found)]
    is_denied = bool(denied) or is_two_ways(words)
    right = [one for one in found if not one.is_denied]
    ideas = tuple(idea.id for idea in question.ideas if any(one.idea == idea.id for one in right))
    wrongs = tuple(idea.id for idea in question.wrong if any(one.idea == idea.id for one in wrong))
    ignored = _all_matches(question.ignore, words)
    proposal = _propose(question, len(ideas), has_wrong=bool(wrongs), is_denied=is_denied, ignored=bool(ignored))
    rests_on = {span for spans in stands for span in spans} | {s for one in (*wrong, *denied) for s in one.spans}
    return Reading(
        proposal=proposal,
        ideas=ideas,
        wrong=wrongs,
        is_contradictory=bool(ideas) and (bool(wrongs) or is_denied),
        spans=tuple(sorted(rests_on)),
        group=_group(ideas, wrongs, sorted({one.idea for one in denied}), words),
    )


def _propose(question: Question, count: int, *, has_wrong: bool, is_denied: bool, ignored: bool) -> Proposal:
    if has_wrong or is_denied:
        return Proposal.UNSURE if count else Proposal.WITHHELD if has_wrong else Proposal.UNSURE
    if count >= question.need:
        return Proposal.AWARDED
    return Proposal.WITHHELD if ignored and not count else Proposal.UNSURE


def _is_covered(denied: Match, found: Iterable[Match]) -> bool:
    # Where a question takes either direction, the one that was written counts.
    spans = set(denied.spans)
    return any(not one.is_denied and one.idea == denied.idea and spans & set(one.spans) for one in found)


def _group(ideas: Sequence[str], wrong: Sequence[str], denied: Sequence[str], words: Sequence[Word]) -> str:
    if ideas or wrong or denied:
        return " ".join([*ideas, *(f"wrong:{one}" for one in wrong), *(f"denied:{one}" for one in denied)])
    return "other: " + " ".join(sorted({word.stem for word in words if not word.is_passed_over}))


def _all_matches(ideas: Iterable[Idea], words: tuple[Word, ...]) -> list[Match]:
    return [
        match for idea in ideas for wording in idea.wordings for match in _matches(idea.id, _slots_of(wording), words)
    ]


@dataclass(frozen=True, slots=True)
class _Slot:
    options: tuple[str, ...]
    """The words that may stand here."""
    points: Direction
    """Which way all of them point; NONE where they do not."""


@dataclass(frozen=True, slots=True)
class _Slots:
    slots: tuple[_Slot, ...]
    is_negated: bool


@lru_cache(maxsize=4096)
def _slots_of(wording: str) -> _Slots:
    lists = known_words()
    slots: list[_Slot] = []
    negated, before = False, ""
    for part in wording.casefold().replace("'", "").split():
        is_bare = part in lists["ways"] and before not in lists["moves"]  # the 'up' of 'used up'
        options = tuple(dict.fromkeys(like for one in part.split("/") if one for like in words_like(one)))
        if all(option in lists["negation"] for option in options):
            negated = True
        elif is_bare:
            slots.append(_Slot((part,), Direction.NONE))
        elif not all(option in lists["passed_over"] for option in options):
            slots.append(_Slot(options, _points(options)))
        before = part
    return _Slots(tuple(slots), negated)


@lru_cache(maxsize=65536)
def _fits(written: str, options: tuple[str, ...]) -> bool:
    return any(is_same_word(written, option) for option in options)


def _is_meant(word: Word, slot: _Slot) -> bool:
    if slot.points and word.text in known_words()["all"]:
        return word.direction == slot.points
    return _fits(word.text, slot.options)


def _points(options: tuple[str, ...]) -> Direction:
    directions = {direction_of(option) for option in options}
    return directions.pop() if len(directions) == 1 else Direction.NONE


def _matches(idea: str, slots: _Slots, words: tuple[Word, ...]) -> Iterator[Match]:
    if not slots.slots:
        return
    for start in range(len(words)):
        found = _follow(slots.slots, words, start)
        if found is not None:
            positions, is_opposite = found
            is_negated = _is_negated(words, positions)
            if slots.is_negated and not is_negated:
                continue  # 'well insulated' says nothing of 'not insulated'
            denied = is_opposite != (is_negated != slots.is_negated)
            yield Match(idea=idea, spans=tuple((words[at].start, words[at].end) for at in positions), is_denied=denied)


def _follow(slots: Sequence[_Slot], words: tuple[Word, ...], start: int) -> tuple[tuple[int, ...], bool] | None:
    positions: list[int] = []
    is_opposite = False
    at = start
    for number, slot in enumerate(slots):
        reach = at + 1 if number == 0 else min(len(words), at + WIDEST_GAP + 1)
        for position in range(at, reach):
            word = words[position]
            if word.clause != words[start].clause:
                return None
            if _is_meant(word, slot):
                break
            if slot.points and number and word.direction == -slot.points:
                is_opposite = not is_opposite
                break
        else:
            return None
        positions.append(position)
        at = position + 1
    return tuple(positions), is_opposite


def _is_negated(words: tuple[Word, ...], positions: Sequence[int]) -> bool:
    first, last = positions[0], positions[-1]
    clause = words[first].clause
    undone, conjunctions = known_words()["undone_by"], known_words()["conjunctions"]
    begin = first
    # 'It was not straight so the length …': what was denied before the 'so' is no longer denied behind it.
    while begin > max(0, first - NEGATION_REACH) and words[begin - 1].text not in conjunctions:
        begin -= 1
    count = 0
    for at in range(begin, last + 1):
        word = words[at]
        if word.is_negation and word.clause == clause and at not in positions:
            after = words[at + 1].text if at + 1 < len(words) else ""
            count += after not in undone
    return count % 2 == 1
