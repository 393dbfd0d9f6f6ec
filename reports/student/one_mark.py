"""One mark on one page: cell, reading, formula, value, rule, and who decided."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from pathlib import Path

from msgspec import Struct
from msgspec.structs import asdict
from reportlab.pdfgen.canvas import Canvas

from marking.findings import CriterionMark, Finding, Outcome, Script
from marking.write_up import Entry, State
from reports.next_step import worked_line
from reports.page import BODY, Block, Column, Heading, draw, flow, labelled, printable, shortened, text, wrapped
from reports.page import house_style as style
from reports.wording import Slots, fill, message, result_sentences, symbol_words, total_note, wording
from rubrics.formulas import printed
from rubrics.model import Rubric

_GAP = 12.0
_TOGETHER = 6
"""Lines that stay with their heading; more go overleaf where they have to."""


class Told(Struct, frozen=True, kw_only=True):
    """A section of the page: its heading, and lines of a label and what is said."""

    heading: str
    lines: tuple[tuple[str, str], ...]


def explanation(script: Script, rubric: Rubric, code: str) -> tuple[Told, ...]:
    """Return how the mark of criterion *code* came about, section by section.

    What decided it is told in full; every other row and answer that was looked at has a line of its own.

    Args:
        script: The student's script, with that criterion among its criteria.
        rubric: The rubric of its practical.
        code: Code of the criterion.
    """
    words = wording("explain")
    mark = next(mark for mark in script.criteria if mark.criterion.code == code)
    findings = _telling_first([finding for finding in script.as_found if finding.criterion == code])
    first, rest = findings[:1], findings[1:]
    lines = [line for finding in first for line in _about(script, rubric, finding)]
    lines += [_in_a_line(script, rubric, finding) for finding in rest]
    sections = (
        Told(heading=words["headings"]["mark"], lines=_mark_lines(mark)),
        Told(heading=words["headings"]["rule"], lines=(("", words["rules"][mark.criterion.check.value]),)),
        Told(heading=words["headings"]["readings"], lines=tuple(_readings(script, rubric, findings))),
        Told(heading=words["headings"]["lines"], lines=tuple(lines)),
        Told(heading=words["headings"]["sure"], lines=tuple(_sureness(script, rubric, mark))),
        Told(heading=words["headings"]["decided"], lines=_who_decided(mark)),
        Told(heading=words["headings"]["total"], lines=(("", total_note(script)),) if script.moderated else ()),
    )
    return tuple(section for section in sections if section.lines)


def _in_a_line(script: Script, rubric: Rubric, finding: Finding) -> tuple[str, str]:
    """Return one row in one line: what was written, what it comes to, and whether it stands."""
    words = wording("explain")
    if finding.row is None or finding.item not in rubric.items:
        return "", message(finding)
    slots = Slots(finding)
    slots["working"] = worked_line(script, rubric, finding)
    slots["verdict"] = words["verdicts"][finding.outcome.value]
    symbol = symbol_words(rubric.items[finding.item])
    return fill([words["labels"]["row"]], {"symbol": symbol, "row": str(finding.row)}), fill(words["row"], slots)


def _who_decided(mark: CriterionMark) -> tuple[tuple[str, str], ...]:
    words = wording("explain")["decided"]
    ruling = mark.ruling
    if ruling is None:
        return (("", words["teacher" if mark.marks is None else "program"]),)
    slots = {
        name: said
        for name, said in {
            "who": ruling.who,
            "day": ruling.when[:10],
            "marks": str(ruling.marks),
            "out_of": str(mark.criterion.marks),
            "proposed": str(ruling.proposed),
            "source": ruling.source,
            "why": ruling.why,
        }.items()
        if said
    }
    is_overruled = ruling.proposed not in (None, ruling.marks)
    kinds = ["by"]
    kinds += ["source"] if ruling.source else []
    kinds += ["overruled"] if is_overruled else []
    kinds += ["why"] if ruling.why else ["no_why"] if is_overruled else []
    said = [words[kind] if isinstance(words[kind], list) else [words[kind]] for kind in kinds]
    return tuple(("", fill(sentences, slots)) for sentences in said)


def _mark_lines(mark: CriterionMark) -> tuple[tuple[str, str], ...]:
    words = wording("explain")
    slots = {"marks": str(mark.marks), "out_of": str(mark.criterion.marks)}
    said = fill([words["mark"]["open" if mark.marks is None else "given"]], slots)
    return (words["labels"]["point"], f"{mark.criterion.point} ({mark.criterion.code})"), (
        words["labels"]["mark"],
        said,
    )


def _sureness(script: Script, rubric: Rubric, mark: CriterionMark) -> list[tuple[str, str]]:
    """Return how sure the result is, where the criterion is about it; it decides no mark."""
    result = script.result
    if rubric.result is None or rubric.result.answer not in mark.criterion.items or result is None:
        return []
    sentences = result_sentences(result)
    if result.uncertainty is None or not sentences:
        return []
    words = wording("explain")
    slots = {"standard": f"{printed(result.uncertainty.standard, 2)} {result.unit}".strip()}
    if math.isfinite(result.uncertainty.freedom):
        slots["freedom"] = f"{result.uncertainty.freedom:.0f}"
    said = [("", sentence) for sentence in sentences]
    return [*said, (words["labels"]["standard"], fill(words["standard"], slots))]


def _telling_first(findings: Sequence[Finding]) -> list[Finding]:
    """Return what lost or holds up the mark before what stands."""
    order = (Outcome.WITHHELD, Outcome.FOR_TEACHER, Outcome.AWARDED)
    return sorted(findings, key=lambda finding: order.index(finding.outcome))


def _about(script: Script, rubric: Rubric, finding: Finding) -> list[tuple[str, str]]:
    words = wording("explain")
    slots = Slots(finding)
    slots["working"] = worked_line(script, rubric, finding)
    lines = (
        (words["labels"]["cell"], str(finding.source) if finding.source else ""),
        (words["labels"]["wrote"], slots["wrote"]),
        (words["labels"]["formula"], slots["formula"]),
        (words["labels"]["value"], fill(words["mark"]["value"], slots)),
        (words["labels"]["said"], message(finding)),
    )
    return [(label, said) for label, said in lines if said]


def _readings(script: Script, rubric: Rubric, findings: Sequence[Finding]) -> list[tuple[str, str]]:
    """Return the entries that the formulas of *findings* use: a line an item, with its cells, all rows in it."""
    found: dict[str, dict[int | None, Entry]] = {}
    for finding in findings:
        item = rubric.items.get(finding.item)
        if item is None or item.formula is None:
            continue
        for name in item.formula.names:
            for row, entry in _entries(script, name, finding.row):
                found.setdefault(name, {})[row] = entry
    return [_of_item(rubric, name, entries) for name, entries in found.items()]


def _of_item(rubric: Rubric, name: str, entries: Mapping[int | None, Entry]) -> tuple[str, str]:
    in_order = [entries[row] for row in sorted(entries, key=lambda row: row or 0)]
    known = rubric.items.get(name)
    units = {entry.unit_raw.strip() for entry in in_order}
    if len(units) == 1:
        written = f"{', '.join(entry.raw.strip() for entry in in_order)} {units.pop()}".strip()
    else:
        written = ", ".join(f"{entry.raw} {entry.unit_raw}".strip() for entry in in_order)
    first, last = in_order[0].place, in_order[-1].place
    cells = (
        str(first) if first == last else fill([wording("explain")["cells"]], {"first": str(first), "last": last.cell})
    )
    return symbol_words(known) if known else name, f"{written} ({cells})"


def _entries(script: Script, name: str, row: int | None) -> list[tuple[int | None, Entry]]:
    single = script.write_up.singles.get(name)
    if single is not None:
        return [(None, single)]
    column = script.write_up.columns.get(name, {})
    rows = [(number, entry) for number, entry in column.items() if row is None or number == row]
    return [(number, entry) for number, entry in rows if entry.state is not State.BLANK]


def explanation_lines(script: Script, rubric: Rubric, code: str) -> list[str]:
    """Return the page as lines for a terminal."""
    name = script.write_up.student
    lines = [f"{rubric.title}: {name.code}{f', {name.name}' if name.name else ''}"]
    for section in explanation(script, rubric, code):
        lines += ["", section.heading, *(f"  {label:<12} {said}".rstrip() for label, said in section.lines)]
    return lines


def explanation_data(script: Script, rubric: Rubric, code: str) -> dict[str, object]:
    """Return the page for a script: the mark, who decided, and every section with its lines."""
    mark = next(mark for mark in script.criteria if mark.criterion.code == code)
    ruling = mark.ruling
    return {
        "student": script.write_up.student.code,
        "practical": rubric.id,
        "edition": rubric.edition,
        "criterion": code,
        "marks": mark.marks,
        "out_of": mark.criterion.marks,
        "decided": asdict(ruling) if ruling is not None else None,
        "sections": [
            {"heading": section.heading, "lines": [{"label": label, "says": said} for label, said in section.lines]}
            for section in explanation(script, rubric, code)
        ],
    }


def write_explanation(path: Path, script: Script, rubric: Rubric, code: str) -> None:
    """Write the page.

    Args:
        path: The PDF to write.
        script: The student's script.
        rubric: The rubric of its practical.
        code: Code of the criterion.
    """
    words = wording("explain")
    student = script.write_up.student
    canvas = style.new_canvas(str(path), f"{words['document']}: {student.code}, {code}", rubric.title)
    titles = wrapped(words["title"], style.WIDTH, style.TITLE_SIZE, style.BOLD)
    top = style.TOP - 20.0 * len(titles) - 34.0
    column = Column(left=style.LEFT, width=style.WIDTH, top=top, bottom=style.BOTTOM)
    pages = flow(_blocks(explanation(script, rubric, code)), column, style.TOP)
    _head(canvas, titles, f"{rubric.title} · {student.name} ({student.code})" if student.name else student.code)
    slots = {"practical": rubric.id, "edition": str(rubric.edition), "code": student.code, "criterion": code}
    for one in pages:
        draw(one, canvas)
        canvas.setFont(style.REGULAR, style.FOOT_SIZE)
        canvas.setFillGray(style.SOFT)
        canvas.drawString(style.LEFT, 30, shortened(fill([words["foot"]], slots), style.WIDTH, style.FOOT_SIZE))
        canvas.showPage()
    canvas.save()


def _head(canvas: Canvas, titles: Sequence[str], who: str) -> None:
    canvas.setFillGray(style.INK)
    canvas.setFont(style.BOLD, style.TITLE_SIZE)
    base = style.TOP - 12.0
    for title in titles:
        canvas.drawString(style.LEFT, base, title)
        base -= 20.0
    canvas.setFont(style.REGULAR, style.LABEL_SIZE)
    canvas.setFillGray(style.SOFT)
    canvas.drawString(style.LEFT, base + 2, shortened(printable(who, 160, "…"), style.WIDTH, style.LABEL_SIZE))
    canvas.setStrokeGray(style.INK)
    canvas.setLineWidth(1.0)
    canvas.line(style.LEFT, base - 6, style.RIGHT, base - 6)


def _blocks(sections: Sequence[Told]) -> list[Block]:
    blocks = []
    for section in sections:
        parts = [
            part for label, said in section.lines for part in (labelled(label, said) if label else (text(BODY, said),))
        ]
        blocks.append(Block(parts=(Heading(section.heading), *parts[:_TOGETHER]), gap=_GAP))
        blocks += [Block(parts=(part,)) for part in parts[_TOGETHER:]]
    return blocks
