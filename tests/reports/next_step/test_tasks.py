"""The one thing to do next: the same paper for the same student, with right answers."""

from __future__ import annotations

import re
from decimal import Decimal

import pytest
from msgspec.structs import replace

from marking.findings import Cause, Outcome
from reports.next_step.next_one import next_one
from reports.next_step.tasks import ARITHMETIC, Task, question_of_set, starter
from reports.next_step.what_now import task_for, what_now
from reports.wording import points_to_mend
from reports.wording.templates import wording
from rubrics.formulas import printed
from rubrics.load import load_catalogue
from tests.checking.rows import mark_class
from tests.reports.invented import (
    a_student,
    an_explained_script,
    an_explanation,
    nothing_in,
    wire_script,
)
from tests.reports.invented_practicals import RUBRICS, WIRE

SETS = sorted(wording("tasks"))


def task_of(cause: Cause, code: str = "S001", **facts: str) -> Task:
    """Return the task of a student whose resistance is wrong for *cause*."""
    script = an_explained_script(a_student(code), an_explanation(cause, 0.9, **facts))
    task = task_for(script, RUBRICS[WIRE])
    assert task is not None
    return task


@pytest.mark.parametrize("cause", [cause for cause in Cause if cause is not Cause.NONE])
def test_every_cause_leads_to_the_own_step_and_one_more(cause: Cause) -> None:
    """Whatever went wrong, there are two short things to do: the student's own step, then one of its kind."""
    task = task_of(cause)
    assert task.about == cause.value
    assert len(task.questions) == 2
    assert "Resistance" in task.questions[0].text
    assert all(question.answer for question in task.questions)
    assert not any("{" in question.text + question.answer for question in task.questions)


@pytest.mark.parametrize("name", SETS)
def test_every_set_serves_as_a_starter(name: str) -> None:
    """A class gets two to four questions of a set, with answers."""
    task = starter(name, WIRE)
    assert 1 <= len(task.questions) <= 4
    assert all(question.answer for question in task.questions)


def test_the_same_student_gets_the_same_paper() -> None:
    """A sheet printed again holds the same numbers."""
    assert task_of(Cause.REARRANGEMENT) == task_of(Cause.REARRANGEMENT)


def test_neighbours_get_different_numbers() -> None:
    """Over a class, more than one paper is in use."""
    papers = {task_of(Cause.REARRANGEMENT, f"S{number:03d}").questions for number in range(12)}
    assert len(papers) > 2


def test_a_missed_change_of_unit_is_practised_in_that_very_unit() -> None:
    """Grams for kilograms is followed by grams and kilograms, even where the own numbers do not serve."""
    for number in range(20):
        assert re.search(r"\bkg\b", question_of_set("unit-conversion", f"S{number}", "g>kg").text)


def test_a_change_of_unit_without_questions_of_its_own_gets_a_general_one() -> None:
    """An uncommon unit still gets a conversion."""
    assert question_of_set("unit-conversion", "S1", "furlong>m").answer


def test_both_sums_of_a_comparison_use_the_same_numbers() -> None:
    """The sum with brackets and the sum without must be about the same numbers."""
    first, second, _ = starter("operation-order", WIRE).questions
    assert re.findall(r"\d+", first.text) == re.findall(r"\d+", second.text)


@pytest.mark.parametrize("name", SETS)
def test_answers_are_right_by_plain_arithmetic(name: str) -> None:
    """The answer to every line of numbers, worked out a second time with floats, is the one on the list."""
    plain = {
        "same": lambda a: a, "half": lambda a: a / 2, "tenth": lambda a: a / 10, "hundredth": lambda a: a / 100,
        "thousandth": lambda a: a / 1000, "tenfold": lambda a: a * 10, "hundredfold": lambda a: a * 100,
        "thousandfold": lambda a: a * 1000, "sixtyfold": lambda a: a * 60, "minutes": lambda a, b: 60 * a + b,
        "cube": lambda a: a**3, "sum": lambda a, b: a + b, "minus": lambda a, b: a - b,
        "later-minus-earlier": lambda a, b: b - a, "times": lambda a, b: a * b, "over": lambda a, b: a / b,
        "product": lambda a, b, c: a * b * c, "product-thousandth": lambda a, b, c: a * b * c / 1000,
        "over-product": lambda a, b, c: a / (b * c), "over-times": lambda a, b, c: a / b * c,
        "rough-over-times": lambda a, b, c: float(f"{a / b:.0e}") * c,
        "parallel": lambda a, b: 1 / (1 / a + 1 / b), "gradient-from-axis": lambda a, b, c: (c - a) / b,
        "mean": lambda *n: sum(n) / len(n), "mean-of-two": lambda a, b, _: (a + b) / 2, "two-places": lambda a: a,
    }  # fmt: skip
    assert set(plain) == set(ARITHMETIC)
    for question in wording("tasks")[name]["questions"]:
        if question.get("work", "six-steps") == "six-steps":
            continue
        for line in question["numbers"]:
            worked = ARITHMETIC[question["work"]]([Decimal(number) for number in line])
            assert float(worked) == pytest.approx(plain[question["work"]](*map(float, line)))


@pytest.mark.parametrize("name", [name for name in SETS if name != "rounded-early"])
def test_answers_come_out_in_few_figures(name: str) -> None:
    """No answer needs more than five figures, so it can be found by hand; rounding early needs a calculator."""
    for question in wording("tasks")[name]["questions"]:
        if "work" in question and question["work"] != "six-steps" and "figures" not in question:
            for line in question["numbers"]:
                worked = ARITHMETIC[question["work"]]([Decimal(number) for number in line])
                assert len(re.sub(r"\D", "", printed(worked.normalize())).strip("0")) <= 5, question["ask"]


def test_nothing_handed_in_means_no_task() -> None:
    """The sheet itself says what to do."""
    assert task_for(nothing_in(a_student("S001")), RUBRICS[WIRE]) is None


@pytest.mark.parametrize("pending", [True, False])
def test_a_student_with_nothing_to_mend_goes_on_from_the_practical(pending: bool) -> None:
    """Nobody is asked to choose a step or what they changed: one question about this very practical."""
    script = wire_script(a_student("S001"))
    if not pending:
        decided = [replace(m, marks=m.criterion.marks, outcome=Outcome.AWARDED) for m in script.criteria]
        script = replace(script, criteria=tuple(decided))
    task = task_for(script, RUBRICS[WIRE])
    assert task is not None
    assert task.about == "further"
    assert [question.text for question in task.questions] == [wording("extensions")[WIRE]["ask"]]


@pytest.mark.parametrize("practical", sorted(load_catalogue()))
def test_every_practical_has_a_question_that_goes_on_from_it(practical: str) -> None:
    """With its answer for the teacher, and not the general one."""
    assert wording("extensions")[practical]["answer"]


@pytest.mark.parametrize("name", [reason.get("task") for reason in wording("reasons").values() if reason.get("task")])
def test_every_task_that_a_reason_names_exists(name: str) -> None:
    """A reason without a cause names a set of questions that is there."""
    assert name in SETS


def test_who_chose_nothing_is_told_the_words_and_asked_about_another_graph() -> None:
    """A choice has no sum to set out: what it is chosen from stands there, and other points to name the shape of."""
    entries = "\n".join(
        [*(f"V,{row},{volts},V\nI,{row},{volts / 10:.2f},A" for row, volts in enumerate((-4, -3, -2, 1, 2, 3), 1))]
    )
    marked = mark_class("iv-characteristic", {"S001": f"component,,fixed resistor,\n{entries}\nR,1,10.0,Ω\n"})
    script, rubric = marked.scripts[0], marked.rubric
    choices = [point for point in points_to_mend(script, rubric) if rubric.items[point.findings[0].item].choices]
    assert choices
    for point in choices:
        words = [choice.word for choice in rubric.items[point.findings[0].item].choices]
        now = what_now(script, rubric, [point])
        assert all(f"“{word}”" in now.said[0] for word in words)
        assert now.line is None
        assert next_one(script, rubric, point, "any").is_own
        assert now.more.answer in words


@pytest.mark.parametrize(
    ("last", "said"),
    [
        ("24", "On your points N is 25 between throw = 7 and throw = 8."),
        ("25", "On your points N is 25 at throw = 7 or at throw = 8. Look which."),
    ],
)
def test_a_place_on_a_curve_is_told_as_the_points_have_it(last: str, said: str) -> None:
    """Where a point has the value itself, nothing is said of a place between two."""
    left = ["100", "80", "64", "50", "41", "33", "29", "26", last]
    pairs = zip(["100", *left[:-1]], left, strict=True)
    lines = [
        f"{item},{row},{entry},"
        for row, (before, after) in enumerate(pairs, 1)
        for item, entry in (
            ("throw", row - 1),
            ("before", before),
            ("removed", int(before) - int(after)),
            ("left", after),
        )
    ]
    marked = mark_class("half-life-model", {"S001": "\n".join([*lines, "n_second,,81.3,"])})
    (script,) = marked.scripts
    assert said in what_now(script, marked.rubric, points_to_mend(script, marked.rubric)).values
