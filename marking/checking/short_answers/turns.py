"""What leaves an answer to the teacher whatever ideas it holds: turns, circles, and the question copied out."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from marking.checking.short_answers.words import Match, Word, direction_of, known_words, phrases_in, read_words

FEWEST_COPIED = 5
"""Words of the question in a row, from which on they are no longer the student's own."""
FEWEST_REPEATED = 2
"""Words of its own that a 'so' has to give back before it gives nothing but them."""
MOST_OF_QUESTION = 0.75
"""Share of an answer's own words that stand in the question too, from which on it says nothing."""


def has_turn(words: Sequence[Word]) -> bool:
    """Tell whether something is said to be wrong, or is only what others think: 'it is wrong to say'."""
    texts = [word.text for word in words]
    ends = (start + len(phrase) for start, phrase in phrases_in(texts, "turns"))
    return any(not _is_unknown(texts, end) for end in ends) or _is_not_but(words)


def _is_unknown(texts: Sequence[str], behind: int) -> bool:
    # 'You cant say which one will be next' denies nothing.
    return texts[behind - 1] == "say" and texts[behind : behind + 1] in (["which"], ["when"], ["what"], ["who"])


def _is_not_but(words: Sequence[Word]) -> bool:
    # 'It is not the heat but the meter': which half is meant is for a reader to say.
    for at, word in enumerate(words):
        if word.text == "but" and any(one.text == "not" and one.clause == words[at - 1].clause for one in words[:at]):
            behind = words[at + 1 : at + 3]
            if not any(one.text in known_words()["new_subject"] for one in behind):
                return True
    return False


def opens_with_denial(words: Sequence[Word], right: Sequence[Match]) -> bool:
    """Tell whether an answer starts by saying what not to do, and no idea of the question is a 'not' itself."""
    start = next((at for at, word in enumerate(words) if not word.is_passed_over), 0)
    if not words or words[start].text not in known_words()["forbids"]:
        return False
    return not any(one.is_negated for one in right)


def is_hedged(words: Sequence[Word]) -> bool:
    """Tell whether two ways are left open: 'up or down', 'or maybe the other way', 'it depends'."""
    texts = [word.text for word in words]
    return tells_both_ways(words) or _holds(texts, "hedges")


def tells_both_ways(words: Sequence[Word]) -> bool:
    """Tell whether it is said that it may go both ways, as is right of a source that does: 'too high or too low'."""
    texts = [word.text for word in words]
    ways = [_way(text) for text in texts]
    return _holds(texts, "both_ways") or any(
        text == "or"
        and not _is_either_size(texts, at)
        and any(one * other < 0 for one in ways[max(0, at - 3) : at] for other in ways[at + 1 : at + 7])
        for at, text in enumerate(texts)
    )


def _holds(texts: Sequence[str], name: str) -> bool:
    return any(True for _ in phrases_in(texts, name))


def _is_either_size(texts: Sequence[str], at: int) -> bool:
    # 'The same share goes, big pile or small': of things of any size.
    near = texts[max(0, at - 3) : at + 4]
    sizes = known_words()["sizes"]
    return sum(text in sizes for text in near) > 1 and not any(text in ("too", "is", "was", "be") for text in near)


def _way(text: str) -> int:
    lists = known_words()
    if text in lists["also_up"]:
        return 1
    return -1 if text in lists["also_down"] else int(direction_of(text))


def own_words(prompt: str, words: tuple[Word, ...]) -> tuple[Word, ...]:
    """Return *words* without runs that are copied from the question."""
    asked = [word.stem for word in read_words(prompt)]
    if not asked:
        return words
    copied = set()
    for start in range(len(words)):
        length = max((_run(words, start, asked, begin) for begin in range(len(asked))), default=0)
        if length >= FEWEST_COPIED:
            copied |= set(range(start, start + length))
    if not copied:
        return words
    # What stands behind a copied run is no part of its clause.
    kept = [(at, word) for at, word in enumerate(words) if at not in copied]
    breaks = 0
    found = []
    last = -1
    for at, word in kept:
        breaks += at != last + 1
        found.append(replace(word, clause=word.clause * 100 + breaks))
        last = at
    return tuple(found)


def _run(words: Sequence[Word], start: int, asked: Sequence[str], begin: int) -> int:
    length = 0
    while (
        start + length < len(words)
        and begin + length < len(asked)
        and words[start + length].stem == asked[begin + length]
    ):
        length += 1
    return length


def says_nothing_new(prompt: str, words: Sequence[Word]) -> bool:
    """Tell whether an answer is made of the words of its question."""
    asked = {word.stem for word in read_words(prompt)}
    own = [word for word in words if not word.is_passed_over]
    if len(own) < FEWEST_COPIED:
        return False
    return sum(word.stem in asked for word in own) / len(own) > MOST_OF_QUESTION


def is_circle(words: Sequence[Word]) -> bool:
    """Tell whether the reason given is what it is the reason of: 'A because A'."""
    lists = known_words()
    if any(word.text == "so" and _only_repeats(words, at) for at, word in enumerate(words)):
        return True
    at = next((i for i, word in enumerate(words) if word.text in lists["reasons"]), None)
    if at is None:
        return False
    before = {_meaning(word) for word in words[:at] if not word.is_passed_over}
    behind = {_meaning(word) for word in words[at + 1 :] if not word.is_passed_over}
    return bool(behind) and behind <= before


def _only_repeats(words: Sequence[Word], at: int) -> bool:
    # 'Volume is how much space it takes up, so I found out how much space it takes up.'
    lists = known_words()
    before = {word.stem for word in words[:at] if not word.is_passed_over}
    behind = {
        word.stem
        for word in words[at + 1 :]
        if not word.is_passed_over and not any(word.text in lists[name] for name in ("linking", "common", "ways"))
    }
    return len(behind) >= FEWEST_REPEATED and behind <= before


def _meaning(word: Word) -> str:
    return str(int(word.direction)) if word.direction else word.stem
