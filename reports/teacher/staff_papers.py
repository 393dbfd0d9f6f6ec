"""Papers for the staff room: answers to the tasks, the technician's note."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from decimal import Decimal
from pathlib import Path

from reportlab.pdfgen.canvas import Canvas

from marking.class_notes import ClassNote
from marking.findings import Cause, MarkedSet
from reports.next_step import Question, task_for
from reports.page import (
    BODY,
    NOTE,
    Block,
    Column,
    Hung,
    PointHead,
    Space,
    WritingLines,
    draw,
    flow,
    furniture,
    printable,
    shortened,
    tagged,
    text,
)
from reports.page import house_style as style
from reports.teacher.bench_words import bench_line
from reports.teacher.class_lesson import benches_off
from reports.wording import fill, wording
from rubrics.formulas import printed, rounded
from rubrics.model import Rubric

_HEAD = 46.0
_NUMBER = re.compile(r"−?\d[\d\u202f]*(?:\.\d+)?")


def write_task_answers(path: Path, marked_sets: Sequence[MarkedSet]) -> None:
    """Write the answers to every student's task, for the teacher; they are on no student's sheet.

    Students who were asked the same stand together.
    """
    words = wording("summary")["answers"]
    blocks = [block for marked in marked_sets for block in _answer_blocks(marked)]
    write_staff_pages(path, words["document"], words["title"], blocks)


def _answer_blocks(marked: MarkedSet) -> list[Block]:
    asked: dict[tuple[str, ...], list[str]] = {}
    for script in marked.scripts:
        task = task_for(script, marked.rubric)
        if task is not None:
            student = script.write_up.student
            who = fill(wording("summary")["answers"]["who"], {"code": student.code, "name": student.name})
            lines = tuple(_answer_line(question, task.about) for question in task.questions)
            asked.setdefault(lines, []).append(printable(who, 120, "…"))
    return [_answered(lines, who, marked.rubric) for lines, who in asked.items()]


def _answered(lines: Sequence[str], who: Sequence[str], rubric: Rubric) -> Block:
    hung = [Hung(f"{number}.", text(NOTE, line), small=True) for number, line in enumerate(lines, start=1)]
    return Block(parts=(PointHead("", "; ".join(who), rubric.title), *hung), gap=9.0)


def _answer_line(question: Question, about: str) -> str:
    """Return a question with its answer; where a guess comes first, with what a good guess is."""
    words = wording("summary")["answers"]
    answer = question.answer
    rough = rough_size(answer) if about == Cause.POWER_OF_TEN and _asks_for_guess(question) else ""
    answer = fill([words["guess"], "{answer}"], {"rough": rough, "answer": answer})
    return fill([words["line"]], {"question": question.text.rstrip(" ="), "answer": answer})


def _asks_for_guess(question: Question) -> bool:
    return wording("summary")["answers"]["guess_asked"] in question.text


def rough_size(answer: str) -> str:
    """Return the number of an answer to one figure, with its unit, as a good guess has it: 'V = 59.7 cm³' is 60 cm³.

    Empty where there is no number in it.
    """
    found = _NUMBER.search(answer.rpartition("=")[2])
    if found is None:
        return ""
    number = rounded(Decimal(found[0].replace("−", "-").replace("\u202f", "").replace(" ", "")), 1)
    behind = answer[answer.rindex(found[0]) + len(found[0]) :]
    return f"{printed(number)}{behind}"


def write_technician_note(path: Path, notes: Sequence[ClassNote], rubrics: Mapping[str, Rubric]) -> None:
    """Write which benches read off, and by how much, with room for what is found; no student is named."""
    words = wording("summary")["technician"]
    blocks = [Block(parts=(text(BODY, words["why"]),))]
    for note in benches_off(notes):
        rubric = rubrics[note.practical]
        head = PointHead("•", bench_line(note, rubric), rubric.title)
        room = (Hung("", text(NOTE, words["done"])), WritingLines(2), Space(4))
        blocks.append(Block(parts=(head, *room), gap=14.0))
    write_staff_pages(path, words["document"], words["title"], blocks)


def write_staff_pages(path: Path, document: str, title: str, blocks: Sequence[Block]) -> None:
    """Write *blocks* below *title* on as many pages as they need, numbered."""
    write_papers(path, document, [(title, blocks)])


def write_papers(path: Path, document: str, papers: Sequence[tuple[str, Sequence[Block]]]) -> None:
    """Write several papers, each a title and its blocks, one after the other; each starts a page and numbers its own.

    Args:
        path: The PDF to write.
        document: What the file is called by whatever shows it.
        papers: Titles and blocks.
    """
    canvas = style.new_canvas(str(path), document, "")
    column = Column(left=style.LEFT, width=style.WIDTH, top=style.TOP - _HEAD, bottom=style.BOTTOM)
    for title, blocks in papers:
        for number, page in enumerate(flow(blocks, column, style.TOP), start=1):
            if number == 1:
                _title(canvas, title, style.LEFT, style.TOP - 12, style.WIDTH)
            draw(page, canvas)
            with furniture(canvas, "Footer"):
                canvas.setFont(style.REGULAR, style.FOOT_SIZE)
                canvas.setFillGray(style.SOFT)
                canvas.drawRightString(style.RIGHT, 30, str(number))
            canvas.showPage()
    canvas.save()


def _title(canvas: Canvas, title: str, left: float, base: float, width: float) -> None:
    with tagged(canvas, "H1"):
        canvas.setFillGray(style.INK)
        canvas.setFont(style.BOLD, style.TITLE_SIZE)
        canvas.drawString(left, base, shortened(title, width * 0.95, style.TITLE_SIZE, style.BOLD))
    with furniture(canvas):
        canvas.setStrokeGray(style.INK)
        canvas.setLineWidth(1.0)
        canvas.line(left, base - 10, left + width, base - 10)
