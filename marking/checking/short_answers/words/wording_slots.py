"""What a wording asks for: a slot for each of its words, with all that may stand in it."""

from __future__ import annotations

from functools import lru_cache
from itertools import permutations

from msgspec import Struct
from msgspec.structs import replace

from marking.checking.short_answers.words.from_and_to import end_behind
from marking.checking.short_answers.words.reading_words import (
    Direction,
    dimension_of,
    direction_of,
    forms_of,
    is_slip_of,
    known_words,
    may_be_slip,
    read_words,
    stem_of,
    words_like,
)

ANY_ORDER = "~"
"""In front of a wording: its words may stand in any order."""
NOT_AMONG = "-"
"""In front of a word: it may not stand among the others, nor just in front of them."""
NOTHING = "nothing"
"""Behind another word of a wording it is a word like others, and denies nothing: 'balance showed nothing'."""
MOST_IN_ANY_ORDER = 4


class Slot(Struct, frozen=True, eq=False):
    """What may stand in one place of a wording; one for all wordings that ask for the same.

    Each is itself alone, so that what fits it is looked up without comparing all its words.
    """

    options: tuple[str, ...]
    """The words that may stand here."""
    points: Direction
    """Which way all of them point; NONE where they do not."""
    named: tuple[str, ...] = ()
    """Those that the wording itself names."""


class Slots(Struct, frozen=True):
    """One way in which a wording may stand."""

    slots: tuple[Slot, ...]
    is_negated: bool
    barred: tuple[tuple[str, ...], ...] = ()
    """Words that may not stand among those found, nor just in front of them."""
    ends: tuple[str, ...] = ()
    """For each slot ``out_of`` where the wording has a 'from' before it, ``into`` where it has a 'to', else nothing."""


class Ways(Struct, frozen=True, eq=False):
    """All ways in which some ideas may be worded; each is itself alone, as a slot is."""

    listed: tuple[tuple[str, Slots], ...]
    """Idea and its words, in the order of the question."""
    by_first: tuple[tuple[Slot, tuple[int, ...]], ...]
    """What a way begins with, to the places of those ways: many wordings begin alike."""


@lru_cache(maxsize=512)
def ways_of(ideas: tuple[tuple[str, tuple[str, ...]], ...]) -> Ways:
    """Return the ways of ideas, each an id with its wordings."""
    listed = tuple((idea, way) for idea, wordings in ideas for one in wordings for way in _orders_of(one) if way.slots)
    by_first: dict[Slot, list[int]] = {}
    for number, (_, way) in enumerate(listed):
        by_first.setdefault(way.slots[0], []).append(number)
    return Ways(listed, tuple((first, tuple(numbers)) for first, numbers in by_first.items()))


@lru_cache(maxsize=32768)  # a class writes the same words again and again
def begun_by(ways: Ways, written: str, direction: Direction) -> tuple[int, ...]:
    """Return the places of the ways that may begin with a word."""
    return tuple(
        number for first, numbers in ways.by_first if stands_for(written, direction, first) for number in numbers
    )


@lru_cache(maxsize=32768)
def _orders_of(wording: str) -> tuple[Slots, ...]:
    """Return the ways in which a wording may stand: one, or with a '~' in front every order of its words."""
    if not wording.startswith(ANY_ORDER):
        return (slots_of(wording),)
    found = slots_of(wording.removeprefix(ANY_ORDER))
    orders = list(permutations(found.slots)) if len(found.slots) <= MOST_IN_ANY_ORDER else [found.slots]
    return tuple(replace(found, slots=order, ends=()) for order in orders)


@lru_cache(maxsize=32768)
def slots_of(wording: str) -> Slots:
    """Return the words that a wording asks for, in the order in which they stand there."""
    lists = known_words()
    named = [part for part in wording.split() if not part.startswith(NOT_AMONG) and part not in lists["passed_over"]]
    slots: list[Slot] = []
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
    return Slots(tuple(slots), negated, tuple(barred), tuple(ends))


def _itself(word: str) -> tuple[str, ...]:
    return (word,)


@lru_cache(maxsize=32768)
def _bare_slot(part: str) -> Slot:
    return Slot((part,), Direction.NONE)


@lru_cache(maxsize=32768)
def _slot(part: str, options: tuple[str, ...]) -> Slot:
    points = _points(options)
    if points is Direction.NONE:
        # Beside words of another kind a direction stands for itself alone: no 'goes up' for 'larger'.
        named = part.split("/")
        options = tuple(one for one in options if one in named or not direction_of(one))
    return Slot(options, points, tuple(part.split("/")))


def _fits(written: str, slot: Slot) -> bool:
    if written in slot.options or stem_of(written) in _stems(slot):
        return True
    return may_be_slip(written) and any(is_slip_of(written, option) for option in slot.options)


@lru_cache(maxsize=32768)
def _stems(slot: Slot) -> frozenset[str]:
    return frozenset(stem_of(option) for option in slot.options)


@lru_cache(maxsize=65536)  # a class writes the same words again and again
def stands_for(written: str, direction: Direction, slot: Slot) -> bool:
    """Tell whether a word, which points some way where it stands, may stand in *slot*."""
    if is_of_another_kind(written, slot):
        return False
    if slot.points and (direction or written in known_words()["all"] or stem_of(written) in _stems(slot)):
        return direction == slot.points  # 'cooled' is no slip for 'cooler'
    return _fits(written, slot)


def is_of_another_kind(written: str, slot: Slot) -> bool:
    """Tell whether a word tells of another kind of more: 'a hotter liquid' is no larger one."""
    # A word for one kind of more has to be named itself.
    if not slot.points:
        return False
    if written in known_words()["ways"] and all(dimension_of(one) for one in slot.named):
        return True  # 'stops going down' is no shorter
    kind = dimension_of(written)
    return bool(kind) and written not in slot.named and not kind & set(slot.named)


def _points(options: tuple[str, ...]) -> Direction:
    directions = {direction_of(option) for option in options}
    return directions.pop() if len(directions) == 1 else Direction.NONE


@lru_cache(maxsize=1024)
def exact_slots(phrase: str) -> tuple[Slot, ...]:
    """Return its own words and their forms, and no others that are alike: an ammeter is no voltmeter here."""
    words = [word.text for word in read_words(phrase) if len(word.text) == 1 or not word.is_passed_over]
    return tuple(Slot(forms_of(word), Direction.NONE) for word in words)
