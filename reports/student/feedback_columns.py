"""What stands below the framed part of a feedback sheet: words in the wide column, data in the narrow one."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum

from msgspec import Struct, field

from marking.compared import Shift, shifts
from marking.findings import Finding, Outcome, Plot, Script
from marking.reasons import Reason
from reports.charts import ResultScale, Scatter, is_straight
from reports.next_step import Tasks
from reports.page import (
    BODY,
    FINE,
    FINE_SOFT,
    USUAL,
    Block,
    Flowable,
    Heading,
    Hung,
    Look,
    OpenLines,
    Space,
    text,
)
from reports.student.marks_table import marks_line
from reports.wording import (
    Point,
    cautions_told,
    fill,
    message,
    result_sentences,
    rows_named,
    what_stands,
    wording,
)
from rubrics.formulas import listed, printed
from rubrics.model import Rubric

MOST_ALSO = 2
"""Points that follow the first; more are not acted on."""
MOST_STANDING = 3
MOST_CHANGED = 5
"""Changes since the first version that are named; the table of marks holds them all."""
MOST_WAITING = 2
MOST_SINCE = 2
"""Slips of a kind that are named: mended, and come back."""
_GAP = 11.0
"""Air above a section."""
_POINT_GAP = 8.0
_UNTOLD = (
    Reason.TEACHER_LOOKS,
    Reason.METHOD_UNCLEAR,
    Reason.NOT_HANDED_IN,
    Reason.PROPOSED_AWARDED,
    Reason.PROPOSED_WITHHELD,
    Reason.UNSURE,
)
"""Reasons that the table of marks tells well enough."""


class MarksShown(StrEnum):
    """How much of the marks a sheet shows."""

    SHOWN = "shown"
    """One line on the front, the table of criteria on the back."""
    SMALL = "small"
    """The line only."""
    HIDDEN = "hidden"
    """Nothing until the student has replied."""


class Setting(Struct, frozen=True, kw_only=True):
    """How one student's sheet is set."""

    look: Look = USUAL
    marks: MarksShown = MarksShown.SMALL
    tasks: Tasks = field(default_factory=dict)
    """Where what the sheet asks for is kept."""


# ---- the wide column -----------------------------------------------------------------------------------------


def also_blocks(points: Sequence[Point]) -> list[Block]:
    """Return the points after the first, each with one line and its check for next time."""
    words = wording("sheet")
    blocks = []
    for number, point in enumerate(points[1 : 1 + MOST_ALSO]):
        title = fill(["{Quantity}, {rows}", "{Quantity}"], {"quantity": point.quantity, "rows": point.rows})
        slots = {"title": title, "step": point.step, "tip": point.tip}
        said = fill([words["also"][kind] for kind in ("line", "told", "bare")], slots)
        parts: tuple[Flowable, ...] = (Hung(str(number + 2), text(BODY, said)),)
        if number == 0:
            parts = (Heading(words["headings"]["mend"]), *parts)
        blocks.append(Block(parts=parts, gap=_GAP if number == 0 else 4.0))
    return blocks


def stands_blocks(script: Script, rubric: Rubric, most: int = MOST_STANDING) -> list[Block]:
    """Return what stands, in a few short sentences."""
    stands = [Hung("✓", text(BODY, sentence)) for sentence in what_stands(script, rubric)[:most]]
    return [Block(parts=(Heading(wording("sheet")["headings"]["stands"]), *stands), gap=_GAP)] if stands else []


def changed_blocks(script: Script) -> list[Block]:
    """Return what is different from the version that was handed in before."""
    if script.earlier is None:
        return []
    words = wording("sheet")["changed"]
    lines = []
    # What is settled comes first.
    for shift in sorted(shifts(script), key=lambda shift: shift.after is None)[:MOST_CHANGED]:
        sentence = fill([words[_change(shift)]], {"point": shift.criterion.point})
        lines.append(Hung("✓" if _change(shift) in ("stands", "more") else "–", text(BODY, sentence)))
    heading = Heading(words["heading"])
    if not lines:
        return [Block(parts=(heading, text(FINE, words["nothing"])), gap=_GAP)]
    return [Block(parts=(heading, *lines), gap=_GAP)]


def since_blocks(script: Script) -> list[Block]:
    """Return what was mended since the last practical and what came back."""
    if script.since is None:
        return []
    words, skills = wording("over_time")["sheet"], wording("over_time")["skills"]
    lines = [
        Hung(sign, text(BODY, fill([words[kind]], {"skill": skills[cause.value]})))
        for kind, sign, causes in (
            ("mended", "✓", script.since.mended[:MOST_SINCE]),
            ("came_back", "–", script.since.came_back[:MOST_SINCE]),
        )
        for cause in causes
    ]
    heading = fill([words["heading"]], {"before": script.since.before})
    return [Block(parts=(Heading(heading), *lines), gap=_GAP)]


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


def comment_blocks(script: Script) -> list[Block]:
    """Return the teacher's own words, where there are any."""
    if not script.comment:
        return []
    words = text(BODY, script.comment)
    return [Block(parts=(Heading(wording("sheet")["headings"]["comment"]), words), gap=_GAP)]


def told_waiting(script: Script) -> list[tuple[str, tuple[Finding, ...]]]:
    """Return what the student is told of what waits for the teacher, with the findings each sentence is about.

    Rows of a column of which the very same is to be said stand in one sentence; of others the first is told.
    """
    if not script.write_up.is_handed_in:
        return []
    waiting: dict[tuple[str, str], list[Finding]] = {}
    for finding in script.findings:
        if finding.outcome is Outcome.FOR_TEACHER and finding.reason not in _UNTOLD:
            waiting.setdefault((finding.reason, finding.item), []).append(finding)
    return [_of_rows(findings) for findings in list(waiting.values())[:MOST_WAITING]]


def _of_rows(findings: Sequence[Finding]) -> tuple[str, tuple[Finding, ...]]:
    """Return the first sentence, for all rows of which nothing else is to be said."""
    name, colon, rest = message(findings[0]).partition(": ")
    own = f", {rows_named([findings[0].row])}" if findings[0].row is not None else ""
    if not (own and name.endswith(own)):
        return f"{name}{colon}{rest}", tuple(findings[:1])
    alike = [one for one in findings if one.row is not None and message(one).partition(": ")[2] == rest]
    rows = rows_named(sorted({one.row for one in alike if one.row is not None}))
    return f"{name.removesuffix(own)}, {rows}{colon}{rest}", tuple(alike)


def waiting_blocks(script: Script) -> list[Block]:
    """Return what the student should know of entries that wait for the teacher."""
    told = [Hung("–", text(FINE, said)) for said in _told_together([said for said, _ in told_waiting(script)])]
    if not told:
        return []
    return [Block(parts=(Heading(wording("sheet")["headings"]["teacher"]), *told), gap=_GAP)]


def _told_together(sentences: Sequence[str]) -> list[str]:
    """Return the sentences, once for all of which the very same is to be said: 'Mass and length: ...'."""
    alike: dict[str, list[str]] = {}
    for sentence in sentences:
        name, colon, rest = sentence.partition(": ")
        alike.setdefault(rest if colon else name, []).append(name if colon else "")
    return [
        f"{listed([names[0], *(_lowered(name) for name in names[1:])])}: {rest}" if names[0] else rest
        for rest, names in alike.items()
    ]


def _lowered(name: str) -> str:
    return f"{name[0].lower()}{name[1:]}" if name[1:2].islower() else name


def reply_blocks(lines: int) -> list[Block]:
    """Return room for what the student changed; *lines* may be none."""
    if not lines:
        return []
    words = wording("sheet")
    prompt = text(BODY, words["reply"]["prompt"])
    return [Block(parts=(Heading(words["headings"]["reply"]), prompt, OpenLines(lines)), gap=_GAP)]


# ---- the narrow column ---------------------------------------------------------------------------------------


def data_blocks(script: Script, look: Look, *, hides_result: bool = False) -> list[Block]:
    """Return the student's graph, or the result beside the accepted value, or nothing.

    Args:
        script: A student's.
        look: How the sheet is set.
        hides_result: The value that the readings lead to is still to be worked out.
    """
    headings = wording("sheet")["headings"]
    captions = FINE_SOFT
    if script.plot is not None:
        scatter = Scatter(script.plot, look.side_width, look.chart_height, hides_values=hides_result)
        if scatter.is_drawable:
            notes = [text(captions, caption) for caption in _plot_captions(script.plot)]
            return [Block(parts=(Heading(headings["data"]), scatter, Space(4), *notes), gap=_GAP)]
    if script.result is not None and not hides_result:
        scale = ResultScale(script.result, look.side_width)
        if scale.is_drawable:
            notes = [text(captions, caption) for caption in _result_captions(script)]
            return [Block(parts=(Heading(headings["result"]), scale, Space(4), *notes), gap=_GAP)]
    return []


def _plot_captions(plot: Plot) -> list[str]:
    words = wording("sheet")["data"]
    captions = []
    looks_straight = plot.line is not None or is_straight(plot)
    if plot.line is not None or plot.curve:
        captions.append(words["fitted_line" if looks_straight else "fitted_curve"])
    elif len(plot.x) > 2:
        captions.append(words["joined"])
    if plot.odd_rows:
        trend = words["line" if looks_straight else "curve"]
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


def sure_blocks(script: Script, *, with_cause: bool = True) -> list[Block]:
    """Return how sure the result is and whether it agrees with the accepted value, where that can be told.

    Args:
        script: A student's.
        with_cause: With the usual reason where the result is off.
    """
    if script.result is None:
        return []
    leaves_out = script.plot is not None and bool(script.plot.odd_rows)
    sentences = result_sentences(script.result, leaves_out=leaves_out, is_short=True, with_cause=with_cause)
    if not sentences:
        return []
    heading = Heading(wording("sheet")["headings"]["result"])
    has_scale = script.plot is None and ResultScale(script.result, USUAL.side_width).is_drawable
    return [Block(parts=(*(() if has_scale else (heading,)), text(FINE, " ".join(sentences))), gap=_POINT_GAP)]


def gives_answer_away(rubric: Rubric, points: Sequence[Point]) -> bool:
    """Tell whether the value that the readings lead to is what the student is still to work out."""
    result = rubric.result.answer if rubric.result is not None else ""
    reasons = wording("reasons")
    return any(
        finding.item == result or finding.reason is Reason.NO_ANSWER or reasons[finding.reason].get("names_cause")
        for point in points
        for finding in point.findings
    )


def marks_blocks(script: Script, shown: MarksShown) -> list[Block]:
    """Return what the marks came to in one line, as far as they are *shown*; nothing where none are set."""
    if not script.criteria:
        return []
    said = wording("sheet")["marks"]["hidden"] if shown is MarksShown.HIDDEN else marks_line(script)
    return [Block(parts=(Heading(wording("sheet")["headings"]["marks"]), text(BODY, said)), gap=_GAP)]


def caution_blocks(script: Script, rubric: Rubric, points: Sequence[Point]) -> list[Block]:
    """Return the cautions of the practical, where it, or a part of it, would be done again."""
    if not rubric.cautions or not _would_repeat(script, points):
        return []
    words = wording("sheet")
    parts = [Hung("–", text(FINE, caution), left=12) for caution in cautions_told(rubric)]
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
