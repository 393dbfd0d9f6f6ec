"""Words behind a number, and in brackets behind it: which of them leave it as it is.

'21.0 at the start', '4800 daisies' and '23.10 (mean of 2 and 3)' are numbers with a remark. '21.0 celcus' may be one
with its unit, '21 more' is another number: what could say either stays, and a person is asked.
"""

from __future__ import annotations

import re

from marking.intake.numbers.student_words import NUMBER_WORDS, TURNING
from marking.intake.numbers.sums import is_sum, value_of_sum
from rubrics.patterns import late_pattern
from rubrics.units import holds_unit, is_like_unit, names_things

_HEDGES = frozenset(re.findall("[a-z]+", "or so about approx approximately ish roughly i think maybe probably error"))
_OPENING = frozenset(
    re.findall(
        "[a-z]+",
        "after altogether as at because before by during exactly finally for from initially on once overall precisely "
        "since that this using when where which while with without",
    )
)
"""A remark begins with one of these; words of another kind may be a unit that nobody knows."""
_SHARING = frozenset({"each", "every", "half", "double", "twice"})
"""Behind a unit too they make another quantity, or another number: 340 m every second, 3 V each."""
_BETWEEN = frozenset(re.findall("[a-z]+", "a an and i in is it my of our the to was we were"))
"""Short words that hold no unit where a remark has begun."""
_COUNTING = frozenset(
    re.findall(
        "[a-z]+",
        "couple double dozen dozens each every extra few fold half halves hundred hundreds many million millions "
        "missing off one other others out pair pairs quarter quarters score tens tenths third thirds thousand "
        "thousands triple twice two wrong",
    )
)
"""Words that may make another number of the one in front, beside those that turn any."""
_PREFIXES = frozenset(re.findall("[a-z]+", "giga kilo mega micro mil mili mill milli nano pico plus point"))
"""Parts of a unit or of a number that stand alone."""
_IN_BRACKETS = late_pattern(r"(?P<front>.*[^ (/]) ?\((?P<words>[^()]*)\)[.!]?")
_NOUGHT = late_pattern("[+-]?0+(?:[.,]0*)?(?![0-9.,])")
"""0 (too small to read) may be no reading at all."""
_OF_ROWS = frozenset(
    re.findall(
        "[a-z]+",
        "and attempt attempts average averaged avg concordant excluding from ignoring last mean of only reading "
        "readings repeat repeats rough row rows run runs test tests the titre titres trial trials tries try using with "
        "without",
    )
)
"""Words that name rows of a table beside whole numbers: (mean of 2 and 3)."""
_FIGURES = late_pattern(r"(?<![0-9.])[0-9]+(?:\.[0-9]+)?")
_WITH_UNIT = late_pattern(
    r"(?P<number>[+-]?[0-9]+(?:\.[0-9]+)?) ?(?P<unit>[^0-9 ]*)(?: used| added| altogether| in all)?"
)
_FROM_TO = late_pattern(
    r"(?:[A-Za-z]+ )?(?:from )?(?P<first>[0-9]+(?:\.[0-9]+)?) +(?:to|until|then) +(?P<last>[0-9]+(?:\.[0-9]+)?) *"
)
_MOST_ROWS = 20
_PLAIN_WORD = late_pattern("[a-z]*(?:'[a-z]+)?")


def is_harmless_tail(words: str, *, has_unit: bool, is_count: bool = False) -> bool:
    """Tell whether the words behind a number leave it as it is.

    Args:
        words: The text behind the number, or behind its unit.
        has_unit: A unit, or a phrase in front, says what the number is: then any words may follow.
        is_count: A pure number is asked for; then they may say what was counted.
    """
    bare = [word.strip(",.;!()") for word in words.casefold().split()]
    if not all(_PLAIN_WORD.fullmatch(word) for word in bare) or (TURNING | _SHARING) & set(bare):
        return False
    if has_unit or set(bare) <= _HEDGES:
        return True
    if _COUNTING & set(bare):
        return False
    if bare[0] in _OPENING:
        return not holds_unit(" ".join(word for word in bare if word not in _OPENING | _BETWEEN))
    return is_count and names_things(" ".join(bare))


def is_chatter(words: str) -> bool:
    """Tell whether plain words behind a number whose unit stands elsewhere are neither unit, prefix nor number."""
    bare = [word.strip(",.;!()") for word in words.casefold().split()]
    if not bare or not all(_PLAIN_WORD.fullmatch(word) and len(word) > 2 for word in bare):
        return False
    barred = TURNING | _SHARING | _COUNTING | _PREFIXES | NUMBER_WORDS
    return not barred & set(bare) and not is_like_unit(" ".join(bare))


def without_bracket(text: str) -> tuple[str, str]:
    """Return *text* without a remark in brackets at its end, and that remark; empty where it may be more than one."""
    match = _IN_BRACKETS.fullmatch(text)
    if match is None or TURNING & set(match["words"].casefold().split()) or _NOUGHT.match(match["front"]):
        return text, ""
    if any(sign.isdigit() for sign in match["words"]) and not any(test(match) for test in _HARMLESS):
        return text, ""
    return match["front"], match["words"]


def _names_rows(match: re.Match[str]) -> bool:
    """Tell of '(mean of 2 and 3)': whole numbers among words that name rows."""
    words = re.findall("[a-z]+", match["words"].casefold())
    numbers = _FIGURES.findall(match["words"])
    is_small = all(number.isdigit() and 0 < int(number) <= _MOST_ROWS for number in numbers)
    is_plain = bool(re.fullmatch("[A-Za-z0-9 ,&#]*", match["words"]))
    return bool(words) and is_plain and set(words) <= _OF_ROWS and is_small


def _works_it_out(match: re.Match[str]) -> bool:
    """Tell of '(142.6 g - 62.6 g)' behind 80.0 g and '(burette 0.10 to 25.50)' behind 25.40: a sum that comes to it."""
    front = _WITH_UNIT.fullmatch(match["front"])
    if front is None:
        return False
    bare = "".join(match["words"].replace(front["unit"] or " ", " ").split())
    between = _FROM_TO.fullmatch(match["words"].replace(front["unit"] or " ", " "))
    worth = (
        float(between["last"]) - float(between["first"]) if between else value_of_sum(bare) if is_sum(bare) else None
    )
    half = 0.5 * 10.0 ** -len(front["number"].partition(".")[2])
    return worth is not None and abs(worth - float(front["number"])) <= half * (1 + 1e-9)


def _says_the_same(match: re.Match[str]) -> bool:
    """Tell of '(stopwatch said 12.47)' behind 12.5: one number among words, which rounds to the one in front."""
    inside, front = _FIGURES.findall(match["words"]), _FIGURES.findall(match["front"])
    words = re.fullmatch("(?P<words>[A-Za-z ,':]+)[0-9.]+[A-Za-z ,]*", match["words"])
    if words is None or len(inside) != 1 or len(front) != 1:
        return False
    decimals, others = len(front[0].partition(".")[2]), len(inside[0].partition(".")[2])
    return others > decimals and abs(float(inside[0]) - float(front[0])) <= 0.5 * 10.0**-decimals * (1 + 1e-9)


_HARMLESS = (_names_rows, _says_the_same, _works_it_out)
"""Brackets with figures in them that leave the number in front as it is."""
