from __future__ import annotations

import re
from pathlib import Path

import pytest
from pypdf import PdfReader
from reportlab.lib.units import mm

from marking.write_up import Student
from reports.lesson.results_sheet import write_results_sheets
from reports.lesson.results_sheet_blocks import leaves_unit_open, table_rows
from reports.page.hand_boxes import BOX_HEIGHT, SquaredPaper
from reports.wording.instrument_words import graph_lines, is_on_graph, step_words, symbol_words
from rubrics.load import load_catalogue
from rubrics.model.practical import Role
from tests.reports.sheets import page_count, runs_of

CATALOGUE = load_catalogue()
CLASS = (
    Student(code="A01", name="Ottoline Quill", bench="3"),
    Student(code="A02", name="Bram Tern", bench="11", paper="large print"),
    Student(code="A03", bench="3", paper="cream"),
)


def text_of(path: Path) -> list[str]:
    """Return the words of each page, spaces of every kind made one."""
    return [" ".join(page.extract_text().split()) for page in PdfReader(path).pages]


def squeezed(text: str) -> str:
    """Return *text* without spaces, for a line may break inside a heading or a unit."""
    return re.sub(r"\s", "", text)


@pytest.mark.parametrize("practical", CATALOGUE)
def test_every_practical_has_all_that_is_written_down(practical: str, tmp_path: Path) -> None:
    """One leaf, with every symbol, unit, smallest step, question and caution, and the school's own assessment."""
    rubric = CATALOGUE[practical]
    path = tmp_path / "sheet.pdf"
    assert write_results_sheets(path, rubric, []) <= 2
    pages = text_of(path)
    assert len(pages) <= 2
    text = squeezed(" ".join(pages))
    assert all(squeezed(line) in text for line in graph_lines(rubric))
    assert not re.search(r"\b(line [xy][12]|[xy] (from|to|square))\b", " ".join(pages)), "names of the file"
    for item in rubric.items.values():
        if is_on_graph(rubric, item):
            continue
        assert squeezed(item.quantity.rstrip("?")).casefold() in text.casefold()
        if item.is_words:
            assert all(squeezed(choice.word) in text for choice in item.choices)
            continue
        assert squeezed(symbol_words(item)) in text
        assert leaves_unit_open(rubric, item) or squeezed(item.unit.symbol) in text
        if item.role is Role.READING:
            assert squeezed(step_words(item)) in text
    assert all(squeezed(caution) in text for caution in rubric.cautions)
    assert "riskassessment" in text
    assert squeezed(rubric.purpose) in text
    assert all(word in text for word in ("Name", "Code", "Bench", "Date"))


def test_a_unit_that_earns_a_mark_is_left_open(tmp_path: Path) -> None:
    """In the heat practical the unit of c is a mark of its own; the sheet has a line for it and does not tell it."""
    path = tmp_path / "sheet.pdf"
    write_results_sheets(path, CATALOGUE["specific-heat-block"], [])
    (page,) = text_of(path)
    assert "J/(kg" not in page
    assert "c = unit" in page
    assert "Where the unit is left open, write it too." in page


def test_the_step_is_told_in_the_unit_of_the_instrument(tmp_path: Path) -> None:
    """A balance that reads to a gram is no balance 'to 0.001 kg', and the student may ring grams."""
    path = tmp_path / "sheet.pdf"
    write_results_sheets(path, CATALOGUE["specific-heat-block"], [])
    (page,) = text_of(path)
    assert "balance, to 1 g" in page
    assert "or g" in page


@pytest.mark.parametrize("practical", CATALOGUE)
def test_tables_have_the_rows_that_are_asked_for_and_some_to_spare(practical: str) -> None:
    """No table is shorter than its criterion wants, nor exactly as long."""
    rubric = CATALOGUE[practical]
    for criterion in rubric.criteria:
        for name in criterion.items if criterion.rows else ():
            table = rubric.items[name].table
            assert table is not None
            assert table_rows(rubric, table) > (criterion.rows or 0)


def test_there_is_room_for_a_hand() -> None:
    """A box is nearly a centimetre high, and the squares are those of school graph paper, 2 mm and 1 cm."""
    assert pytest.approx(9.5 * mm, abs=0.5 * mm) == BOX_HEIGHT
    paper = SquaredPaper(500.0, 1.0)
    paper.wrap(480.0, 0)
    assert paper.step == pytest.approx(2 * mm)
    assert paper.rows % 5 == paper.columns % 5 == 0
    large = SquaredPaper(250.0, 2.12)
    assert large.step * 2.12 == pytest.approx(4 * mm)


def test_every_student_gets_a_sheet_in_their_own_look(tmp_path: Path) -> None:
    """Code, name and bench are filled in, and the roster's reader decides on the print and the ground."""
    path = tmp_path / "class.pdf"
    longest = write_results_sheets(path, CATALOGUE["wire-resistance"], CLASS)
    pages = text_of(path)
    first = [page for page in pages if "What this practical is for" in page]
    assert len(first) == len(CLASS)
    for student, page in zip(CLASS, first, strict=True):
        assert student.code in page
        assert student.name in page
        assert f"Bench {student.bench}" in page
    assert longest > 2
    starts = [number for number, page in enumerate(pages) if "What this practical is for" in page]
    assert all(start % 2 == 0 for start in starts), "a student's sheet starts on a leaf of its own"


def test_the_same_class_gives_the_same_bytes(tmp_path: Path) -> None:
    """Nothing in the file depends on the clock or on chance."""
    for name in ("one.pdf", "two.pdf"):
        write_results_sheets(tmp_path / name, CATALOGUE["titration"], CLASS)
    assert (tmp_path / "one.pdf").read_bytes() == (tmp_path / "two.pdf").read_bytes()


def test_names_that_no_font_holds_are_no_trouble(tmp_path: Path) -> None:
    """A name of another script, or one as long as a line, leaves the sheet whole."""
    students = (Student(code="A" * 90, name="王" * 50, bench="b" * 60, paper="large print"),)
    path = tmp_path / "sheet.pdf"
    write_results_sheets(path, CATALOGUE["density-cuboid"], students)
    assert "What this practical is for" in text_of(path)[0]


@pytest.mark.parametrize("practical", CATALOGUE)
def test_no_box_stands_alone_overleaf(practical: str, tmp_path: Path) -> None:
    """In large print what is carried over takes company with it: the last page holds more than one question."""
    path = tmp_path / "large.pdf"
    write_results_sheets(path, CATALOGUE[practical], [Student(code="A01", paper="large print")])
    bases = [run.base for run in runs_of(path) if run.page == page_count(path) - 1 and 60 < run.base < 780]
    assert max(bases) - min(bases) > 40


def test_blank_backs_are_for_two_sides_only(tmp_path: Path) -> None:
    """Short sheets before a long one begin on a new leaf as well; printed on one side nothing is blank."""
    students = (Student(code="A01"), Student(code="A02", paper="large print"), Student(code="A03"))
    rubric = CATALOGUE["density-cuboid"]
    write_results_sheets(tmp_path / "two.pdf", rubric, students)
    write_results_sheets(tmp_path / "one.pdf", rubric, students, double_sided=False)
    two, one = text_of(tmp_path / "two.pdf"), text_of(tmp_path / "one.pdf")
    assert all(one)
    starts = [number for number, text in enumerate(two) if "Bench" in text and "Date" in text]
    assert len(starts) == 3
    assert all(number % 2 == 0 for number in starts)
