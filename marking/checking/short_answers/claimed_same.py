"""Figures of an answer that deny what it says: 'kept it the same: 100 ml, 150 ml, 120 ml', '400 and 205, a quarter'."""

from __future__ import annotations

import math
import re
from collections import defaultdict
from collections.abc import Iterator, Sequence
from itertools import combinations

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
_FACTORS = {
    2.0: re.compile(r"\b(?:doubl\w*|twice|half(?! an?\b)|halv\w+|two times)\b", re.I),  # not 'half a percent'
    3.0: re.compile(r"\b(?:tripl\w*|three times|a third(?= of| as))\b", re.I),
    4.0: re.compile(r"\b(?:quarter\w*|four times|a fourth)\b", re.I),
    9.0: re.compile(r"\b(?:nine times|a ninth|one ninth)\b", re.I),
}
"""How many times as much one value is said to be as another, or the other as the one."""
FACTOR_SHARE = 0.2
"""How far a quotient of two readings may be from the factor that they are quoted for, as a share of it."""
FEWEST_OF_TWO_PAIRS = 4
"""Numbers that stand for both quantities: two of one and two of the other."""
_AGREES = re.compile(
    rf"({_NUMBER})[^\d.]{{0,20}}\b(?:agrees?|fits?|match(?:es)?|close to|near(?:ly)?|the same as)\b"
    rf"[^\d.]{{0,30}}({_NUMBER})",
    re.I,
)
_BOTH_AGREE = re.compile(
    rf"({_NUMBER})[^\d.]{{0,40}}(?<![\w.])({_NUMBER})[^\d.]{{0,20}}\b(?:so|and|which|they|these|both)\s"
    r"(?:they |these |both |all )?(?:agree|match|fit)\b",
    re.I,
)
AGREES_SHARE = 0.5
"""Two values that differ by more, as a share of the smaller, do not agree in any laboratory."""
_AT = re.compile(rf"\bat\s+({_NUMBER})(?![\w]*\d)", re.I)


def denies_sameness(prompt: str, text: str, words: Sequence[Word]) -> bool:
    """Tell whether values in *text* differ, where it says that they are alike or *prompt* asks what was kept alike."""
    if not _claims_it(words) and not _claims_it(read_words(prompt)):
        return False
    return any(len(values) >= FEWEST and not _are_alike(values) for values in _of_one_kind(text))


def denies_factor(text: str) -> bool:
    """Tell whether no two values in *text* are to each other as it says, or values that are said to agree do not."""
    agreeing = [found for pattern in (_AGREES, _BOTH_AGREE) for found in pattern.finditer(text)]
    if any(not _are_within(float(found[1]), float(found[2]), AGREES_SHARE) for found in agreeing):
        return True
    claimed = [factor for factor, pattern in _FACTORS.items() if pattern.search(text)]
    values = [float(one) for one in re.findall(_NUMBER, text)]
    if not claimed or len(values) < FEWEST_OF_TWO_PAIRS:
        return False
    quotients = [max(pair) / min(pair) for pair in combinations(values, 2) if min(pair) > 0]
    return not all(any(_are_within(one, factor, FACTOR_SHARE) for one in quotients) for factor in claimed)


def _are_within(one: float, other: float, share: float) -> bool:
    low, high = sorted((one, other))
    return low > 0 and high / low - 1 <= share


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
