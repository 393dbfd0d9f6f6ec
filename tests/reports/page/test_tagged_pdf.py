"""Tags, read back with two readers that are not ours, against ISO 14289-1:2014 (PDF/UA-1) clause by clause.

Checked here, on every sheet that a student gets and on the papers of a teacher:

* 7.1 all content is tagged or an artifact, never both and never nested; the catalogue says so (MarkInfo), nothing is
  suspect; only standard roles, so no role map; the title is shown and stands in the metadata; the tree holds every
  piece once and in the order in which it is drawn; no colour but the ground of cream paper, so nothing speaks by it
* 7.2 the language of the document; every sign has its Unicode (ToUnicode), names that are set from right to left their
  text (tests/reports/page/test_name_faces.py)
* 7.3 every figure has words
* 7.4 headings start at H1 and do not skip a level; numbered ones alone are used
* 7.5 rows of tables hold heads and cells, heads say their scope
* 7.6 lists hold items, items their label and body
* 7.7 a sum and a line to finish by hand are formulas, with their signs as words
* 7.8 what runs at the head and the foot of a page is pagination
* 7.16 nothing is encrypted
* 7.17 a file of a class has bookmarks; of one student it is a page or two
* 7.18.3 order of the tab key
* 7.21 fonts are embedded as subsets of TrueType, no sign is missing from them (no glyph 0)
* not used at all, and so kept: 7.9 notes, 7.10 optional content, 7.11 embedded files, 7.12 threads, 7.13 signatures,
  7.14 and 7.15 forms, 7.18 annotations, 7.19 actions and scripts, 7.20 external objects

Cannot be checked by a machine here: whether the words of a figure serve who does not see it, whether the order makes
sense to a reader, whether a role is the fitting one, contrast as printed. Left out on purpose: the mark of conformance
(clause 5), since no validator has confirmed it.
"""

from __future__ import annotations

import gc
import re
import shutil
import subprocess
from collections.abc import Callable, Iterator
from itertools import pairwise
from pathlib import Path

import pikepdf
import pytest
from pypdf import PdfReader

from reports.student.feedback import write_feedback, write_feedback_print
from reports.student.feedback_columns import MarksShown
from reports.teacher import write_class_summary
from tests.reports.invented import a_student, heat_script, nothing_in, wire_script, wire_set
from tests.reports.invented_practicals import RUBRICS

Writer = Callable[[Path], None]
ADA = a_student("S001", "Ada Example")


def _sheet(**options: object) -> Writer:
    script = wire_script(a_student("S001", "Ada Example", paper=str(options.get("paper", ""))), wrong=True, odd=True)
    return lambda path: write_feedback(path, [script], RUBRICS, marks=MarksShown.SHOWN)


SHEETS: dict[str, Writer] = {
    "usual": _sheet(),
    "large print": _sheet(paper="large print"),
    "cream": _sheet(paper="cream"),
    "a result": lambda path: write_feedback(path, [heat_script(ADA)], RUBRICS),
    "nothing handed in": lambda path: write_feedback(path, [nothing_in(ADA)], RUBRICS),
    "a class": lambda path: write_feedback_print(path, [[script] for script in wire_set(4).scripts], RUBRICS),
}
PAPERS = {**SHEETS, "class summary": lambda path: write_class_summary(path, [wire_set(9)])}


def elements(node: pikepdf.Object) -> Iterator[pikepdf.Object]:
    """Yield every element of the tree, in order."""
    kids = node.get("/K", [])
    for kid in kids if isinstance(kids, pikepdf.Array) else [kids]:
        if isinstance(kid, pikepdf.Dictionary) and "/S" in kid:
            yield kid
            yield from elements(kid)


@pytest.fixture(params=SHEETS.values(), ids=SHEETS)
def pdf(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[pikepdf.Pdf]:
    """Return a sheet, opened by a reader that is not ours."""
    request.param(tmp_path / "sheet.pdf")
    with pikepdf.open(tmp_path / "sheet.pdf") as opened:
        yield opened


def roles(pdf: pikepdf.Pdf) -> list[str]:
    """Return the role of every element, in order."""
    return [str(element.S) for element in elements(pdf.Root.StructTreeRoot)]


def test_the_catalogue_says_that_it_is_tagged(pdf: pikepdf.Pdf) -> None:
    """Marked, with a language, and the title shown."""
    assert pdf.Root.MarkInfo.Marked is True
    assert str(pdf.Root.Lang) == "en-GB"
    assert pdf.Root.ViewerPreferences.DisplayDocTitle is True
    assert roles(pdf)[0] == "/Document"


def test_everything_that_is_drawn_is_tagged_or_furniture(pdf: pikepdf.Pdf) -> None:
    """No print and no line stands outside marked content, and every number is found in the tree once."""
    drawing = {"Tj", "TJ", "'", '"', "f", "f*", "F", "S", "s", "B", "b", "b*", "B*", "Do"}
    parents = {int(pdf.Root.StructTreeRoot.ParentTree.Nums[n]): pdf.Root.StructTreeRoot.ParentTree.Nums[n + 1]
               for n in range(0, len(pdf.Root.StructTreeRoot.ParentTree.Nums), 2)}  # fmt: skip
    for page in pdf.pages:
        depth, numbers = 0, []
        for operands, operator in pikepdf.parse_content_stream(page):
            name = str(operator)
            if name in ("BDC", "BMC"):
                depth += 1
                if name == "BDC" and str(operands[0]) != "/Artifact":
                    numbers.append(int(operands[1].MCID))
            elif name == "EMC":
                depth -= 1
            assert depth in (0, 1)
            assert depth == 1 or name not in drawing, (name, operands)
        assert depth == 0
        assert numbers == list(range(len(numbers)))
        assert len(parents[int(page.StructParents)]) == len(numbers)
        assert str(page.Tabs) == "/S"


STANDARD = {
    "/Document", "/Sect", "/P", "/H1", "/H2", "/H3", "/L", "/LI", "/Lbl", "/LBody", "/Table", "/TR", "/TH", "/TD",
    "/Figure", "/Formula", "/Span",
}  # fmt: skip


def test_roles_are_standard_and_formulas_have_words(pdf: pikepdf.Pdf) -> None:
    """No role needs a map; a sum is a formula that says its signs."""
    assert set(roles(pdf)) <= STANDARD
    assert "/RoleMap" not in pdf.Root.StructTreeRoot
    assert "/Suspects" not in pdf.Root.MarkInfo
    for element in elements(pdf.Root.StructTreeRoot):
        if str(element.S) == "/Formula":
            assert "=" in str(element.Alt) or str(element.Alt).endswith("…")


def test_nothing_is_used_that_would_need_more(pdf: pikepdf.Pdf) -> None:
    """No forms, files, layers, threads, scripts, links or passwords."""
    absent = ("/AcroForm", "/OCProperties", "/Threads", "/OpenAction", "/AA", "/Perms", "/Collection")
    assert not [name for name in absent if name in pdf.Root]
    assert "/EmbeddedFiles" not in pdf.Root.get("/Names", {})
    assert not pdf.is_encrypted
    for page in pdf.pages:
        assert "/Annots" not in page
        assert not page.Resources.get("/XObject", {})


def test_the_title_stands_in_the_metadata(pdf: pikepdf.Pdf) -> None:
    """A reader that looks there finds the same title; nothing claims what nobody has confirmed."""
    with pdf.open_metadata() as metadata:
        assert metadata["dc:title"] == str(pdf.docinfo["/Title"])
        assert "pdfuaid:part" not in metadata


def test_heads_and_feet_are_pagination(tmp_path: Path) -> None:
    """What runs at the edge of a page says which edge."""
    SHEETS["usual"](tmp_path / "sheet.pdf")
    with pikepdf.open(tmp_path / "sheet.pdf") as pdf:
        edges = [
            [
                str(operands[1].Subtype)
                for operands, operator in pikepdf.parse_content_stream(page)
                if str(operator) == "BDC" and str(operands[0]) == "/Artifact"
            ]
            for page in pdf.pages
        ]
    assert edges == [["/Footer"], ["/Header", "/Footer"]]


def test_no_sign_is_missing_from_a_face(pdf: pikepdf.Pdf) -> None:
    """What is drawn comes back as text: no replacement sign, no glyph without a name."""
    read = "".join(page.extract_text() for page in PdfReader(pdf.filename).pages)
    assert "\ufffd" not in read
    assert "\x00" not in read


def test_the_tree_is_read_in_the_order_in_which_it_is_drawn(pdf: pikepdf.Pdf) -> None:
    """Pieces of a page come in the tree one after the other."""
    last: dict[object, int] = {}
    for element in elements(pdf.Root.StructTreeRoot):
        for kid in element.get("/K", []):
            if isinstance(kid, int):
                page = element.Pg.objgen
                assert kid == last.get(page, -1) + 1
                last[page] = kid


def test_headings_do_not_skip_a_level(pdf: pikepdf.Pdf) -> None:
    """The title is first; a section stands under it."""
    levels = [int(role[2:]) for role in roles(pdf) if re.fullmatch(r"/H\d", role)]
    assert levels[0] == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))


def test_figures_have_words_and_tables_have_heads(pdf: pikepdf.Pdf) -> None:
    """A chart is told, a table has rows of heads and cells, a list has items."""
    for element in elements(pdf.Root.StructTreeRoot):
        kids = [str(kid.S) for kid in element.get("/K", []) if isinstance(kid, pikepdf.Dictionary) and "/S" in kid]
        role = str(element.S)
        if role == "/Figure":
            assert len(str(element.Alt)) > 20
        if role == "/Table":
            assert set(kids) == {"/TR"}
        if role == "/TR":
            assert set(kids) <= {"/TH", "/TD"}
        if role == "/TH":
            assert str(element.A.Scope) in ("/Column", "/Row")
        if role == "/L":
            assert set(kids) == {"/LI"}
        if role == "/LI":
            assert kids[-1] == "/LBody"


def test_fonts_are_embedded_and_greys_are_one_ink(pdf: pikepdf.Pdf) -> None:
    """Every face travels with the file and maps to Unicode; no colour but the ground of cream paper."""
    for page in pdf.pages:
        for font in page.Resources.Font.values():
            assert "/FontFile2" in font.FontDescriptor
            assert "/ToUnicode" in font
        inks = [
            (str(o), [float(x) for x in n]) for n, o in pikepdf.parse_content_stream(page) if str(o) in ("rg", "RG")
        ]
        assert all(ink == ("rg", [0.988, 0.965, 0.894]) for ink in inks)


def test_a_sheet_that_was_written_leaves_nothing_to_the_cycle_collector(tmp_path: Path) -> None:
    """Which searches all that is held; a year of sheets would keep it busy."""
    scripts = [heat_script(ADA)]
    write_feedback(tmp_path / "first.pdf", scripts, RUBRICS)  # what is made once and kept
    gc.collect()
    gc.disable()
    try:
        write_feedback(tmp_path / "second.pdf", scripts, RUBRICS)
        left = gc.collect()
    finally:
        gc.enable()
    assert left == 0


def test_the_class_file_has_a_bookmark_for_each_student(tmp_path: Path) -> None:
    """The list beside the pages leads to each sheet."""
    SHEETS["a class"](tmp_path / "class.pdf")
    with pikepdf.open(tmp_path / "class.pdf") as pdf, pdf.open_outline() as outline:
        titles = [str(item.title) for item in outline.root]
    assert titles == [f"S{number:03d} Invented Student {number}" for number in range(1, 5)]


@pytest.mark.skipif(shutil.which("pdfinfo") is None, reason="poppler is not installed")
@pytest.mark.parametrize("name", PAPERS)
def test_another_reader_finds_the_structure(tmp_path: Path, name: str) -> None:
    """Poppler reads the tree, without a complaint."""
    PAPERS[name](tmp_path / "sheet.pdf")
    read = subprocess.run(
        ["pdfinfo", "-struct-text", str(tmp_path / "sheet.pdf")], check=True, capture_output=True, text=True
    )
    assert not read.stderr
    assert "Document" in read.stdout
    if name in SHEETS:
        assert re.search(r"H1 \(block\)\s+\"(Resistance|Specific)", read.stdout)
