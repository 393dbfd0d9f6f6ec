"""Papers beside the sheets: task answers, the projector page, the technician's note, and one mark explained."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from msgspec.structs import replace

from marking.class_notes import ClassNote, NoteKind
from marking.cohort.picture import picture
from marking.findings import Cause, Explanation, LearnedShare
from reports.next_step.what_now import task_for
from reports.student.one_mark import explanation_lines, write_explanation
from reports.teacher.bench_words import bench_line
from reports.teacher.class_lesson import cause_words, learned_sentence
from reports.teacher.class_summary import write_class_summary
from reports.teacher.projector import write_projector_pages
from reports.teacher.staff_papers import rough_size, write_task_answers, write_technician_note
from reports.wording.templates import wording
from rubrics.load import load_catalogue
from rubrics.model.practical import CheckKind
from tests.reports.invented import a_finding, a_student, an_explanation, heat_set, wire_script, wire_set
from tests.reports.invented_practicals import RUBRICS, WIRE
from tests.reports.sheets import page_count, runs_of, text_of

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
        assert all(" ".join(question.answer.split()) in text for question in task.questions)


def test_the_projector_page_names_nobody(tmp_path: Path) -> None:
    """One page a practical, with the starter and the results, and neither a code nor a name on it."""
    write_projector_pages(tmp_path / "projector.pdf", [wire_set(), heat_set()])
    text = text_of(tmp_path / "projector.pdf")
    assert page_count(tmp_path / "projector.pdf") >= 2
    assert "Start here" in text
    assert not re.search(r"\bS\d{3}\b|Invented Student", text)


def test_the_technicians_note_names_benches_and_no_student(tmp_path: Path) -> None:
    """Which bench, which instrument, which way and how far; nothing about who sat there."""
    write_technician_note(tmp_path / "note.pdf", [BENCH], RUBRICS)
    text = text_of(tmp_path / "note.pdf")
    assert "Bench 4: current high, about 8 %" in text
    assert "S004" not in text


def test_the_summary_lists_benches_and_a_starter(tmp_path: Path) -> None:
    """A bench stands in the summary in the words of the technician's note, beside a starter, on two pages."""
    write_class_summary(tmp_path / "summary.pdf", [wire_set()], [BENCH])
    text = text_of(tmp_path / "summary.pdf")
    assert "Bench 4: current high, about 8 %" in text
    assert "Ten-minute starter" in text
    assert page_count(tmp_path / "summary.pdf") <= 2


@pytest.mark.parametrize(
    ("factors", "says"),
    [
        pytest.param((0.93, 1.0714), "Bench 3: voltmeter low or ammeter high, about 7 %", id="equally far"),
        pytest.param((0.93, 1.03), "Bench 3: voltmeter low, about 7 % or ammeter high, about 3 %", id="not equally"),
    ],
)
def test_one_of_two_instruments_is_off_and_not_both(factors: tuple[float, ...], says: str) -> None:
    """Either reads its own way; both papers use these words."""
    note = replace(BENCH, bench="3", items=("voltmeter", "ammeter"), direction="low", factor=0.93, factors=factors)
    assert bench_line(note, RUBRICS[WIRE]) == says


@pytest.mark.parametrize(
    ("answer", "rough"),
    [
        pytest.param("V = 59.7 cm³", "60 cm³", id="plain"),
        pytest.param("n = 0.00152 mol", "0.002 mol", id="small"),
        pytest.param("E = −56.1 kJ", "−60 kJ", id="below nought"),
        pytest.param("names a reading", "", id="no number"),
    ],
)
def test_a_guess_has_its_answer_too(answer: str, rough: str) -> None:
    """Where a task asks for the size first, the teacher's paper says what a good guess is."""
    assert rough_size(answer) == rough


def test_the_projector_shows_every_word_of_a_long_title(tmp_path: Path) -> None:
    """A title takes as many lines as it needs, in type that the back row reads."""
    title = "How the resistance of a very long and very thin constantan wire depends on its length and its thickness"
    marked = wire_set()
    write_projector_pages(tmp_path / "projector.pdf", [replace(marked, rubric=replace(marked.rubric, title=title))])
    assert title in text_of(tmp_path / "projector.pdf")
    words = [run for run in runs_of(tmp_path / "projector.pdf") if re.search("[a-z]{3}", run.string)]
    assert min(run.size for run in words) >= 20
    assert all(run.right <= 842 for run in words)


@pytest.mark.parametrize(
    ("reason", "name"),
    [
        pytest.param("figures-too-many", "number of significant figures", id="figures"),
        pytest.param("places-mixed", "decimal places dropped", id="places"),
    ],
)
def test_dropped_decimal_places_are_called_that(reason: str, name: str) -> None:
    """A zero left off a reading is not a matter of significant figures, and no part of the same group."""
    found = (an_explanation(Cause.SIGNIFICANT_FIGURES, 1.0),)
    findings = tuple(a_finding(kind, explanations=found) for kind in ("figures-too-many", "places-mixed"))
    script = replace(wire_script(a_student("S001")), findings=findings)
    shared = picture(replace(wire_set(1), scripts=(script,))).causes
    assert name in [cause_words(one).name for one in shared if one.shown.reason == reason]


@pytest.mark.parametrize(
    ("explanation", "name", "reteach"),
    [
        pytest.param(
            an_explanation(Cause.REARRANGEMENT, 0.9, "V * I", used="V × I", right="V ÷ I"),
            "V × I instead of V ÷ I", "The two balancing steps", id="turned round",
        ),
        pytest.param(
            an_explanation(Cause.REARRANGEMENT, 0.9, "V + I", used="V + I", right="V × I", rule="added"),
            "V + I instead of V × I", "Work out V + I and V × I with easy numbers", id="added",
        ),
        pytest.param(
            an_explanation(Cause.UNIT_CONVERSION, 0.9, given_unit="g", needed_unit="kg"),
            "Units not converted: g to kg", "Four conversions", id="a change of unit",
        ),
        pytest.param(
            an_explanation(Cause.UNIT_CONVERSION, 0.9, given_unit="g", needed_unit="%", size="100 times too small"),
            "Units not converted: 100 times too small", "Four conversions", id="no change of unit that can be made",
        ),
        pytest.param(
            an_explanation(Cause.COPYING, 0.9, used="24.4"), "figure changed in copying", "Read-back", id="pen"
        ),
    ],
)  # fmt: skip
def test_a_slip_is_named_by_what_was_done(explanation: Explanation, name: str, reteach: str) -> None:
    """The heading of a group says the step, not only its kind; and what to teach fits the step."""
    found = a_finding("wrong-value", explanations=(explanation,))
    script = replace(wire_script(a_student("S001")), findings=(found,))
    (shared,) = picture(replace(wire_set(1), scripts=(script,))).causes
    told = cause_words(shared)
    assert told.name == name
    assert told.reteach.startswith(reteach)


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


def test_an_instrument_goes_without_what_a_results_sheet_adds() -> None:
    """'Concentration of the acid, as given' is off as the concentration of the acid."""
    rubric = load_catalogue()["titration"]
    items = ("burette", "c_a")
    note = ClassNote(
        kind=NoteKind.BENCH, practical=rubric.id, bench="6", students=(), items=items, direction="low",
        factor=0.88, factors=(0.88, 0.88), chance=0.001, message="",
    )  # fmt: skip
    assert bench_line(note, rubric) == "Bench 6: burette low or concentration of the acid low, about 12 %"
