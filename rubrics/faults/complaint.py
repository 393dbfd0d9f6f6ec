"""One thing that is wrong with a rubric file, before its line is known."""

from __future__ import annotations

from msgspec import Struct

from rubrics.faults.key_lines import Key


class Complaint(Struct, frozen=True):
    """Something wrong at a key of the file."""

    key: Key
    problem: str
    mend: str
