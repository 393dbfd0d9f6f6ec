"""What a student reads who has handed nothing in: what to do about it, framed, and what to do it on."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from marking.findings import Script
from marking.write_up import MarkCode
from reports.page import (
    BODY,
    FINE,
    INK,
    STEP,
    Beside,
    Block,
    Column,
    EntryRow,
    Flowable,
    Frame,
    Heading,
    Hung,
    Look,
    OpenLines,
    Page,
    ResultsGrid,
    Space,
    Type,
    column_parts,
    flow,
    question_parts,
    share_filled,
    text,
)
from reports.wording import fill, graph_lines, is_on_graph, item_words, symbol_words, wording
from rubrics.model import Item, Role, Rubric

_GAP = 11.0
_PAIRED_FROM = 3
"""Values to fill in that stand two in a row: fewer have the room of a row each."""
_BY_HAND = Type(9, 21, INK)
_SETTLED = {MarkCode.LOST: "lost", MarkCode.EXCUSED: "excused"}
"""Mark codes of students without work who are asked for nothing, and what they read."""
_NEARLY_EMPTY = 0.3
"""Share of a last page: less is not worth a leaf."""


class _Room(Struct, frozen=True, kw_only=True):
    """How much room is left for a hand."""

    rows: int
    """Of a table."""
    lines: int
    """For an answer in words."""
    graph: bool = True
    """Whether scales and points of the graph are asked for: it is drawn on other paper."""


_ROOMS = (
    _Room(rows=8, lines=2),
    _Room(rows=7, lines=2),
    _Room(rows=6, lines=1),
    _Room(rows=5, lines=1),
    _Room(rows=6, lines=2, graph=False),
    _Room(rows=5, lines=1, graph=False),
)
"""From roomy to close; the first that keeps to one page is used."""
_ROOMY = (_Room(rows=8, lines=2), _Room(rows=8, lines=3), _Room(rows=10, lines=4), _Room(rows=12, lines=5))
"""Where it takes two pages, the first whose last page is not nearly empty."""


def missing_pages(
    script: Script, rubric: Rubric, look: Look, whole: Column, comment: Sequence[Block], cautions: Sequence[Block]
) -> list[Page]:
    """Return the pages of a student who handed nothing in.

    Args:
        script: The student's.
        rubric: The practical.
        look: How the sheet is set.
        whole: Where the first page's blocks go.
        comment: The teacher's own words.
        cautions: Of the practical; read before anything is filled in.
    """
    words = wording("sheet")["missing"]
    absent, codes = script.write_up.student.absent, script.write_up.student.codes
    settled = next((name for code, name in _SETTLED.items() if code in codes), None)
    if settled is not None:
        return flow([*comment, Block(parts=(text(BODY, words[settled]),), gap=_GAP)], whole, look.later_top)
    said = [words[name] for name in (("absent", "if_away") if absent else ("nothing", "if_done", "if_not"))]
    kind = BODY if look.is_stacked else STEP
    frame = Frame(wording("sheet")["now"]["heading"], [text(kind, sentence) for sentence in said])
    purpose = (Heading(wording("sheet")["headings"]["purpose"]), text(BODY, rubric.purpose))
    lead = [Block(parts=(frame,)), *comment, Block(parts=purpose, gap=_GAP), *cautions]
    later = Column(left=whole.left, width=whole.width, top=look.later_top, bottom=whole.bottom)
    for room in _ROOMS:
        pages = flow([*lead, *_blank(rubric, look, room)], whole, look.later_top)
        if len(pages) == 1:
            return pages
    for room in _ROOMY:
        pages = flow([*lead, *_blank(rubric, look, room)], whole, look.later_top)
        if share_filled(pages[-1], later) >= _NEARLY_EMPTY:
            break
    return pages


def _blank(rubric: Rubric, look: Look, room: _Room) -> list[Block]:
    """Return what there is to fill in: table, values, what is read off the graph, questions."""
    return [
        *_grid_blocks(rubric, look, room),
        *_value_blocks(rubric, look, graph_lines(rubric) if room.graph else []),
        *_question_blocks(rubric, look, room),
    ]


def _value_blocks(rubric: Rubric, look: Look, lines: Sequence[str]) -> list[Block]:
    # The parts of an answer in words are asked for with their question.
    singles = sorted(rubric.singles, key=lambda item: item.role is Role.ANSWER)
    boxes = [
        EntryRow(item_words(item), item.unit.symbol)
        for item in singles
        if item.question is None and item.part_of is None and not is_on_graph(rubric, item)
    ]
    rows: list[Flowable] = list(boxes)
    if len(boxes) >= _PAIRED_FROM and not look.is_one_column:
        rows = [Beside(boxes[first : first + 2], (1, 1)) for first in range(0, len(boxes), 2)]
    rows += [Space(5), *(text(_BY_HAND, line) for line in lines)] if lines else []
    if not rows:
        return []
    first = Block(parts=(Heading(wording("sheet")["headings"]["collect"]), Space(2), rows[0]), gap=_GAP)
    return [first, *(Block(parts=(row,)) for row in rows[1:])]


def _question_blocks(rubric: Rubric, look: Look, room: _Room) -> list[Block]:
    """Return the questions to be answered in the student's own words, with lines to write on."""
    asked = [item for item in rubric.singles if item.question is not None]
    blocks = []
    for number, item in enumerate(asked, start=1):
        parts = (*question_parts(number, item.quantity, room.lines, look.main_width), *_parts_of(rubric, item))
        heading = (Heading(wording("sheet")["headings"]["questions"]),) if number == 1 else ()
        blocks.append(Block(parts=(*heading, *parts), gap=_GAP if number == 1 else 0.0))
    return blocks


def _parts_of(rubric: Rubric, item: Item) -> tuple[Flowable, ...]:
    """Return what else a question asks for: which way, in words to ring, and why."""
    asked: list[Flowable] = []
    for one in rubric.singles:
        if one.part_of != item.name:
            continue
        told = wording("results_sheet")["told"]["ring_one"]
        said = fill([told], {"way": one.quantity}) if one.choices else one.quantity
        asked += [Hung("", text(FINE, said)), *(() if one.choices else (OpenLines(1),))]
    return tuple(asked)


def _grid_blocks(rubric: Rubric, look: Look, room: _Room) -> list[Block]:
    """Return an empty table of readings, where the practical has one; in parts where it is wider than the page."""
    if not rubric.columns:
        return []
    columns = [
        (item.quantity, f"{symbol_words(item)} / {item.unit.symbol}" if item.unit.symbol else symbol_words(item))
        for item in rubric.columns
    ]
    heading = Heading(wording("sheet")["headings"]["table"])
    parts = column_parts(len(columns), look.width)
    grids = [ResultsGrid([columns[n] for n in part], room.rows, is_part=len(parts) > 1) for part in parts]
    first, *rest = grids
    return [Block(parts=(heading, first), gap=_GAP), *(Block(parts=(grid,), gap=_GAP) for grid in rest)]
