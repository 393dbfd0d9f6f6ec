"""Where the wordings of an idea stand in an answer: words in order, near one another, with their negations.

The time taken grows in step with the length of the answer, which is cut, and with the words of the question.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import lru_cache
from itertools import permutations
from operator import itemgetter

from msgspec import Struct
from msgspec.structs import replace

from marking.checking.short_answers.words.from_and_to import end_behind, runs_backwards
from marking.checking.short_answers.words.reading_words import (
    Direction,
    Letters,
    Word,
    dimension_of,
    direction_of,
    forms_of,
    is_long_enough,
    is_same_word,
    is_slip_of,
    known_words,
    lengths_near,
    letters_of,
    may_be_slip,
    read_words,
    shares_letters,
    stem_of,
    words_like,
)
from marking.checking.short_answers.words.taken_away import is_taken_away
from rubrics.model import ErrorSource, Idea

WIDEST_GAP = 5
"""Words that may stand between two words of a wording: 'energy *from the hot metal block* escapes'."""
ANY_ORDER = "~"
"""In front of a wording: its words may stand in any order."""
NOT_AMONG = "-"
"""In front of a word: it may not stand among the others, nor just in front of them."""
BARRED_REACH = 1
NOTHING = "nothing"
"""Behind another word of a wording it is a word like others, and denies nothing: 'balance showed nothing'."""
MOST_IN_ANY_ORDER = 4
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
    """Return every place where a wording of *ideas* stands in *words*, in the order of the ideas and their wordings."""
    begun = _begun_alike(tuple((idea.id, idea.wordings) for idea in ideas))
    starts: dict[_Slot, list[int]] = {}
    for at, word in enumerate(words):
        for first in _firsts_met(begun, word.text, word.direction):
            starts.setdefault(first, []).append(at)
    found = [
        (number, match)
        for first, places in starts.items()
        for number, idea, slots in begun.wordings[first]
        for match in _matches(idea, slots, words, places)
    ]
    return [match for _, match in sorted(found, key=itemgetter(0))]


def read_as_one_word(wording: str) -> str | None:
    """Return the only word that a wording of several is read as; None where more than one is left, or a 'not' with it.

    'Lid on' is any lid, since small words are passed over.
    """
    slots = _slots_of(wording.removeprefix(ANY_ORDER))
    parts = [part for part in wording.removeprefix(ANY_ORDER).split() if not part.startswith(NOT_AMONG)]
    if len(parts) < 2 or len(slots.slots) != 1 or slots.is_negated:
        return None
    return "/".join(slots.slots[0].named)


def places_of(phrase: str, words: tuple[Word, ...]) -> Iterator[tuple[int, int]]:
    """Yield (first, last) position of each place where the very words of *phrase* stand close together."""
    slots = _exact_slots(phrase)
    for start, word in enumerate(words) if slots else ():
        is_begun = _stands_for(word.text, word.direction, slots[0])
        found = _follow(slots, words, start, gap=1) if is_begun else None
        if found is not None:
            yield found[0][0], found[0][-1]


@lru_cache(maxsize=1024)
def _exact_slots(phrase: str) -> tuple[_Slot, ...]:
    # Its own words and their forms, and no others that are alike: an ammeter is no voltmeter here.
    words = [word.text for word in read_words(phrase) if len(word.text) == 1 or not word.is_passed_over]
    return tuple(_Slot(forms_of(word), Direction.NONE) for word in words)


class _Slot(Struct, frozen=True, eq=False):
    # One for all wordings that ask for the same; each is itself alone, so that what fits it is looked up without
    # comparing all its words.
    options: tuple[str, ...]
    """The words that may stand here."""
    points: Direction
    """Which way all of them point; NONE where they do not."""
    named: tuple[str, ...] = ()
    """Those that the wording itself names."""


class _Slots(Struct, frozen=True):
    slots: tuple[_Slot, ...]
    is_negated: bool
    barred: tuple[tuple[str, ...], ...] = ()
    """Words that may not stand among those found, nor just in front of them."""
    ends: tuple[str, ...] = ()
    """For each slot ``out_of`` where the wording has a 'from' before it, ``into`` where it has a 'to', else nothing."""


class _Begun(Struct, frozen=True, eq=False):
    """The wordings of several ideas by the word that they begin with: many begin alike, and few with any word there."""

    wordings: Mapping[_Slot, list[tuple[int, str, _Slots]]]
    """For each first word the place in the order of all, the idea, and the whole wording."""
    pointing: tuple[_Slot, ...]
    """First words that point one way."""
    stems: Mapping[str, list[_Slot]]
    """First words by the stem of whatever may stand there."""
    misspelt: Mapping[int, Mapping[str, tuple[Letters, list[_Slot]]]]
    """First words by what may stand there misspelt, with its letters, and by its length before."""


@lru_cache(maxsize=1024)
def _begun_alike(ideas: tuple[tuple[str, tuple[str, ...]], ...]) -> _Begun:
    found: dict[_Slot, list[tuple[int, str, _Slots]]] = {}
    ordered = ((idea, slots) for idea, wordings in ideas for wording in wordings for slots in _orders_of(wording))
    for number, (idea, slots) in enumerate(ordered):
        if slots.slots:
            found.setdefault(slots.slots[0], []).append((number, idea, slots))
    stems: dict[str, list[_Slot]] = {}
    misspelt: dict[int, dict[str, tuple[Letters, list[_Slot]]]] = {}
    for first in found:
        for stem in _stems(first):
            stems.setdefault(stem, []).append(first)
        for option in filter(is_long_enough, first.options):
            alike = misspelt.setdefault(len(option), {})
            alike.setdefault(option, (letters_of(option), []))[1].append(first)
    return _Begun(found, tuple(first for first in found if first.points), stems, misspelt)


@lru_cache(maxsize=65536)  # a class writes the same words again and again
def _firsts_met(begun: _Begun, written: str, direction: Direction) -> tuple[_Slot, ...]:
    """Return the first words of wordings that a word stands for; only those are tried that it may stand for."""
    tried = dict.fromkeys((*begun.pointing, *begun.stems.get(stem_of(written), ())))
    if may_be_slip(written):
        own = letters_of(written)
        for length in lengths_near(written):
            for option, (letters, firsts) in begun.misspelt.get(length, {}).items():
                if shares_letters(own, letters) and is_slip_of(written, option):
                    tried |= dict.fromkeys(firsts)
    return tuple(first for first in tried if _stands_for(written, direction, first))


@lru_cache(maxsize=32768)
def _orders_of(wording: str) -> tuple[_Slots, ...]:
    """Return the ways in which a wording may stand: one, or with a '~' in front every order of its words."""
    if not wording.startswith(ANY_ORDER):
        return (_slots_of(wording),)
    found = _slots_of(wording.removeprefix(ANY_ORDER))
    orders = list(permutations(found.slots)) if len(found.slots) <= MOST_IN_ANY_ORDER else [found.slots]
    return tuple(replace(found, slots=order, ends=()) for order in orders)


@lru_cache(maxsize=32768)
def _slots_of(wording: str) -> _Slots:
    lists = known_words()
    named = [part for part in wording.split() if not part.startswith(NOT_AMONG) and part not in lists["passed_over"]]
    slots: list[_Slot] = []
    barred: list[tuple[str, ...]] = []
    ends: list[str] = []
    negated, before = False, ""
    for part in wording.casefold().replace("'", "").split():
        if part.startswith(NOT_AMONG) and len(part) > 1:
            barred.append((part[1:],))
            continue
        is_bare = part in lists["ways"] and before not in lists["moves"]  # the 'up' of 'used up'
        # A word that stands alone has to be that word: 'leak' is not 'gets'.
        liked = words_like if len(named) > 1 else _itself
        options = tuple(dict.fromkeys(like for one in part.split("/") if one for like in liked(one)))
        if all(option in lists["negation"] for option in options) and not (slots and part == NOTHING):
            negated = True
        elif is_bare:
            slots.append(_bare_slot(part))
        elif not all(option in lists["passed_over"] for option in options):
            slots.append(_slot(part, options))
        ends += [end_behind(before)] * (len(slots) - len(ends))
        before = part
    return _Slots(tuple(slots), negated, tuple(barred), tuple(ends))


def _itself(word: str) -> tuple[str, ...]:
    return (word,)


@lru_cache(maxsize=32768)
def _bare_slot(part: str) -> _Slot:
    return _Slot((part,), Direction.NONE)


@lru_cache(maxsize=32768)
def _slot(part: str, options: tuple[str, ...]) -> _Slot:
    points = _points(options)
    if points is Direction.NONE:
        # Beside words of another kind a direction stands for itself alone: no 'goes up' for 'larger'.
        named = part.split("/")
        options = tuple(one for one in options if one in named or not direction_of(one))
    return _Slot(options, points, tuple(part.split("/")))


def _fits(written: str, slot: _Slot) -> bool:
    if stem_of(written) in _stems(slot):
        return True
    if not may_be_slip(written):
        return False
    near = lengths_near(written)
    return any(len(option) in near and is_slip_of(written, option) for option in slot.options)


@lru_cache(maxsize=32768)
def _stems(slot: _Slot) -> frozenset[str]:
    return frozenset(stem_of(option) for option in slot.options)


def _is_meant(word: Word, slot: _Slot) -> bool:
    return _stands_for(word.text, word.direction, slot)


@lru_cache(maxsize=65536)  # a class writes the same words again and again
def _stands_for(written: str, direction: Direction, slot: _Slot) -> bool:
    if _is_of_another_kind(written, slot):
        return False
    if slot.points and (direction or written in known_words()["all"] or stem_of(written) in _stems(slot)):
        return direction == slot.points  # 'cooled' is no slip for 'cooler'
    return _fits(written, slot)


def _is_of_another_kind(written: str, slot: _Slot) -> bool:
    # 'A hotter liquid' is no larger one: a word for one kind of more has to be named itself.
    if not slot.points:
        return False
    if written in known_words()["ways"] and all(dimension_of(one) for one in slot.named):
        return True  # 'stops going down' is no shorter
    kind = dimension_of(written)
    return bool(kind) and written not in slot.named and not kind & set(slot.named)


def _points(options: tuple[str, ...]) -> Direction:
    directions = {direction_of(option) for option in options}
    return directions.pop() if len(directions) == 1 else Direction.NONE


def _matches(idea: str, slots: _Slots, words: tuple[Word, ...], starts: Iterable[int]) -> Iterator[Match]:
    for start in starts:
        found = _follow(slots.slots, words, start)
        if found is not None:
            positions, is_opposite = found
            if _is_barred(slots.barred, words, positions):
                continue
            negations = _negations(words, positions, NEGATION_REACH if slots.is_negated else LONGEST_DENIAL)
            if slots.is_negated and (not negations or _runs_over(words, positions)):
                continue  # 'well insulated' says nothing of 'not insulated'
            # Two denials in a row are for a reader to undo.
            is_backwards = runs_backwards(slots.ends, words, positions)
            denied = is_backwards or negations > 1 or is_opposite != (bool(negations) != slots.is_negated)
            spans = tuple((words[at].start, words[at].end) for at in positions)
            yield Match(
                idea=idea,
                at=positions,
                spans=spans,
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
    slots: Sequence[_Slot], words: tuple[Word, ...], start: int, gap: int = WIDEST_GAP
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
            if _is_meant(word, slot):
                break
            if slot.points and number and word.direction == -slot.points and not _is_of_another_kind(word.text, slot):
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
