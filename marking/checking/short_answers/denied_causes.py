"""A source of error that the answer itself denies: what was done as it should be is no source of error.

'The bubbles were all shaken off, so the volume is too big' names a source and a direction, and says that the source was
not there. 'The lid was on, so the fall is too big' is no improvement: it is told as it was, with what it is said to do.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from itertools import pairwise

from marking.checking.short_answers.words import (
    Direction,
    Match,
    Word,
    direction_of,
    known_words,
    phrases_in,
    read_words,
)
from rubrics.model import ErrorSource

LOSSES = frozenset({"lost", "loses", "loss", "escapes", "escaped", "leaves", "surroundings"})
"""Words of a source of error in which something gets away."""
REACH = 4
"""Words before a word for work well done in which a 'not' denies it, and before a match that tell it as it was."""


def is_denied_cause(words: Sequence[Word], sources: Sequence[Match], ideas: Sequence[Match]) -> bool:
    """Tell whether an answer that names *sources* says that they were not there, or tells an improvement as it was."""
    if not sources:
        return False
    named = {at for one in sources for at in one.at}
    if any(_is_told(words, one) for one in ideas if not named & set(one.at)):
        return True
    if _is_got_right(words):
        return True
    # What an improvement itself names is dealt with: 'until it rolls steadily, so that friction is made up for'.
    dealt_with = [set(one.at) for one in ideas]
    return any(_is_well_done(words, one) for one in sources if not any(set(one.at) <= at for at in dealt_with))


def _is_got_right(words: Sequence[Word]) -> bool:
    """Tell whether it is said anywhere that it went well: '... but I got it exactly right'."""
    texts = [word.text for word in words]
    return any(not _is_not(words, at) for at, _ in phrases_in(texts, "got_right"))


def _is_told(words: Sequence[Word], match: Match) -> bool:
    """Tell whether *match* is told as something that was so, and not as something to do."""
    lists = known_words()
    near = [
        word.text
        for at, word in enumerate(words)
        if match.at[0] - REACH <= at <= match.at[-1] and word.clause == words[match.at[0]].clause
    ]
    is_past = any(words[at].text.endswith("ed") for at in match.at)
    return (is_past or any(text in lists["states"] for text in near)) and not any(
        text in lists["conditional"] for text in near
    )


def _is_well_done(words: Sequence[Word], match: Match) -> bool:
    """Tell whether a word for work well done stands in the part of the answer that names a source."""
    part = _part_of(words, match)
    lists = known_words()
    for at in part:
        if at not in match.at and words[at].text in lists["sound"] and not _is_not(words, at):
            return True
    texts = [words[at].text for at in part]
    return any(not _is_not(words, part[start]) for start, _ in phrases_in(texts, "sound_phrases"))


def _part_of(words: Sequence[Word], match: Match) -> list[int]:
    """Return the positions from the 'so' before *match* to the one behind it, or to the ends of its clause."""
    clause = [at for at, word in enumerate(words) if word.clause == words[match.at[0]].clause]
    joints = [at for at in clause if words[at].text in known_words()["joints"]]
    start = max((at for at in joints if at < match.at[0]), default=clause[0])
    end = min((at for at in joints if at > match.at[-1]), default=clause[-1] + 1)
    return [at for at in clause if start <= at < end]


def _is_not(words: Sequence[Word], at: int) -> bool:
    near = words[max(0, at - REACH) : at]
    return any(word.is_negation and word.clause == words[at].clause for word in near)


def speaks_against_reason(words: Sequence[Word], sources: Collection[ErrorSource]) -> bool:
    """Tell whether *words* say of a thing the opposite of what the reason for a source says: more air, for less."""
    if _helps(words) or (any(_loses(source) for source in sources) and _gains(words)):
        return True
    said = set(_said_of_things(words))
    for source in sources:
        known = set(_said_of_things(read_words(source.because)))
        # A reason that says both ways of a thing settles nothing.
        one_way = {(thing, way) for thing, way in known if (thing, Direction(-way)) not in known}
        if any((thing, Direction(-way)) in said and (thing, way) not in said for thing, way in one_way):
            return True
    return False


def _helps(words: Sequence[Word]) -> bool:
    # 'Rubbing lets more of the force through': what hinders is said to help.
    texts = [word.text for word in words]
    return any(not _is_not(words, at) for at, _ in phrases_in(texts, "helps"))


def _loses(source: ErrorSource) -> bool:
    return any(word.text in LOSSES for text in (source.says, source.because) for word in read_words(text))


def _gains(words: Sequence[Word]) -> bool:
    """Tell whether heat is said to come in: 'it was gaining heat', 'took warmth from the air'."""
    lists = known_words()
    for at, word in enumerate(words):
        if _is_not(words, at):
            continue
        behind = [one.text for one in words[at + 1 : at + 5] if one.clause == word.clause]
        if _comes_in(word.text, behind):
            return True
        if not lists["warmth"] & set(behind):
            continue
        if word.text in lists["gains"] or (
            word.text in lists["takers"] and "from" in behind and lists["round_about"] & set(behind)
        ):
            return True
    return False


def _comes_in(text: str, behind: Sequence[str]) -> bool:
    # 'The room warms the water', 'heat came in through the sides'.
    lists = known_words()
    if text in lists["round_about"] and len(behind) > 1:
        return behind[0] in lists["warming"] and behind[1] in lists["determiners"]
    return text in lists["warmth"] and behind[:2] in (["came", "in"], ["comes", "in"], ["got", "in"], ["gets", "in"])


def _said_of_things(words: Sequence[Word]) -> Iterator[tuple[str, Direction]]:
    """Yield (stem of a thing, which way) for each 'less air' and 'longer time'."""
    lists = known_words()
    for at, (word, after) in enumerate(pairwise(words)):
        way = direction_of(word.text)
        if not way or word.text in lists["ways"] | lists["positives"]:
            continue
        if _is_thing(after, word) and not _is_not(words, at):
            yield after.stem, way


def _is_thing(after: Word, word: Word) -> bool:
    if after.clause != word.clause or after.is_behind_comma or after.is_passed_over or after.direction:
        return False
    return after.text != "than" and after.text not in known_words()["conjunctions"]
