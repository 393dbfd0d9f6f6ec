"""The feedback sheet: what a student reads, and that it is whole whoever the student is."""

from __future__ import annotations

import itertools
import os
import re
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

import pytest
from msgspec.structs import replace

from marking.findings import Cause, Moderated, Outcome, Script
from reports.next_step.what_now import task_for
from reports.page import house_style as style
from reports.page.name_faces import face_for
from reports.student import MarksShown
from reports.student.feedback import write_feedback, write_feedback_print
from tests.reports.invented import (
    GRAMS,
    KILOJOULES,
    LONGEST_NAME,
    ODD_NAMES,
    a_finding,
    a_student,
    an_explained_script,
    an_explanation,
    heat_script,
    nothing_in,
    wire_script,
    wire_set,
)
from tests.reports.invented_practicals import HEAT, RUBRICS, WIRE
from tests.reports.sheets import page_count, runs_of, text_of

ADA = a_student("S001", "Ada Example")


def a_sheet_full_of_faults() -> Script:
    """Return a write-up with everything to mend, long entries, and the most a point can hold."""
    long = an_explanation(
        Cause.WRONG_QUANTITY, 0.9, used_quantity="q" * 200, used_value="8" * 200, right_quantity="r" * 200,
        right_value="9" * 200,
    )  # fmt: skip
    script = wire_script(a_student("S" * 300, LONGEST_NAME * 3), wrong=True, odd=True)
    findings = [
        replace(finding, explanations=(long,), facts={**finding.facts, "wrote": "7 " * 400, "readings": "V = 1 " * 90})
        if finding.outcome is Outcome.WITHHELD
        else finding
        for finding in script.findings
    ]
    findings += [a_finding("unreadable", Outcome.FOR_TEACHER, item=item, entry="x" * 900) for item in ("L", "V", "I")]
    return replace(script, findings=tuple(findings))


SHEETS: Mapping[str, list[Script]] = {
    "everything right": [wire_script(ADA)],
    "everything wrong": [wire_script(ADA, wrong=True, odd=True)],
    "two causes": [heat_script(ADA, explanations=(GRAMS, KILOJOULES))],
    "a result": [heat_script(ADA)],
    "one point": [wire_script(ADA, few_figures=True)],
    "40 rows": [wire_script(ADA, rows=40, odd=True)],
    "one row": [wire_script(ADA, rows=1)],
    "nothing handed in": [nothing_in(ADA)],
    "away": [nothing_in(a_student("S001", "Ada Example", absent=True), HEAT)],
    "excused": [nothing_in(replace(ADA, codes=("EXC",)), HEAT)],
    "lost by the school": [nothing_in(replace(ADA, codes=("LATE", "LOST")), HEAT)],
    "two practicals": [wire_script(ADA), heat_script(ADA)],
    "as full as can be": [a_sheet_full_of_faults()],
    "no name": [wire_script(a_student("S001"))],
    **{f"name {code}": [wire_script(a_student(code, name), wrong=True)] for code, name in ODD_NAMES},
}


@pytest.mark.parametrize("scripts", SHEETS.values(), ids=SHEETS)
def test_nothing_is_cut_off_and_nothing_overlaps(tmp_path: Path, scripts: list[Script]) -> None:
    """Every run of print lies inside the margins, and no two runs lie on one another."""
    write_feedback(tmp_path / "sheet.pdf", scripts, RUBRICS)
    runs = runs_of(tmp_path / "sheet.pdf")
    assert runs
    for run in runs:
        assert run.left >= style.LEFT - 1, run
        assert run.right <= style.RIGHT + 1, run
        assert 28 <= run.base <= style.PAGE_HEIGHT - 40, run
    for one, other in itertools.combinations(runs, 2):
        apart = one.right - 0.5 <= other.left or other.right - 0.5 <= one.left
        above = abs(one.base - other.base) >= 0.7 * min(one.size, other.size)
        assert one.page != other.page or apart or above, (one, other)


@pytest.mark.parametrize("scripts", SHEETS.values(), ids=SHEETS)
def test_a_practical_takes_two_pages_at_most(tmp_path: Path, scripts: list[Script]) -> None:
    """One leaf of paper holds a student's practical, whatever went wrong in it."""
    write_feedback(tmp_path / "sheet.pdf", scripts, RUBRICS)
    assert page_count(tmp_path / "sheet.pdf") <= 2 * len(scripts)


@pytest.mark.parametrize(
    "name", ["everything right", "everything wrong", "two causes", "one point", "40 rows", "one row"]
)
def test_the_usual_sheet_is_one_page(tmp_path: Path, name: str) -> None:
    """A usual student gets one page."""
    write_feedback(tmp_path / "sheet.pdf", SHEETS[name], RUBRICS)
    assert page_count(tmp_path / "sheet.pdf") == 1


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("excused", "You are excused from this practical."),
        ("lost by the school", "lost at school. That is not your doing."),
        ("everything wrong", "Resistance, rows 1 to 5"),
        ("everything wrong", "R = V ÷ I V = 0.24 V I = 0.40 A R = 0.24 ÷ 0.40 ="),
        ("everything wrong", "You did I ÷ V. It is V ÷ I."),
        ("everything wrong", "Take at least 6 readings, evenly spaced."),
        ("everything wrong", "The ringed point lies away from the pattern. It was left out of the line."),
        ("everything wrong", "Follow your school’s own risk assessment and local rules."),
        ("everything right", "Resistance: 8 values follow from your readings."),
        ("everything right", "Nothing to mend so far."),
        ("everything right", "8 of the 8 decided. Your teacher looks at 3."),
        ("two causes", "Two things could do this: mass put in as g, or energy put in as kJ. Check both."),
        ("a result", "your readings 997 J/(kg °C)"),
        ("a result", "Accepted: aluminium, 900 J/(kg °C) (an invented data book)."),
        ("nothing handed in", "Nothing from you has reached your teacher for this practical yet."),
        ("nothing handed in", "Follow your school’s own risk assessment and local rules."),
        ("away", "You were away for this practical. No mark is set for it."),
    ],
)
def test_a_sheet_says(tmp_path: Path, name: str, says: str) -> None:
    """The words and figures that matter can be read off the page."""
    write_feedback(tmp_path / "sheet.pdf", SHEETS[name], RUBRICS)
    assert says in text_of(tmp_path / "sheet.pdf")


@pytest.mark.parametrize("name", ["everything right", "two causes", "nothing handed in"])
def test_cautions_are_printed_only_where_readings_are_taken_again(tmp_path: Path, name: str) -> None:
    """Mending a sum needs no caution; taking readings does."""
    write_feedback(tmp_path / "sheet.pdf", SHEETS[name], RUBRICS)
    assert ("risk assessment" in text_of(tmp_path / "sheet.pdf")) is (name == "nothing handed in")


@pytest.mark.parametrize("name", ["nothing handed in", "away"])
def test_a_student_without_entries_gets_no_mark_and_no_zero(tmp_path: Path, name: str) -> None:
    """Nothing handed in is not nought: the sheet shows no table of marks."""
    write_feedback(tmp_path / "sheet.pdf", SHEETS[name], RUBRICS)
    text = text_of(tmp_path / "sheet.pdf")
    assert "Your marks" not in text
    assert not re.search(r"\b0 of", text)


def test_answers_of_the_task_are_not_on_the_sheet(tmp_path: Path) -> None:
    """The teacher has the answers; the student has the room for them."""
    script = an_explained_script(ADA, an_explanation(Cause.MISSING_FACTOR, 0.9))
    write_feedback(tmp_path / "sheet.pdf", [script], RUBRICS)
    task = task_for(script, RUBRICS[WIRE])
    assert task is not None
    text = text_of(tmp_path / "sheet.pdf")
    assert task.questions[1].text in text
    assert not [question.answer for question in task.questions if question.answer in text]


def test_one_step_is_framed_and_at_most_two_points_follow(tmp_path: Path) -> None:
    """The earliest step of the working comes first, then readings, then figures; no more than three in all."""
    write_feedback(tmp_path / "sheet.pdf", SHEETS["everything wrong"], RUBRICS)
    text = text_of(tmp_path / "sheet.pdf")
    told = ("Do this now Resistance, rows 1 to 5", "2 Length: ", "3 Length, p.d.")
    heads = [text.index(head) for head in told]
    assert heads == sorted(heads)
    assert "4 Gradient" not in text


def test_nobody_is_asked_what_they_changed_who_had_nothing_to_change(tmp_path: Path) -> None:
    """A reply is asked for where there is something to mend."""
    for name, is_asked in (("everything right", False), ("everything wrong", True), ("one point", True)):
        write_feedback(tmp_path / "sheet.pdf", SHEETS[name], RUBRICS)
        assert ("What did you change?" in text_of(tmp_path / "sheet.pdf")) is is_asked


def test_a_value_that_is_still_to_be_worked_out_stands_nowhere(tmp_path: Path) -> None:
    """The result of a student whose result is wrong is neither drawn nor told, not even to a screen reader."""
    write_feedback(tmp_path / "sheet.pdf", SHEETS["two causes"], RUBRICS)
    assert "997" not in text_of(tmp_path / "sheet.pdf").replace("0.997", "")


@pytest.mark.parametrize("name", SHEETS)
def test_nothing_on_the_front_is_set_in_less_than_nine_points(tmp_path: Path, name: str) -> None:
    """Only the figures along an axis are smaller."""
    write_feedback(tmp_path / "sheet.pdf", SHEETS[name], RUBRICS)
    words = [run for run in runs_of(tmp_path / "sheet.pdf") if re.search(r"[^\W\d_]{2}", run.string)]
    if SHEETS[name][0].write_up.is_handed_in:
        assert min(run.size for run in words if run.page == 0 and run.string != "left out") >= 9


def test_a_sheet_knows_no_one_else(tmp_path: Path) -> None:
    """No code of another student, no rank, no comparison stands on any sheet of a class."""
    for script in wire_set().scripts:
        write_feedback(tmp_path / "sheet.pdf", [script], RUBRICS)
        text = text_of(tmp_path / "sheet.pdf")
        assert set(re.findall(r"\bS\d{3}\b", text)) == {script.write_up.student.code}
        assert not re.search(r"\b(class|rank|average|others|mean of the)\b", text, re.IGNORECASE)


def test_names_are_printed_as_far_as_letters_go(tmp_path: Path) -> None:
    """Latin, Greek and Cyrillic names print; signs of no face show their numbers, and no markup is obeyed."""
    shown = {}
    for code, name in ODD_NAMES:
        write_feedback(tmp_path / "sheet.pdf", [wire_script(a_student(code, name))], RUBRICS)
        shown[code] = text_of(tmp_path / "sheet.pdf")
    assert "Łukasz Wójcik-Źródłowski" in shown["S102"]
    assert "Ελένη Παπαδοπούλου" in shown["S103"]
    assert "Анастасия Ковальчук" in shown["S104"]
    assert ("[U+738B][U+5C0F][U+660E]" in shown["S106"]) is (face_for("王小明") is None)
    assert '=HYPERLINK("x") <b>Bo</b> & abc' in shown["S107"]


def test_a_class_in_one_file_holds_every_student_on_an_own_leaf(tmp_path: Path) -> None:
    """The print file has all sheets in order; for double-sided printing each student starts on a new leaf."""
    students = [[script] for script in wire_set(6).scripts]
    write_feedback_print(tmp_path / "single.pdf", students, RUBRICS)
    write_feedback_print(tmp_path / "double.pdf", students, RUBRICS, double_sided=True)
    codes = re.findall(r"\bS\d{3}\b", text_of(tmp_path / "single.pdf"))
    assert sorted(set(codes)) == [f"S{number:03d}" for number in range(1, 7)]
    assert page_count(tmp_path / "double.pdf") % 2 == 0
    firsts = {run.page for run in runs_of(tmp_path / "double.pdf") if run.size == style.TITLE_SIZE}
    assert all(page % 2 == 0 for page in firsts)


def test_a_class_in_one_file_shares_its_fonts(tmp_path: Path) -> None:
    """Thirty sheets in one file take far less room than thirty files."""
    students = [[script] for script in wire_set(30).scripts]
    write_feedback_print(tmp_path / "class.pdf", students, RUBRICS)
    write_feedback(tmp_path / "one.pdf", students[0], RUBRICS)
    assert (tmp_path / "class.pdf").stat().st_size < 10 * (tmp_path / "one.pdf").stat().st_size


def test_an_empty_class_still_makes_a_file(tmp_path: Path) -> None:
    """No student is no error."""
    write_feedback_print(tmp_path / "class.pdf", [], RUBRICS)
    assert page_count(tmp_path / "class.pdf") == 1


WRITE_ALL = """
import sys
from pathlib import Path
from tests.reports.invented import heat_set, wire_set
from tests.reports.invented_practicals import RUBRICS
from reports.teacher import write_class_summary
from reports.student import write_feedback
from reports.tables import write_marks_workbook
from reports.tables import write_findings_csv
out = Path(sys.argv[1])
sets = [wire_set(8), heat_set(8)]
for script in reversed(sets[0].scripts) if sys.argv[2] == "reversed" else sets[0].scripts:
    write_feedback(out / f"{script.write_up.student.code}.pdf", [script], RUBRICS)
write_class_summary(out / "class-summary.pdf", sets)
write_marks_workbook(out / "marks.xlsx", sets)
write_findings_csv(out / "findings.csv", sets)
"""


def test_the_same_marks_give_the_same_bytes(tmp_path: Path) -> None:
    """Locale, time zone, hash seed, clock and the order of writing leave no trace in any file."""
    settings = (
        {"TZ": "UTC", "LC_ALL": "C", "PYTHONHASHSEED": "1"},
        {"TZ": "Pacific/Auckland", "LC_ALL": "de_DE.UTF-8", "PYTHONHASHSEED": "77"},
    )
    for name, setting, order in zip(("a", "b"), settings, ("forwards", "reversed"), strict=True):
        (tmp_path / name).mkdir()
        root = str(Path(__file__).parents[3])
        environment = {**os.environ, **setting, "PYTHONPATH": root}
        command = [sys.executable, "-c", WRITE_ALL, str(tmp_path / name), order]
        subprocess.run(command, check=True, env=environment, cwd=tmp_path)
    files = sorted(path.name for path in (tmp_path / "a").iterdir())
    assert len(files) == 11
    for file in files:
        assert (tmp_path / "a" / file).read_bytes() == (tmp_path / "b" / file).read_bytes(), file


@pytest.mark.parametrize("name", ["excused", "lost by the school"])
def test_who_is_excused_or_lost_nothing_is_asked_for_nothing(tmp_path: Path, name: str) -> None:
    """Nobody is told that work is missing that need not be done, or that the school has lost."""
    write_feedback(tmp_path / "sheet.pdf", SHEETS[name], RUBRICS)
    told = text_of(tmp_path / "sheet.pdf")
    assert "missing" not in told
    assert "Nothing from you" not in told


def test_a_sheet_names_the_ruling_that_changed_the_total(tmp_path: Path) -> None:
    """Where marks are shown: total, what single marks add up to, who ruled, when, which ruling; never the reason."""
    script = wire_script(ADA)
    ruled = Moderated(
        total=script.awarded - 1,
        before=script.awarded,
        number=3,
        slope=1.0,
        constant=-1.0,
        who="Dr Hale",
        when="2026-03-02T09:00:00+00:00",
        why="a mark generous throughout",
    )
    for shown in (MarksShown.SMALL, MarksShown.SHOWN):
        write_feedback(tmp_path / "sheet.pdf", [replace(script, moderated=ruled)], RUBRICS, marks=shown)
        told = text_of(tmp_path / "sheet.pdf")
        assert f"{script.awarded - 1} of {script.out_of}." in told
        assert f"Your single marks add up to {script.awarded}." in told
        assert "Dr Hale changed the totals of your whole class on 2026-03-02 (ruling 3)." in told
        assert "generous" not in told
    same = replace(ruled, total=script.awarded)
    for shown, held in ((MarksShown.HIDDEN, ruled), (MarksShown.SHOWN, same)):
        write_feedback(tmp_path / "sheet.pdf", [replace(script, moderated=held)], RUBRICS, marks=shown)
        assert "Dr Hale" not in text_of(tmp_path / "sheet.pdf")
