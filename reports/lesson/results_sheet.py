"""The results sheet that a student writes on by hand while the lesson is on."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from msgspec import Struct
from reportlab.pdfgen.canvas import Canvas

from marking.write_up import Student
from reports.lesson.results_sheet_blocks import (
    BY_HAND,
    GAP,
    Roominess,
    answer_blocks,
    caution_blocks,
    question_blocks,
    reading_blocks,
    table_blocks,
)
from reports.page import (
    ANY_HEIGHT,
    BODY,
    Block,
    Column,
    Fields,
    Heading,
    Look,
    Page,
    Space,
    SquaredPaper,
    draw,
    flow,
    foot_line,
    look_of,
    small_head,
    text,
    wrapped,
)
from reports.page import house_style as style
from reports.wording import fill, graph_lines, item_words, wording
from rubrics.model import Rubric

_TITLE_LINE = 20.0
_GOOD_GRID = 480.0
"""Points, 17 cm: a graph that fills half of it is large enough."""
_LEAST_GRID = 290.0
"""Points, 10 cm."""
_LEAST_OVERLEAF = 150.0
"""Points of a last page below which its box stands alone."""
_GRADES = (
    Roominess(row=26.0, working=84.0, lines=4),
    Roominess(row=25.0, working=54.0, lines=3),
    Roominess(row=24.0, working=40.0, lines=3),
    Roominess(row=23.0, working=40.0, lines=2),
    Roominess(row=22.0, working=28.0, lines=2),
    Roominess(row=21.0, working=20.0, lines=2),
)
"""From roomy to close; the roomiest that keeps to one leaf is used."""


class _Parts(Struct, frozen=True, kw_only=True):
    front: tuple[Block, ...]
    answers: tuple[Block, ...]
    questions: tuple[Block, ...]


def write_results_sheets(path: Path, rubric: Rubric, students: Sequence[Student], *, double_sided: bool = True) -> int:
    """Write a blank sheet to *path*, or one for each of *students* with name, code and bench filled in.

    Args:
        path: The PDF to write.
        rubric: The practical.
        students: Who gets a sheet; nobody in particular where empty.
        double_sided: Add an empty back after an odd last page, so that every student starts on a new leaf.

    Returns:
        How many pages the longest sheet has.
    """
    document = wording("results_sheet")["document"]["class"]
    canvas = style.new_canvas(str(path), f"{document}: {rubric.title}", rubric.title)
    sheets = [
        (student, look_of(student.paper), _pages(rubric, look_of(student.paper), student))
        for student in students or (Student(code=""),)
    ]
    longest = max(len(pages) for _, _, pages in sheets)
    for number, (student, look, pages) in enumerate(sheets, start=1):
        for place, page in enumerate(pages, start=1):
            look.start(canvas)
            if place == 1:
                _head(canvas, rubric, look)
            else:
                small_head(canvas, student.code, rubric, look)
            draw(page, canvas)
            foot_line(canvas, student.code, rubric, look, (place, len(pages)))
            canvas.showPage()
        if double_sided and len(pages) % 2 and number < len(sheets) and longest > 1:
            canvas.showPage()
    canvas.save()
    return longest


def _title(rubric: Rubric, look: Look) -> tuple[str, ...]:
    return wrapped(rubric.title, look.width, style.TITLE_SIZE, style.BOLD)


def _head_bottom(rubric: Rubric, look: Look) -> float:
    return look.top - _TITLE_LINE * len(_title(rubric, look)) - 8.0


def _head(canvas: Canvas, rubric: Rubric, look: Look) -> None:
    canvas.setFillGray(style.INK)
    canvas.setFont(style.BOLD, style.TITLE_SIZE)
    base = look.top - 12.0
    for line in _title(rubric, look):
        canvas.drawString(look.left, base, line)
        base -= _TITLE_LINE
    canvas.setStrokeGray(style.INK)
    canvas.setLineWidth(1.0)
    rule = _head_bottom(rubric, look) + 4.0
    canvas.line(look.left, rule, look.right, rule)


def _fields(student: Student, look: Look) -> Fields:
    words = wording("results_sheet")["fields"]
    fields = [
        (words["name"], student.name, 3.2),
        (words["code"], student.code, 2.0),
        (words["bench"], student.bench, 1.3),
        (words["date"], "", 2.0),
    ]
    return Fields(fields, 2 if look.is_one_column else len(fields))


# ---- pages ---------------------------------------------------------------------------------------------------


def _pages(rubric: Rubric, look: Look, student: Student) -> list[Page]:
    """Return the sheet as roomy as one leaf allows: a page, or two where there is a graph."""
    aim = 1 if rubric.graph is None else 2
    found: list[list[Page]] = []
    grades = _GRADES if rubric.graph is None else _GRADES[1:]  # squares are worth more than empty boxes
    for room in _GRADES[3:4] if look.is_one_column else grades:
        found.append(_set(rubric, look, student, room))
        if len(found[-1]) <= aim:
            return found[-1]
    return min(found, key=len)


def _set(rubric: Rubric, look: Look, student: Student, room: Roominess) -> list[Page]:
    purpose = (Heading(wording("results_sheet")["headings"]["purpose"]), text(BODY, rubric.purpose))
    front = (
        Block(parts=(_fields(student, look), Space(8))),
        Block(parts=purpose),
        *caution_blocks(rubric),
        *reading_blocks(rubric, look),
        *table_blocks(rubric, look, room),
    )
    parts = _Parts(
        front=front, answers=answer_blocks(rubric, look, room), questions=question_blocks(rubric, room, look)
    )
    first = Column(left=look.left, width=look.width, top=_head_bottom(rubric, look), bottom=look.bottom)
    if rubric.graph is None:
        return _in_company([*parts.front, *parts.answers, *parts.questions], first, look.later_top)
    return _beside_graph(rubric, look, first, parts)


def _beside_graph(rubric: Rubric, look: Look, first: Column, parts: _Parts) -> list[Page]:
    """Return the front, and the squared paper with as much below it as leaves it large enough."""
    later = Column(left=look.left, width=look.width, top=look.later_top, bottom=look.bottom)
    best: tuple[float, list[Page]] = (0.0, [])
    split = [
        ((*parts.front, *parts.questions[:count]), (*parts.answers, *parts.questions[count:]))
        for count in range(1, len(parts.questions))
    ]
    for over, under in (
        (parts.front, (*parts.answers, *parts.questions)),
        ((*parts.front, *parts.questions), parts.answers),
        ((*parts.front, *parts.answers), parts.questions),
        ((*parts.front, *parts.answers, *parts.questions), ()),
        *split,
    ):
        front = flow(over, first, look.later_top)
        height = later.top - later.bottom - _height(under, later.width) - _height(_graph(rubric, look, 0), later.width)
        if len(front) > 1 or height < _LEAST_GRID / look.scale or height <= best[0]:
            continue
        best = (height, front + flow([*_graph(rubric, look, height), *under], later, later.top))
        if height >= _GOOD_GRID / look.scale:
            break
    if best[1]:
        return best[1]
    whole = later.top - later.bottom - _height(_graph(rubric, look, 0), later.width) - 1
    graph = _graph(rubric, look, whole)
    return [
        *flow(parts.front, first, look.later_top),
        *flow(graph, later, later.top),
        *_in_company([*parts.answers, *parts.questions], later, later.top),
    ]


def _in_company(blocks: Sequence[Block], column: Column, later_top: float) -> list[Page]:
    """Return *blocks* on pages of which the last holds more than a lone box: what stands before it goes over too."""
    pages = flow(blocks, column, later_top)
    for count in range(2, len(blocks)):
        if len(pages) < 2 or _extent(pages[-1]) >= _LEAST_OVERLEAF:
            break
        tried = flow([*blocks[:-count], _joined(blocks[-count:])], column, later_top)
        if len(tried) > len(pages):
            break
        pages = tried
    return pages


def _extent(page: Page) -> float:
    """Return how much of the height of a page is used, in points."""
    ends = [end for one in page for end in (one.bottom, one.bottom + float(one.flowable.height))]
    return max(ends) - min(ends) if ends else 0.0


def _joined(blocks: Sequence[Block]) -> Block:
    """Return *blocks* as one that is not torn apart."""
    parts = [part for block in blocks for part in (Space(block.gap), *block.parts)]
    return Block(parts=tuple(parts[1:]), gap=blocks[0].gap)


def _height(blocks: Sequence[Block], width: float) -> float:
    return sum(block.gap + sum(float(part.wrap(width, ANY_HEIGHT)[1]) for part in block.parts) for block in blocks)


def _graph(rubric: Rubric, look: Look, height: float) -> list[Block]:
    if rubric.graph is None:
        return []
    words = wording("results_sheet")
    axes = {
        axis: item_words(item)
        for axis, item in (("x", rubric.items[rubric.graph.x]), ("y", rubric.items[rubric.graph.y]))
    }
    said = text(BODY, fill([words["told"]["graph"]], axes))
    lines = [text(BY_HAND, line) for line in graph_lines(rubric)]
    parts = (Heading(words["headings"]["graph"]), said, Space(6), SquaredPaper(height, look.scale), Space(4), *lines)
    return [Block(parts=parts, gap=GAP)]
