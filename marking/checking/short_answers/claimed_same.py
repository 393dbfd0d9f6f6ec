"""Figures of an answer that deny what it says: 'I kept it the same: 100 ml, 150 ml, 120 ml'."""

from __future__ import annotations

import math
import re
from collections import defaultdict
from collections.abc import Iterator, Sequence

from marking.checking.short_answers.words import Word, known_words, read_words

SAME_SHARE = 0.10
"""Largest over smallest, less one, up to which values that are said to be alike are alike in a school laboratory."""
MOST_COUNTED = 30
"""Whole numbers up to here are taken for counts, which differ by chance."""
CHANCE = 2.5
"""Standard deviations of a count, the root of its mean, over which counts that are much alike may range."""
FEWEST = 3
_NUMBER = r"(?<![\w.])\d+(?:\.\d+)?"
_LIST = re.compile(rf"{_NUMBER}(?:\s*(?:,|;|\band\b|\bthen\b|/)\s*(?:(?:and|then)\s+)?\d+(?:\.\d+)?){{2,}}(?![\w]*\d)")
_WITH_UNIT = re.compile(
    rf"({_NUMBER})\s*(ml|cm3|cm³|cm|mm|m|g|kg|s|min|mins|minutes|degrees|°c|c|v|a|ohm|ohms)\b", re.I
)
_AT = re.compile(rf"\bat\s+({_NUMBER})(?![\w]*\d)", re.I)


def denies_sameness(prompt: str, text: str, words: Sequence[Word]) -> bool:
    """Tell whether values in *text* differ, where it says that they are alike or *prompt* asks what was kept alike."""
    if not _claims_it(words) and not _claims_it(read_words(prompt)):
        return False
    return any(len(values) >= FEWEST and not _are_alike(values) for values in _of_one_kind(text))


def _claims_it(words: Sequence[Word]) -> bool:
    return any(
        word.text in known_words()["claims_same"]
        and not any(one.is_negation and one.clause == word.clause for one in words[max(0, at - 3) : at])
        for at, word in enumerate(words)
    )


def _of_one_kind(text: str) -> Iterator[list[float]]:
    """Yield values that stand in a list, have one unit, or stand behind an 'at'."""
    for found in _LIST.finditer(text):
        yield [float(value) for value in re.findall(_NUMBER, found[0])]
    by_unit = defaultdict(list)
    for found in _WITH_UNIT.finditer(text):
        by_unit[found[2].casefold()].append(float(found[1]))
    yield from by_unit.values()
    yield [float(found[1]) for found in _AT.finditer(text)]


def _are_alike(values: Sequence[float]) -> bool:
    least, most = min(values), max(values)
    if most <= MOST_COUNTED and all(value.is_integer() for value in values):
        return most - least <= CHANCE * math.sqrt(sum(values) / len(values))
    return least > 0 and most / least - 1 <= SAME_SHARE
