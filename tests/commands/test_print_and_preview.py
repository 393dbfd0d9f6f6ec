"""What ``mark`` makes beside the usual folder, and what ``explain`` refuses."""

from __future__ import annotations

from pathlib import Path

import pytest
from pypdf import PdfReader

from tests.commands.running import SAMPLES, run_here

BLOCK = str(SAMPLES / "specific-heat-block")


def test_print_adds_the_papers_for_printer_and_projector(tmp_path: Path) -> None:
    """One file of all sheets, the answers to the tasks and a projector page, beside the single sheets."""
    done = run_here("mark", BLOCK, "--out", str(tmp_path / "results"), "--print")
    assert done.status in (0, 1), done.err
    for name in ("feedback-print.pdf", "task-answers.pdf", "projector.pdf", "class-summary.pdf", "feedback"):
        assert (tmp_path / "results" / name).exists()


def test_one_side_of_a_leaf_has_no_blank_pages(tmp_path: Path) -> None:
    """For a printer that prints one side there is no page without words; for two sides every student has a leaf."""
    for sides in ("one", "two"):
        done = run_here("mark", BLOCK, "--out", str(tmp_path / sides), "--print", "--sides", sides)
        assert done.status in (0, 1), done.err
    one, two = (
        [page.extract_text().strip() for page in PdfReader(tmp_path / sides / "feedback-print.pdf").pages]
        for sides in ("one", "two")
    )
    assert all(one)
    assert [text for text in two if text] == one
    assert len(two) > len(one)


def test_preview_makes_the_first_sheets_and_nothing_else(tmp_path: Path) -> None:
    """A look at two sheets costs neither the other sheets nor a workbook."""
    done = run_here("mark", BLOCK, "--out", str(tmp_path / "results"), "--preview", "2")
    assert done.status == 0, done.err
    assert [path.name for path in sorted((tmp_path / "results" / "feedback").iterdir())] == ["A01.pdf", "A02.pdf"]
    assert {path.name for path in (tmp_path / "results").iterdir()} == {"feedback", "run.json"}


@pytest.mark.parametrize("number", ["0", "-1", "two"])
def test_a_preview_of_no_sheet_is_refused(number: str, tmp_path: Path) -> None:
    """Fewer than one sheet is a slip of typing."""
    assert run_here("mark", BLOCK, "--out", str(tmp_path / "results"), "--preview", number).status == 2
    assert not (tmp_path / "results").exists()


@pytest.mark.parametrize(
    ("student", "criterion", "says"),
    [
        pytest.param("Z99", "P1", "There is no student Z99", id="no such student"),
        pytest.param("A01", "Z9", "has no criterion Z9", id="no such criterion"),
    ],
)
def test_explain_names_what_there_is(student: str, criterion: str, says: str) -> None:
    """A mistyped code is answered with the codes that there are."""
    done = run_here("explain", BLOCK, student, criterion)
    assert done.status == 2
    assert says.casefold() in done.err.casefold()
    assert "use one of" in done.err.casefold()
