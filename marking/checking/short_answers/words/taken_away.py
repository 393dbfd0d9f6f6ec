"""Where an idea is taken away: 'take the lid off', 'glass instead of foam', 'stir less', 'the strobe turned off'."""

from __future__ import annotations

from collections.abc import Sequence

from marking.checking.short_answers.words.reading_words import Word, known_words

TAKING_REACH = 3
"""Words before an idea in which a 'take' takes it away."""
FARTHEST_AWAY = 4
"""Words behind an idea within which an 'off' belongs to it."""


def is_taken_away(words: tuple[Word, ...], positions: Sequence[int]) -> bool:
    """Tell whether it is taken away, or is what something else is put in place of: 'take the lid off'."""
    lists = known_words()
    first, last = positions[0], positions[-1]
    clause = [at for at, word in enumerate(words) if word.clause == words[first].clause]
    free = [at for at in clause if at not in positions]
    if any(_is_in_place_of(words, at, first) for at in free if at < first):
        return True
    before = [words[at].text for at in free if first - TAKING_REACH <= at < first]
    among = [words[at].text for at in free if first < at < last]
    if any(text in lists["undoes"] for text in before) or any(text in lists["hinders"] for text in among):
        return True
    if any(_is_lessened(words, at) for at in positions if at + 1 not in positions):
        return True
    if _is_taken_behind(words, positions):
        return True  # 'turn the strobe off', 'the bubbles were all shaken off'
    behind = [words[at].text for at in free if last < at <= last + 2]
    taken = any(text in lists["takes"] for text in before)
    return taken and ("off" in among or any(text in lists["away"] for text in (*before, *behind)))


def _is_in_place_of(words: tuple[Word, ...], at: int, first: int) -> bool:
    """Tell whether what begins at *first* is what something else is put in place of: not behind 'rather than once,'."""
    if words[at].text not in known_words()["in_place_of"] or any(
        one.is_behind_comma for one in words[at + 1 : first + 1]
    ):
        return False
    return not any(one.text[0].isdigit() or one.text in ("zero", "nought") for one in words[at + 1 : at + 3])


def _is_lessened(words: tuple[Word, ...], at: int) -> bool:
    # 'Stir less so that …'.
    behind = [word.text for word in words[at + 1 : at + 3] if word.clause == words[at].clause]
    lists = known_words()
    return bool(behind) and behind[0] in lists["lessens"] and (len(behind) == 1 or behind[1] in lists["ends_lessening"])


def _is_taken_behind(words: tuple[Word, ...], positions: Sequence[int]) -> bool:
    lists = known_words()
    last, clause = positions[-1], words[positions[0]].clause
    for at in range(last + 1, min(len(words), last + 1 + FARTHEST_AWAY)):
        if words[at].clause != clause or words[at].is_behind_comma or words[at].text in lists["ends_denial"]:
            return False
        if words[at].text in lists["away"]:
            near = words[max(0, positions[0] - TAKING_REACH) : positions[0]] + words[last + 1 : at]
            return any(word.text in lists["switches"] and word.clause == clause for word in near)
    return False
