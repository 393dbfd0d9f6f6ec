"""What stands behind a number: a plus-or-minus, a unit, or both."""

from __future__ import annotations

import re

from msgspec import Struct

from marking.intake.numbers.powers_of_ten import power_behind
from marking.intake.numbers.refusals import NotANumberError
from marking.intake.numbers.typed_text import PlainText, show_text
from marking.intake.numbers.written_numbers import WrittenNumber, read_at
from rubrics.patterns import late_pattern
from rubrics.units import knows_unit

_PLUS_MINUS = late_pattern(r"±|\+ ?/ ?-|\+ ?-")
_BRACKETS = late_pattern(r"\((?P<inside>[^()]*?(?:±|\+ ?/? ?-)[^()]*)\)(?P<behind>.*)")
_PLAIN_NUMBER = late_pattern("[+-]?[0-9]+(?:[.,][0-9]+)?")
_SECOND_NUMBER = late_pattern(r"(?<!out of)\s[0-9]")
_END_MARKS = " ,;"


class Rest(Struct, frozen=True, kw_only=True):
    """What stood behind a number."""

    unit: str
    """As typed; empty where there was none."""
    spread: float | None = None
    """The plus-or-minus, in the unit of the number."""
    is_share: bool = False
    """The plus-or-minus is a percentage of the number."""
    note: str = ""

    def spread_of(self, value: float) -> float | None:
        """Return the plus-or-minus of *value* in its own unit; None where none was written."""
        return self.spread if self.spread is None or not self.is_share else abs(value) * self.spread / 100


def without_brackets(plain: PlainText) -> tuple[PlainText, bool]:
    """Return '(20 ± 0.5) °C' as '20 ± 0.5 °C', and whether there were such brackets; a power behind them is both's."""
    match = _BRACKETS.fullmatch(plain.plain)
    if match is None:
        return plain, False
    (start, end), (behind, last) = match.span("inside"), match.span("behind")
    if re.match(r" ?[x×X*·⋅∙•]", match["behind"]):
        return _with_power(plain, match), True
    inside, outside = plain.part(start, end), plain.part(behind, last)
    typed, text = f"{inside.typed} {outside.typed}", f"{inside.plain} {outside.plain}"
    return PlainText(typed=typed, plain=text, notes=plain.notes, problem=""), True


def _with_power(plain: PlainText, match: re.Match[str]) -> PlainText:
    # (9.0 ± 0.1) × 10² is 9.0 × 10² ± 0.1 × 10².
    numbers = [part.strip() for part in _PLUS_MINUS.split(match["inside"])]
    power = power_behind(match["behind"], 0, match["inside"])
    if len(numbers) != 2 or not power.power or not all(_PLAIN_NUMBER.fullmatch(number) for number in numbers):
        raise NotANumberError("a power of ten behind a bracket")
    tens = match["behind"][: power.end]
    start = match.start("behind") + power.end
    front = f"{numbers[0]}{tens} ± {numbers[1]}{tens}"
    typed, text = f"{front}{plain.typed[start:]}", f"{front}{plain.plain[start:]}"
    return PlainText(typed=typed, plain=text, notes=plain.notes, problem="")


def read_rest(plain: PlainText, number: WrittenNumber, *, in_brackets: bool, has_decimal_commas: bool) -> Rest:
    """Return what *plain*, the text behind a number, holds.

    Args:
        plain: From the end of the number to the end of the text.
        number: The number in front.
        in_brackets: Brackets were taken off, so that a percentage goes for number and plus-or-minus alike.
        has_decimal_commas: As for the number.

    Raises:
        NotANumberError: It is neither a plus-or-minus nor a unit.
    """
    mark = _PLUS_MINUS.search(plain.plain)
    if mark is None:
        unit, note = _unit(plain)
        return Rest(unit=unit, note=note)
    front, behind = plain.part(0, mark.start()), plain.part(mark.end(), len(plain.plain))
    has_bracket = front.plain.rstrip().endswith("(")
    if has_bracket:
        front = front.part(0, front.plain.rindex("("))
    start = len(behind.plain) - len(behind.plain.lstrip())
    spread = read_at(behind.plain, start, has_decimal_commas=has_decimal_commas)
    if spread is None or len(spread.ways) != 1 or spread.is_negative:
        raise NotANumberError("a plus-or-minus that cannot be made out")
    tails = _tails(behind.part(spread.end, len(behind.plain)), has_bracket=has_bracket)
    units = list(dict.fromkeys(unit for unit, _ in map(_unit, [front, *tails]) if unit))
    is_share = tails[0].plain.strip() == "%" and not in_brackets and _unit(front)[0] != "%"
    if is_share:
        units.remove("%")
    if len(units) > 1:
        raise NotANumberError("two different units")
    unit = units[0] if units else ""
    said = f"± {spread.printed(spread.ways[0])}{'%' if is_share else ''}"
    if number.power and not spread.power and not is_share:
        return Rest(unit=unit, note=f"{said} left out, for it may belong in front of the power of ten")
    return Rest(unit=unit, spread=spread.value(spread.ways[0]), is_share=is_share, note=f"{said} kept with it")


def _tails(tail: PlainText, *, has_bracket: bool) -> list[PlainText]:
    # What stands behind the plus-or-minus, inside and outside its bracket.
    if not has_bracket:
        return [tail]
    end = tail.plain.find(")")
    if end < 0:
        raise NotANumberError("a bracket that is not closed")
    return [tail.part(0, end), tail.part(end + 1, len(tail.plain))]


def _unit(plain: PlainText) -> tuple[str, str]:
    """Return the unit that *plain* is, and what was left out."""
    unit = plain.typed.strip()
    bare = unit.rstrip(_END_MARKS)
    note = "comma after the number left out" if bare != unit else ""
    if bare and (not knows_unit(bare) or _SECOND_NUMBER.search(bare)):
        raise NotANumberError(f'"{show_text(bare)}" behind the number is no unit')
    return bare, note
