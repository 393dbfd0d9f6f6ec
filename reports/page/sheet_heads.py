"""What stands above and below the columns of a feedback sheet: title, name, code, edition, page."""

from __future__ import annotations

from reportlab.pdfgen.canvas import Canvas

from marking.findings import Script
from reports.page import house_style as style
from reports.page.house_style import printable, shortened, width_of, wrapped
from reports.page.looks import Look
from reports.page.name_faces import draw_name, face_for
from reports.page.tagging import furniture, tagged
from reports.wording import fill, one_line, wording
from rubrics.model import Rubric

_NAME_WIDTH = 236.0
"""Widest name on one line; a longer one is broken."""
_TITLE_LINE, _NAME_LINE = 20.0, 13.5


def _code(script: Script) -> str:
    return printable(script.write_up.student.code, 40, "…")


def _names(script: Script, look: Look) -> tuple[str, ...]:
    if face_for(script.write_up.student.name) is not None:
        return (script.write_up.student.name,)  # on one line, drawn by `draw_name`
    name = printable(script.write_up.student.name, 120, "…")
    return (
        wrapped(
            name, min(_NAME_WIDTH, look.width * (0.6 if look.is_one_column else 1) - 10), style.NAME_SIZE, style.BOLD
        )
        if name
        else ()
    )


def _title_lines(script: Script, rubric: Rubric, look: Look) -> tuple[str, ...]:
    if look.is_one_column:
        return wrapped(rubric.title, look.width, look.title_size, style.BOLD)
    taken = max((width_of(line, style.NAME_SIZE, style.BOLD) for line in _names(script, look)), default=0.0)
    return wrapped(rubric.title, look.width - max(taken, 60.0) - style.GUTTER, style.TITLE_SIZE, style.BOLD)


def head_bottom(script: Script, rubric: Rubric, look: Look) -> float:
    """Return where the columns start below the head of a first page."""
    title = _TITLE_LINE * len(_title_lines(script, rubric, look))
    names = _NAME_LINE * (max(1, len(_names(script, look))) if look.is_one_column else len(_names(script, look)) + 1)
    return look.top - (title + names if look.is_one_column else max(title, names)) - 20.0


def head(canvas: Canvas, script: Script, rubric: Rubric, look: Look) -> None:
    """Draw the title at the left, name and code at the right (below it in one column), and a rule below."""
    base = look.top - 12.0
    with tagged(canvas, "H1"):
        canvas.setFillGray(style.INK)
        canvas.setFont(style.BOLD, look.title_size)
        for line in _title_lines(script, rubric, look):
            canvas.drawString(look.left, base, line)
            base -= _TITLE_LINE
    put = canvas.drawString if look.is_one_column else canvas.drawRightString
    edge = look.left if look.is_one_column else look.right
    base = first = base if look.is_one_column else look.top - 8.0
    name = script.write_up.student.name
    face = face_for(name)
    with tagged(canvas, "P", actual=one_line(name) if face is not None else ""):
        canvas.setFont(style.BOLD, style.NAME_SIZE)
        for line in _names(script, look):
            if face is not None:
                draw_name(canvas, name, face, edge, base, from_right=not look.is_one_column)
            else:
                put(edge, base, line)
            base -= _NAME_LINE
    with tagged(canvas, "P"):
        canvas.setFont(style.REGULAR, style.FINE_SIZE)
        canvas.setFillGray(style.SOFT)
        if look.is_one_column:  # beside the last line of the name
            base = min(first, base + _NAME_LINE)
            canvas.drawRightString(look.right, base, shortened(_code(script), look.width * 0.4, style.FINE_SIZE))
        else:
            put(edge, base, shortened(_code(script), look.width, style.FINE_SIZE))
    with furniture(canvas):
        canvas.setStrokeGray(style.INK)
        canvas.setLineWidth(1.0)
        rule = head_bottom(script, rubric, look) + 13.0
        canvas.line(look.left, rule, look.right, rule)


def later_head(canvas: Canvas, script: Script, rubric: Rubric, look: Look) -> None:
    """Draw title and code small, and a rule below."""
    small_head(canvas, script.write_up.student.code, rubric, look)


def small_head(canvas: Canvas, of: str, rubric: Rubric, look: Look) -> None:
    """Draw title and code small, and a rule below; *of* is the code, empty where the sheet is nobody's yet."""
    with furniture(canvas, "Header"):
        canvas.setFont(style.REGULAR, style.LABEL_SIZE)
        canvas.setFillGray(style.SOFT)
        code = shortened(printable(of, 40, "…"), look.width * 0.4, style.LABEL_SIZE)
        room = look.width - width_of(code, style.LABEL_SIZE) - 12
        canvas.drawString(look.left, look.top - 6, shortened(rubric.title, room, style.LABEL_SIZE))
        canvas.drawRightString(look.right, look.top - 6, code)
        canvas.setStrokeGray(style.INK)
        canvas.setLineWidth(1.0)
        canvas.line(look.left, look.top - 12, look.right, look.top - 12)


def foot(canvas: Canvas, script: Script, rubric: Rubric, look: Look, page: tuple[int, int]) -> None:
    """Draw the edition at the left and the code, with *page* (number, count) where there are several, at the right."""
    foot_line(canvas, script.write_up.student.code, rubric, look, page)


def foot_line(canvas: Canvas, of: str, rubric: Rubric, look: Look, page: tuple[int, int]) -> None:
    """Draw the same for a sheet with the code *of*, empty where it is nobody's yet."""
    words = wording("sheet")["labels"]
    number, count = page
    code = printable(of, 40, "…")
    with furniture(canvas, "Footer"):
        canvas.setFont(style.REGULAR, style.FINE_SIZE)
        canvas.setFillGray(style.SOFT)
        edition = fill([words["edition"]], {"practical": rubric.id, "edition": str(rubric.edition)})
        slots = {"code": code, "number": str(number), "count": str(count)}
        paged = fill([words["page"], words["page_only"]], slots)
        right = shortened(paged if count > 1 else code, look.width * 0.6, style.FINE_SIZE)
        room = look.width - width_of(right, style.FINE_SIZE) - 12
        if width_of(edition, style.FINE_SIZE) > room:  # nothing at the foot is cut: the edition goes without the name
            edition = fill([words["edition_only"]], {"edition": str(rubric.edition)})
        canvas.drawString(look.left, look.foot, shortened(edition, room, style.FINE_SIZE))
        canvas.drawRightString(look.right, look.foot, right)
