"""One thing that is wrong with a rubric file, before its line is known."""

from __future__ import annotations

from dataclasses import dataclass

from rubrics.faults.key_lines import Key


@dataclass(frozen=True, slots=True)
class Complaint:
    """Something wrong at a key of the file."""

    key: Key
    problem: str
    mend: str
