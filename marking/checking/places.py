"""Whether readings of one instrument keep the same decimal places."""

from __future__ import annotations

from collections.abc import Iterator

from marking.checking.board import unit_used
from marking.checking.case import Case, Line
from marking.checking.reasons import Reason
from marking.checking.wording_facts import basic_facts
from marking.findings import Cause, Explanation, Outcome
from marking.write_up import Entry, State
from rubrics.model import Criterion, Item

Reading = tuple[Item, int, Entry]


def check_places(criterion: Criterion, case: Case) -> Iterator[Line]:
    """Yield one line for each instrument: items of the criterion that share instrument and unit belong together."""
    groups: dict[tuple[str, str], list[Item]] = {}
    for name in criterion.items:
        item = case.item(name)
        groups.setdefault((item.instrument or item.name, item.unit.symbol), []).append(item)
    for items in groups.values():
        readings = [(item, row, entry) for item in items for row, entry in case.entries(item)]
        numbers = [one for one in readings if one[2].state is State.NUMBER and one[2].value != 0]
        yield _group_line(case, items, numbers)


def _group_line(case: Case, items: list[Item], readings: list[Reading]) -> Line:
    first = items[0]
    if not readings:
        facts = basic_facts(first, None, None)
        return Line(item=first.name, row=None, outcome=Outcome.FOR_TEACHER, reason=Reason.READING_MISSING, facts=facts)
    units = {unit_used(item, entry).symbol for item, _, entry in readings}
    known = [(one, _places(one[2])) for one in readings if not one[2].zeros_unknown]
    most = max((places for _, places in known), default=0)
    odd = next((one for one, places in known if places != most), None)
    # A number whose zeros were dropped may have had them; it is odd only where it shows more than the others.
    longer = next((one for one in readings if one[2].zeros_unknown and _places(one[2]) > most and known), None)
    if len(units) > 1:
        item, row, entry = readings[0]
        return _line(case, item, row, entry, Outcome.FOR_TEACHER, Reason.PLACES_MIXED, most)
    if odd is None and longer is None:
        item, row, entry = readings[0]
        return _line(case, item, None, entry, Outcome.AWARDED, Reason.PLACES_RIGHT, most)
    item, row, entry = odd or longer or readings[0]
    return _line(case, item, row, entry, Outcome.WITHHELD, Reason.PLACES_MIXED, most)


def _places(entry: Entry) -> int:
    finest, _ = entry.last_place or (0, 0)
    return max(0, -finest)


def _line(case: Case, item: Item, row: int | None, entry: Entry, outcome: Outcome, reason: Reason, places: int) -> Line:
    at = None if row is None else case.table_row(item, row)
    facts = basic_facts(item, at, entry) | {"places": str(_places(entry)), "places_wanted": str(places)}
    found: tuple[Explanation, ...] = ()
    if outcome is Outcome.WITHHELD:
        detail = f"{_places(entry)} decimal places beside {places}"
        found = (Explanation(cause=Cause.SIGNIFICANT_FIGURES, detail=detail, probability=1.0),)
    return Line(item=item.name, row=at, outcome=outcome, reason=reason, entry=entry, explanations=found, facts=facts)
