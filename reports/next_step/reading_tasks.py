"""Tasks about readings: their places, how many there are, which to average, and which table value is nearest."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from decimal import ROUND_HALF_UP, Decimal

from marking.findings import Finding, Script
from reports.next_step.drawing_lots import draw
from reports.next_step.own_numbers import given_of
from reports.next_step.setting_out import Given, name_words
from reports.next_step.tasks import Question, asked
from reports.wording import fill, instrument_words, places_words, step_words, symbol_words, wording
from rubrics.formulas import listed, printed, rounded
from rubrics.model import AcceptedValue, Item, Rubric

PLANNED = 6
"""Readings of a series that is planned."""
MOST_PLACES = 4
"""Decimal places that are asked for by number: a spreadsheet's eight are no wish of anybody's."""
_TITRES = (("0.00", "0.60", "0.10"), ("0.50", "0.00", "0.05"), ("0.05", "0.10", "0.70"))
"""Three repeats of which two agree, in steps of how closely they should."""
_MOST_OF_TABLE = 8


def numbers_of(script: Script, item: Item) -> list[Given]:
    """Return all numbers that a student wrote for an item, row by row."""
    column = script.write_up.columns.get(item.name, {})
    entries = [script.write_up.singles.get(item.name), *(column[row] for row in sorted(column))]
    return [one for one in (given_of(item, entry) for entry in entries) if one is not None]


def places_alike(script: Script, item: Item, finding: Finding, seed: str) -> Question | None:
    """Return two numbers to write to the place that the scale, or the other readings, have."""
    own = [one for one in numbers_of(script, item) if one.value > 0]
    if not own:
        return None
    wanted = re.match(r"\d+", finding.facts.get("places_wanted", ""))
    count = min(int(wanted[0]), MOST_PLACES) if wanted else 0
    return _on_scale(item, own, seed) or (_to_places(item, own[0], count, seed) if count else None)


def _on_scale(item: Item, own: Sequence[Given], seed: str) -> Question | None:
    if item.resolution is None or not step_words(item) or "×" in step_words(item):
        return None
    step = Decimal(repr(item.resolution)).normalize()
    place = min(int(step.as_tuple().exponent), 0)
    size = next((one.value for one in own if one.unit == item.unit), None)
    if size is None or place == 0:
        return None
    base = (size / step).quantize(Decimal(1)) * step
    whole = rounded(base, 1) + draw(seed, 3) * step * 10
    between = base + step * Decimal("0.4")
    shown = [printed(plain(one)) for one in (whole, between)]
    right = [printed(one.quantize(Decimal(1).scaleb(place), rounding=ROUND_HALF_UP)) for one in (whole, base)]
    slots = {"step": f"{printed(plain(step))} {item.unit.symbol}".strip()}
    return _two_numbers("places", item, shown, right, slots)


def _to_places(item: Item, own: Given, count: int, seed: str) -> Question:
    step = Decimal(1).scaleb(-count)
    short = rounded(own.value, 1) * (1 + Decimal(draw(seed, 3)) / 10)
    long = own.value * Decimal("1.0717")
    pair = (short.quantize(step, rounding=ROUND_HALF_UP), long.quantize(step, rounding=ROUND_HALF_UP))
    shown = [printed(plain(pair[0])), printed(plain(pair[1] + step * Decimal("0.13")))]
    return _two_numbers(
        "places_to", item, shown, [printed(one) for one in pair], {"places_wanted": places_words(count)}
    )


def _two_numbers(kind: str, item: Item, shown: Sequence[str], right: Sequence[str], slots: dict[str, str]) -> Question:
    unit = item.unit.symbol
    told = {letter: f"{text} {unit}".strip() for letter, text in zip("ab", shown, strict=True)}
    answer = " and ".join(f"{text} {unit}".strip() for text in right)
    return asked(kind, {**slots, **told, "symbol": symbol_words(item)}, answer, 1)


def planned(script: Script, item: Item, near: tuple[float, float] | None = None) -> Question | None:
    """Return a series to plan over the range of the student's own readings, or over *near*."""
    values = [float(one.value) for one in numbers_of(script, item) if one.unit == item.unit]
    low, high = near or (min(values, default=0.0), max(values, default=0.0))
    if (len(values) < 2 and near is None) or high <= low:
        return None
    least = (high - low) / (PLANNED - 1)
    power = 10.0 ** math.floor(math.log10(least))
    step = next(factor * power for factor in (1, 2, 5, 10) if factor * power >= least * 0.999)
    start = math.floor(low / step + 1e-9) * step
    places = [float(f"{start + step * number:.10g}") for number in range(PLANNED)]
    shown = [printed(place) for place in places]
    slots = {"symbol": symbol_words(item), "low": shown[0], "high": shown[-1], "unit": item.unit.symbol}
    return asked("planned", slots, f"{', '.join(shown)} {item.unit.symbol}".strip())


def near_range(finding: Finding) -> tuple[float, float] | None:
    """Return from where to where more readings are wanted, as the finding has it: '0.5 to 0.8 V'."""
    found = re.match(r"(−?[\d.]+) to (−?[\d.]+)", finding.facts.get("near", ""))
    return (float(found[1].replace("−", "-")), float(found[2].replace("−", "-"))) if found else None


def both_ways(script: Script, item: Item) -> tuple[float, float] | None:
    """Return a range that goes as far one way as the other."""
    most = max((abs(float(one.value)) for one in numbers_of(script, item) if one.unit == item.unit), default=0.0)
    return (-most, most) if most else None


def which_agree(script: Script, item: Item, finding: Finding, seed: str) -> Question | None:
    """Return three repeats of which two agree, to choose from and to average."""
    found = re.match(r"[\d.]+", finding.facts.get("within", ""))
    own = numbers_of(script, item)
    if not found or not own:
        return None
    within = Decimal(found[0])
    offsets = _TITRES[draw(seed, len(_TITRES))]
    base = own[-1].value.quantize(within / 2 if within < 1 else Decimal("0.1"))
    three = [base + within * 2 * Decimal(offset) for offset in offsets]
    near = [one for one in three if sum(abs(one - other) <= within for other in three) > 1]
    mean = sum(near, Decimal(0)) / len(near)
    places = max(0, -min(int(one.as_tuple().exponent) for one in three))
    step = Decimal(1).scaleb(-places)
    shown = [printed(one.quantize(step)) for one in three]
    unit = own[-1].unit.symbol
    slots = {"values": f"{listed(shown)} {unit}".strip(), "within": finding.facts["within"]}
    used = listed([printed(one.quantize(step)) for one in near])
    answer = f"{used}: mean {printed(mean.quantize(step, rounding=ROUND_HALF_UP))} {unit}".strip()
    return asked("agree", slots, answer, 2)


def what_it_is_read_off(item: Item) -> Question | None:
    """Return which instrument a missing reading is read off, and to which step."""
    instrument = instrument_words(item) if item.instrument else ""
    return asked("read_off", {"quantity": item.quantity}, instrument, 1) if instrument else None


def why_so_much(finding: Finding) -> Question | None:
    """Return why a reading should be large; None where nothing says how large."""
    least = finding.facts.get("least", "")
    return asked("why_so_much", {"least": least}, wording("sheet")["next"]["why_so_much_answer"], 2) if least else None


# ---- the nearest in a table ------------------------------------------------------------------------------------


def table_words(rubric: Rubric, item: Item) -> str:
    """Return the accepted values that the words of an item name: 'aluminium 2.70, copper 8.96 g/cm³'."""
    known = _table(rubric, item)
    unit = rubric.items[rubric.result.answer].unit.symbol if rubric.result else ""
    return f"{', '.join(f'{one.name} {printed(one.value)}' for one in known)} {unit}".strip() if known else ""


def another_nearest(rubric: Rubric, item: Item, seed: str) -> Question | None:
    """Return another result to look up in the table of accepted values."""
    known = _table(rubric, item)
    if len(known) < 2 or rubric.result is None:
        return None
    result = rubric.items[rubric.result.answer]
    meant = known[draw(seed, len(known))]
    others = [abs(one.value - meant.value) for one in known if one is not meant]
    value = meant.value + min(min(others) / 4, meant.value * 0.02)
    slots = {
        "symbol": name_words(result), "value": f"{printed(value, 3)} {result.unit.symbol}".strip(),
        "table": table_words(rubric, item),
    }  # fmt: skip
    return asked("nearest", slots, meant.name, 1)


def _table(rubric: Rubric, item: Item) -> list[AcceptedValue]:
    named = {choice.word for choice in item.choices}
    accepted = rubric.result.accepted if rubric.result is not None else ()
    return [one for one in accepted if one.name in named][:_MOST_OF_TABLE]


def plain(value: Decimal) -> Decimal:
    """Return *value* without zeros that arithmetic has left at its end."""
    short = value.normalize()
    return short.quantize(Decimal(1)) if short == short.to_integral_value() and abs(short.adjusted()) < 6 else short


def own_result(script: Script, rubric: Rubric) -> str:
    """Return the student's own final value, 'ρ = 2.70 g/cm³'; empty where there is none."""
    result = rubric.items.get(rubric.result.answer) if rubric.result is not None else None
    own = numbers_of(script, result) if result is not None else []
    if result is None or not own:
        return ""
    slots = {"symbol": name_words(result), "value": f"{printed(own[0].value)} {own[0].unit.symbol}".strip()}
    return fill([wording("sheet")["now"]["own_result"]], slots)
