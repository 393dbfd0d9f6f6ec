"""Workbooks as schools really save them are read as a teacher reads them."""

from __future__ import annotations

from pathlib import Path

import pytest
from openpyxl import Workbook

from marking.intake import read_inputs
from marking.write_up import ClassSet, State
from rubrics.faults import InputError
from rubrics.load import load_catalogue
from tests.intake.school_book_cases import CASES
from tests.intake.school_books import ASKED, HEAD, LINES, Case, Make, first_sheet, pasted_beside, transposed


def read(case: Case, folder: Path) -> ClassSet:
    """Return the set that a case's workbook becomes."""
    book = Workbook()
    case.make(book)
    book.save(folder / "class.xlsx")
    (one,) = read_inputs([folder / "class.xlsx"], load_catalogue(), practical=case.practical)
    return one


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_a_school_s_workbook_is_read_as_a_teacher_reads_it(case: Case, tmp_path: Path) -> None:
    """Nobody is lost or invented, and each entry is what it should be or is asked about."""
    one = read(case, tmp_path)
    said = "\n".join(remark.message for remark in one.remarks)
    works = {work.student.code: work for work in one.write_ups}
    if case.students:
        assert sorted(works) == sorted(case.students), said
    for (code, item, row), wanted in case.holds.items():
        work = works[code]
        entry = work.columns[item][row] if row else work.singles[item]
        if wanted == ASKED:
            assert entry.state is State.UNREADABLE, (code, item, entry)
        else:
            assert entry.value == wanted, (code, item, entry)
    assert [words for words in case.says if words not in said] == [], said


@pytest.mark.parametrize(("make", "words"), [(pasted_beside, "stand twice"), (transposed, "students across")])
def test_what_cannot_be_read_is_refused_with_what_is_wrong(make: Make, words: str, tmp_path: Path) -> None:
    """A table beside itself and a table turned round are named as what they are."""
    with pytest.raises(InputError, match=words):
        read(Case(name="", make=make), tmp_path)


def test_an_address_says_who_it_is_only_where_nothing_else_does(tmp_path: Path) -> None:
    """Beside a name, an e-mail address is a column like any other."""

    def make(book: Workbook) -> None:
        sheet = first_sheet(book)
        for line in (
            ("Timestamp", "Email Address", "Pupil name", *HEAD[1:]),
            ("1", "a@b.example", "Ada Hill", *LINES[0][1:]),
        ):
            sheet.append(line)

    assert [work.student.code for work in read(Case(name="", make=make), tmp_path).write_ups] == ["Ada Hill"]
