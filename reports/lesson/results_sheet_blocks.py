"""The sections of a results sheet: cautions, readings, tables, answers, questions."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from reports.page import (
    BODY,
    HANG,
    INK,
    LEAST_COLUMN,
    NOTE,
    AnswerBox,
    Beside,
    Block,
    Flowable,
    Heading,
    Hung,
    Look,
    Part,
    ReadingBox,
    ResultsGrid,
    Space,
    Type,
    WritingLines,
    column_parts,
    text,
)
from reports.wording import (
    cautions_told,
    fill,
    instrument_words,
    is_on_graph,
    item_words,
    other_unit,
    symbol_words,
    wording,
)
from rubrics.model import CheckKind, Item, Role, Rubric

GAP = 10.0
"""Air above a section."""
_SPARE_ROWS = 2
"""Rows of a table beyond the fewest that the mark scheme asks for."""
_USUAL_ROWS = 6
"""Rows of a table where the mark scheme asks for no number."""
_FOLDS = 3
"""Parts that a table of one column is folded into."""
BY_HAND = Type(9, 21, INK)
"""Lines with gaps to write in."""
_CHOICE_PARTING = "   ·   "


class Roominess(Struct, frozen=True, kw_only=True):
    """How much room is left for a hand, in points."""

    row: float
    """Height of a row of a table."""
    working: float
    """Height for the working of one answer."""
    lines: int
    """Lines for an answer in words."""


def caution_blocks(rubric: Rubric) -> tuple[Block, ...]:
    """Return the cautions."""
    heading = Heading(wording("sheet")["headings"]["cautions_first"])
    parts = [Hung("–", text(NOTE, caution), left=10, small=True) for caution in cautions_told(rubric)]
    return (Block(parts=(heading, *parts), gap=GAP),)


def reading_blocks(rubric: Rubric, look: Look) -> tuple[Block, ...]:
    """Return what is read off once: words to ring, then a box for each number."""
    items = [item for item in rubric.singles if item.role is Role.READING]
    if not items:
        return ()
    words = wording("results_sheet")
    numbers = [item for item in items if not item.is_words]
    parts = [part for item in items if item.choices for part in _choice(item)]
    boxes = [
        ReadingBox(item_words(item), instrument_words(item), item.unit.symbol, other_unit(item)) for item in numbers
    ]
    head = [Heading(words["headings"]["readings"]), *_how_to_write(numbers)]
    rows = _rows(boxes, look)
    first = Block(parts=(*head, *parts, *rows[:1]), gap=GAP)
    return (first, *(Block(parts=(row,)) for row in rows[1:]))


def _how_to_write(items: Sequence[Item]) -> list[Flowable]:
    """Return how the readings are written down; nothing where there are none."""
    if not items:
        return []
    words = wording("results_sheet")["told"]
    told = [words["readings"], *([words["two_units"]] if any(map(other_unit, items)) else [])]
    return [text(NOTE, " ".join(told)), Space(4)]


def _choice(item: Item) -> list[Flowable]:
    offered = _CHOICE_PARTING.join(choice.word for choice in item.choices)
    slots = {"quantity": item.quantity.rstrip("?"), "mark": "?" if item.quantity.endswith("?") else "."}
    asked = fill([wording("results_sheet")["told"]["choices"]], slots)
    return [Hung("", text(BODY, asked), left=0), Hung("", text(BODY, offered), left=HANG), Space(6)]


def _rows(boxes: Sequence[Part], look: Look) -> list[Part]:
    if look.is_one_column:
        return list(boxes)
    return [Beside(boxes[first : first + 2], (1, 1)) for first in range(0, len(boxes), 2)]


# ---- tables --------------------------------------------------------------------------------------------------


def table_rows(rubric: Rubric, table: str) -> int:
    """Return how many rows a table gets: the fewest that the mark scheme asks for, and some to spare."""
    asked = [
        criterion.rows
        for criterion in rubric.criteria
        if criterion.rows is not None and any(rubric.items[name].table == table for name in criterion.items)
    ]
    return max(asked) + _SPARE_ROWS if asked else _USUAL_ROWS


def table_blocks(rubric: Rubric, look: Look, room: Roominess) -> tuple[Block, ...]:
    """Return an empty table for each table of the practical, narrow ones beside each other."""
    tables = [
        (table, [item for item in rubric.columns if item.table == table])
        for table in dict.fromkeys(item.table for item in rubric.columns if item.table)
    ]
    if not tables:
        return ()
    most = int(look.width // LEAST_COLUMN)
    grids: list[Part] = []
    if sum(len(items) for _, items in tables) <= most:
        each = [_grid(rubric, items, table_rows(rubric, table), room) for table, items in tables]
        beside = Beside(each, [len(items) for _, items in tables], stretch=False)
        grids = [beside if len(each) > 1 else each[0]]
        if len(each) == len(each[0].columns) == 1 and not look.is_one_column:
            # One long column is folded: a third of its rows beside each other.
            folded = -(-each[0].rows // _FOLDS)
            grids = [Beside([_grid(rubric, tables[0][1], folded, room) for _ in range(_FOLDS)], (1,) * _FOLDS)]
    else:
        for table, items in tables:
            parts = column_parts(len(items), look.width)
            grids += [
                _grid(rubric, [items[n] for n in part], table_rows(rubric, table), room, is_part=len(parts) > 1)
                for part in parts
            ]
    heading = Heading(wording("results_sheet")["headings"]["table" if len(tables) == 1 else "tables"])
    first, *rest = grids
    read = [item for _, items in tables for item in items if item.role is Role.READING]
    is_told = any(item.role is Role.READING and not item.is_words for item in rubric.singles)
    lead = (heading, *([] if is_told else _how_to_write(read)))
    return (Block(parts=(*lead, first), gap=GAP), *(Block(parts=(grid,), gap=GAP) for grid in rest))


def _grid(rubric: Rubric, items: Sequence[Item], rows: int, room: Roominess, *, is_part: bool = False) -> ResultsGrid:
    heads, notes = [], []
    for item in items:
        unit = "……" if leaves_unit_open(rubric, item) else item.unit.symbol
        heads.append((item.quantity, f"{symbol_words(item)} / {unit}" if unit else symbol_words(item)))
        reading = item.role is Role.READING
        notes.append("; ".join(filter(None, (other_unit(item), instrument_words(item)))) if reading else "")
    return ResultsGrid(heads, rows, row=room.row, notes=notes, is_part=is_part)


# ---- answers -------------------------------------------------------------------------------------------------

BLANK_SIGNS = 52
"""Of a line to write a few words on."""


def leaves_unit_open(rubric: Rubric, item: Item) -> bool:
    """Tell whether the unit of an answer earns a mark, so that the sheet must not give it away."""
    return any(item.name in one.items for one in rubric.criteria if one.check is CheckKind.UNIT)


def answer_blocks(rubric: Rubric, look: Look, room: Roominess) -> tuple[Block, ...]:
    """Return a frame with room for working for each number that is worked out, and words to ring."""
    words = wording("results_sheet")
    items = [item for item in rubric.singles if item.role is Role.ANSWER and item.question is None]
    if not items:
        return ()
    boxes = [
        AnswerBox(
            item_words(item),
            symbol_words(item),
            item.unit.symbol,
            room.working,
            words["labels"]["unit"] if leaves_unit_open(rubric, item) else "",
        )
        for item in items
        if not item.is_words and not item.is_read_off
    ]
    read_off = [
        text(BY_HAND, f"{item_words(item)}: {'_' * BLANK_SIGNS} {item.unit.symbol}".rstrip())
        for item in items
        if item.is_read_off and not is_on_graph(rubric, item)
    ]
    told = [words["told"]["working"]] if boxes else []
    told += [words["told"]["unit_is_yours"]] if any(leaves_unit_open(rubric, item) for item in items) else []
    chosen = [part for item in items if item.choices and item.part_of is None for part in _choice(item)]
    head = [Heading(words["headings"]["answers"]), *([text(NOTE, " ".join(told)), Space(4)] if told else [])]
    rows = [*read_off, *_rows(boxes, look)]
    first = (*head, *rows[:1])
    later: list[tuple[Flowable, ...]] = [(row,) for row in rows[1:]]
    if later and boxes and len(boxes) % 2:  # a lone box overleaf is not seen, so the row above goes with it
        above = later[-2] if len(later) > 1 else first
        joined = (*above, Space(4.0), *later[-1])
        later = [*later[:-2], joined] if len(later) > 1 else []
        first = first if later else joined
    blocks = [Block(parts=first, gap=GAP), *(Block(parts=parts, gap=4.0) for parts in later)]
    return (*blocks, *((Block(parts=tuple(chosen), gap=6.0),) if chosen else ()))


def question_blocks(rubric: Rubric, room: Roominess, look: Look) -> tuple[Block, ...]:
    """Return each question that is answered in words, with lines to write on; one for all where none is asked."""
    asked = [item for item in rubric.singles if item.question is not None]
    headings, lines = wording("results_sheet")["headings"], room.lines + (1 if look.is_stacked else 0)
    if not asked:
        said = text(BODY, wording("results_sheet")["told"]["conclusion"])
        return (Block(parts=(Heading(headings["conclusion"]), said, WritingLines(lines + 1)), gap=GAP),)
    blocks = []
    for number, item in enumerate(asked, start=1):
        lead = (Heading(headings["questions"]),) if number == 1 else ()
        parts = (*lead, Hung(f"{number}.", text(BODY, item.quantity)), *_lines_of(rubric, item, lines), Space(4))
        blocks.append(Block(parts=parts, gap=GAP if number == 1 else 2.0))
    return tuple(blocks)


def _lines_of(rubric: Rubric, item: Item, lines: int) -> tuple[Flowable, ...]:
    """Return room for the answer; with parts a direction to ring, and a line for the reason."""
    if item.question is None or not item.question.way:
        return (WritingLines(lines),)
    slots = {
        "way": rubric.items[item.question.way].quantity,
        "because": rubric.items[item.question.because].quantity,
        "blank": "_" * BLANK_SIGNS,
    }
    told = wording("results_sheet")["told"]
    ring, because = (fill([told[name]], slots) for name in ("ring_one", "because"))
    return (WritingLines(1), Hung("", text(NOTE, ring)), Hung("", text(BY_HAND, because)))
