"""Row numbers of a student's table."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

from marking.intake.remarks import Notebook, quote
from marking.write_up import Place, Weight
from rubrics.model import Rubric

_LONGEST = 3
"""Figures of a row number; a longer one is a reading under the wrong heading."""


def read_row_number(
    text: str, place: Callable[[], Place], student: str, rubric: Rubric, notebook: Notebook
) -> int | None:
    """Return the row number that *text* gives, from 1; None, and the teacher is told, where it gives none.

    Args:
        text: As it stands there.
        place: What tells where, should there be something to tell.
        student: Whose row it is.
        rubric: The practical.
        notebook: Where it is told.
    """
    number = _plain_number(text)
    if number is not None:
        return number if number <= rubric.most_rows else within(number, place(), student, rubric, notebook)
    said = f"{quote(text)} is no row number; what stands on this line is not used"
    mend = "Number the rows of each student's table from 1"
    notebook.tell(Weight.QUERY, said, mend, place=place(), student=student, once="row number")
    return None


@lru_cache(maxsize=1024)
def _plain_number(text: str) -> int | None:
    bare = text.strip()
    is_plain = bare.isascii() and bare.isdigit() and len(bare) <= _LONGEST and int(bare) >= 1
    return int(bare) if is_plain else None


def within(number: int, place: Place, student: str, rubric: Rubric, notebook: Notebook) -> int | None:
    """Return a row number that the practical allows; None for one beyond, of which the teacher is told once."""
    if number <= rubric.most_rows:
        return number
    said = f"more than {rubric.most_rows} rows, the most that a table of {rubric.id} has; the rest is not used"
    mend = "Hand in fewer rows, or raise most_rows in the rubric"
    notebook.tell(Weight.QUERY, said, mend, place=place, student=student, once="most rows")
    return None
