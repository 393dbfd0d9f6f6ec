"""Whether a column writes 20,5 or 20.5, decided from all cells of the column, and where they are silent of the file."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

_LONGEST = 40
"""Signs of a field that is looked at; a number with its unit has fewer."""
_CLEAR_COMMA = re.compile(r"(?<![\d.,])(?![1-9]\d{0,2},\d{3}(?!\d))\d+,\d+(?![\d.,])")
_CLEAR_POINT = re.compile(r"(?<![\d.,])(?![1-9]\d{0,2}\.\d{3}(?!\d))\d+\.\d+(?![\d.,])")
"""Three figures behind the mark may be thousands, and tell nothing, unless a nought leads."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DecimalHabit:
    """How the numbers of a file are written."""

    of_file: bool | None = None
    """True where 22.100 may be thousands, for decimals stand behind commas; None where each number has to speak."""
    of_columns: Mapping[int, bool] = field(default_factory=dict)
    """Column, from 1, to whether commas are more frequent than points in it; columns that do not tell are left out."""

    def at(self, column: int) -> bool | None:
        """Return the habit of a column, that of the file where the column does not tell; as in *of_file*."""
        found = self.of_columns.get(column)
        return self.of_file if found is None else found or None


NO_HABIT = DecimalHabit()
"""Nothing is known: each number has to speak for itself."""


@dataclass(slots=True)
class DecimalMarks:
    """Counts the fields whose mark can only be a decimal one."""

    _commas: Counter[int] = field(default_factory=Counter)
    _points: Counter[int] = field(default_factory=Counter)

    def see(self, fields: Iterable[tuple[int, str]]) -> None:
        """Count the marks of some fields, each with its column."""
        for column, text in fields:
            if len(text) <= _LONGEST:
                if "," in text and _CLEAR_COMMA.search(text):
                    self._commas[column] += 1
                if "." in text and _CLEAR_POINT.search(text):
                    self._points[column] += 1

    @property
    def habit(self) -> DecimalHabit:
        """Return what the fields seen so far show."""
        both = {column: (self._commas[column], self._points[column]) for column in {*self._commas, *self._points}}
        return DecimalHabit(
            of_file=True if self._commas.total() > self._points.total() else None,
            of_columns={column: commas > points for column, (commas, points) in both.items() if commas != points},
        )
