"""What a student reads who has handed nothing in: what is missing, and what to do about it."""

from __future__ import annotations

from marking.findings import Script
from marking.write_up import MarkCode
from reports.page import (
    BODY,
    FINE,
    Block,
    EntryRow,
    Flowable,
    Heading,
    Look,
    OpenLines,
    ResultsGrid,
    Space,
    column_parts,
    question_parts,
    text,
)
from reports.wording import item_words, symbol_words, wording
from rubrics.model import Item, Role, Rubric

_GAP = 12.0
_GRID_ROWS = 8
_ANSWER_LINES = 2
_SETTLED = {MarkCode.LOST: "lost", MarkCode.EXCUSED: "excused"}
"""Mark codes of students without work who are asked for nothing, and what they read."""


def missing_blocks(script: Script, rubric: Rubric, look: Look) -> list[Block]:
    """Return the whole sheet of a student who handed nothing in, without cautions."""
    words, headings = wording("sheet")["missing"], wording("sheet")["headings"]
    purpose = Block(parts=(Heading(headings["purpose"]), text(BODY, rubric.purpose)))
    absent, codes = script.write_up.student.absent, script.write_up.student.codes
    settled = next((name for code, name in _SETTLED.items() if code in codes), None)
    if settled is not None:
        return [purpose, Block(parts=(text(BODY, words[settled]),), gap=_GAP)]
    sentences = [words[name] for name in (("absent", "if_away") if absent else ("nothing", "if_done", "if_not"))]
    told = [part for sentence in sentences for part in (text(BODY, sentence), Space(4))]
    blocks = [purpose, Block(parts=(Heading(headings["missing"]), *told), gap=_GAP), *_grid_blocks(rubric, look)]
    singles = sorted(rubric.singles, key=lambda item: item.role is Role.ANSWER)
    # The parts of an answer in words are asked for with their question.
    rows = [
        EntryRow(item_words(item), item.unit.symbol)
        for item in singles
        if item.question is None and item.part_of is None
    ]
    if rows:
        blocks.append(Block(parts=(Heading(headings["collect"]), Space(2), rows[0]), gap=_GAP))
    return [*blocks, *(Block(parts=(row,)) for row in rows[1:]), *_question_blocks(rubric, look)]


def _question_blocks(rubric: Rubric, look: Look) -> list[Block]:
    """Return the questions to be answered in the student's own words, with lines to write on."""
    asked = [item for item in rubric.singles if item.question is not None]
    blocks = []
    for number, item in enumerate(asked, start=1):
        parts = (*question_parts(number, item.quantity, _ANSWER_LINES, look.main_width), *_parts_of(rubric, item))
        heading = (Heading(wording("sheet")["headings"]["questions"]),) if number == 1 else ()
        blocks.append(Block(parts=(*heading, *parts), gap=_GAP if number == 1 else 0.0))
    return blocks


def _parts_of(rubric: Rubric, item: Item) -> tuple[Flowable, ...]:
    """Return what else a question asks for: which way, in words to ring, and why."""
    asked = []
    for one in rubric.singles:
        if one.part_of == item.name:
            asked += [text(FINE, one.quantity), *(() if one.choices else (OpenLines(1),))]
    return tuple(asked)


def _grid_blocks(rubric: Rubric, look: Look) -> list[Block]:
    """Return an empty table of readings, where the practical has one; in parts where it is wider than the page."""
    if not rubric.columns:
        return []
    columns = [
        (item.quantity, f"{symbol_words(item)} / {item.unit.symbol}" if item.unit.symbol else symbol_words(item))
        for item in rubric.columns
    ]
    heading = Heading(wording("sheet")["headings"]["table"])
    parts = column_parts(len(columns), look.width)
    grids = [ResultsGrid([columns[n] for n in part], _GRID_ROWS, is_part=len(parts) > 1) for part in parts]
    first, *rest = grids
    return [Block(parts=(heading, first), gap=_GAP), *(Block(parts=(grid,), gap=_GAP) for grid in rest)]
