"""What is said of a reading that makes no sense: where, what was written, what it looks like, what to do."""

from __future__ import annotations

from collections.abc import Sequence

from marking.checking.case import number_text, place_name, with_unit, written
from marking.cohort.lesson.gaps import Gap
from marking.cohort.lesson.reading_sets import Sheet
from marking.cohort.lesson.slips import Slip, SlipKind
from marking.write_up import Entry
from rubrics.formulas import listed, printed
from rubrics.model import Item

MOST_FIGURES = 12


def slip_words(sheet: Sheet, slip: Slip) -> str:
    """Return the sentences for one slip."""
    if slip.kind is SlipKind.SWAP:
        return _swap_words(sheet, slip)
    return _point_words(sheet, slip) if slip.kind is SlipKind.POINT else _unit_words(sheet, slip)


def group_words(some: Sequence[Sheet], others: Sequence[Sheet], slip: Slip) -> str:
    """Return the sentences for two groups of a class of which one made a slip, and nothing says which."""
    names = listed([some[0].rubric.items[name].quantity for name in dict.fromkeys(name for name, _ in slip.cells)])
    did = "has them exchanged" if slip.kind is SlipKind.SWAP else "has the decimal point moved"
    return (
        f"{_capital(names)}: the class falls into two groups, and one of the two {did}. "
        f"{_shown(some[0], slip)}: {_codes(some)}. {_shown(others[0], slip)}: {_codes(others)}. "
        "Look at the apparatus, and tell the group that has it wrong."
    )


def _shown(sheet: Sheet, slip: Slip) -> str:
    """Return what the first sheet of a group has where the groups differ."""
    cells = slip.cells[:2] if slip.kind is SlipKind.SWAP else slip.cells[:1]
    items = [(sheet.rubric.items[name], row) for name, row in cells]
    return "Like " + listed([_as_written(sheet, item, row or _first_row(sheet, item)) for item, row in items])


def _codes(sheets: Sequence[Sheet]) -> str:
    return ", ".join(code for sheet in sheets for code in sheet.students)


def sign_words(items: tuple[Item, ...]) -> str:
    """Return the sentences for columns whose minus signs were left out."""
    names = listed([item.quantity for item in items])
    return (
        f"{_capital(names)}: the readings look as if they were taken both ways round, but have no minus signs. "
        "Check which were taken with the connections reversed, and write their minus signs."
    )


def _point_words(sheet: Sheet, slip: Slip) -> str:
    ((name, row),) = slip.cells
    item = sheet.rubric.items[name]
    at = row or _first_row(sheet, item)
    entry = sheet.entry(name, at)
    value = 0.0 if entry is None or entry.value is None else entry.value
    likely = with_unit(_plain(value * 10.0**-slip.move), sheet.unit(name, at).symbol)
    return (
        f"{_place(item, row)}: {_as_written(sheet, item, at)} does not fit the other readings. "
        f"It looks like {likely}: check the decimal point."
    )


def _unit_words(sheet: Sheet, slip: Slip) -> str:
    name, row = slip.cells[0]
    item = sheet.rubric.items[name]
    at = row or _first_row(sheet, item)
    entry = sheet.entry(name, at)
    number = "" if entry is None or entry.value is None else _plain(entry.value)
    likely = with_unit(number, slip.unit.symbol if slip.unit is not None else "")
    others = [sheet.rubric.items[other].quantity for other, _ in slip.cells[1:]]
    also = f" The same holds for {listed(others)}." if others else ""
    return (
        f"{_place(item, row)}: {_as_written(sheet, item, at)} cannot be right here. "
        f"The number looks like {likely}: check the unit.{also}"
    )


def _swap_words(sheet: Sheet, slip: Slip) -> str:
    (one, row), (other, _) = slip.cells[:2]
    first, second = sheet.rubric.items[one], sheet.rubric.items[other]
    at = row or _first_row(sheet, first)
    where = "" if first.table is None else f", row {row}" if row else ", all rows"
    more = [
        f"{sheet.rubric.items[a].quantity} and {sheet.rubric.items[b].quantity}"
        for (a, _), (b, _) in zip(slip.cells[2::2], slip.cells[3::2], strict=True)
    ]
    also = f" The same holds for {listed(more)}." if more else ""
    return (
        f"{_capital(first.quantity)} and {second.quantity}{where}: {_as_written(sheet, first, at)} and "
        f"{_as_written(sheet, second, at)} look exchanged. Check which number belongs where.{also}"
    )


def beyond_words(sheet: Sheet, item: Item, row: int) -> str:
    """Return the sentences for a reading outside what the apparatus can give, where no slip explains it."""
    low, high = item.limits or (0.0, 0.0)
    usual = f"{number_text(low)} to {with_unit(number_text(high), item.unit.symbol)}"
    return f"{_place(item, row)}: {_as_written(sheet, item, row)} is outside {usual}. Read it again."


def gap_words(gap: Gap) -> str:
    """Return the sentences for what is not there."""
    if gap.item is not None:
        return f"{_capital(place_name(gap.item, gap.row))}: nothing is written. Take it while the apparatus is out."
    if gap.row is not None:
        return f"Row {gap.row}: nothing is written, though rows follow it. Take it, or close the gap."
    rows = f"{gap.rows} row{'s' if gap.rows > 1 else ''}"
    return f"Table: {rows} fewer than needed. Take more while the apparatus is out."


def _place(item: Item, row: int) -> str:
    if item.table is None:
        return _capital(item.quantity)
    return _capital(place_name(item, row)) if row else f"{_capital(item.quantity)}, all rows"


def _first_row(sheet: Sheet, item: Item) -> int:
    rows = range(1, sheet.readings[item.name].shape[1] + 1)
    return next((row for row in rows if (entry := sheet.entry(item.name, row)) is not None and entry.value), 1)


def _as_written(sheet: Sheet, item: Item, row: int) -> str:
    entry = sheet.entry(item.name, row)
    if entry is None:
        return "nothing"
    text = written(item, entry)
    return with_unit(text, sheet.unit(item.name, row).symbol) if _is_bare(entry, text) else text


def _is_bare(entry: Entry, text: str) -> bool:
    return not entry.unit_raw.strip() and not any(sign.isalpha() or sign in "°Ω%" for sign in text)


def _plain(value: float) -> str:
    return printed(float(f"{value:.{MOST_FIGURES}g}"))


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
