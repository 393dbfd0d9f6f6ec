"""The figures of a typed number: where its decimal point is, which marks part thousands, what its last place is."""

from __future__ import annotations

import re
from collections.abc import Iterator

from msgspec import Struct

from rubrics.patterns import late_pattern

LastPlace = tuple[int, int]
"""Power of ten of the last significant digit: (finest, coarsest) reading of the text."""

_GROUPED = late_pattern(r"[1-9][0-9]{0,2}(?P<mark>[ ',.])[0-9]{3}(?:(?P=mark)[0-9]{3})*")
_MARK_NAMES = {" ": "space", "'": "apostrophe", ",": "comma", ".": "full stop"}


class Figures(Struct, frozen=True, kw_only=True):
    """One way to read the figures of a number."""

    digits: str
    """Plain decimal text: 8820.0."""
    is_decimal: bool
    """False where every mark in it parts thousands."""
    mark: str = ""
    """The mark that could be read two ways, or was read at all; empty for plain figures."""
    note: str = ""
    """How the marks were read; empty where there is nothing to say."""

    @property
    def last_place(self) -> LastPlace:
        """Return the last place; zeros at the end of a whole number may or may not count."""
        whole, point, decimals = self.digits.partition(".")
        if point:
            return -len(decimals), -len(decimals)
        zeros = len(whole) - len(whole.rstrip("0"))
        return 0, zeros if zeros < len(whole) else 0


def read_figures(run: str, *, has_decimal_commas: bool) -> tuple[Figures, ...]:
    """Return the ways to read a run of figures and marks: one, two where a mark is unclear, none where they are amiss.

    Args:
        run: Figures with full stops, commas, apostrophes and spaces between or behind them; no sign, no power.
        has_decimal_commas: The file is known to write 20,5 for 20.5. Then 10.400 may be ten thousand.
    """
    run, behind = _without_last_mark(run)
    ways = [*_with_point(run, ".", behind), *_with_point(run, ",", behind)]
    grouped = _GROUPED.fullmatch(run)
    if grouped and (grouped["mark"] != "." or has_decimal_commas or run.count(".") > 1):
        note = f"{_MARK_NAMES[grouped['mark']]} as thousands mark"
        digits = run.replace(grouped["mark"], "")
        ways.append(Figures(digits=digits, is_decimal=False, mark=grouped["mark"], note=_both(note, behind)))
    return tuple(ways)


def _without_last_mark(run: str) -> tuple[str, str]:
    # '20.5,' and '20.5.' end a phrase; the point of '5.' belongs to the number.
    is_phrase_end = run.endswith(",") or (run.endswith(".") and bool(re.search("[.,]", run[:-1])))
    if is_phrase_end and len(run) > 1:
        return run[:-1], f"{_MARK_NAMES[run[-1]]} after the number left out"
    return run, ""


def _with_point(run: str, point: str, behind: str) -> Iterator[Figures]:
    """Yield *run* read with *point* in front of its decimals; with '.', a run without any mark too."""
    whole, mark, decimals = run.partition(point)
    if (not mark and point == ",") or not (decimals.isdigit() or not decimals):
        return
    grouped = _GROUPED.fullmatch(whole)
    if grouped and (not mark or grouped["mark"] == point):
        return
    if not grouped and whole and not whole.isdigit():
        return
    notes = ["decimal comma"] if point == "," else []
    if grouped:
        notes.append(f"{_MARK_NAMES[grouped['mark']]} as thousands mark")
        whole = whole.replace(grouped["mark"], "")
    digits = f"{whole or '0'}{'.' if mark else ''}{decimals}"
    yield Figures(digits=digits, is_decimal=bool(mark), mark=mark, note=_both(*notes, behind))


def _both(*notes: str) -> str:
    return ", ".join(note for note in notes if note)
