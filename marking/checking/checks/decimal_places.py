"""Whether readings of one instrument keep the same decimal places."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from marking.checking.answers import unit_used
from marking.checking.case import Case, Line, basic_facts, with_unit
from marking.findings import Cause, Explanation, Outcome
from marking.reasons import Reason
from marking.write_up import Entry, State
from rubrics.model import Criterion, Item, plain_quantity

Reading = tuple[Item, int, Entry]
"""What was read, its row, and what stands there, without its place."""

STEP_NOISE = 1e-6
"""Of a step: binary arithmetic only."""

FEWEST_DIGITS_OF_A_METER = 3
"""Fewer digits than this no meter shows that changes its range by itself; common practice, no source."""
FEWEST_ITEMS = 2
"""Items that may have been read off one instrument each."""


def check_places(criterion: Criterion, case: Case) -> Iterator[Line]:
    """Yield one line for each instrument and column; single items that share instrument and unit belong together."""
    groups: dict[tuple[str, str, str], list[Item]] = {}
    for name in criterion.items:
        item = case.item(name)
        column = item.name if item.table is not None else ""
        group = groups.setdefault((item.instrument or item.name, item.unit.symbol, column), [])
        group.extend(case.readings(item))
    for items in groups.values():
        alike = None if criterion.steps else _alike_line(case, items)
        if alike is not None:
            yield alike
            continue
        readings = [(item, row, entry) for item in items for row, entry in case.unplaced(item)]
        numbers = [one for one in readings if _has_places(one[2])]
        if not criterion.steps:
            yield _group_line(case, items, numbers, None)
            continue
        noughts = [one for one in readings if one[2].state is State.NUMBER and one[2].value == 0]
        if noughts and not numbers:  # a burette filled to its mark each time
            yield _line(case, noughts[0], Outcome.AWARDED, Reason.PLACES_RIGHT, _places(noughts[0][2]))
            continue
        line = _group_line(case, items, numbers, _places_of_step(numbers))
        are_alike = line.outcome is not Outcome.FOR_TEACHER and len({_places(entry) for _, _, entry in numbers}) == 1
        between = _between_steps(numbers) if line.outcome is Outcome.AWARDED or are_alike else None
        yield line if between is None else _steps_line(case, *between)


def _alike_line(case: Case, items: list[Item]) -> Line | None:
    """Return the line for readings in one unit, which all have the same places, as most do; None for any other."""
    common = [None if one.is_words else case.batch.places[one.name][case.student] for one in items]
    if common[0] is None or any(one is None or one[0] != common[0][0] for one in common):
        return None
    if not (all(case.batch.plain[one.name][case.student] for one in items) or _are_in_one_unit(case, items)):
        return None
    places, row = common[0]
    entry = case.entry(items[0], row)
    return None if entry is None else _line(case, (items[0], row, entry), Outcome.AWARDED, Reason.PLACES_RIGHT, places)


def _are_in_one_unit(case: Case, items: list[Item]) -> bool:
    symbols = {unit_used(one, entry).symbol for one in items for _, entry in case.unplaced(one) if _has_places(entry)}
    return len(symbols) == 1


def _has_places(entry: Entry) -> bool:
    # Neither 18½ nor a nought has decimal places to speak of.
    return entry.state is State.NUMBER and entry.value != 0 and not entry.is_fraction


def _group_line(case: Case, items: list[Item], readings: list[Reading], stated: int | None) -> Line:
    first = items[0]
    if not readings:
        facts = basic_facts(first, None, None)
        return Line(item=first.name, row=None, outcome=Outcome.FOR_TEACHER, reason=Reason.READING_MISSING, facts=facts)
    units = {unit_used(item, entry).symbol for item, _, entry in readings}
    known = [one for one in readings if not one[2].zeros_unknown]
    places = [_places(entry) for _, _, entry in known]
    wanted = _usual(places) if stated is None else stated
    odd = next((one for one, own in zip(known, places, strict=True) if own != wanted), None)
    # A number whose zeros were dropped may have had them; it is odd only where it shows more than the others.
    unsure = (one for one in readings if one[2].zeros_unknown and _places(one[2]) > wanted)
    longer = next(unsure, None) if known and len(known) < len(readings) else None
    told = odd or longer or readings[0]
    if len(units) > 1:
        return _line(case, told, Outcome.FOR_TEACHER, Reason.PLACES_MIXED, wanted)
    if odd is None and longer is None:
        return _line(case, told, Outcome.AWARDED, Reason.PLACES_RIGHT, wanted)
    is_meter = stated is None and longer is None and _may_have_changed_range(known)
    is_open = is_meter or (stated is None and _may_be_two_instruments(items, known))
    outcome = Outcome.FOR_TEACHER if is_open else Outcome.WITHHELD
    if outcome is Outcome.WITHHELD and stated is None:
        told, wanted = _to_mend(told, readings, wanted)
    return _line(case, told, outcome, Reason.PLACES_MIXED, wanted)


def _may_be_two_instruments(items: list[Item], readings: list[Reading]) -> bool:
    """Tell whether single items may have been read off unlike ones: 8.5 cm and 2.53 cm, by 'rule or calipers'."""
    finest = _places_of_step(readings)
    if (
        finest is None
        or len({one.repeat_of or one.name for one in items}) < FEWEST_ITEMS
        or " or " not in items[0].instrument
    ):
        return False
    return {_places(entry) for _, _, entry in readings} == {finest - 1, finest}


def _to_mend(odd: Reading, readings: list[Reading], usual: int) -> tuple[Reading, int]:
    """Return the first reading to be written otherwise, and the places wanted: those that the scale gives, if known.

    Where most readings lack a nought that the scale gives, the one that shows it is no slip: 0.41 beside 0.4 and 0.5.
    """
    on_scale = _places_of_step(readings)
    if on_scale is None or on_scale <= usual or on_scale != _places(odd[2]):
        return odd, usual
    short = [one for one in readings if _places(one[2]) < on_scale]
    return (short[0], on_scale) if short else (odd, usual)


def _between_steps(readings: list[Reading]) -> Reading | None:
    """Return the first reading that is no whole number of its instrument's steps: 23.07 on a scale of 0.05."""
    for item, row, entry in readings:
        unit = unit_used(item, entry)
        if item.resolution is None or entry.value is None:
            continue
        steps = entry.value * unit.factor / (item.resolution * item.unit.factor)
        if abs(steps - round(steps)) > STEP_NOISE:
            return item, row, entry
    return None


def _steps_line(case: Case, item: Item, row: int, entry: Entry) -> Line:
    at = case.table_row(item, row)
    step = with_unit(f"{item.resolution:g}", item.unit.symbol)
    facts = basic_facts(item, at, entry) | {"step": step}
    found = Explanation(cause=Cause.SIGNIFICANT_FIGURES, detail=f"between steps of {step}", probability=1.0)
    return Line(
        item=item.name,
        row=at,
        outcome=Outcome.WITHHELD,
        reason=Reason.BETWEEN_STEPS,
        entry=case.entry(item, row),
        explanations=(found,),
        facts=facts,
    )


def _places_of_step(readings: list[Reading]) -> int | None:
    """Return the decimal places that the steps of the scale ask for: two for 0.05; None where it cannot be told."""
    unrounded = {
        item.resolution * item.unit.factor / unit_used(item, entry).factor
        for item, _, entry in readings
        if item.resolution is not None
    }
    steps = {float(f"{one:.6g}") for one in unrounded}
    if len(steps) != 1:
        return None
    _, digits, exponent = Decimal(repr(steps.pop())).normalize().as_tuple()
    return max(0, -exponent) if isinstance(exponent, int) and digits else None


def _usual(places: list[int]) -> int:
    """Return the decimal places that most readings have, the more where two are equally common."""
    return max(set(places), key=lambda one: (places.count(one), one), default=0)


def _may_have_changed_range(readings: list[Reading]) -> bool:
    # A meter that shows three digits goes from 9.99 to 10.0: fewer places, and nothing was left out.
    shown = None
    for _, _, entry in readings:
        if entry.value is None or entry.last_place is None:
            continue
        figures = Decimal(repr(entry.value)).adjusted() - entry.last_place[0] + 1
        if figures < FEWEST_DIGITS_OF_A_METER or shown not in (None, figures):
            return False
        shown = figures
    return shown is not None


def _places(entry: Entry) -> int:
    place = entry.last_place
    return -place[0] if place is not None and place[0] < 0 else 0


def _line(case: Case, reading: Reading, outcome: Outcome, reason: Reason, places: int) -> Line:
    """Return the line that tells of one reading; where all have the same places, it stands for all of them."""
    item, row, entry = reading
    at = None if reason is Reason.PLACES_RIGHT else case.table_row(item, row)
    facts = basic_facts(item, at, entry)
    if at is None and item.repeat_of is not None:
        facts["quantity"] = plain_quantity(item)
    facts |= {"places": str(_places(entry)), "places_wanted": str(places)}
    found: tuple[Explanation, ...] = ()
    if outcome is Outcome.WITHHELD:
        detail = f"{_places(entry)} decimal places beside {places}"
        found = (Explanation(cause=Cause.SIGNIFICANT_FIGURES, detail=detail, probability=1.0),)
    placed = case.entry(item, row)
    return Line(item=item.name, row=at, outcome=outcome, reason=reason, entry=placed, explanations=found, facts=facts)
