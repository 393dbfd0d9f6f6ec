"""Names in Arabic and Hebrew: letters joined, from the right, and told to a screen reader as they are written."""

from __future__ import annotations

from pathlib import Path

import pikepdf
import pytest

from reports.page.name_faces import face_for, in_print_order
from reports.student.feedback import write_feedback, write_feedback_print
from tests.reports.invented import a_student, wire_script
from tests.reports.invented_practicals import RUBRICS
from tests.reports.page.test_tagged_pdf import elements

LAYLA, DAVID = "ليلى حداد", "דוד לוי"


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("Anna Maria Berg", ["Anna", "Maria", "Berg"]),
        (LAYLA, ["حداد", "ليلى"]),
        (f"{DAVID} Anna Berg", ["Anna", "Berg", "לוי", "דוד"]),
        (f"Anna {DAVID}", ["Anna", "לוי", "דוד"]),
    ],
)
def test_words_stand_in_the_order_of_print(name: str, words: list[str]) -> None:
    """The first strong letter says from which side a name is read; words of the other direction keep theirs."""
    assert list(in_print_order(name)) == words


@pytest.mark.parametrize(("name", "is_ours"), [(LAYLA, True), (DAVID, True), ("محمّد", True)])
def test_our_face_holds_arabic_and_hebrew(name: str, is_ours: bool) -> None:
    """No system needs to have a face for them."""
    face = face_for(name)
    assert face is not None
    assert face.is_ours is is_ours


@pytest.mark.parametrize("name", ["", "Łukasz Wójcik", "Ελένη", "Анастасия", "x" * 500, "\U00012000 cuneiform"])
def test_other_names_go_the_usual_way(name: str) -> None:
    """The faces of the sheet serve, or no face does."""
    assert face_for(name) is None


def test_letters_are_joined_and_the_name_is_told_as_written(tmp_path: Path) -> None:
    """The four letters are drawn as four forms, none of them the lone one twice; the tag holds the name itself."""
    write_feedback(tmp_path / "sheet.pdf", [wire_script(a_student("S1", LAYLA))], RUBRICS)
    with pikepdf.open(tmp_path / "sheet.pdf") as pdf:
        told = [str(e.ActualText) for e in elements(pdf.Root.StructTreeRoot) if "/ActualText" in e]
        assert told == [LAYLA]
        faces = [str(font.BaseFont) for font in pdf.pages[0].Resources.Font.values()]
        assert any("Names" in face for face in faces)


def test_a_sheet_is_the_same_whatever_was_printed_before(tmp_path: Path) -> None:
    """Joined letters get their codes anew in each file."""
    scripts = {name: wire_script(a_student("S1", name)) for name in (LAYLA, DAVID, "محمد")}
    write_feedback(tmp_path / "first.pdf", [scripts[LAYLA]], RUBRICS)
    for name in (DAVID, "محمد"):
        write_feedback(tmp_path / "between.pdf", [scripts[name]], RUBRICS)
    write_feedback_print(tmp_path / "class.pdf", [[script] for script in scripts.values()], RUBRICS)
    write_feedback(tmp_path / "again.pdf", [scripts[LAYLA]], RUBRICS)
    assert (tmp_path / "first.pdf").read_bytes() == (tmp_path / "again.pdf").read_bytes()
