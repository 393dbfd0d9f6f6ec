"""Lines of a tidy file about the student of the line above, on items and rows named before, as most lines are."""

from __future__ import annotations

from collections.abc import Hashable
from functools import lru_cache

from msgspec import Struct, field

from marking.cells import Column, ReadCell
from marking.intake.entries import Gathered, Sheaf, WrittenUnit, read_cell
from marking.intake.grids import Field, Named, Vocabulary

_LONGEST = 60
"""Signs of an entry that is kept; a longer one is somebody's own sentence."""

Written = tuple[Field, Field, Field, bool | None]
"""Item, entry, unit, and whether a comma may be a decimal one: what decides, in one file, how a cell is understood."""
PARTED_BY = ","
"""What parts the fields of a line that is put as text; nothing in it stands in quotes."""


class KnownItem(Struct, frozen=True):
    """An item under one way of naming it, with the row numbers met so far as they were written."""

    named: Named
    written: Field
    """The name, the same object for all keys that it is part of."""
    rows: dict[Field, int] = field(default_factory=dict)


Names = dict[Field, KnownItem]
"""By what names an item in a file."""


class SameStudent(Struct, frozen=True):
    """Whose lines are being read."""

    sheaf: Sheaf
    vocabulary: Vocabulary
    names: Names
    column: Column
    has_unit_box: bool
    """Whether the file has a column for units."""

    @classmethod
    def of(
        cls, gathered: Gathered, sheaf: Sheaf, names: dict[str, Names], column: Column, *, has_unit_box: bool
    ) -> SameStudent:
        """Return it for a student of one practical; *names* are those of the file, by practical."""
        vocabulary = gathered.vocabulary
        return cls(sheaf, vocabulary, names.setdefault(vocabulary.rubric.id, {}), column, has_unit_box)

    def put(self, written: Written, row: Field, line: int) -> bool:
        """Put a cell with the student's others; return whether its item and row were met before, else it is left."""
        known = self.names.get(written[0])
        number = None if known is None else known.rows.get(row)
        if known is None or number is None:
            return False
        self.sheaf.put(known.named.item.name, number, self.cell(written, known.named), line, self.column)
        return True

    def put_text(self, text: str, line: int) -> bool:
        """Do as ``put`` does with a cell whose item, row, entry and unit are one text still, in this order.

        The entry and its unit are looked up as they stand there, together. No comma of the file may be a decimal one.
        """
        fields = text.split(PARTED_BY, 2)
        known = self.names.get(fields[0])
        if known is None or len(fields) < 3:
            return False
        number, rest = known.rows.get(fields[1]), fields[2]
        if number is None:
            return False
        key = known.written, rest
        cell = self.vocabulary.cells.get(key)
        if cell is None:
            if rest.count(PARTED_BY) != 1:
                return False
            entry, unit = rest.split(PARTED_BY)
            cell = self.read((known.written, entry, unit, None), known.named, key)
        self.sheaf.put(known.named.item.name, number, cell, line, self.column)
        return True

    def cell(self, written: Written, named: Named) -> ReadCell:
        """Return what a cell is understood as, whether the same was met before or not."""
        return self.vocabulary.cells.get((written, self.has_unit_box)) or self.read(written, named)

    def read(self, written: Written, named: Named, key: Hashable = None) -> ReadCell:
        """Return what a cell is understood as, and remember it; what a workbook stores is read each time.

        Args:
            written: What stands there.
            named: The item.
            key: What it is remembered by, if not by *written*.
        """
        _, entry, unit, comma = written
        if not isinstance(entry, str) or not isinstance(unit, str):
            beside = WrittenUnit(field=unit, heading=named.unit, has_box=self.has_unit_box)
            return read_cell(entry, beside, named.item, self.vocabulary, decimal_comma=comma)
        cell = read_cell(
            entry, _beside(unit, named.unit, self.has_unit_box), named.item, self.vocabulary, decimal_comma=comma
        )
        if len(entry) <= _LONGEST:
            self.vocabulary.cells.put(key or (written, self.has_unit_box), cell)
        return cell

    def learn(self, item: Field, row: Field, named: Named, number: int) -> None:
        """Remember how an item and a row are written here."""
        self.names.setdefault(item, KnownItem(named, item)).rows[row] = number


@lru_cache(maxsize=1024)
def _beside(field: str, heading: str, has_box: bool) -> WrittenUnit:
    return WrittenUnit(field=field, heading=heading, has_box=has_box)
