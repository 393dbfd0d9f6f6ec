"""Which way a single word points, and whether it is denied or says something of another thing."""

from __future__ import annotations

from collections.abc import Sequence

from marking.checking.short_answers.directions.named_quantities import Quantity
from marking.checking.short_answers.words import Direction, Word, direction_of, known_words

DENIED_WITHIN = 5


def way_at(words: Sequence[Word], at: int) -> Direction:
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
        return Direction.UP if at and words[at - 1].text == "as" and is_not_as(words, at) else Direction.NONE
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


def bare_way(words: Sequence[Word], quantities: Sequence[Quantity], at: int) -> Direction:
    """Return which way a bare 'up' or 'down' points: 'density is up a touch', and not 'R up to 5 A'.

    Beside no quantity the word alone points nowhere.
    """
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


def is_place(words: Sequence[Word], at: int) -> bool:
    """Tell whether it only says where something is: 'a few drops under the spout'."""
    lists = known_words()
    if words[at].text not in lists["places"] or at + 2 >= len(words) or words[at + 1].text not in lists["determiners"]:
        return False
    return not any(word.text in lists["references"] | lists["expected"] for word in words[at + 2 : at + 4])


def is_not_as(words: Sequence[Word], at: int) -> bool:
    """Tell whether it is 'not as high as': the other way, and no denial."""
    if at == 0 or words[at - 1].text not in ("as", "so"):
        return False
    return any(word.is_negation for word in words[max(0, at - 6) : at - 1] if word.clause == words[at].clause)


def is_denied(words: Sequence[Word], at: int) -> bool:
    """Tell whether the direction at *at* is denied: 'not too high'."""
    lists = known_words()
    for back in range(at - 1, max(-1, at - 1 - DENIED_WITHIN), -1):
        word = words[back]
        if word.clause != words[at].clause or word.text in lists["conjunctions"] or words[back + 1].is_behind_comma:
            return False
        if word.is_negation:
            return words[back + 1].text not in lists["undone_by"]
    return False


def is_about_something_else(words: Sequence[Word], at: int) -> bool:
    """Tell whether it only describes the word behind it: 'small plants', 'more often', 'longer leads'."""
    lists = known_words()
    if at + 1 >= len(words):
        return False
    after = words[at + 1]
    if after.clause != words[at].clause or after.is_behind_comma:
        return False
    joined = after.text in lists["conjunctions"] or after.text in lists["joins"] or after.text in lists["reasons"]
    return not (after.is_passed_over or joined or after.text == "than" or after.is_negation or after.direction)
