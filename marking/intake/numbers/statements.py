"""Entries that say more than a number and its unit: c = 896 J/kg°C, 19300/(1.002×21.5) = 896, It took 12.4 s.

Asked only where the reader of plain numbers has given up. What stands in one entry twice has to be one
answer; two different numbers, or a sum that was not worked out, are left to a person.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from math import log10

from msgspec import Struct

from marking.intake.numbers.refusals import RESISTOR_CODE
from marking.intake.numbers.remarks_behind import is_chatter, is_harmless_tail, without_bracket
from marking.intake.numbers.student_words import is_harmless_front, without_remarks, without_struck
from marking.intake.numbers.sums import is_sum, value_of_sum
from marking.intake.numbers.typed_numbers import NumberReading
from marking.intake.numbers.typed_text import make_plain
from marking.write_up import State
from rubrics.patterns import late_pattern
from rubrics.units import Unit, Verdict, define_unit, read_unit

Reader = Callable[[str], NumberReading]
"""The reader of plain numbers, as it is set for this cell."""

MAX_STATEMENT = 200
"""Characters of an entry that is looked at as a statement; more is an essay."""
_MOST_PARTS = 6
_EQUALS = late_pattern(
    r" ?(?:=>|->|[=≈→⇒≅≃]) ?|(?<=[0-9A-Za-z)°%]) ?~ ?(?=[-+.0-9])"
    r"| (?:which (?:is|rounds? to)|(?:which )?rounds? (?:up |down |off )?to|rounded (?:up |down |off )?to"
    r"|i\.e\.?|so|hence|therefore) "
)
_LABEL = late_pattern(r"^(?P<label>[^\W\d_][^=:0-9+*/()]{0,30}) ?[:] ?(?=[-+~.0-9])")
_NEXT = late_pattern(r"[,;] (?=[^\W\d][^=,;]{0,30}=)| and (?=[^\W\d][^=,;]{0,30}=)")
_TWICE = late_pattern(r"(?P<first>.*[^ ]) ?\((?P<second>[^()]*[0-9][^()]*(?:\([^()]*\))?)\)")
_OR = late_pattern(r"(?P<first>.+?)(?:,? or |(?<=[^0-9/ ]) ?(?P<stroke>/) ?)(?P<second>[-+.0-9].*)")
_SAME_IN_BRACKETS = late_pattern(r" ?\( ?(?:=|i\.e\.?,?) ?")
"""590 nm (= 5.90e-7 m)"""
_TENS_BEHIND = late_pattern(
    r"(?P<number>[-+]?[0-9]+(?:[.,][0-9]+)?) (?P<unit>[^\W\d][^0-9()=+×*]*?)"
    r"(?P<tens> ?[x×*·] ?10(?:\^[-+]?[0-9]+|[⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+))$"
)
"""6.6 J s × 10⁻³⁴: the unit stands in front of the power."""
_ROUNDED_FROM = late_pattern(
    r"^(?P<number>[-+]?[0-9][^()]*?)[ ,;(]+rounded (?:up |down |off )?from (?P<exact>[-+]?[0-9][^()=]*?)\)?$"
)
"""4.00 ohms, rounded from 3.996"""
_SPREAD_OR_SECOND = late_pattern("[0-9]")
"""1.5 (2): two in the last figure, as tables print it, or a second reading."""
_POINT_SPACE = late_pattern(r"([0-9]+)(?:\. | \. ?)([0-9]+)(?! ?[0-9.])")
_MEAN = late_pattern(
    r"(?P<of>.*[0-9].*?)[ ,;(]+(?:so )?(?:the )?(?:mean|average|avg|ave)\b\.? ?(?:is |was |of |value )*[:=]? ?"
    r"(?P<mean>[-+.0-9][^()]*)\)?",
    re.IGNORECASE,
)
_FIGURES = late_pattern(r"(?<![0-9.])[0-9]+(?:\.[0-9]+)?")
_FRONT = late_pattern(r"^(?P<front>[A-Za-z][A-Za-z', ]* )(?P<rest>[-+~]?[0-9.½¼¾].*)$")
_RESISTANCE = define_unit("Ω").dimension
_KELVIN_STEP = 0.15
"""Kelvin: the rest of 273.15 that most students leave out."""
_TWO_NUMBERS = "two different numbers"


class Asked(Struct, frozen=True, kw_only=True):
    """What an entry is read for."""

    unit: Unit
    also: tuple[Unit, ...] = ()
    names: frozenset[str] = frozenset()
    """How the student may call it, case-folded: c, specific heat capacity."""
    others: frozenset[str] = frozenset()
    """What names another quantity of the same practical, case-folded: ΔT."""
    is_unit_beside: bool = False
    """A unit that is understood stands beside the entry, so that words behind the number need be none."""


class _Said(Struct, frozen=True):
    label: str
    reading: NumberReading


class _UnclearError(Exception):
    """Not one answer.

    Attributes:
        reading: The reading that says why.
    """

    def __init__(self, why: str | NumberReading) -> None:
        """Keep the reason."""
        super().__init__(why)
        self.reading = NumberReading(state=State.UNREADABLE, problem=why) if isinstance(why, str) else why


def read_statement(text: str, asked: Asked, read: Reader) -> NumberReading | None:
    """Return the one number that a longer text gives; None where it is no statement of that kind.

    Args:
        text: The entry as typed.
        asked: What it is read for; settles which of two ways to write one answer counts.
        read: The reader of plain numbers.
    """
    plain = make_plain(text)
    if plain.problem or not plain.plain or len(plain.plain) > MAX_STATEMENT:
        return None
    bare, remark = without_remarks(" ".join(without_struck(plain.plain).split()))
    bare = _TENS_BEHIND.sub(r"\g<number>\g<tens> \g<unit>", _SAME_IN_BRACKETS.sub(" (", bare))
    bare = _ROUNDED_FROM.sub(r"\g<exact> = \g<number>", bare)
    bare, in_brackets = without_bracket(bare)
    if in_brackets:
        remark = "; ".join(filter(None, (remark, f"({in_brackets}) left out")))
    if asked.unit.dimension == _RESISTANCE and (code := RESISTOR_CODE.search(bare)) is not None:
        problem = "a code as on components, or two numbers"
        return NumberReading(state=State.UNREADABLE, problem=problem, likely=(_resistor(code),))
    if (mean := _mean(bare)) != bare:
        bare, remark = mean, "; ".join(filter(None, (remark, "the stated mean of what stands in front of it")))
    if (mended := _POINT_SPACE.sub(r"\1.\2", bare)) != bare:
        bare, remark = mended, "; ".join(filter(None, (remark, "a slip of the keyboard mended")))
    try:
        said = _statements(bare, asked, read)
    except _UnclearError as error:
        return error.reading
    if said is None:
        return None
    notes = dict.fromkeys(filter(None, [f"read as {_shown(said.reading)}", remark, *said.reading.notes]))
    return replace(said.reading, notes=tuple(notes), label=said.label)


def _mean(text: str) -> str:
    """Return the mean that a text states behind the readings it is of; a text that states none as it was."""
    match = _MEAN.fullmatch(text)
    numbers = [float(figures) for figures in _FIGURES.findall(match["of"])] if match else []
    stated = _FIGURES.search(match["mean"]) if match else None
    if match is None or stated is None or len(numbers) < 2:
        return text
    return match["mean"] if min(numbers) <= float(stated[0]) <= max(numbers) else text


def _statements(text: str, asked: Asked, read: Reader) -> _Said | None:
    parts = _NEXT.split(text)
    if len(parts) > _MOST_PARTS:
        return None
    found = [_statement(part, asked, read) for part in parts]
    said = [one for one in found if one is not None]
    if len(said) < len(found):
        return None
    if len(said) == 1:
        label = said[0].label.strip()
        if label.casefold() in asked.others - asked.names and _unit_of(said[0].reading, asked) is None:
            raise _UnclearError(f"says that it is {label}")
        return said[0]
    named = [one for one in said if one.label.casefold() in asked.names]
    fitting = named or [one for one in said if _unit_of(one.reading, asked) is not None]
    if len(fitting) != 1:
        raise _UnclearError("more than one answer")
    return fitting[0]


def _statement(text: str, asked: Asked, read: Reader) -> _Said | None:
    """Return what a chain of equals signs ends in, with the name in front of it; None where it is none."""
    text = _LABEL.sub(r"\g<label> = ", text)
    segments = _EQUALS.split(text)
    if len(segments) > _MOST_PARTS:
        return None
    label = "" if len(segments) == 1 else segments[0]
    sums = [segment for segment in segments[:-1] if is_sum(segment) and read(segment).state is not State.NUMBER]
    if is_sum(segments[-1]) and sums + [*segments][:-1] and read(segments[-1]).state is not State.NUMBER:
        raise _UnclearError("a sum that was not worked out")
    numbers: list[NumberReading] = []
    for segment in segments:
        numbers += [] if segment in sums else _numbers(segment, asked, read, sums, is_last=segment is segments[-1])
    if not numbers:
        return None
    if any(not _agree(one, numbers[-1], asked) for one in numbers[:-1]):
        raise _UnclearError(_TWO_NUMBERS)
    at_scale = [one for one in numbers if (unit := _unit_of(one, asked)) is not None and _is_scale(unit, asked.unit)]
    chosen = (at_scale or numbers)[-1]
    is_label = bool(label) and not any(sign.isdigit() for sign in label)
    return _Said(label if is_label else "", _checked(chosen, sums))


def _numbers(segment: str, asked: Asked, read: Reader, sums: Sequence[str], *, is_last: bool) -> list[NumberReading]:
    """Return the numbers of one link of the chain: one, two for one answer in two units, none for algebra."""
    reading = read(segment)
    if reading.state is State.NUMBER:
        return [reading]
    if settled := _by_sum(reading, sums):
        return [settled]
    if (match := _TWICE.fullmatch(segment)) is not None:
        pair = [read(match["first"]), read(match["second"])]
        if all(one.state is State.NUMBER for one in pair):
            return _without_spread(pair, match["second"])
    if (match := _OR.fullmatch(segment)) is not None:
        pair = [read(match["first"]), read(match["second"])]
        # 2.96 V / 0.30 A is a sum; 0.30 A / 300 mA is said twice.
        is_sum_of_two = bool(match["stroke"]) and None in [_unit_of(one, asked) for one in pair]
        if not is_sum_of_two and all(one.unit_text for one in pair) and pair[0].unit_text != pair[1].unit_text:
            return pair
    if (found := _in_sentence(segment, asked, read)) is not None:
        return [found]
    if is_last:
        raise _UnclearError(reading if reading.problem else "no number in it")
    if any(sign.isdigit() for sign in segment) and not any(sign.isalpha() for sign in segment):
        raise _UnclearError(reading)
    return []


def _without_spread(pair: list[NumberReading], in_brackets: str) -> list[NumberReading]:
    if _SPREAD_OR_SECOND.fullmatch(in_brackets) and pair[0].value != pair[1].value:
        raise _UnclearError("two numbers, or an uncertainty in the last figure")
    return pair


def _by_sum(reading: NumberReading, sums: Sequence[str]) -> NumberReading | None:
    """Return the one of two readings of '4,920' that the sum in front of it comes to; None where none does."""
    for text in sums:
        worth = value_of_sum(text)
        fitting = [way for way in reading.ways if worth is not None and _is_near(way, worth)]
        if len(fitting) == 1:
            return fitting[0]
    return None


def _is_near(reading: NumberReading, worth: float) -> bool:
    return abs((reading.value or 0.0) - worth) <= _half(reading) * (1 + 1e-9)


def _half(reading: NumberReading) -> float:
    place = reading.last_place[1] if reading.last_place is not None else 0
    return 0.5 * 10.0**place


def _finest_half(reading: NumberReading) -> float:
    return 0.5 * 10.0 ** (reading.last_place[0] if reading.last_place is not None else 0)


def _checked(reading: NumberReading, sums: Sequence[str]) -> NumberReading:
    """Return *reading* with a note where the sum in front of it comes to its figures at another power of ten.

    Raises:
        _UnclearError: The sum comes to other figures.
    """
    worth = value_of_sum(sums[-1]) if sums else None
    if worth is None or _is_near(reading, worth):
        return reading
    says = f"the sum in front of it comes to {worth:.6g}"
    if not _has_its_figures(reading, worth):
        raise _UnclearError(says)
    return replace(reading, notes=(*reading.notes, says))


def _has_its_figures(reading: NumberReading, worth: float) -> bool:
    """Tell whether a number is what a sum comes to, cut off or rounded, but for the place of its point."""
    value = reading.value or 0.0
    if not value or not worth or (value < 0) != (worth < 0):
        return False
    power = round(log10(value / worth))
    return any(
        abs(value - worth * 10.0**tens) <= 2 * _half(reading) * (1 + 1e-9) for tens in (power - 1, power, power + 1)
    )


def _unit_of(reading: NumberReading, asked: Asked) -> Unit | None:
    """Return the unit typed with a number where it is one of the asked quantity; None otherwise."""
    if not reading.unit_text:
        return None
    found = read_unit(reading.unit_text, asked.unit, asked.also)
    return found.unit if found.verdict in (Verdict.ACCEPT, Verdict.NOTE) else None


def _is_scale(unit: Unit, other: Unit) -> bool:
    return abs(unit.factor / other.factor - 1) < 1e-9 and unit.offset == other.offset


def _agree(one: NumberReading, other: NumberReading, asked: Asked) -> bool:
    """Tell whether two numbers of one entry are one answer: alike as far as the shorter one is printed."""
    units = [_unit_of(reading, asked) for reading in (one, other)]
    if one.unit_text and other.unit_text and None in units:
        return one.unit_text == other.unit_text and _near_each_other(one, other, None, None)
    pure = define_unit("")
    ways = [(units[0] or units[1], units[1] or units[0])]
    if asked.unit.dimension == pure.dimension:
        ways.append((units[0] or pure, units[1] or pure))
    return any(_near_each_other(one, other, first, second) for first, second in ways)


def _near_each_other(one: NumberReading, other: NumberReading, first: Unit | None, second: Unit | None) -> bool:
    scales = [unit or define_unit("") for unit in (first, second)]
    (a, half_a), (b, half_b) = (
        (unit.to_si(reading.value or 0.0), unit.change_to_si(_half(reading)))
        for reading, unit in zip((one, other), scales, strict=True)
    )
    is_shifted = scales[0].offset != scales[1].offset
    if is_shifted:  # the nought of 20 °C beside 295 K is no place to round to
        half_a, half_b = (
            unit.change_to_si(_finest_half(reading)) for reading, unit in zip((one, other), scales, strict=True)
        )
    slack = _KELVIN_STEP if is_shifted else 0.0
    return abs(a - b) <= (max(half_a, half_b) + slack) * (1 + 1e-9)


def _in_sentence(text: str, asked: Asked, read: Reader) -> NumberReading | None:
    """Return the one number of a sentence, with the longest unit behind it; None where it has not that shape."""
    match = _FRONT.match(text)
    front, rest = (match["front"], match["rest"]) if match else ("", text)
    if front and not is_harmless_front(front):
        return None
    words = rest.split(" ")
    for end in range(len(words), 0, -1):
        reading = read(" ".join(words[:end]))
        if reading.state is not State.NUMBER:
            continue
        has_unit = bool(reading.unit_text) or bool(front)
        behind, is_count = " ".join(words[end:]), asked.unit.is_pure_number and not asked.unit.symbol
        if is_harmless_tail(behind, has_unit=has_unit, is_count=is_count):
            return reading
        if not asked.is_unit_beside or has_unit or not is_chatter(behind):
            return None
        return replace(reading, notes=(*reading.notes, f'"{behind}" behind it left out'))
    return None


def _resistor(match: re.Match[str]) -> str:
    prefix = {"R": "", "k": "k", "K": "k", "M": "M"}[match["prefix"]]
    return f"{match['whole']}.{match['decimals']} {prefix}Ω"


def _shown(reading: NumberReading) -> str:
    return f"{reading.value:.12g} {reading.unit_text}".strip()
