"""Whether a cell writes 20,5 or 20.5: as its column and its row do, and where they are silent as the file does."""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Iterable, Mapping

from msgspec import Struct, field

from rubrics.patterns import late_pattern

_LONGEST = 40
"""Signs of a field that is looked at; a number with its unit has fewer."""
_CLEAR_COMMA = late_pattern(r"(?<![\d.,])(?![1-9]\d{0,2},\d{3}(?!\d))\d+,\d+(?![\d.,])")
_CLEAR_POINT = late_pattern(r"(?<![\d.,])(?![1-9]\d{0,2}\.\d{3}(?!\d))\d+\.\d+(?![\d.,])")
"""Three figures behind the mark may be thousands, and tell nothing, unless a nought leads."""


class DecimalHabit(Struct, frozen=True, kw_only=True):
    """How the numbers of a file are written."""

    of_file: bool | None = None
    """True where all decimals of the file stand behind commas; None where each number has to speak for itself."""
    is_mostly_commas: bool = False
    has_commas: bool = False
    of_columns: Mapping[int, bool] = field(default_factory=dict)
    """Column, from 1, to whether commas are more frequent than points in it; columns that do not tell are left out."""
    of_rows: Mapping[int, bool] = field(default_factory=dict)
    """The same of rows, which are mostly a student each."""

    def at(self, column: int, row: int, text: str) -> bool | None:
        """Return how decimals are written where *text* stands: as its column and its row agree, else as the file."""
        return self.agreed(text, self.of_columns.get(column), self.of_rows.get(row))

    def agreed(self, text: str, *habits: bool | None) -> bool | None:
        """Return what several habits come to for one text.

        True where 22.100 may be thousands and 1,002 is a decimal; None where the number has to speak for itself.
        Where habits differ, either mark may be either, and neither 22.100 nor 1,002 is read in one way alone.
        """
        known = {habit for habit in habits if habit is not None}
        if len(known) == 1:
            return True if True in known else None
        if not known and (self.of_file is not None or not self.has_commas):
            return self.of_file
        return True if "." in text else None


NO_HABIT = DecimalHabit()
"""Nothing is known: each number has to speak for itself."""


class DecimalMarks(Struct):
    """Counts the fields whose mark can only be a decimal one."""

    _commas: Counter[Hashable] = field(default_factory=Counter)
    _points: Counter[Hashable] = field(default_factory=Counter)

    def see(self, key: Hashable, text: str) -> None:
        """Count the mark of a field under *key*: a column, a student."""
        if len(text) > _LONGEST:
            return
        if "," in text and _CLEAR_COMMA.search(text):
            self._commas[key] += 1
        if "." in text and _CLEAR_POINT.search(text):
            self._points[key] += 1

    @property
    def totals(self) -> tuple[int, int]:
        """Return how many fields have a decimal comma, and how many a point."""
        return self._commas.total(), self._points.total()

    def of(self, key: Hashable) -> bool | None:
        """Return whether commas are more frequent than points under *key*; None where neither is."""
        commas, points = self._commas[key], self._points[key]
        return None if commas == points else commas > points


class SheetMarks(Struct):
    """The decimal marks of one sheet, by column and by row."""

    _columns: DecimalMarks = field(default_factory=DecimalMarks)
    _rows: DecimalMarks = field(default_factory=DecimalMarks)
    _seen: tuple[set[int], set[int]] = field(default_factory=lambda: (set(), set()))

    def see(self, row: int, fields: Iterable[tuple[int, str]]) -> None:
        """Count the marks of one row's fields, each with its column."""
        for column, text in fields:
            if "," in text or "." in text:
                self._columns.see(column, text)
                self._rows.see(row, text)
                self._seen[0].add(column)
                self._seen[1].add(row)

    @property
    def habit(self) -> DecimalHabit:
        """Return what the fields seen so far show."""
        commas, points = self._columns._commas.total(), self._columns._points.total()
        return DecimalHabit(
            of_file=True if commas and not points else None,
            is_mostly_commas=commas > points,
            has_commas=commas > 0,
            of_columns={key: of for key in self._seen[0] if (of := self._columns.of(key)) is not None},
            of_rows={key: of for key in self._seen[1] if (of := self._rows.of(key)) is not None},
        )


def habit_of(rows: Mapping[int, Mapping[int, object]]) -> DecimalHabit:
    """Return how the plain texts of a sheet, by row and column, write their decimals."""
    marks = SheetMarks()
    for row, fields in rows.items():
        marks.see(row, ((column, text) for column, text in fields.items() if isinstance(text, str)))
    return marks.habit
