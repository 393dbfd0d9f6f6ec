"""The two columns of a feedback sheet: words and task in the wide one, data and marks in the narrow one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from reportlab.platypus import Flowable

from marking.compared import Shift, shifts
from marking.findings import Finding, Outcome, Plot, Script
from reports.charts import ResultScale, Scatter
from reports.page import (
    BODY,
    NOTE,
    SMALL,
    USUAL,
    Block,
    EntryRow,
    Heading,
    Hung,
    Look,
    PointHead,
    ResultsGrid,
    Space,
    WritingLines,
    labelled,
    question_parts,
    text,
    ticked,
)
from reports.student.marks_table import GivenMarks, MarksTotal, OpenMarks
from reports.wording import (
    Point,
    also_check,
    cautions_told,
    fill,
    item_words,
    message,
    printed,
    result_sentences,
    symbol_words,
    task_about,
    what_stands,
    wording,
)
from rubrics.model import Role, Rubric

MOST_POINTS = 3
"""Points to mend on one sheet; more are not acted on."""
MOST_ALSO = 5
MOST_CHANGED = 5
"""Changes since the first version that are named; the table of marks holds them all."""
MOST_WAITING = 3
_GAP = 12.0
"""Air above a section."""
_POINT_GAP = 8.0
_GRID_ROWS = 8
_ANSWER_LINES = 2
_UNTOLD = ("teacher-looks", "method-unclear", "not-handed-in", "proposed-awarded", "proposed-withheld", "unsure")
"""Reasons that the table of marks tells well enough."""
_SETTLED = {"LOST": "lost", "EXC": "excused"}
"""Mark codes of students without work who are asked for nothing, and what they read."""


class MarksShown(StrEnum):
    """How much of the marks a sheet shows."""

    SHOWN = "shown"
    """By criterion, in a small table."""
    SMALL = "small"
    """The total only."""
    HIDDEN = "hidden"
    """Nothing until the student has replied."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """How one student's sheet is set."""

    look: Look = USUAL
    marks: MarksShown = MarksShown.SHOWN


# ---- the wide column -----------------------------------------------------------------------------------------


def main_blocks(script: Script, rubric: Rubric, points: Sequence[Point], setting: Setting) -> list[Block]:
    """Return the words of the wide column: what stands and what to mend, or what is missing."""
    headings = wording("sheet")["headings"]
    blocks = [Block(parts=(Heading(headings["purpose"]), text(BODY, rubric.purpose)))]
    if not script.write_up.is_handed_in:
        return blocks + _missing_blocks(script, rubric, setting.look)
    stands = [ticked(sentence) for sentence in what_stands(script, rubric)]
    blocks.append(Block(parts=(Heading(headings["stands"]), *stands), gap=_GAP))
    return blocks + _changed_blocks(script) + _mend_blocks(script, rubric, points, setting)


def _changed_blocks(script: Script) -> list[Block]:
    """Return what is different from the version that was handed in before."""
    if script.earlier is None:
        return []
    words = wording("sheet")["changed"]
    lines = []
    # What is settled comes first.
    for shift in sorted(shifts(script), key=lambda shift: shift.after is None)[:MOST_CHANGED]:
        sentence = fill([words[_change(shift)]], {"point": shift.criterion.point})
        lines.append(ticked(sentence) if _change(shift) in ("stands", "more") else Hung("–", text(BODY, sentence)))
    heading = Heading(words["heading"])
    if not lines:
        return [Block(parts=(heading, text(BODY, words["nothing"])), gap=_GAP)]
    return [Block(parts=(heading, *lines), gap=_GAP)]


def _change(shift: Shift) -> str:
    """Return the word for what became of a criterion; one the teacher had still to decide may be settled now."""
    if shift.after is None:
        return "open"
    if shift.after == shift.criterion.marks:
        return "stands"
    if shift.before is None:
        return "more" if shift.after else "missing"
    if shift.before == shift.criterion.marks:
        return "stood"
    return "more" if shift.after > shift.before else "fewer"


def _mend_blocks(script: Script, rubric: Rubric, points: Sequence[Point], setting: Setting) -> list[Block]:
    words = wording("sheet")
    heading = Heading(words["headings"]["mend"])
    blocks = []
    for number, point in enumerate(points[:MOST_POINTS], start=1):
        stacked = setting.look.is_stacked
        lines = [part for label, said in point.card for part in labelled(label, said, is_stacked=stacked)]
        parts = (_point_head(number, point, setting.marks), *lines)
        blocks.append(Block(parts=(heading, *parts) if number == 1 else parts, gap=_GAP if number == 1 else _POINT_GAP))
    if not points:
        sentences = ("nothing_pending", "nothing") if script.pending else ("nothing",)
        nothing = fill([words["mend"][name] for name in sentences], {"pending": str(script.pending)})
        blocks.append(Block(parts=(heading, text(BODY, nothing)), gap=_GAP))
    also = also_check(script, rubric, points[MOST_POINTS:])[:MOST_ALSO]
    if also:
        line = fill([words["labels"]["also"]], {"points": "; ".join(also)})
        blocks.append(Block(parts=(text(NOTE, line),), gap=_POINT_GAP))
    return blocks


def _point_head(number: int, point: Point, shown: MarksShown) -> PointHead:
    words = wording("sheet")["labels"]
    title = fill(["{Quantity}, {rows}", "{Quantity}"], {"quantity": point.quantity, "rows": point.rows})
    marks = words["mark"] if point.marks_lost == 1 else fill([words["marks"]], {"count": str(point.marks_lost)})
    return PointHead(number, title, marks if point.marks_lost and shown is not MarksShown.HIDDEN else "")


def comment_blocks(script: Script) -> list[Block]:
    """Return the teacher's own words, where there are any."""
    if not script.comment:
        return []
    words = text(BODY, script.comment)
    return [Block(parts=(Heading(wording("sheet")["headings"]["comment"]), words), gap=_GAP)]


def waiting_blocks(script: Script) -> list[Block]:
    """Return what the student should know of entries that wait for the teacher."""
    if not script.write_up.is_handed_in:
        return []
    waiting: dict[tuple[str, str], Finding] = {}
    for finding in script.findings:
        if finding.outcome is Outcome.FOR_TEACHER and finding.reason not in _UNTOLD:
            waiting.setdefault((finding.reason, finding.item), finding)
    if not waiting:
        return []
    told = [Hung("–", text(BODY, message(finding))) for finding in list(waiting.values())[:MOST_WAITING]]
    return [Block(parts=(Heading(wording("sheet")["headings"]["teacher"]), *told), gap=_GAP)]


def task_blocks(script: Script, points: Sequence[Point], width: float) -> list[Block]:
    """Return one thing to do next, with room to write; nothing for a student who handed nothing in."""
    if not script.write_up.is_handed_in:
        return []
    task = task_about(script, points)
    head = (Heading(wording("sheet")["headings"]["task"]), text(BODY, task.intro), Space(4))
    questions = [question_parts(number, q.text, q.lines, width) for number, q in enumerate(task.questions, start=1)]
    return [Block(parts=(*head, *(part for parts in questions for part in parts)), gap=_GAP)]


def reply_blocks(script: Script, lines: int) -> list[Block]:
    """Return room for the student's answer to the sheet; nothing for a student who handed nothing in."""
    if not script.write_up.is_handed_in:
        return []
    words = wording("sheet")
    parts = (Heading(words["headings"]["reply"]), text(BODY, words["reply"]["prompt"]), WritingLines(lines))
    return [Block(parts=parts, gap=_GAP)]


def _missing_blocks(script: Script, rubric: Rubric, look: Look) -> list[Block]:
    """Return what a student reads who has handed nothing in: what is missing, and what to do about it."""
    words, headings = wording("sheet")["missing"], wording("sheet")["headings"]
    absent, codes = script.write_up.student.absent, script.write_up.student.codes
    settled = next((name for code, name in _SETTLED.items() if code in codes), None)
    if settled is not None:
        return [Block(parts=(text(BODY, words[settled]),), gap=_GAP)]
    sentences = [words[name] for name in (("absent", "if_away") if absent else ("nothing", "if_done", "if_not"))]
    told = [part for sentence in sentences for part in (text(BODY, sentence), Space(4))]
    blocks = [Block(parts=(Heading(headings["missing"]), *told), gap=_GAP), *_grid_blocks(rubric)]
    singles = sorted(rubric.singles, key=lambda item: item.role is Role.ANSWER)
    rows = [EntryRow(item_words(item), item.unit.symbol) for item in singles if item.question is None]
    if rows:
        blocks.append(Block(parts=(Heading(headings["collect"]), Space(2), rows[0]), gap=_GAP))
    return [*blocks, *(Block(parts=(row,)) for row in rows[1:]), *_question_blocks(rubric, look)]


def _question_blocks(rubric: Rubric, look: Look) -> list[Block]:
    """Return the questions to be answered in the student's own words, with lines to write on."""
    asked = [item for item in rubric.singles if item.question is not None]
    blocks = []
    for number, item in enumerate(asked, start=1):
        parts = question_parts(number, item.quantity, _ANSWER_LINES, look.main_width)
        heading = (Heading(wording("sheet")["headings"]["questions"]),) if number == 1 else ()
        blocks.append(Block(parts=(*heading, *parts), gap=_GAP if number == 1 else 0.0))
    return blocks


def _grid_blocks(rubric: Rubric) -> list[Block]:
    """Return an empty table of readings, where the practical has one."""
    if not rubric.columns:
        return []
    columns = [
        (item.quantity, f"{symbol_words(item)} / {item.unit.symbol}" if item.unit.symbol else symbol_words(item))
        for item in rubric.columns
    ]
    heading = Heading(wording("sheet")["headings"]["table"])
    return [Block(parts=(heading, ResultsGrid(columns, _GRID_ROWS)), gap=_GAP)]


# ---- the narrow column ---------------------------------------------------------------------------------------


def data_blocks(script: Script, look: Look) -> list[Block]:
    """Return the student's graph, or the result beside the accepted value, or nothing."""
    headings = wording("sheet")["headings"]
    captions = NOTE if look.is_stacked else SMALL
    if script.plot is not None:
        scatter = Scatter(script.plot, look.side_width, look.chart_height)
        if scatter.is_drawable:
            notes = [text(captions, caption) for caption in _plot_captions(script.plot)]
            return [Block(parts=(Heading(headings["data"]), scatter, Space(4), *notes), gap=_GAP)]
    if script.result is not None:
        scale = ResultScale(script.result, look.side_width)
        if scale.is_drawable:
            notes = [text(captions, caption) for caption in _result_captions(script)]
            return [Block(parts=(Heading(headings["result"]), scale, Space(4), *notes), gap=_GAP)]
    return []


def _plot_captions(plot: Plot) -> list[str]:
    words = wording("sheet")["data"]
    captions = []
    if plot.line is not None or plot.curve:
        captions.append(words["fitted_line" if plot.line is not None else "fitted_curve"])
    if plot.odd_rows:
        trend = words["line" if plot.line is not None else "curve"]
        captions.append(fill([words["ringed_one" if len(plot.odd_rows) == 1 else "ringed_many"]], {"line": trend}))
    return captions


def _result_captions(script: Script) -> list[str]:
    result = script.result
    if result is None:
        return []
    if result.accepted is None:
        return []
    accepted = result.accepted
    slots = {"name": accepted.name, "value": printed(accepted.value), "unit": result.unit, "source": accepted.source}
    return [fill([wording("sheet")["data"]["source"]], slots)]


def sure_blocks(script: Script, look: Look, *, is_short: bool = False, with_cause: bool = True) -> list[Block]:
    """Return how sure the result is and whether it agrees with the accepted value, where that can be told.

    The short form, for a page that is full, leaves out heading and source, and at need the usual reason too.
    """
    leaves_out = script.plot is not None and bool(script.plot.odd_rows)
    if script.result is None:
        return []
    sentences = result_sentences(script.result, leaves_out=leaves_out, is_short=is_short, with_cause=with_cause)
    if not sentences:
        return []
    if is_short:
        return [Block(parts=(text(NOTE, " ".join(sentences)),), gap=_POINT_GAP)]
    told: list[Flowable] = [Heading(wording("sheet")["headings"]["sure"])]
    for sentence in sentences:
        told += [text(NOTE, sentence), Space(3)]
    if script.plot is not None:  # the scale of the result, with the source, gave way to the graph
        told += [text(NOTE if look.is_stacked else SMALL, caption) for caption in _result_captions(script)]
    return [Block(parts=tuple(told), gap=_GAP)]


def marks_blocks(script: Script, shown: MarksShown) -> list[Block]:
    """Return the marks as far as they are *shown*; nothing where none are set."""
    if not script.criteria:
        return []
    heading = Heading(wording("sheet")["headings"]["marks"])
    parts: dict[MarksShown, tuple[Flowable, ...]] = {
        MarksShown.SHOWN: (GivenMarks(script), MarksTotal(script), OpenMarks(script)),
        MarksShown.SMALL: (MarksTotal(script),),
        MarksShown.HIDDEN: (text(NOTE, wording("sheet")["marks"]["hidden"]),),
    }
    return [Block(parts=(heading, *parts[shown]), gap=_GAP)]


def caution_blocks(script: Script, rubric: Rubric, points: Sequence[Point]) -> list[Block]:
    """Return the cautions of the practical, where it, or a part of it, would be done again."""
    if not rubric.cautions or not _would_repeat(script, points):
        return []
    words = wording("sheet")
    parts = [Hung("–", text(NOTE, caution), left=10, small=True) for caution in cautions_told(rubric)]
    name = "cautions" if script.write_up.is_handed_in else "cautions_first"
    return [Block(parts=(Heading(words["headings"][name]), *parts), gap=_GAP)]


def _would_repeat(script: Script, points: Sequence[Point]) -> bool:
    """Tell whether the practical, or a part of it, would be done again."""
    reasons = wording("reasons")
    waiting = (finding for finding in script.findings if finding.outcome is Outcome.FOR_TEACHER)
    return (
        not script.write_up.is_handed_in
        or any(point.repeats for point in points)
        or any(reasons[finding.reason].get("repeat") for finding in waiting)
    )
