"""Papers for the staff room and the wall: task answers, the projector page, the technician's note."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from reportlab.lib.pagesizes import A4, landscape
from reportlab.pdfgen.canvas import Canvas

from marking.class_notes import ClassNote
from marking.cohort.picture import ClassPicture, picture
from marking.findings import MarkedSet, Script
from reports.charts import DotPlot, names_of
from reports.next_step import task_for
from reports.page import (
    BODY,
    NOTE,
    Block,
    Column,
    Heading,
    Hung,
    Page,
    PointHead,
    Space,
    WritingLines,
    draw,
    flow,
    printable,
    shortened,
    text,
    wrapped,
)
from reports.page import house_style as style
from reports.teacher.class_lesson import benches_off, class_starter
from reports.wording import fill, listed, printed, wording
from rubrics.model import Rubric

_PROJECTOR_SCALE = 2.0
"""Makes running text 20 points on A4 across: readable from the last row of a classroom."""
_HEAD = 46.0


def write_task_answers(path: Path, marked_sets: Sequence[MarkedSet]) -> None:
    """Write the answers to every student's task, for the teacher; they are on no student's sheet."""
    words = wording("summary")["answers"]
    blocks = [
        block for marked in marked_sets for script in marked.scripts for block in _answer_blocks(script, marked.rubric)
    ]
    write_staff_pages(path, words["document"], words["title"], blocks)


def _answer_blocks(script: Script, rubric: Rubric) -> list[Block]:
    task = task_for(script, rubric)
    if task is None:
        return []
    student = script.write_up.student
    who = fill(wording("summary")["answers"]["who"], {"code": student.code, "name": student.name})
    lines = [
        Hung(f"{number}.", text(NOTE, f"{question.text} → {question.answer}"), small=True)
        for number, question in enumerate(task.questions, start=1)
    ]
    return [Block(parts=(PointHead("", printable(who, 120, "…"), rubric.title), *lines), gap=9.0)]


def write_technician_note(path: Path, notes: Sequence[ClassNote], rubrics: Mapping[str, Rubric]) -> None:
    """Write which benches read off, and by how much, with room for what is found; no student is named."""
    words = wording("summary")["technician"]
    blocks = [Block(parts=(text(BODY, words["why"]),))]
    for note in benches_off(notes):
        items = rubrics[note.practical].items
        named = [items[item].quantity if item in items else item for item in note.items]
        factor = printed(note.factor, 3) if note.factor is not None else ""
        slots = {"bench": note.bench, "items": listed(named), "direction": note.direction, "factor": factor}
        head = PointHead("•", fill(words["bench"], slots), rubrics[note.practical].title)
        said = Hung("", text(BODY, fill(words["reads"], slots)))
        room = (Hung("", text(NOTE, words["done"])), WritingLines(2), Space(4))
        blocks.append(Block(parts=(head, said, *room), gap=14.0))
    write_staff_pages(path, words["document"], words["title"], blocks)


def write_staff_pages(path: Path, document: str, title: str, blocks: Sequence[Block]) -> None:
    """Write *blocks* below *title* on as many pages as they need, numbered."""
    canvas = style.new_canvas(str(path), document, "")
    column = Column(left=style.LEFT, width=style.WIDTH, top=style.TOP - _HEAD, bottom=style.BOTTOM)
    for number, page in enumerate(flow(blocks, column, style.TOP), start=1):
        if number == 1:
            _title(canvas, title, style.LEFT, style.TOP - 12, style.WIDTH)
        draw(page, canvas)
        canvas.setFont(style.REGULAR, style.FOOT_SIZE)
        canvas.setFillGray(style.SOFT)
        canvas.drawRightString(style.RIGHT, 30, str(number))
        canvas.showPage()
    canvas.save()


def _title(canvas: Canvas, title: str, left: float, base: float, width: float) -> None:
    canvas.setFillGray(style.INK)
    canvas.setFont(style.BOLD, style.TITLE_SIZE)
    canvas.drawString(left, base, shortened(title, width * 0.95, style.TITLE_SIZE, style.BOLD))
    canvas.setStrokeGray(style.INK)
    canvas.setLineWidth(1.0)
    canvas.line(left, base - 10, left + width, base - 10)


def write_projector_pages(path: Path, marked_sets: Sequence[MarkedSet]) -> None:
    """Write one page a practical to show to the class: a starter and the spread of results, no name and no code."""
    canvas = style.new_canvas(str(path), wording("summary")["projector"]["document"], "")
    canvas.setPageSize(landscape(A4))
    for marked in marked_sets:
        canvas.scale(_PROJECTOR_SCALE, _PROJECTOR_SCALE)
        width = (style.PAGE_HEIGHT - 2 * style.MARGIN) / _PROJECTOR_SCALE
        left, top = style.MARGIN / _PROJECTOR_SCALE, (style.PAGE_WIDTH - 40) / _PROJECTOR_SCALE
        title = wrapped(marked.rubric.title, width, style.TITLE_SIZE, style.BOLD)[0]
        _title(canvas, title, left, top - 12, width)
        column = Column(left=left, width=width, top=top - 34, bottom=36 / _PROJECTOR_SCALE)
        draw(_projector_page(marked, column), canvas)
        canvas.showPage()
    canvas.save()


def _accepted(seen: ClassPicture) -> list[str]:
    """Return the accepted values in words, by the letters of the chart where there are several."""
    ordered = sorted(seen.accepted, key=lambda one: one.value)
    template = wording("summary")["projector"]["accepted"]
    said = [
        fill([template], {"name": one.name, "value": printed(one.value), "unit": seen.result_unit or " "})
        for one in ordered
    ]
    if len(said) < 2:
        return said
    return [f"{letter}: {sentence}" for letter, sentence in zip(names_of(seen.accepted), said, strict=True)]


def _projector_page(marked: MarkedSet, column: Column) -> Page:
    words = wording("summary")["projector"]
    seen = picture(marked)
    blocks = []
    if seen.handed_in:
        _, task = class_starter(marked, seen)
        asked = [Hung(f"{number}.", text(BODY, one.text)) for number, one in enumerate(task.questions, start=1)]
        blocks.append(Block(parts=(Heading(words["starter"]), text(BODY, task.intro), Space(3), *asked)))
    if seen.results:
        plot = DotPlot([result.value for result in seen.results], seen.accepted, column.width)
        unit = fill([wording("summary")["results"]["unit"]], {"unit": seen.result_unit or " "})
        notes = [text(NOTE, unit), *(text(NOTE, said) for said in _accepted(seen))]
        blocks.append(Block(parts=(Heading(words["results"]), plot, *notes), gap=10.0))
    return flow(blocks, column, column.top)[0]
