"""What an answer says of directions: which quantity comes out too high or too low, and what is said of nothing known.

'Bigger volume' and 'the volume is too big' are claims about the volume; 'higher than the density of steel' is none;
'small plants' is a word about plants. What cannot be attached to anything is told, so that the answer is not taken
for sure.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from enum import Enum

from msgspec import Struct
from msgspec.structs import replace

from marking.checking.short_answers.compared_numbers import compared_spans, way_of_zero_error, ways_of_numbers
from marking.checking.short_answers.words import Direction, Word, direction_of, known_words, places_of
from rubrics.model import Question

FARTHEST_BACK = 9
"""Words between a quantity and its direction, all of them small ones: 'c comes out to be quite a bit too high'."""
FARTHEST_AHEAD = 3
DENIED_WITHIN = 5


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


class _Quantity(Struct, frozen=True):
    first: int
    last: int
    sign: int
    is_result: bool
    is_vague: bool = False
    is_read: bool = False
    """Whether it is something that is read, on the way to the result."""


def read_directions(question: Question, text: str, words: tuple[Word, ...], taken: Collection[int]) -> Directions:
    """Return what *text* says of directions; words at the positions *taken* belong to something else."""
    quantities = _quantities(question, words)
    claims: list[Claim] = []
    loose: list[Word] = []
    denied = against_sign = False
    compared = compared_spans(text)
    last, said = Direction.NONE, None
    off_by = way_of_zero_error(text)
    for at, word in enumerate(words):
        claims += _also(words, quantities, at, last)
        claims += _said_in_one_word(question, words, at)
        way = _way_at(words, at) or _bare_way(words, quantities, at)
        inside = any(start <= word.start < end for start, end in compared)
        if way is Direction.NONE or at in taken or inside or _is_inside(quantities, at):
            continue
        turned = _is_not_as(words, at)
        way = Direction(-way) if turned else way
        found = _joined(words, said, at) or _attached(words, quantities, at)
        if found is None:
            said_of_one = (
                _is_about_something_else(words, at)
                or _is_place(words, at)
                or any(_is_instrument(words, back) for back in range(max(0, at - FARTHEST_AHEAD), at))
            )
            loose += [] if said_of_one else [word]
            continue
        beside = _beside(question.prompt, words, at)
        if beside is _Beside.ANOTHER:
            loose.append(word)
        elif not turned and _is_denied(words, at):
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
    return Directions(claims=tuple(claims), is_denied=denied, loose=tuple(loose), is_against_sign=against_sign)


def _joined(words: Sequence[Word], said: tuple[int, _Quantity] | None, at: int) -> _Quantity | None:
    # 'Too long or too short' is said of one thing.
    if said is None or at - said[0] > FARTHEST_AHEAD or words[at].clause != words[said[0]].clause:
        return None
    return said[1] if any(word.text == "or" for word in words[said[0] + 1 : at]) else None


def _also(words: Sequence[Word], quantities: Sequence[_Quantity], at: int, last: Direction) -> Iterator[Claim]:
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


def _quantities(question: Question, words: tuple[Word, ...]) -> list[_Quantity]:
    """Return the quantities that are named, the longest name of each place only."""
    named = [(phrase, 1, True, False) for phrase in question.of]
    named += [(phrase, sign, question.any_of, True) for phrase, sign in question.through]
    found = [
        _Quantity(first, last, sign, is_result, is_read=is_read)
        for phrase, sign, is_result, is_read in named
        for first, last in places_of(phrase, words)
    ]
    lists = known_words()
    found = [_compound(one, words) for one in found]
    taken = {at for one in found for at in range(one.first, one.last + 1)}
    for at, word in enumerate(words):
        if at not in taken and (word.text in lists["results"] or _is_own_figure(words, at)):
            found.append(_Quantity(at, at, 1, is_result=True))
        elif at not in taken and word.text in lists["pronouns"] and not _is_instrument(words, at):
            found.append(_Quantity(at, at, 1, is_result=True, is_vague=True))
    return [
        one
        for one in found
        if not any(
            o.first <= one.first and one.last <= o.last and (o.last - o.first) > (one.last - one.first) for o in found
        )
    ]


def _is_own_figure(words: Sequence[Word], at: int) -> bool:
    # 'My 997 is more than the true one'; not 'our 5 readings were'.
    lists = known_words()
    return (
        words[at].text[0].isdigit()
        and 0 < at < len(words) - 1
        and words[at - 1].text in lists["own"]
        and words[at + 1].text in lists["comes_to"]
    )


def _compound(one: _Quantity, words: Sequence[Word]) -> _Quantity:
    # 'The current reading' is a current, whatever a reading is.
    follows = words[one.last + 1].text if one.last + 1 < len(words) else ""
    if follows not in known_words()["measured_names"] or words[one.first].text in known_words()["measured_names"]:
        return one
    return replace(one, last=one.last + 1)


def _is_instrument(words: Sequence[Word], at: int) -> bool:
    # 'It reads too high' is said of an instrument, of which only its name would tell more.
    is_named = words[at].text in known_words()["pronouns"]
    return is_named and at + 1 < len(words) and words[at + 1].text in known_words()["reads"]


def _way_at(words: Sequence[Word], at: int) -> Direction:
    """Return which way the word at *at* points as part of a claim."""
    lists = known_words()
    text = words[at].text
    after = words[at + 1].text if at + 1 < len(words) else ""
    if text in lists["fractions"]:  # 'half what it should be'
        is_compared = after in lists["compared"] or any(w.text in lists["compared"] for w in words[at + 1 : at + 4])
        if not is_compared:
            return Direction.NONE
        return Direction.DOWN if text in lists["down_parts"] else Direction.UP
    if text in lists["amounts"] and at and words[at - 1].text == "too":  # 'too many were counted'
        return Direction.DOWN if text in lists["small_amounts"] else Direction.UP
    if text in lists["weights"]:  # 'too light', and no lamp
        too = Direction.UP if text == "heavy" else Direction.DOWN
        return too if at and words[at - 1].text == "too" else Direction.NONE
    if text in lists["extents"]:  # 'did not rise as much as it should'
        return Direction.UP if at and words[at - 1].text == "as" and _is_not_as(words, at) else Direction.NONE
    if words[at].direction:
        if _is_part_of_comparison(words, at) or _is_standing(words, at) or _is_flowing(words, at):
            return Direction.NONE
        # What rises less, or goes up less, rises too little.
        rises = text in lists["changes"] or text in lists["ways"]
        return Direction.DOWN if after == "less" and rises else words[at].direction
    if text in lists["ways"]:
        return Direction.NONE
    if text in lists["also_up"]:
        return Direction.UP
    return Direction.DOWN if text in lists["also_down"] else direction_of(text)


def _bare_way(words: Sequence[Word], quantities: Sequence[_Quantity], at: int) -> Direction:
    # 'Pushes R up', 'density is up a touch'; not 'R up to 5 A'. Beside no quantity the word alone points nowhere.
    text = words[at].text
    if text not in known_words()["ways"] or (at + 1 < len(words) and words[at + 1].text == "to"):
        return Direction.NONE
    if at == 0 or words[at - 1].text in known_words()["warming"]:
        return Direction.NONE  # 'the water warms up'
    before = at - 2 if at > 1 and words[at - 1].text in ("is", "was") else at - 1
    if any(one.last == before and not one.is_vague for one in quantities):
        return direction_of(text)
    return Direction.NONE


def _is_part_of_comparison(words: Sequence[Word], at: int) -> bool:
    # 'Does not go up as much': the 'as much' says it.
    lists = known_words()
    behind = [word.text for word in words[at + 1 : at + 4]]
    return words[at].text in lists["ways"] and "as" in behind[:2] and any(text in lists["extents"] for text in behind)


def _is_standing(words: Sequence[Word], at: int) -> bool:
    # 'At the high pressures' says where, and not which way.
    lists = known_words()
    before = words[at - 1].text if at else ""
    return words[at].text in lists["positives"] and before in lists["standing"]


def _is_flowing(words: Sequence[Word], at: int) -> bool:
    # 'Not all the water came over.'
    return words[at].text == "over" and at > 0 and words[at - 1].text in known_words()["moves"]


def _is_place(words: Sequence[Word], at: int) -> bool:
    """Tell whether it only says where something is: 'a few drops under the spout'."""
    lists = known_words()
    if words[at].text not in lists["places"] or at + 2 >= len(words) or words[at + 1].text not in lists["determiners"]:
        return False
    return not any(word.text in lists["references"] | lists["expected"] for word in words[at + 2 : at + 4])


def _is_inside(quantities: Sequence[_Quantity], at: int) -> bool:
    return any(one.first <= at <= one.last and not one.is_vague for one in quantities)


def _is_not_as(words: Sequence[Word], at: int) -> bool:
    """Tell whether it is 'not as high as': the other way, and no denial."""
    if at == 0 or words[at - 1].text not in ("as", "so"):
        return False
    return any(word.is_negation for word in words[max(0, at - 6) : at - 1] if word.clause == words[at].clause)


def _is_denied(words: Sequence[Word], at: int) -> bool:
    lists = known_words()
    for back in range(at - 1, max(-1, at - 1 - DENIED_WITHIN), -1):
        word = words[back]
        if word.clause != words[at].clause or word.text in lists["conjunctions"] or words[back + 1].is_behind_comma:
            return False
        if word.is_negation:
            return words[back + 1].text not in lists["undone_by"]
    return False


def _attached(words: Sequence[Word], quantities: Sequence[_Quantity], at: int) -> _Quantity | None:
    """Return what the direction at *at* is said of; None where nothing known is near enough."""
    if words[at].text in known_words()["changes"]:  # 'which decreases the density'
        return _said_behind(words, quantities, at) or _said_before(words, quantities, at)
    return _said_before(words, quantities, at) or _said_behind(words, quantities, at) or _said_last(words, at)


def _said_last(words: Sequence[Word], at: int) -> _Quantity | None:
    """Return the result where a 'so too big' ends an answer, and names nothing."""
    lead = at - 1 if words[at - 1].text != "too" else at - 2
    if at + 1 < len(words) or lead < 0 or words[lead].text not in ("so", "therefore", "hence"):
        return None
    return _Quantity(at, at, 1, is_result=True, is_vague=True)


def _said_before(words: Sequence[Word], quantities: Sequence[_Quantity], at: int) -> _Quantity | None:
    # 'c comes out too high', 'u and v were both 1 cm too short', 'makes it bigger'.
    lists = known_words()
    if words[at].text in lists["counts"] and _is_about_something_else(words, at):
        return None
    back = at - 1
    while back > max(-1, at - 1 - FARTHEST_BACK):
        word = words[back]
        if word.clause != words[at].clause or word.text in lists["hypothetical"]:
            return None
        here = [one for one in quantities if one.last == back and _suits(words, one, at)]
        if here:
            return max(here, key=lambda one: one.last - one.first)
        belongs = _begins_belonging(words, back)
        if belongs is not None:
            back = belongs - 1  # 'the mean per quadrat', 'the density of the block', 'the time for one swing'
            continue
        if not _is_linking(word) and not word.is_negation:
            return None
        back -= 1
    return _alone(words, at) if back < 0 else None


def _begins_belonging(words: Sequence[Word], back: int) -> int | None:
    """Return where the 'of the block' begins that ends at *back*; None where none does."""
    lists = known_words()
    if _is_linking(words[back]):
        return None
    for start in (back - 1, back - 2):
        if start > 0 and words[start].text in lists["belonging"]:
            between = words[start + 1 : back]
            return start if all(word.is_passed_over or word.text in lists["numerals"] for word in between) else None
    return None


def _alone(words: Sequence[Word], at: int) -> _Quantity | None:
    """Return the result where an answer begins with its direction: 'Less, because …'."""
    return _Quantity(at, at, 1, is_result=True, is_vague=True) if words[at].direction and at <= 1 else None


def _suits(words: Sequence[Word], quantity: _Quantity, at: int) -> bool:
    # A length or a time can be long; a current that is on for long is not.
    lists = known_words()
    if words[at].text not in lists["lasting"] or quantity.is_vague:
        return True
    return any(word.text in lists["lengths"] for word in words[quantity.first : quantity.last + 1])


def _is_linking(word: Word) -> bool:
    lists = known_words()
    return (
        word.is_passed_over
        or word.text in lists["linking"]
        or word.text[0].isdigit()
        or word.text in lists["unit_words"]
        or word.text in lists["ways"]
    )


def _said_behind(words: Sequence[Word], quantities: Sequence[_Quantity], at: int) -> _Quantity | None:
    # 'a bigger volume', 'too high a value of c', 'higher than expected density'.
    lists = known_words()
    for ahead in range(at + 1, min(len(words), at + 1 + FARTHEST_AHEAD)):
        word = words[ahead]
        if word.clause != words[at].clause or word.is_behind_comma:
            return None
        here = [one for one in quantities if one.first == ahead and not one.is_vague and _suits(words, one, at)]
        if here:
            return max(here, key=lambda one: one.last - one.first)
        if not word.is_passed_over or word.text in lists["conjunctions"]:
            return None
    return None


def _is_about_something_else(words: Sequence[Word], at: int) -> bool:
    """Tell whether it only describes the word behind it: 'small plants', 'more often', 'longer leads'."""
    lists = known_words()
    if at + 1 >= len(words):
        return False
    after = words[at + 1]
    if after.clause != words[at].clause or after.is_behind_comma:
        return False
    joined = after.text in lists["conjunctions"] or after.text in lists["joins"] or after.text in lists["reasons"]
    return not (after.is_passed_over or joined or after.text == "than" or after.is_negation or after.direction)


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


def _is_real(words: Sequence[Word], quantity: _Quantity) -> bool:
    """Tell whether it is said of the real thing: 'the real number is lower', so the one worked out is higher."""
    before = words[max(0, quantity.first - 1) : quantity.first]
    return any(word.text in known_words()["real"] for word in before)
