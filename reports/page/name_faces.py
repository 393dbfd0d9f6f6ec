"""Names in scripts that the usual faces do not hold: Arabic and Hebrew in a face of ours, Chinese in the system's.

Letters are joined by HarfBuzz. A name that no face holds is printed as `printable` does it, sign by sign, with their
numbers. Directions are sorted word by word, which is all that a name needs (Unicode Standard Annex 9, base direction
by the first strong letter).
"""

from __future__ import annotations

import os
import unicodedata
from collections.abc import Iterator
from functools import cache
from importlib import resources
from itertools import groupby
from pathlib import Path

from msgspec import Struct
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFError, TTFont, shapeStr
from reportlab.pdfgen.canvas import Canvas

from reports.page.house_style import NAME_SIZE, printable
from reports.wording import one_line

_FACE = "WriteupsNames"
_OURS = "DejaVuSans-Names.ttf"
_SYSTEM_NAMES = (
    "DroidSansFallbackFull.ttf",
    "DroidSansFallback.ttf",
    "NotoSansSC-Regular.ttf",
    "NotoSansSC[wght].ttf",
    "NotoSansSC-VF.ttf",
    "wqy-microhei.ttc",
    "wqy-zenhei.ttc",
    "uming.ttc",
    "ukai.ttc",
    "Arial Unicode.ttf",
    "STHeiti Medium.ttc",
    "msyh.ttc",
    "simsun.ttc",
)
"""Files with outlines that the PDF library takes, in the order in which they are tried."""
FONT_FOLDERS = (
    Path("/usr/share/fonts"),
    Path("/usr/local/share/fonts"),
    Path.home() / ".local/share/fonts",
    Path.home() / ".fonts",
    Path("/System/Library/Fonts"),
    Path("/Library/Fonts"),
    Path("C:/Windows/Fonts"),
)
"""Where systems keep their faces."""
_LONGEST = 60
_LARGER = 2.0
"""Points: letters that are joined are small for their size."""
_FROM_RIGHT = ("R", "AL")


class Face(Struct, frozen=True, kw_only=True):
    """A file with the letters of a name."""

    path: str
    is_ours: bool


def face_for(name: str) -> Face | None:
    """Return the face that a name needs; None where the usual ones serve, or no face here holds it."""
    shown = one_line(name)
    if not shown or len(shown) > _LONGEST or "[U+" not in printable(shown):
        return None
    codes = {ord(sign) for sign in shown}
    candidates = (Face(path=_OURS, is_ours=True), *system_faces())
    return next((face for face in candidates if codes <= _codes(face)), None)


@cache
def system_faces() -> tuple[Face, ...]:
    """Return the faces of this system that may hold a name, looked for once, the first to be tried first."""
    found: dict[str, str] = {}
    for folder in FONT_FOLDERS:
        for place, _, files in sorted(os.walk(folder)):
            for name in files:
                if name in _SYSTEM_NAMES:
                    found.setdefault(name, str(Path(place) / name))
    return tuple(Face(path=found[name], is_ours=False) for name in _SYSTEM_NAMES if name in found)


@cache
def _codes(face: Face) -> frozenset[int]:
    font = _load(face)
    return frozenset() if font is None else frozenset(font.face.charToGlyph)


def _load(face: Face) -> TTFont | None:
    if not face.is_ours:
        try:
            return TTFont(_FACE, face.path, asciiReadable=0)
        except (TTFError, OSError):
            return None
    with resources.as_file(resources.files("reports").joinpath("fonts", face.path)) as path:
        return TTFont(_FACE, str(path), asciiReadable=0)


def draw_name(canvas: Canvas, name: str, face: Face, edge: float, base: float, *, from_right: bool) -> None:
    """Draw *name* in *face*, its right edge at *edge* where *from_right*, else its left one.

    A face is loaded anew for each file: joined letters get their codes in the order in which they are met, and the
    same sheet has to have the same bytes whatever was printed before it.
    """
    faces = canvas.__dict__.setdefault("name_faces", {})
    key = f"{_FACE}-{face.path}"
    if key not in faces:
        font = _load(face)
        if font is None:
            return
        font.fontName = key
        pdfmetrics.registerFont(font)
        faces[key] = font
    pdfmetrics.registerFont(faces[key])
    words = list(in_print_order(one_line(name)))
    size = NAME_SIZE + _LARGER
    shaped = [shapeStr(word, key, size, force=True) for word in words]
    widths = [sum(sign.x_advance for sign in word.__shapeData__) * size / 1000 for word in shaped]
    gap = size / 3
    left = edge - sum(widths) - gap * (len(words) - 1) if from_right else edge
    canvas.setFont(key, size)
    for word, width in zip(shaped, widths, strict=True):
        canvas.drawString(left, base, word)
        left += width + gap


def in_print_order(name: str) -> Iterator[str]:
    """Yield the words of a name from left to right, as they stand on paper."""
    words = name.split(" ")
    is_base_right = next(filter(None, map(_direction, words)), "L") in _FROM_RIGHT
    runs = [(right, list(run)) for right, run in groupby(words, lambda word: _direction(word) in _FROM_RIGHT)]
    for is_right, run in reversed(runs) if is_base_right else runs:
        yield from reversed(run) if is_right else run


def _direction(word: str) -> str:
    kinds = (unicodedata.bidirectional(sign) for sign in word)
    return next((kind for kind in kinds if kind in ("L", *_FROM_RIGHT)), "")
