"""Whether a file writes 20,5 or 20.5, decided from all of its cells."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

_LONGEST = 40
"""Signs of a field that is looked at; a number with its unit has fewer."""
_CLEAR_COMMA = re.compile(r"(?<![\d.,])\d+,(?:\d{1,2}|\d{4,})(?![\d.,])")
_CLEAR_POINT = re.compile(r"(?<![\d.,])\d+\.(?:\d{1,2}|\d{4,})(?![\d.,])")
"""Three figures behind the mark may be thousands, and tell nothing."""


@dataclass(slots=True)
class DecimalMarks:
    """Counts the fields whose mark can only be a decimal one."""

    commas: int = 0
    points: int = 0

    def see(self, fields: Iterable[str]) -> None:
        """Count the marks of some fields."""
        for text in fields:
            if len(text) <= _LONGEST:
                self.commas += "," in text and _CLEAR_COMMA.search(text) is not None
                self.points += "." in text and _CLEAR_POINT.search(text) is not None

    @property
    def has_commas(self) -> bool | None:
        """Return True where the file writes decimal commas, so that 22.100 in it may be thousands; None else."""
        return True if self.commas > self.points else None
