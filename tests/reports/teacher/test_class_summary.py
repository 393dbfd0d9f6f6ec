"""The class summary: two pages at most, whole, and enough to plan the next lesson from."""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import pytest

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
        ("wire", "Formula the wrong way round, resistance"),
        ("wire", "9 of 26 (35 %)"),
        ("wire", "S001, S004, S007, S013, S016, S019, S022, S025 and S028"),
        ("wire", "Ten minutes with everyone. The two balancing steps"),
        ("wire", "Mean 5.8 and median 7.5 of 11."),
        ("wire", "You decide 78 more over the class."),
        ("wire", "Away: S010"),
        ("wire", "Not in: S020"),
        ("wire", "Yours to mark: One straight line that fits the points (G4): all 26"),
        ("block", "A small group. Four conversions"),
        ("block", "28 results, from 920 to 1030 J/(kg °C)."),
        ("block", "Accepted: aluminium, 900 J/(kg °C) (an invented data book)."),
        ("block", "28 of 28 lie above the accepted range."),
        ("far off", "Beyond the scale: S004 and S008."),
        ("nobody", "No marks yet."),
        ("nothing handed in", "Not in: S001"),
        ("all right", "No cause is shared by a tenth of the class."),
        ("as full as can be", "further remarks: see marks.xlsx."),
        ("as full as can be", "further kinds: see marks.xlsx."),
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


def test_the_summary_speaks_of_codes_only(tmp_path: Path) -> None:
    """Names stand on the students' own sheets and in the mark book, not here."""
    write_class_summary(tmp_path / "summary.pdf", [wire_set()])
    assert "Invented Student" not in text_of(tmp_path / "summary.pdf")
