"""Reads printed sheets back: their text, and where every run of it stands."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from pypdf import PdfReader

from reports.page.house_style import BOLD, REGULAR, width_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """A run of print on a page, in points from the lower left corner."""

    page: int
    string: str
    left: float
    base: float
    right: float
    size: float


def text_of(path: Path) -> str:
    """Return all text of a PDF, with single spaces."""
    return " ".join(" ".join(page.extract_text() for page in PdfReader(path).pages).replace("\u00a0", " ").split())


def page_count(path: Path) -> int:
    """Return the number of pages."""
    return len(PdfReader(path).pages)


def runs_of(path: Path) -> list[Run]:
    """Return every run of print with its place."""
    runs: list[Run] = []
    for number, page in enumerate(PdfReader(path).pages):

        def visit(
            string: str, cm: list[float], tm: list[float], font: dict[str, str] | None, size: float, n: int = number
        ) -> None:
            shown = string.strip("\n").rstrip(" ")
            if not shown.strip() or font is None:
                return
            left = tm[4] * cm[0] + cm[4]
            base = tm[5] * cm[3] + cm[5]
            face = BOLD if "Bold" in font.get("/BaseFont", "") else REGULAR
            drawn = size * cm[0]  # a page that is drawn larger
            # Joined letters have codes of their own, which the usual faces do not know.
            right = left if "Names" in font.get("/BaseFont", "") else left + width_of(shown, drawn, face)
            runs.append(Run(page=n, string=shown, left=left, base=base, right=right, size=drawn))

        page.extract_text(visitor_text=visit)
    return runs
