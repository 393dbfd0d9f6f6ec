"""Codes of a mark book for missing, partial and odd work, in a column 'mark code' of the roster or a workbook."""

from __future__ import annotations

from marking.intake.remarks import Notebook, quote
from marking.write_up import MarkCode, Place, Weight
from rubrics.patterns import late_pattern

MARK_CODES = tuple(MarkCode)
_APART = late_pattern(r"[\s,;+/]+")
_LONGEST = 80


def read_mark_codes(text: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the codes in *text*, in the order of MARK_CODES, and the words that are none."""
    words = [word for word in _APART.split(text[:_LONGEST].strip().upper()) if word]
    known = tuple(code for code in MARK_CODES if code in words)
    return known, tuple(dict.fromkeys(word for word in words if word not in MARK_CODES))


def codes_told(text: str, student: str, place: Place, notebook: Notebook) -> tuple[str, ...]:
    """Return the codes in *text*; words that are none are told."""
    known, others = read_mark_codes(text)
    if others:
        said = f"{', '.join(map(quote, others))} is no mark code; not used"
        notebook.tell(Weight.QUERY, said, f"Use {', '.join(MARK_CODES)}", place=place, student=student)
    return known
