"""What stands on the other papers of the samples, read back from the PDFs: projector, summary, large print."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from msgspec.structs import replace
from pypdf import PdfReader

from marking.cohort.picture import picture
from marking.findings import Finding, MarkedSet, Outcome, Script
from reports.next_step import Question, what_now
from reports.student import write_explanation, write_feedback
from reports.teacher import write_class_summary
from reports.teacher.class_lesson import class_starter
from reports.teacher.class_results import result_item, with_results
from reports.teacher.projector import write_projector_pages
from reports.wording import points_to_mend, told_cause, wording
from rubrics.formulas import printed
from tests.reports.read_back import NUMBER, changes_of_unit, in_si, printed_to, valued, worked
from tests.samples.all_scripts import sets
from tests.samples.marked import FOLDERS
from tests.samples.test_sheets_of_samples import IN_WORDS, READERS, Sheet

EACH = 3
"""Students of a set whose large print is read back, each with another slip."""


SUM = re.compile(rf"(?<![\w.])(\(?{NUMBER}(?: [×÷+−] \(?{NUMBER}\)*)+) = ({NUMBER})(?![\w.])")
"""A sum in plain numbers with its answer."""


class About(Sheet, frozen=True, kw_only=True):
    """A student and one of the things to mend, which need not come first."""

    about: Finding

    @property
    def finding(self) -> Finding:
        """Return what it is about."""
        return self.about


def squeezed(text: str) -> str:
    """Return *text* without spaces of any kind: a line may break anywhere."""
    return re.sub(r"[\s\u00a0\u202f]", "", text)


def pages_of(path: Path) -> list[str]:
    """Return the text of each page, with single spaces and thousands together."""
    texts = [re.sub(r"(?<=\d)[ \u00a0](?=\d{3}\b)", "", page.extract_text()) for page in PdfReader(path).pages]
    return [" ".join(text.replace("\u00a0", " ").split()) for text in texts]


def is_true(text: str) -> None:
    """Each 'a unit = b unit' of a printed text holds by pint."""
    for before, after in changes_of_unit(text):
        assert in_si(before) == pytest.approx(in_si(after), rel=6e-4), (before, after)


def asked_of(marked: MarkedSet, question: Question) -> tuple[Sheet, Question]:
    """Return the student whose task a question of the starter is, with the task as it stands on the sheet."""
    start = wording("summary")["starter"]["sheet_start"]
    for script in marked.scripts:
        if not script.write_up.is_handed_in:
            continue
        for point in points_to_mend(script, marked.rubric):
            more = what_now(script, marked.rubric, (point,)).more
            if more.text in (question.text, f"{start}{question.text}") and more.answer == question.answer:
                return About(script=script, rubric=marked.rubric, about=point.findings[0]), more
    raise AssertionError(question)


@pytest.mark.parametrize("folder", FOLDERS)
def test_the_starter_is_right_on_the_wall_and_on_the_summary(folder: str, tmp_path: Path) -> None:
    """Questions stand whole on both, the answers on the summary alone; each is worked out again from its print."""
    (marked,) = sets(folder)
    write_projector_pages(tmp_path / "wall.pdf", [marked])
    write_class_summary(tmp_path / "summary.pdf", [marked])
    wall, summary = (" ".join(pages_of(tmp_path / name)) for name in ("wall.pdf", "summary.pdf"))
    _, task = class_starter(marked, picture(marked))
    for question in task.questions:
        assert squeezed(question.text) in squeezed(wall), question
    shown = [one for one in task.questions if squeezed(one.text) in squeezed(summary)]
    assert shown or not task.questions
    for question in shown:
        assert squeezed(f"Answer: {question.answer.rstrip('.')}") in squeezed(summary), question
    is_own = task.intro == wording("summary")["starter"]["own"]
    for question in shown if is_own else ():
        sheet, more = asked_of(marked, question)
        reader = next((read for start, read in READERS.items() if more.text.startswith(start)), None)
        if reader is not None and not any(words in more.text for words in IN_WORDS):
            reader(sheet, more)
    is_true(wall)
    is_true(summary)


@pytest.mark.parametrize("folder", FOLDERS)
def test_the_spread_of_results_is_the_classs_own(folder: str, tmp_path: Path) -> None:
    """From the lowest to the highest of what the findings expect; nobody is off the scale without being named."""
    (marked,) = sets(folder)
    seen = with_results(marked, picture(marked))
    write_class_summary(tmp_path / "summary.pdf", [marked])
    front = squeezed(pages_of(tmp_path / "summary.pdf")[0])
    if len(seen.results) < 2:
        assert "Pointsof" in front or not any(script.plot for script in marked.scripts)
        return
    values = [result.value for result in seen.results]
    low, high = printed(min(values), 3), printed(max(values), 3)
    assert squeezed(f"{len(values)} results, as the readings give them, from {low} to {high}") in front
    item = result_item(marked.rubric, marked)
    assert item is not None
    found = {one.student for script in marked.scripts for one in script.findings if one.item == item.name}
    assert {result.student for result in seen.results} <= found | {one.write_up.student.code for one in marked.scripts}
    assert not ("agree with the accepted" in front and "lie above the accepted range" in front)


def large(marked: MarkedSet) -> Iterator[Script]:
    """Yield a few students with something to mend, each with another slip, as readers of large print."""
    seen: set[str] = set()
    for script in marked.scripts:
        points = points_to_mend(script, marked.rubric) if script.write_up.is_handed_in else ()
        kind = f"{points[0].findings[0].reason} {told_cause(points[0].findings[0])}" if points else ""
        if points and kind not in seen and len(seen) < EACH:
            seen.add(kind)
            student = replace(script.write_up.student, paper="large print")
            yield replace(script, write_up=replace(script.write_up, student=student))


@pytest.mark.parametrize("folder", FOLDERS)
def test_large_print_says_the_same(folder: str, tmp_path: Path) -> None:
    """The step and the task that were worked out stand there whole, the step on the first page."""
    (marked,) = sets(folder)
    for script in large(marked):
        path = tmp_path / f"{script.write_up.student.code}.pdf"
        write_feedback(path, [script], {marked.rubric.id: marked.rubric})
        pages = pages_of(path)
        now = what_now(script, marked.rubric, points_to_mend(script, marked.rubric))
        first, whole = squeezed(pages[0]), squeezed(" ".join(pages))
        for line in (now.title, *now.said, *now.values, now.line.before if now.line else ""):
            assert squeezed(line) in first, (path.name, line)
        assert squeezed(now.more.text) in whole, path.name
        assert not re.search(r"[×÷+−±]$", "\n".join(pages), re.MULTILINE)
        is_true(" ".join(pages))


@pytest.mark.parametrize("folder", FOLDERS[::3])
def test_explanations_hold(folder: str, tmp_path: Path) -> None:
    """A sum with its answer, 'a ÷ b = c', comes to that answer, whatever the units."""
    (marked,) = sets(folder)
    for script in [one for one in marked.scripts if one.write_up.is_handed_in][:EACH]:
        for mark in script.criteria:
            told = [one for one in script.findings if one.criterion == mark.criterion.code]
            if not any(one.outcome is Outcome.WITHHELD and one.expected is not None for one in told):
                continue
            path = tmp_path / "one.pdf"
            write_explanation(path, script, marked.rubric, mark.criterion.code)
            said = " ".join(pages_of(path))
            is_true(said)
            for found in SUM.finditer(said):
                number, _unit = valued(found[2])
                assert worked(found[1]) == pytest.approx(number, rel=max(0.03, printed_to(number))), found[0]
