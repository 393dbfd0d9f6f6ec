"""Names in Arabic, Hebrew and Chinese: joined, from the right side, and told to a screen reader as they are written."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pikepdf
import pytest

from reports.page import name_faces
from reports.page.name_faces import face_for, in_print_order
from reports.student.feedback import write_feedback, write_feedback_print
from tests.reports.invented import a_student, wire_script
from tests.reports.invented_practicals import RUBRICS
from tests.reports.page.test_tagged_pdf import elements
from tests.reports.sheets import text_of

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


WANG = "王小明"


@pytest.fixture
def fonts(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """Yield an empty folder that stands for those in which the system keeps its faces."""
    folder = tmp_path / "fonts"
    folder.mkdir()
    monkeypatch.setattr(name_faces, "FONT_FOLDERS", (folder,))
    name_faces.system_faces.cache_clear()
    yield folder
    name_faces.system_faces.cache_clear()


def a_face(path: Path, signs: str) -> None:
    """Write a face whose letters are squares."""
    builder = pytest.importorskip("fontTools.fontBuilder")
    pens = pytest.importorskip("fontTools.pens.ttGlyphPen")
    names = [".notdef", *(f"uni{ord(sign):04X}" for sign in signs)]
    made = builder.FontBuilder(1000, isTTF=True)
    made.setupGlyphOrder(names)
    made.setupCharacterMap({ord(sign): name for sign, name in zip(signs, names[1:], strict=True)})
    pen = pens.TTGlyphPen(None)
    for number, corner in enumerate(((100, 0), (900, 0), (900, 800), (100, 800))):
        (pen.lineTo if number else pen.moveTo)(corner)
    pen.closePath()
    square = pen.glyph()
    made.setupGlyf(dict.fromkeys(names, square))
    made.setupHorizontalMetrics(dict.fromkeys(names, (1000, 100)))
    made.setupHorizontalHeader(ascent=900, descent=-100)
    made.setupNameTable({"familyName": "Squares", "styleName": "Regular", "psName": "Squares-Regular"})
    made.setupOS2()
    made.setupPost()
    path.parent.mkdir(exist_ok=True)
    made.save(path)


def test_a_face_of_the_system_prints_a_chinese_name(fonts: Path, tmp_path: Path) -> None:
    """Whatever folder it lies in; the first of the known faces that holds all signs of the name is taken."""
    a_face(fonts / "truetype" / "uming.ttc", f"{WANG} ")
    a_face(fonts / "truetype" / "wqy-microhei.ttc", "王 ")
    face = face_for(WANG)
    assert face is not None
    assert (face.is_ours, Path(face.path).name) == (False, "uming.ttc")
    write_feedback_print(tmp_path / "class.pdf", [[wire_script(a_student(code, WANG))] for code in "AB"], RUBRICS)
    with pikepdf.open(tmp_path / "class.pdf") as pdf:
        told = [str(e.ActualText) for e in elements(pdf.Root.StructTreeRoot) if "/ActualText" in e]
        assert told == [WANG, WANG]
        used = {str(font.BaseFont).partition("+")[2] for page in pdf.pages for font in page.Resources.Font.values()}
    assert "Squares-Regular" in used
    assert "[U+" not in text_of(tmp_path / "class.pdf")


def test_without_a_face_a_name_is_printed_by_its_numbers(fonts: Path, tmp_path: Path) -> None:
    """Nothing is lost or guessed: the number of each sign stands there, and the code says whose sheet it is."""
    (fonts / "uming.ttc").write_bytes(b"no face at all")
    assert face_for(WANG) is None
    write_feedback(tmp_path / "sheet.pdf", [wire_script(a_student("S1", WANG))], RUBRICS)
    text = text_of(tmp_path / "sheet.pdf")
    assert "[U+738B]" in text
    assert "S1" in text
