"""For every reader: large print, a cream ground, and sheets that are read in the order in which they are drawn."""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from msgspec.structs import replace
from pypdf import PdfReader

from marking.findings import Script
from marking.write_up import Student
from reports.page import house_style as style
from reports.page.looks import CREAM, LARGE, LARGE_ON_CREAM, USUAL, Look, look_of
from reports.student.feedback import write_feedback
from reports.student.feedback_columns import MarksShown
from tests.reports.invented import LONGEST_NAME, a_student, heat_script, nothing_in, wire_script
from tests.reports.invented_practicals import RUBRICS, WIRE
from tests.reports.sheets import page_count, runs_of, text_of

LARGE_PRINT = 18.0
"""Points of the words; half a point for the rounding of the scale."""
SMALLEST = 14.5
"""Points of the figures along an axis."""

SCRIPTS: dict[str, Callable[[Student], Script]] = {
    "everything right": wire_script,
    "everything wrong": lambda student: wire_script(student, wrong=True, odd=True),
    "40 rows": lambda student: wire_script(student, rows=40, odd=True),
    "a result": heat_script,
    "nothing handed in": nothing_in,
}


@pytest.mark.parametrize(
    ("said", "look"),
    [
        pytest.param("", USUAL, id="nothing"),
        pytest.param("large print", LARGE, id="large"),
        pytest.param("Large Print", LARGE, id="in capitals"),
        pytest.param("cream", CREAM, id="cream"),
        pytest.param("large print, cream", LARGE_ON_CREAM, id="both"),
        pytest.param("braille", USUAL, id="not known"),
    ],
)
def test_the_roster_chooses_the_look(said: str, look: Look) -> None:
    """What the roster says about a reader picks the page."""
    assert look_of(said) == look


@pytest.mark.parametrize("paper", ["", "large print", "cream", "large print, cream"])
@pytest.mark.parametrize("name", SCRIPTS)
def test_every_look_is_whole(tmp_path: Path, name: str, paper: str) -> None:
    """Nothing is cut off and nothing overlaps, however large the print and long the name; nor with the table."""
    script = SCRIPTS[name](a_student("S001", LONGEST_NAME, paper=paper))
    script = replace(script, criteria=script.criteria * 2)
    write_feedback(tmp_path / "sheet.pdf", [script], RUBRICS, marks=MarksShown.SHOWN)
    look = look_of(paper)
    runs = runs_of(tmp_path / "sheet.pdf")
    for run in runs:
        assert run.left >= look.margin - 1, run
        assert run.right <= style.PAGE_WIDTH - look.margin + 2 * look.scale, run
        assert 28 <= run.base <= style.PAGE_HEIGHT - 40, run
    for one, other in itertools.combinations(runs, 2):
        apart = one.right - 0.5 <= other.left or other.right - 0.5 <= one.left
        above = abs(one.base - other.base) >= 0.7 * min(one.size, other.size)
        assert one.page != other.page or apart or above, (one, other)


@pytest.mark.parametrize("name", SCRIPTS)
def test_large_print_is_large(tmp_path: Path, name: str) -> None:
    """Every sentence has 18 points or more; nothing on the sheet is smaller than the figures along an axis."""
    script = SCRIPTS[name](a_student("S001", "Ada Example", paper="large print"))
    write_feedback(tmp_path / "sheet.pdf", [script], RUBRICS)
    runs = runs_of(tmp_path / "sheet.pdf")
    assert min(run.size for run in runs) >= SMALLEST
    sentences = [run for run in runs if run.string.rstrip().endswith(".") and len(run.string.split()) > 3]
    assert sentences
    assert min(run.size for run in sentences) >= LARGE_PRINT


@pytest.mark.parametrize("name", SCRIPTS)
def test_nothing_but_figures_along_an_axis_is_small(tmp_path: Path, name: str) -> None:
    """On the front of a usual sheet every word has 9 points or more; the step to take has 12."""
    script = SCRIPTS[name](a_student("S001", "Ada Example"))
    write_feedback(tmp_path / "sheet.pdf", [script], RUBRICS)
    runs = [run for run in runs_of(tmp_path / "sheet.pdf") if run.page == 0]
    if script.write_up.is_handed_in:
        small = [run.string for run in runs if run.size < 8.99]
        assert all(re.fullmatch(r"[\d.,− ×⁻⁰-⁹¹²³]+", string) for string in small), small
    assert any(run.size >= 11.99 for run in runs if run.string.endswith("."))


def test_cream_has_a_ground_and_no_italics(tmp_path: Path) -> None:
    """The ground is drawn first on each page, and only upright faces are used."""
    write_feedback(tmp_path / "sheet.pdf", [wire_script(a_student("S001", paper="cream"), wrong=True)], RUBRICS)
    for page in PdfReader(tmp_path / "sheet.pdf").pages:
        content = page.get_contents()
        assert content is not None
        assert content.get_data().index(b".988 .965 .894 rg") < content.get_data().index(b"Tm")
    assert b"Oblique" not in (tmp_path / "sheet.pdf").read_bytes()


@pytest.mark.parametrize("paper", ["", "large print", "cream"])
def test_a_sheet_is_drawn_in_the_order_in_which_it_is_read(tmp_path: Path, paper: str) -> None:
    """A screen reader meets what to do, what stands, data and marks, in this order."""
    script = wire_script(a_student("S001", "Ada Example", paper=paper), few_figures=True)
    write_feedback(tmp_path / "sheet.pdf", [script], RUBRICS)
    text = text_of(tmp_path / "sheet.pdf")
    heads = ("Do this now", "Then this one", "What stands", "Your data", "Your marks")
    # In one column what is short may take the room that a chart leaves; what is to be done is never overtaken.
    in_order = heads if not paper else heads[:3]
    places = [text.index(head) for head in in_order]
    assert places == sorted(places)
    assert all(head in text for head in heads)


def test_a_document_has_title_and_language(tmp_path: Path) -> None:
    """A screen reader can announce the sheet, and in the right language."""
    write_feedback(tmp_path / "sheet.pdf", [wire_script(a_student("S001"))], RUBRICS)
    reader = PdfReader(tmp_path / "sheet.pdf")
    assert reader.metadata is not None
    assert reader.metadata.title == f"{RUBRICS[WIRE].title}: S001"
    assert str(reader.root_object["/Lang"]) == "en-GB"


@pytest.mark.parametrize(
    ("shown", "there", "absent"),
    [
        pytest.param(MarksShown.SHOWN, ("1 of 1", "your teacher looks", "What earns it"), ("come later",), id="shown"),
        pytest.param(MarksShown.SMALL, ("7 of the 8 decided.",), ("What earns it", "1 of 1"), id="small"),
        pytest.param(MarksShown.HIDDEN, ("Your marks come later.",), (" of 1", "1 mark", "decided"), id="hidden"),
    ],
)
def test_marks_are_shown_as_far_as_asked(
    tmp_path: Path, shown: MarksShown, there: tuple[str, ...], absent: tuple[str, ...]
) -> None:
    """By criterion, as a total, or not at all before the reply; hidden means that no figure gives them away."""
    script = wire_script(a_student("S001"), few_figures=True)
    write_feedback(tmp_path / "sheet.pdf", [script], RUBRICS, marks=shown)
    text = text_of(tmp_path / "sheet.pdf")
    assert all(said in text for said in there)
    assert not [said for said in absent if said in text]
    assert page_count(tmp_path / "sheet.pdf") == (2 if shown is MarksShown.SHOWN else 1)
