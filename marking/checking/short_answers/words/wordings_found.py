"""Where the wordings of an idea stand in an answer: words in order, near one another, with their negations.

The time taken grows in step with the length of the answer, which is cut, and with the words of the question.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from msgspec import Struct

from marking.checking.short_answers.words.from_and_to import runs_backwards
from marking.checking.short_answers.words.reading_words import Word, is_same_word, known_words
from marking.checking.short_answers.words.taken_away import is_taken_away
from marking.checking.short_answers.words.wording_slots import (
    ANY_ORDER,
    NOT_AMONG,
    Slot,
    Slots,
    begun_by,
    exact_slots,
    is_of_another_kind,
    slots_of,
    stands_for,
    ways_of,
)
from rubrics.model import ErrorSource, Idea

WIDEST_GAP = 5
"""Words that may stand between two words of a wording: 'energy *from the hot metal block* escapes'."""
BARRED_REACH = 1
NEGATION_REACH = 3
"""Words before a wording in which its own 'not' may stand."""
LONGEST_DENIAL = 12
"""Words before a wording in which a 'not' denies it: 'don't do it for five volumes and plot a graph'."""


class Match(Struct, frozen=True, kw_only=True):
    """One wording found in an answer."""

    idea: str
    at: tuple[int, ...]
    """Positions of the words that it rests on."""
    spans: tuple[tuple[int, int], ...]
    """(start, end) of these words, in characters of the answer."""
    is_denied: bool
    """True where the answer says the opposite: negated, in the other direction, or taken away."""
    is_negated: bool = False
    """Whether the wording itself is a 'not': 'not insulated'."""
    is_backwards: bool = False
    """Whether something goes to where the wording has it come from, or the other way round."""


def all_matches(ideas: Iterable[Idea | ErrorSource], words: tuple[Word, ...]) -> list[Match]:
    """Return every place where a wording of *ideas* stands in *words*."""
    ways = ways_of(tuple((idea.id, idea.wordings) for idea in ideas))
    found = []
    for start, word in enumerate(words):
        for number in begun_by(ways, word.text, word.direction):
            idea, slots = ways.listed[number]
            match = _match_at(idea, slots, words, start)
            if match is not None:
                found.append((number, start, match))
    found.sort(key=lambda one: one[:2])
    return [match for _, _, match in found]


def read_as_one_word(wording: str) -> str | None:
    """Return the only word that a wording of several is read as; None where more than one is left, or a 'not' with it.

    'Lid on' is any lid, since small words are passed over.
    """
    slots = slots_of(wording.removeprefix(ANY_ORDER))
    parts = [part for part in wording.removeprefix(ANY_ORDER).split() if not part.startswith(NOT_AMONG)]
    if len(parts) < 2 or len(slots.slots) != 1 or slots.is_negated:
        return None
    return "/".join(slots.slots[0].named)


def places_of(phrase: str, words: tuple[Word, ...]) -> Iterator[tuple[int, int]]:
    """Yield (first, last) position of each place where the very words of *phrase* stand close together."""
    slots = exact_slots(phrase)
    for start, word in enumerate(words) if slots else ():
        if not stands_for(word.text, word.direction, slots[0]):
            continue
        found = _follow(slots, words, start, gap=1)
        if found is not None:
            yield found[0][0], found[0][-1]


def _match_at(idea: str, slots: Slots, words: tuple[Word, ...], start: int) -> Match | None:
    found = _follow(slots.slots, words, start)
    if found is None:
        return None
    positions, is_opposite = found
    if _is_barred(slots.barred, words, positions):
        return None
    negations = _negations(words, positions, NEGATION_REACH if slots.is_negated else LONGEST_DENIAL)
    if slots.is_negated and (not negations or _runs_over(words, positions)):
        return None  # 'well insulated' says nothing of 'not insulated'
    # Two denials in a row are for a reader to undo.
    is_backwards = runs_backwards(slots.ends, words, positions)
    denied = is_backwards or negations > 1 or is_opposite != (bool(negations) != slots.is_negated)
    return Match(
        idea=idea,
        at=positions,
        spans=tuple((words[at].start, words[at].end) for at in positions),
        is_denied=denied or is_taken_away(words, positions),
        is_negated=slots.is_negated,
        is_backwards=is_backwards,
    )


def _runs_over(words: tuple[Word, ...], positions: Sequence[int]) -> bool:
    # 'Not the acid because oxide was left' is no 'no acid left'.
    among = [words[at].text for at in range(positions[0], positions[-1]) if at not in positions]
    return any(text in known_words()["reasons"] for text in among)


def _is_barred(barred: Sequence[tuple[str, ...]], words: tuple[Word, ...], positions: Sequence[int]) -> bool:
    start = max(0, positions[0] - BARRED_REACH)
    near = [words[at] for at in range(start, positions[-1] + 1) if at not in positions]
    near = [word for word in near if word.clause == words[positions[0]].clause]
    return any(is_same_word(word.text, one) for options in barred for one in options for word in near)


def _follow(
    slots: Sequence[Slot], words: tuple[Word, ...], start: int, gap: int = WIDEST_GAP
) -> tuple[tuple[int, ...], bool] | None:
    positions: list[int] = []
    is_opposite = False
    at = start
    for number, slot in enumerate(slots):
        passed = 0
        for position in range(at, at + 1 if number == 0 else len(words)):
            word = words[position]
            if word.clause != words[start].clause:
                return None
            if stands_for(word.text, word.direction, slot):
                break
            if slot.points and number and word.direction == -slot.points and not is_of_another_kind(word.text, slot):
                is_opposite = not is_opposite
                break
            # Small words between count half: 'the end of the string is not really a node'.
            passed += 1 if word.is_passed_over else 2
            if passed > 2 * gap:
                return None
        else:
            return None
        positions.append(position)
        at = position + 1
    return tuple(positions), is_opposite


def _negations(words: tuple[Word, ...], positions: Sequence[int], reach: int) -> int:
    """Return how many words deny what stands at *positions*: those among them, before them, and just behind them."""
    first, last = positions[0], positions[-1]
    clause = words[first].clause
    lists = known_words()
    begin = first
    # 'It was not straight so the length …': what was denied before the 'so' is no longer denied behind it.
    while begin > max(0, first - reach) and not _ends_denial(words, begin):
        begin -= 1
    count = 0
    for at in range(begin, last + 1):
        word = words[at]
        if word.is_negation and word.clause == clause and at not in positions:
            after = words[at + 1].text if at + 1 < len(words) else ""
            count += after not in lists["undone_by"]
            count += after in lists["misses"]
    # 'Hardly the same' is not the same; where a wording holds the word itself, 'hardly changes', it says just that.
    near = [at for at in range(max(0, first - 1), last + 1) if at not in positions]
    count += any(words[at].text in lists["barely"] and words[at].clause == clause for at in near)
    return count + _is_denied_behind(words, last)


def _ends_denial(words: tuple[Word, ...], at: int) -> bool:
    """Tell whether what is denied before the word at *at* is no longer denied from there on."""
    lists, before = known_words(), words[at - 1]
    if words[at].is_behind_comma or before.text in lists["ends_denial"] or before.clause != words[at].clause:
        return True
    if words[at].text in lists["fresh_subjects"]:
        return True  # 'It is not straight its a curve'
    return before.text == "and" and words[at].text in lists["new_subject"]


def _is_denied_behind(words: tuple[Word, ...], last: int) -> bool:
    # 'The gradient is not the density', 'the wind wasn't blowing'; 'the top, not the bottom' denies the bottom.
    lists = known_words()
    behind = [word for word in words[last + 1 : last + 3] if word.clause == words[last].clause]
    for number, word in enumerate(behind):
        if word.is_behind_comma or word.text in lists["opens_clause"]:
            return False
        if all(one.is_passed_over for one in behind[:number]) and word.is_negation and word.text in lists["none_of_it"]:
            return True  # 'the leads add nothing'
        if word.is_negation:
            after = words[last + number + 2].text if last + number + 2 < len(words) else ""
            is_verb = word.text in lists["negated_verbs"] or (number and behind[0].text in lists["verbs_before_not"])
            return bool(is_verb) and after not in lists["undone_by"]
    return False
