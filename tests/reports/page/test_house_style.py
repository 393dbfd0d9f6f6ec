"""House style: every string is printed as text, with signs that the fonts have, and never too long."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import reports
from reports.page import house_style as style
from reports.page.house_style import BODY, LONGEST_TEXT, printable, shortened, text, width_of, wrapped
from tests.reports.sheets import text_of

ROOM = Path(reports.__file__).parent
SCIENCE_SIGNS = "J kg⁻¹ °C⁻¹ · Ω Δθ ρ π µ Å ℃ ½ ¾ × ÷ − ± ≈ ≤ ≥ → ↑ √ ∞ R₁ R₂ 10⁻⁷ “q” ‘q’ … – — ✓ ◂ ▸"
NAMES = "Łukasz Źródłowski, Đorđe Šišić, Zoë Ångström, İpek Ğ, Ελένη Παπαδοπούλου, Анастасия Ґанна Ђорђе"


def printed_back(tmp_path: Path, *strings: str) -> str:
    """Return what a reader finds on a page that holds *strings* as paragraphs."""
    canvas = style.new_canvas(str(tmp_path / "page.pdf"), "page", "")
    top = style.TOP
    for string in strings:
        paragraph = text(BODY, string)
        _, height = paragraph.wrap(style.WIDTH, 10_000)
        top -= height
        paragraph.draw_on(canvas, style.LEFT, top)
    canvas.save()
    return text_of(tmp_path / "page.pdf")


def test_paragraphs_are_made_in_one_place_only() -> None:
    """Markup in a student's text cannot be obeyed, for only `text` makes paragraphs, and it escapes."""
    makers = {
        path.name
        for path in ROOM.rglob("*.py")
        if re.search(r"\b(Paragraph|Sentences|XPreformatted)\(", path.read_text())
    }
    assert makers == {"house_style.py"}


@pytest.mark.parametrize(
    "string",
    [
        pytest.param("if m<n then", id="unclosed"),
        pytest.param("</b> and <b>", id="wrong order"),
        pytest.param("A & B &amp; C", id="entities"),
        pytest.param("<mass> is 3", id="unknown tag"),
        pytest.param('<img src="/etc/hostname"/>', id="picture"),
        pytest.param('<a href="javascript:x">press</a>', id="link"),
        pytest.param('<font color="white" size="999">x</font>', id="hidden"),
        pytest.param("<super>2</super>", id="raised"),
        pytest.param("<!-- x -->", id="comment"),
    ],
)
def test_markup_in_a_text_is_printed_as_it_was_typed(tmp_path: Path, string: str) -> None:
    """Whatever a student types appears on the sheet, letter for letter."""
    assert string in printed_back(tmp_path, string)


@pytest.mark.parametrize("string", [SCIENCE_SIGNS, NAMES])
def test_science_signs_and_names_have_their_glyphs(tmp_path: Path, string: str) -> None:
    """Units, formulas and names of Latin, Greek and Cyrillic letters print as they are, in both faces."""
    assert printable(string) == string
    assert string in printed_back(tmp_path, string)


@pytest.mark.parametrize(
    ("string", "shown"),
    [
        pytest.param("日本", "[U+65E5][U+672C]", id="no glyph"),
        pytest.param("😀!", "[U+1F600]!", id="beyond the first plane"),
        pytest.param("a\u202eb\u200fc\u2066d", "abcd", id="direction marks"),
        pytest.param("a\x00b\x07c\x1bd", "abcd", id="control characters"),
        pytest.param("a\tb\r\n\u2028c", "a b c", id="line ends"),
        pytest.param("so\u00adft\ufeff", "soft", id="hidden characters"),
        pytest.param("\ud800x", "x", id="half a pair"),
        pytest.param("e\u0301", "é", id="accent typed apart"),
        pytest.param("20\u202f400", "20\u00a0400", id="narrow space does not break"),
    ],
)
def test_what_cannot_be_printed_is_replaced_or_removed(string: str, shown: str) -> None:
    """A sign without a glyph shows its number; what only steers the text is gone."""
    assert printable(string) == shown


@pytest.mark.parametrize(("length", "is_cut"), [(LONGEST_TEXT, False), (LONGEST_TEXT + 1, True), (500_000, True)])
def test_long_texts_are_cut_with_a_mark(length: int, is_cut: bool) -> None:
    """600 characters pass; one more is cut, and the sheet says where the rest is."""
    shown = printable("7" * length)
    assert shown.endswith("(full text in the record)") is is_cut
    assert shown.count("7") == LONGEST_TEXT


def test_a_cut_never_leaves_half_a_sign() -> None:
    """Signs shown by number are kept whole at the cut."""
    shown = printable("日" * 500)
    assert re.fullmatch(r"(\[U\+65E5\])+ … \(full text in the record\)", shown)


def test_a_long_word_is_broken_to_the_column() -> None:
    """A word of 500 letters becomes lines that fit, hyphens first; nothing of it is lost."""
    lines = wrapped("Anna-" + "x" * 500, 200, 10)
    assert lines[0] == "Anna-"
    assert all(width_of(line, 10) <= 200 for line in lines)
    assert "".join(lines) == "Anna-" + "x" * 500


def test_a_shortened_string_fits_and_says_so() -> None:
    """What is cut to a width ends in an ellipsis; what fits is unchanged."""
    assert shortened("short", 200, 10) == "short"
    cut = shortened("quite a long heading for a narrow column", 80, 10)
    assert cut.endswith("…")
    assert width_of(cut, 10) <= 80


def test_the_fonts_travel_with_their_licence() -> None:
    """Fonts, licence and how they were trimmed stand together."""
    names = {path.name for path in (ROOM / "fonts").iterdir()}
    assert {"DejaVuSans.ttf", "DejaVuSans-Bold.ttf", "LICENSE-DejaVu.txt", "README.md"} <= names


@pytest.mark.parametrize(
    ("string", "kept"),
    [
        ("Other numbers: V series = 4.34 V and I series = 0.11 A. Work out R series in Ω.", "R series"),
        ("Other numbers: c acid = 1.1 mol/dm³, V acid = 41.0 cm³ and c alkali = 1.1 mol/dm³.", "c alkali ="),
        ("Work out what the calculator shows for the product, which is C d² = 340 878.8 cm².", "C d² ="),
        ("Five numbers to three figures, 0.00495 and 20 400 among them, and say which is which.", "20 400"),
        ("The curve is nearly straight between the two of them. Where is % change equal to 0 %?", "% change"),
        ("You did the product of the two the wrong way round here. It is V ÷ I.", "V ÷ I"),
        ("Work it out once more with the other numbers, then give the answer in Ω.", "in Ω."),
    ],
)
def test_what_belongs_together_is_not_torn(string: str, kept: str) -> None:
    """A symbol of two words before its value, and a last word that is a unit, at every width of a column."""
    bound = kept if kept != "R series" else "V series ="
    for width in range(120, 400, 7):
        lines = [line.replace("\u00a0", " ") for line in wrapped(string, width, 10)]
        assert any(bound in line for line in lines), lines
