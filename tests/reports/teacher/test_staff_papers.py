"""Papers beside the sheets: task answers, the projector page, the technician's note, and one mark explained."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from marking.class_notes import ClassNote, NoteKind
from marking.findings import Cause, LearnedShare
from reports.next_step.what_now import task_for
from reports.student.one_mark import explanation_lines, write_explanation
from reports.teacher.class_lesson import cause_words, learned_sentence
from reports.teacher.class_summary import write_class_summary
from reports.teacher.staff_papers import write_projector_pages, write_task_answers, write_technician_note
from reports.wording.sentences import wording
from rubrics.model.practical import CheckKind
from tests.reports.invented import a_finding, a_student, an_explanation, heat_set, wire_script, wire_set
from tests.reports.invented_practicals import RUBRICS, WIRE
from tests.reports.sheets import page_count, text_of

BENCH = ClassNote(
    kind=NoteKind.BENCH, practical=WIRE, message="Bench 4 reads high in current.", bench="4", items=("I",),
    students=("S004", "S005"), direction="high", factor=1.0832,
)  # fmt: skip


def test_every_task_has_its_answers_on_the_teachers_paper(tmp_path: Path) -> None:
    """What the students are asked stands there with its answer, student by student."""
    marked = wire_set(4)
    write_task_answers(tmp_path / "answers.pdf", [marked])
    text = text_of(tmp_path / "answers.pdf")
    for script in marked.scripts:
        task = task_for(script, marked.rubric)
        assert task is not None
        assert script.write_up.student.code in text
        assert all(question.answer in text for question in task.questions)


def test_the_projector_page_names_nobody(tmp_path: Path) -> None:
    """One page a practical, with the starter and the results, and neither a code nor a name on it."""
    write_projector_pages(tmp_path / "projector.pdf", [wire_set(), heat_set()])
    text = text_of(tmp_path / "projector.pdf")
    assert page_count(tmp_path / "projector.pdf") == 2
    assert "Start here" in text
    assert not re.search(r"\bS\d{3}\b|Invented Student", text)


def test_the_technicians_note_names_benches_and_no_student(tmp_path: Path) -> None:
    """Which bench, which instrument, which way and how far; nothing about who sat there."""
    write_technician_note(tmp_path / "note.pdf", [BENCH], RUBRICS)
    text = text_of(tmp_path / "note.pdf")
    assert "Bench 4: current" in text
    assert "reads high, by a factor of about 1.08" in text
    assert "S004" not in text


def test_the_summary_lists_benches_and_a_starter(tmp_path: Path) -> None:
    """A bench that reads off and the starter of the commonest slip stand in the summary, still on two pages."""
    write_class_summary(tmp_path / "summary.pdf", [wire_set()], [BENCH])
    text = text_of(tmp_path / "summary.pdf")
    assert "Bench 4 reads high in current." in text
    assert "From the commonest slip: number of significant figures." in text
    assert page_count(tmp_path / "summary.pdf") <= 2


@pytest.mark.parametrize(
    ("reasons", "name"),
    [
        pytest.param(("figures-too-many",), "number of significant figures", id="figures"),
        pytest.param(("places-mixed",), "decimal places dropped", id="places"),
        pytest.param(("figures-too-many", "places-mixed"), "figures or decimal places dropped", id="both"),
    ],
)
def test_dropped_decimal_places_are_called_that(reasons: tuple[str, ...], name: str) -> None:
    """A zero left off a reading is not a matter of significant figures."""
    marked = wire_set(1)
    found = (an_explanation(Cause.SIGNIFICANT_FIGURES, 1.0),)
    findings = tuple(a_finding(reason, explanations=found) for reason in reasons)
    script = replace(wire_script(a_student("S001")), findings=findings)
    assert cause_words(replace(marked, scripts=(script,)))[Cause.SIGNIFICANT_FIGURES].name == name


def test_what_was_learned_is_told_in_one_sentence() -> None:
    """The teacher reads that the class's own answers moved the suggestions, and which of them most."""
    learned = (
        LearnedShare(kind="ratio", cause=Cause.UNIT_CONVERSION, before=0.2, after=0.35),
        LearnedShare(kind="ratio", cause=Cause.SIGN, before=0.05, after=0.04),
    )
    assert learned_sentence(()) == ""
    assert learned_sentence(learned) == (
        "This class’s own answers show 2 slips more or less often than is usual. "
        "The suggestions allow for them: most of all units not converted, from 20 to 35 %."
    )


def test_every_kind_of_check_has_its_rule_in_words() -> None:
    """A new kind of check cannot be forgotten."""
    assert set(wording("explain")["rules"]) == {kind.value for kind in CheckKind}


def test_one_mark_is_explained_from_cell_to_rule(tmp_path: Path) -> None:
    """Cell, what was written, formula, value, rule and who decided stand on one page, wrong lines first."""
    script = wire_script(a_student("S001", "Ada Example"), wrong=True)
    code = next(finding.criterion for finding in script.findings if finding.reason == "wrong-value")
    write_explanation(tmp_path / "mark.pdf", script, RUBRICS[WIRE], code)
    assert page_count(tmp_path / "mark.pdf") == 1
    text = text_of(tmp_path / "mark.pdf")
    for said in ("7B.xlsx, Results!E4", "R = V ÷ I", "0.24 ÷ 0.40 = 0.6 Ω", "Who decided", "The program, by the rule"):
        assert said in text


def test_a_mark_that_waits_is_the_teachers() -> None:
    """Where the teacher decides, the page says so and claims no mark."""
    script = wire_script(a_student("S001"))
    code = next(mark.criterion.code for mark in script.criteria if mark.marks is None)
    lines = "\n".join(explanation_lines(script, RUBRICS[WIRE], code))
    assert "Not set yet" in lines
    assert "The program sets no mark here" in lines
