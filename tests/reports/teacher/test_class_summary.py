"""The class summary: two pages at most, whole, and enough to plan the next lesson from."""

from __future__ import annotations

import itertools
import re
from collections.abc import Mapping
from pathlib import Path

import pytest
from msgspec.structs import replace

from marking.findings import Cause, MarkedSet, Outcome
from reports.page import house_style as style
from reports.teacher.class_summary import write_class_summary
from tests.reports.invented import (
    REMARKS,
    a_finding,
    a_student,
    an_explained_script,
    an_explanation,
    heat_set,
    nothing_in,
    wire_script,
    wire_set,
)
from tests.reports.invented_practicals import HEAT, RUBRICS, WIRE
from tests.reports.sheets import page_count, runs_of, text_of


def a_full_set() -> MarkedSet:
    """Return a set with every cause shared, very many remarks, and many kinds of things that wait."""
    causes = [cause for cause in Cause if cause not in (Cause.NONE, Cause.UNEXPLAINED)]
    scripts = []
    for number in range(120):
        script = an_explained_script(a_student(f"student-{number:04d}"), an_explanation(causes[number % 8], 0.9))
        waiting = [
            a_finding("unreadable", Outcome.FOR_TEACHER, item=item, criterion=code, student=f"student-{number:04d}")
            for item in ("L", "V", "I", "R", "gradient")
            for code in ("R1", "R2", "F1", "F3", "G5")
        ]
        scripts.append(replace(script, findings=(*script.findings, *waiting)))
    scripts += [nothing_in(a_student(f"missing-{number:04d}")) for number in range(40)]
    return MarkedSet(rubric=RUBRICS[WIRE], scripts=tuple(scripts), remarks=REMARKS * 60, sources=())


def far_off() -> MarkedSet:
    """Return a set with one result a thousand times too small, and one far too large."""
    marked = heat_set(12)
    scripts = list(marked.scripts)
    for place, value in ((3, 0.95), (7, 9.4e5)):
        result = scripts[place].result
        assert result is not None
        scripts[place] = replace(scripts[place], result=replace(result, value=value))
    return replace(marked, scripts=tuple(scripts))


def called(marked: MarkedSet, name: str) -> MarkedSet:
    """Return a set whose students have that name, with their code filled in; empty for a roster of codes alone."""
    scripts = []
    for one in marked.scripts:
        student = replace(one.write_up.student, name=name.format(one.write_up.student.code))
        scripts.append(replace(one, write_up=replace(one.write_up, student=student)))
    return replace(marked, scripts=tuple(scripts))


def without_names(marked: MarkedSet) -> MarkedSet:
    """Return a set whose roster has codes alone."""
    return called(marked, "")


SETS: Mapping[str, MarkedSet] = {
    "wire": wire_set(),
    "block": heat_set(),
    "far off": far_off(),
    "one student": heat_set(1),
    "nobody": MarkedSet(rubric=RUBRICS[HEAT], scripts=(), remarks=(), sources=()),
    "nothing handed in": MarkedSet(
        rubric=RUBRICS[WIRE], scripts=(nothing_in(a_student("S001")),), remarks=(), sources=()
    ),
    "all right": MarkedSet(rubric=RUBRICS[WIRE], scripts=(wire_script(a_student("S001")),), remarks=(), sources=()),
    "as full as can be": a_full_set(),
}


@pytest.mark.parametrize("marked", SETS.values(), ids=SETS)
def test_two_pages_at_most_with_nothing_cut_off(tmp_path: Path, marked: MarkedSet) -> None:
    """Whatever the class, the summary is one leaf, inside its margins, with no print on other print."""
    write_class_summary(tmp_path / "summary.pdf", [marked])
    assert page_count(tmp_path / "summary.pdf") <= 2
    runs = runs_of(tmp_path / "summary.pdf")
    for run in runs:
        assert run.left >= style.LEFT - 1, run
        assert run.right <= style.RIGHT + 1, run
        assert run.base >= 28, run
    for one, other in itertools.combinations(runs, 2):
        apart = one.right - 0.5 <= other.left or other.right - 0.5 <= one.left
        above = abs(one.base - other.base) >= 0.7 * min(one.size, other.size)
        assert one.page != other.page or apart or above, (one, other)


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("wire", "28 students, 26 handed in"),
        ("wire", "I ÷ V instead of V ÷ I, resistance"),
        ("wire", "9 of 26 (35 %)"),
        ("wire", "Ten minutes with everyone. The two balancing steps"),
        ("wire", "mean 5.8 and median 7.5 of 11"),
        ("wire", "You decide: 78 marks"),
        ("wire", "G4 One straight line that fits the points: all 26"),
        ("block", "A small group. Four conversions"),
        ("block", "28 results, as the readings give them, from 920 to 1030 J/(kg °C)."),
        ("block", "Accepted: aluminium, 900 ± "),
        ("block", "28 of 28 lie above the accepted range."),
        ("nobody", "no marks yet"),
        ("nothing handed in", "Not in: S001"),
        ("one student", "1 student, 1 handed in"),
        ("all right", "Nothing to mend was found."),
        ("as full as can be", "further remarks: see marks.xlsx."),
    ],
)
def test_the_summary_says(tmp_path: Path, name: str, says: str) -> None:
    """What a teacher needs for the next lesson can be read off the page."""
    write_class_summary(tmp_path / "summary.pdf", [SETS[name]])
    assert says in text_of(tmp_path / "summary.pdf")


def test_queries_come_before_notes(tmp_path: Path) -> None:
    """What was not marked and what is left to the teacher stands above what was merely noted."""
    write_class_summary(tmp_path / "summary.pdf", [wire_set()])
    text = text_of(tmp_path / "summary.pdf")
    assert text.index("protected with a password") < text.index('"0.5O" is not a number') < text.index('"0,41" read as')


def test_each_practical_starts_on_its_own_page(tmp_path: Path) -> None:
    """Two practicals are two summaries in one file."""
    write_class_summary(tmp_path / "summary.pdf", [wire_set(), heat_set()])
    titles = [run for run in runs_of(tmp_path / "summary.pdf") if run.size == style.TITLE_SIZE]
    assert [run.string for run in titles] == [RUBRICS[WIRE].title, RUBRICS[HEAT].title]
    assert titles[0].page != titles[1].page


@pytest.mark.parametrize("name", SETS)
def test_the_class_stands_on_the_first_page(tmp_path: Path, name: str) -> None:
    """What to teach, what to decide and who is missing are in front; the criteria are overleaf."""
    write_class_summary(tmp_path / "summary.pdf", [SETS[name]])
    front = {run.string for run in runs_of(tmp_path / "summary.pdf") if run.page == 0}
    assert "What to teach" in front
    assert any(string.startswith("You decide") for string in front)
    assert "Criterion by criterion" not in front


def test_nobody_is_off_the_scale_without_a_name(tmp_path: Path) -> None:
    """Results beyond the number line are told with who and how much."""
    write_class_summary(tmp_path / "summary.pdf", [without_names(far_off())])
    assert "Off the scale: S004 with 0.950 and S008 with 940 000." in text_of(tmp_path / "summary.pdf").replace(
        "\u202f", " "
    ).replace("940000", "940 000")


def test_names_stand_where_the_roster_has_them(tmp_path: Path) -> None:
    """A roster with names has the class by name, one without by code."""
    write_class_summary(tmp_path / "named.pdf", [called(wire_set(), "Ada {}")])
    write_class_summary(tmp_path / "coded.pdf", [without_names(wire_set())])
    assert "Ada S001, Ada S004, Ada S007" in text_of(tmp_path / "named.pdf")
    assert "S001, S004, S007, S013, S016, S019, S022, S025 and S028" in text_of(tmp_path / "coded.pdf")


def test_a_starter_is_made_of_the_slip(tmp_path: Path) -> None:
    """The class works out the same step with invented numbers, and the teacher has the answers."""
    whole = [wire_script(a_student(f"S{number}"), wrong=True) for number in range(4)]
    turned = [
        replace(one, findings=tuple(found for found in one.findings if found.reason == "wrong-value")) for one in whole
    ]
    write_class_summary(tmp_path / "summary.pdf", [replace(wire_set(1), scripts=tuple(turned))])
    text = text_of(tmp_path / "summary.pdf")
    starter = text[text.index("Ten-minute starter") :]
    assert re.search(r"V = \S+ V and I = \S+ A\. Work out R in Ω\. Answer: R = \d", starter)
    assert "Other numbers" not in text


def test_one_line_of_one_student_shows_the_slip(tmp_path: Path) -> None:
    """What somebody wrote, and what the sheet says of it."""
    write_class_summary(tmp_path / "summary.pdf", [without_names(wire_set())])
    assert re.search(
        r"One line S0\d\d wrote \S+ Ω\. “You did I ÷ V\. It is V ÷ I\.”", text_of(tmp_path / "summary.pdf")
    )


def test_who_is_missing_has_name_and_code(tmp_path: Path) -> None:
    """The empty row of the mark book is found by the code, the student by the name."""
    write_class_summary(tmp_path / "summary.pdf", [called(wire_set(), "Ada Li {}x")])
    text = text_of(tmp_path / "summary.pdf")
    assert "Not in: Ada Li S020x (S020)" in text
    assert "Away: Ada Li S010x (S010)" in text
