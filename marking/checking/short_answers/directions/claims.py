"""What an answer says of directions: which quantity comes out too high or too low, and what is said of nothing known.

'Bigger volume' and 'the volume is too big' are claims about the volume; 'higher than the density of steel' is none;
'small plants' is a word about plants. What cannot be attached to anything is told, so that the answer is not taken
for sure.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from enum import Enum

from msgspec import Struct

from marking.checking.short_answers.directions.attaching import FARTHEST_AHEAD, attached
from marking.checking.short_answers.directions.compared_numbers import (
    compared_spans,
    way_of_zero_error,
    ways_of_numbers,
)
from marking.checking.short_answers.directions.named_quantities import Quantity, is_instrument, quantities_in
from marking.checking.short_answers.directions.ways_said import (
    bare_way,
    is_about_something_else,
    is_denied,
    is_not_as,
    is_place,
    way_at,
)
from marking.checking.short_answers.words import Direction, Word, known_words
from rubrics.model import Question


class _Beside(Enum):
    """What a direction is said beside: 'higher than …'."""

    NOTHING = "nothing"
    REFERENCE = "a reference"
    OWN = "what was written down"
    ANOTHER = "another thing"


class Claim(Struct, frozen=True, kw_only=True):
    """One quantity is said to come out one way."""

    direction: Direction
    """What it says of what the question asks about: turned round where it is said of what works against it."""
    is_result: bool
    """Whether it is said of what the question asks about, and not of something on the way to it."""
    is_vague: bool
    """Said of 'it', which may be something else."""


class Directions(Struct, frozen=True, kw_only=True):
    """All that an answer says of directions."""

    claims: tuple[Claim, ...]
    is_denied: bool
    """Whether a direction is denied: 'not too high'."""
    loose: tuple[Word, ...]
    """Directions that are said of nothing that is known here."""
    is_against_sign: bool
    """Whether what is read is said to be off the other way than a zero error that is told with its sign."""


def read_directions(question: Question, text: str, words: tuple[Word, ...], taken: Collection[int]) -> Directions:
    """Return what *text* says of directions; words at the positions *taken* belong to something else."""
    quantities = quantities_in(question, words)
    claims: list[Claim] = []
    loose: list[Word] = []
    denied = against_sign = False
    compared = compared_spans(text)
    last, said = Direction.NONE, None
    off_by = way_of_zero_error(text)
    for at, word in enumerate(words):
        claims += _also(words, quantities, at, last)
        claims += _said_in_one_word(question, words, at)
        way = way_at(words, at) or bare_way(words, quantities, at)
        inside = any(start <= word.start < end for start, end in compared)
        if way is Direction.NONE or at in taken or inside or _is_inside(quantities, at):
            continue
        turned = is_not_as(words, at)
        way = Direction(-way) if turned else way
        found = _joined(words, said, at) or attached(words, quantities, at)
        if found is None:
            said_of_one = (
                is_about_something_else(words, at)
                or is_place(words, at)
                or any(is_instrument(words, back) for back in range(max(0, at - FARTHEST_AHEAD), at))
            )
            loose += [] if said_of_one else [word]
            continue
        beside = _beside(question.prompt, words, at)
        if beside is _Beside.ANOTHER:
            loose.append(word)
        elif not turned and is_denied(words, at):
            denied = True
        else:
            own = beside is _Beside.OWN or _is_real(words, found)
            last, said = Direction(-way if own else way), (at, found)
            against_sign = against_sign or (found.is_read and bool(off_by) and last == -off_by)
            claims.append(
                Claim(direction=Direction(last * found.sign), is_result=found.is_result, is_vague=found.is_vague)
            )
    if not any(one.is_result and not one.is_vague for one in claims):
        claims += _numbers_compared(text)  # else they may be of anything: '11 swings instead of 10'
    against_sign = against_sign or _is_against(off_by, quantities, claims)
    return Directions(claims=tuple(claims), is_denied=denied, loose=tuple(loose), is_against_sign=against_sign)


def _is_against(off_by: Direction, quantities: Sequence[Quantity], claims: Sequence[Claim]) -> bool:
    # 'The balance showed 0.4 g with nothing on it, so the density is too low': the mass read, and with it the density,
    # is too high.
    signs = {one.sign for one in quantities if one.is_read}
    if not off_by or len(signs) != 1:
        return False
    moved = Direction(off_by * signs.pop())
    return any(one.is_result and not one.is_vague and one.direction == -moved for one in claims)


def _joined(words: Sequence[Word], said: tuple[int, Quantity] | None, at: int) -> Quantity | None:
    # 'Too long or too short' is said of one thing.
    if said is None or at - said[0] > FARTHEST_AHEAD or words[at].clause != words[said[0]].clause:
        return None
    return said[1] if any(word.text == "or" for word in words[said[0] + 1 : at]) else None


def _also(words: Sequence[Word], quantities: Sequence[Quantity], at: int, last: Direction) -> Iterator[Claim]:
    # 'The rise is too small, and so is c.'
    if last and words[at].text == "so" and at + 2 < len(words) and words[at + 1].text in ("is", "are", "does", "was"):
        for one in quantities:
            if at + 2 <= one.first <= at + 3 and not one.is_vague:
                yield Claim(direction=Direction(last * one.sign), is_result=one.is_result, is_vague=False)
                return


def _said_in_one_word(question: Question, words: Sequence[Word], at: int) -> Iterator[Claim]:
    # 'Too dense', 'denser than it is': the quantity and its direction; what is less dense, or not dense, is read else.
    is_more = words[at].text == "denser" or (words[at].text == "dense" and at > 0 and words[at - 1].text == "too")
    near = words[max(0, at - FARTHEST_AHEAD) : at]
    if is_more and "density" in question.of and not any(word.is_negation or word.text == "than" for word in near):
        yield Claim(direction=Direction.UP, is_result=True, is_vague=False)


def _numbers_compared(text: str) -> Iterator[Claim]:
    for way in ways_of_numbers(text):
        yield Claim(direction=way, is_result=True, is_vague=True)


def _is_inside(quantities: Sequence[Quantity], at: int) -> bool:
    return any(one.first <= at <= one.last and not one.is_vague for one in quantities)


def _beside(prompt: str, words: Sequence[Word], at: int) -> _Beside:
    """Return what it is compared with: 'lower than the density of steel' is no claim about the result."""
    lists = known_words()
    than = next((ahead for ahead in range(at + 1, min(at + 3, len(words))) if words[ahead].text == "than"), None)
    if than is None:
        return _Beside.NOTHING
    behind = [word.text for word in words[than + 1 : than + 5]]
    if any(text in lists["expected"] or text[0].isdigit() for text in behind):
        return _Beside.REFERENCE
    letters = {word for word in prompt.casefold().split() if len(word) == 1 and word.isalpha()}
    if letters and behind and letters >= set(behind[0]):
        return _Beside.REFERENCE  # 'lower than gh/D'
    if any(text in lists["own_measure"] for text in behind):
        return _Beside.OWN
    return _Beside.REFERENCE if any(text in lists["references"] for text in behind) else _Beside.ANOTHER


def _is_real(words: Sequence[Word], quantity: Quantity) -> bool:
    """Tell whether it is said of the real thing: 'the real number is lower', so the one worked out is higher."""
    before = words[max(0, quantity.first - 1) : quantity.first]
    return any(word.text in known_words()["real"] for word in before)
