"""The sheet of a student who has handed nothing in."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from pypdf import PdfReader

from marking.checking.marking_set import mark_set
from marking.intake.read_inputs import read_inputs
from reports.student.feedback import write_feedback
from rubrics.load import load_catalogue
from tests.reports.sheets import runs_of

PAGE_HEIGHT, FOOT = 842, 50


@pytest.mark.parametrize("practical", sorted(load_catalogue()))
def test_questions_are_asked_in_words(practical: str, tmp_path: Path) -> None:
    """Questions stand there with lines to write on, and nothing carries a name of the file."""
    path = tmp_path / "set.csv"
    path.write_text(f"student,bench,practical,item,row,entry,unit\nS1,1,{practical},,,,\n", encoding="utf-8")
    rubrics = load_catalogue()
    (class_set,) = read_inputs([path], rubrics)
    marked = mark_set(rubrics[practical], class_set)
    write_feedback(tmp_path / "S1.pdf", [marked.scripts[0]], rubrics)
    pages = [page.extract_text() for page in PdfReader(tmp_path / "S1.pdf").pages]
    said = " ".join(" ".join(pages).split())
    assert not re.search(r"\b(line [xy][12]|[xy] (from|to|square))\b", said), "names of the file"
    assert len(pages) <= 2
    runs = runs_of(tmp_path / "S1.pdf")
    assert any(run.string == "Do this now" and run.base > PAGE_HEIGHT * 2 / 3 for run in runs)
    lowest = min(run.base for run in runs if run.page == len(pages) - 1 and run.base > FOOT)
    assert len(pages) == 1 or PAGE_HEIGHT - lowest > 0.25 * PAGE_HEIGHT, "a page that is nearly empty"
    for item in rubrics[practical].singles:
        if item.question is not None:
            assert "_" not in item.name or item.name not in said
            assert item.quantity.split()[0] in said
            assert "Questions to answer" in said
