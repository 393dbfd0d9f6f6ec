"""Row numbers of a student's table."""

from __future__ import annotations

from marking.intake.remarks import Notebook, quote
from marking.write_up import Place, Weight

MAX_ROW = 999
"""No student's table is longer; a larger number is a reading under the wrong heading."""


def read_row_number(text: str, place: Place, student: str, notebook: Notebook) -> int | None:
    """Return the row number that *text* gives, from 1; None, and the teacher is told, where it gives none."""
    bare = text.strip()
    if bare.isascii() and bare.isdigit() and len(bare) <= len(str(MAX_ROW)) and int(bare) >= 1:
        return int(bare)
    said = f"{quote(text)} is no row number; what stands on this line is not used"
    mend = "Number the rows of each student's table from 1"
    notebook.tell(Weight.QUERY, said, mend, place=place, student=student)
    return None
