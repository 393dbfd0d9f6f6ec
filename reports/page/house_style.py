"""How everything on paper looks: fonts, page, greys, and the one way a string gets onto a page."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache
from importlib import resources

from msgspec import Struct
from reportlab import rl_config
from reportlab.lib.pagesizes import A4
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from reports.page.flowable import Flowable
from reports.page.tagging import TaggedCanvas, tagged
from reports.wording import cut, one_line

rl_config.invariant = 1  # no clock and no random names in a file: the same input gives the same bytes
rl_config.useA85 = 0  # plain binary streams: a fifth smaller

PAGE_WIDTH, PAGE_HEIGHT = A4
MARGIN = 48.0
"""Points; enough for any printer and for two punched holes."""
LEFT, RIGHT = MARGIN, PAGE_WIDTH - MARGIN
TOP, BOTTOM = PAGE_HEIGHT - 46.0, 50.0
WIDTH = RIGHT - LEFT
GUTTER = 24.0
SIDE_WIDTH = 156.0
"""The narrow column, for chart and marks."""
MAIN_WIDTH = WIDTH - GUTTER - SIDE_WIDTH
"""The wide column, for reading: about 55 letters a line."""

INK = 0.0
SOFT = 0.33
"""For what is read second; 7 : 1 on white, so it survives a worn copier."""
LINE = 0.60
GRID = 0.84
BAND = 0.80
"""A band that is to be seen on a worn copier."""
WHITE = 1.0
"""Greys, from black to white: nothing on a sheet speaks by colour."""

LONGEST_TEXT = 600
"""Characters of one string on a sheet; the record keeps the whole of it."""
CUT_MARK = " … (full text in the record)"

REGULAR, BOLD = "WriteupsSans", "WriteupsSans-Bold"


def _register_fonts() -> frozenset[int]:
    """Register the two faces and return the codes of the signs that both can print."""
    shared: frozenset[int] | None = None
    for name, file in ((REGULAR, "DejaVuSans.ttf"), (BOLD, "DejaVuSans-Bold.ttf")):
        with resources.as_file(resources.files("reports").joinpath("fonts", file)) as path:
            # Only the letters in use are embedded, not all of ASCII: half the size, and a third of the time.
            font = TTFont(name, str(path), asciiReadable=0)
        pdfmetrics.registerFont(font)
        codes = frozenset(font.face.charToGlyph)
        shared = codes if shared is None else shared & codes
    pdfmetrics.registerFontFamily(REGULAR, normal=REGULAR, bold=BOLD, italic=REGULAR, boldItalic=BOLD)
    return shared or frozenset()


_PRINTABLE = _register_fonts()


class _Printed(dict[int, str]):
    """Character code to what is printed for it: itself, or its number where the fonts have no such sign."""

    def __missing__(self, code: int) -> str:
        self[code] = chr(code) if code in _PRINTABLE else f"[U+{code:04X}]"
        return self[code]


_printed = _Printed()


@lru_cache(maxsize=2048)  # what is the same on every sheet is looked through once
def printable(text: str, limit: int = LONGEST_TEXT, mark: str = CUT_MARK) -> str:
    """Return *text* as it can be printed: one line, hidden characters gone, signs without a glyph as [U+65E5], cut.

    Every string that goes straight onto a canvas passes through here; running text goes through `text`.
    """
    shown = one_line(text[: 4 * limit]).translate(_printed)
    if len(shown) <= limit:
        return shown
    head = shown[:limit]
    opened = head.rfind("[U+")
    if opened > head.rfind("]"):
        head = head[:opened]  # never half a number
    return cut(head, len(head)).rstrip() + mark


class Type(Struct, frozen=True):
    """How running text is set."""

    size: float
    leading: float
    grey: float
    font: str = REGULAR


STEP = Type(12, 18, INK)
"""What is to be done now."""
BODY = Type(10, 15, INK)
FINE = Type(9, 13.5, INK)
"""The least size of words on a student's front page."""
FINE_SOFT = Type(9, 13.5, SOFT)
SMALL = Type(8, 12, SOFT)
NOTE = Type(8.5, 12.75, INK)
"""Lines one and a half times their size apart: easier for everyone, and needed by some."""
TITLE_SIZE, HEADING_SIZE, NAME_SIZE, BODY_SIZE = 16.0, 11.5, 10.0, 10.0
LABEL_SIZE, TABLE_SIZE, FOOT_SIZE = 8.5, 7.5, 7.5
STEP_SIZE, FINE_SIZE = 12.0, 9.0
"""Points of type."""


_BOUND = re.compile(
    r"(?<=\d) (?=[^\W\d_]|[°%±]|\d{3}\b)| (?==)|(?<=[=×÷+−±→]) (?=\S)|(?<=\d) (?=×\W10[⁻⁰¹²³⁴-⁹])"
    r"|(?<=\d,) (?=−?\d[^\s,]*\))|(?<=\bin) (?=[^\s.,]{1,12}[.,](?:\s|$))"
    r"|(?<=(?<!\w)[^\W\d_]) (?=[^\s=]{1,10}\s=)|(?<=(?<!\w)\w) (?=[÷×])|(?<=(?<!\d\W)%) (?=[a-z])"
)
"""Spaces that no line breaks at: between a number and its unit, inside a number, between the two numbers of a point,
behind a sign (no line ends in an operator), before a last word that is a unit, inside a symbol of two words, as in
'V series = 4 V', and inside a product of single letters."""
_THOUSANDTH = 0.001
"""As the library of print has it: width in thousandths, times size."""
_BELOW_STROKE = re.compile(r"/\([^()]{1,16}\)")
_TWO_WORDS = re.compile(
    r"(?<=[\d\u00a0 ])(c?m[²³]?|dm³|k?Pa|k?J|V|A|N|count) (?=(?:[cdn]?m[²³]?|count/(?:min|s)|s|K|°C|nm)(?:[\s.,;:)]|$))"
)
"""Units of more than one word, J/(kg °C) and kPa cm³, are never torn."""


def _bound(string: str) -> str:
    shown = _BOUND.sub("\u00a0", string)
    if "/(" in shown:
        shown = _BELOW_STROKE.sub(lambda found: found[0].replace(" ", "\u00a0"), shown)
    return _TWO_WORDS.sub("\\1\u00a0", shown)


class Sentences(Flowable):
    """Running text, broken into lines for each width."""

    role, alt = "P", ""

    def __init__(self, string: str, style: Type) -> None:
        """Take the text, ready to print, and how it is set."""
        super().__init__()
        self.string, self.style = string, style

    def wrap(self, width: float, _height: float) -> tuple[float, float]:
        """Return width and height in a column of *width* points."""
        self.lines = wrapped(self.string, width, self.style.size, self.style.font)
        self.width, self.height = width, self.style.leading * max(1, len(self.lines))
        return self.width, self.height

    def draw(self) -> None:
        """Draw the lines, in one ink."""
        with tagged(self.canv, self.role, alt=self.alt):
            self.set_lines()

    def set_lines(self) -> None:
        """Draw the lines, as part of what is open."""
        print_ = self.canv.beginText(0, self.height - self.style.size)
        print_.setFont(self.style.font, self.style.size, self.style.leading)
        print_.setFillGray(self.style.grey)
        for line in self.lines[:-1]:
            print_.textLine(f"{line} ")  # so that a reader does not run two words together
        print_.textOut(self.lines[-1] if self.lines else "")
        self.canv.drawText(print_)


def text(style: Type, string: str) -> Sentences:
    """Return *string* as one paragraph; whatever it holds is printed as text, never obeyed as markup.

    The only place where a paragraph is made.
    """
    return Sentences(printable(string), style)


def formula(style: Type, string: str) -> Sentences:
    """Return *string* as `text` does, as a formula to a screen reader: it has the signs as words of its own."""
    shown = text(style, string)
    shown.role, shown.alt = "Formula", shown.string
    return shown


def width_of(string: str, size: float, font: str = REGULAR) -> float:
    """Return the width of *string* in points."""
    return float(pdfmetrics.stringWidth(string, font, size))


def shortened(string: str, width: float, size: float, font: str = REGULAR) -> str:
    """Return *string*, printable and cut with '…' so that it is no wider than *width*."""
    shown = printable(string)
    if width_of(shown, size, font) <= width:
        return shown
    while shown and width_of(f"{shown}…", size, font) > width:
        shown = shown[:-1]
    return f"{shown.rstrip()}…"


@lru_cache(maxsize=2048)  # a class shares its criteria and its cautions
def wrapped(string: str, width: float, size: float, font: str = REGULAR) -> tuple[str, ...]:
    """Return *string*, printable, as lines no wider than *width*; a word that is too long is cut into pieces."""
    lines: list[str] = []
    taken, space = 0.0, _advance(" ", font)
    for word in _pieces(_bound(printable(string)).split(" "), width, size, font):
        own = _advance(word, font)
        if lines and _THOUSANDTH * size * (taken + space + own) <= width:
            lines[-1] = f"{lines[-1]} {word}"
            taken += space + own
        else:
            lines.append(word)
            taken = own
    return tuple(lines)


@lru_cache(maxsize=16384)  # the words of a subject come again and again
def _advance(word: str, font: str) -> float:
    """Return the width of *word* in thousandths of its size, as the font has it.

    Our faces have 2048 units a size, so every width is a whole number of 256ths: sums of them are exact, in whatever
    order they are made, and a line is as wide as its words and spaces together.
    """
    return round(256 * width_of(word, 1000, font)) / 256


def _pieces(words: Iterable[str], width: float, size: float, font: str) -> Iterable[str]:
    for word in words:
        rest = word
        while _THOUSANDTH * size * _advance(rest, font) > width and len(rest) > 1:
            count = next(n for n in range(len(rest) - 1, 0, -1) if n == 1 or width_of(rest[:n], size, font) <= width)
            hyphen = rest.rfind("-", 0, count)
            count = hyphen + 1 if hyphen > 0 else count
            yield rest[:count]
            rest = rest[count:]
        yield rest


def new_canvas(path: str, title: str, subject: str) -> Canvas:
    """Return an empty A4 document in our language, with a title for screen readers."""
    canvas = TaggedCanvas(path, pagesize=A4, pageCompression=1, lang="en-GB", initialFontName=REGULAR)
    canvas.setTitle(printable(title, 200, "…"))
    canvas.setSubject(printable(subject, 200, "…"))
    canvas.setAuthor("writeups")
    canvas.setViewerPreference("DisplayDocTitle", "true")
    return canvas
