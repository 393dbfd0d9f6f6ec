"""A sheet as it was found: fields under their own addresses, whatever file they came from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from enum import StrEnum
from functools import lru_cache

from msgspec import Struct, field

from marking.intake.grids.decimal_marks import NO_HABIT, DecimalHabit
from marking.write_up import Place

MAX_FIELDS = 200_000
"""Filled cells of one file; the largest class seen in practice has a few thousand."""
_LETTERS = 26


class Stored(StrEnum):
    """What a spreadsheet cell holds, where it is not plain text."""

    NUMBER = "number"
    TEXT = "text"
    """Text that a formula gave."""
    DATE = "date"
    TRUTH = "truth"
    ERROR = "error"
    UNCALCULATED = "uncalculated"
    """A formula whose result was never worked out."""
    STRUCK = "struck"
    """A line is drawn through all of it."""
    MERGED = "merged"
    """Nothing of its own: part of a merged range that shows another cell's text."""


class SheetValue(Struct, frozen=True, kw_only=True):
    """One spreadsheet cell that is more than plain text."""

    stored: Stored
    text: str
    """As the sheet shows it, as far as that can be told."""
    number: float | None = None
    """What is stored, where that is a number."""
    zeros_unknown: bool = False
    """True where the number format does not say how many trailing zeros were typed."""
    formula: str = ""
    remark: str = ""
    """What a teacher should know of the way it is stored, as a clause."""


STORED = "the cell holds"
"""How a remark begins that is about the way a cell is stored, not about what was typed."""

Field = str | SheetValue
"""Plain text, exactly as typed, or a spreadsheet cell with more to say."""


class Merge(Struct, frozen=True, kw_only=True):
    """A merged range; rows and columns count from 1."""

    top: int
    left: int
    bottom: int
    right: int

    @property
    def size(self) -> int:
        """Return the number of cells in it."""
        return (self.bottom - self.top + 1) * (self.right - self.left + 1)

    def __str__(self) -> str:
        """Return the range as a spreadsheet writes it."""
        return f"{cell_name(self.top, self.left)}:{cell_name(self.bottom, self.right)}"


class Grid(Struct, frozen=True, kw_only=True):
    """One sheet, or one CSV file."""

    file: str
    sheet: str
    """Empty for a CSV file."""
    rows: Mapping[int, Mapping[int, Field]]
    """Row number to column number to field, both from 1; only fields with something in them."""
    lengths: Mapping[int, int] = field(default_factory=dict)
    """Row number to the number of fields written on that line; empty for a workbook, which has no lines."""
    hidden_rows: frozenset[int] = frozenset()
    hidden_columns: frozenset[int] = frozenset()
    merges: tuple[Merge, ...] = ()
    decimal_habit: DecimalHabit = NO_HABIT

    def place(self, row: int, column: int) -> Place:
        """Return where a field stands."""
        return Place(file=self.file, sheet=self.sheet, cell=cell_name(row, column))

    def at(self, row: int, column: int) -> Field:
        """Return the field there; an empty text where there is none."""
        found = self.rows.get(row, {}).get(column)
        if found is not None:
            return found
        for merge in self.merges:
            if merge.top <= row <= merge.bottom and merge.left <= column <= merge.right:
                return self._shown_by(merge)
        return ""

    def _shown_by(self, merge: Merge) -> Field:
        origin = self.rows.get(merge.top, {}).get(merge.left, "")
        text = text_of(origin)
        if not text.strip():
            return ""
        remark = f"merged with {cell_name(merge.top, merge.left)}"
        return SheetValue(stored=Stored.MERGED, text=text, remark=remark)

    def filled_rows(self) -> Iterator[int]:
        """Yield the numbers of the rows with something in them, from the top."""
        yield from sorted(self.rows)


def text_of(value: Field) -> str:
    """Return what a field shows."""
    return value if isinstance(value, str) else value.text


def is_empty(value: Field) -> bool:
    """Tell whether a field has nothing in it but spaces; a formula without a result has something in it."""
    return isinstance(value, str) and not value.strip()


@lru_cache(maxsize=1024)
def column_letters(column: int) -> str:
    """Return the letters of the column with that number: 1 is A, 27 is AA."""
    letters = ""
    while column > 0:
        column, rest = divmod(column - 1, _LETTERS)
        letters = chr(ord("A") + rest) + letters
    return letters


def cell_name(row: int, column: int) -> str:
    """Return the address as a spreadsheet shows it, e.g. D7."""
    return f"{column_letters(column)}{row}"
