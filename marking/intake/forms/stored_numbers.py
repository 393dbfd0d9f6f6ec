"""How a foreign workbook stores its numbers: as text, with fixed decimal places, or with their zeros lost."""

from __future__ import annotations

from msgspec import Struct, field

from marking.intake.grids import Field, Stored
from rubrics.patterns import late_pattern

_DECIMALS = late_pattern(r"\.(\d+)")


class NumberWatch(Struct):
    """Watches the numbers of one sheet go by."""

    as_text: list[str] = field(default_factory=list)
    """Cells with a number stored as text."""
    _open: list[tuple[int, int, str]] = field(default_factory=list)
    _fixed: dict[int, int] = field(default_factory=dict)
    _most: dict[int, int] = field(default_factory=dict)

    def see(self, value: Field, column: int, cell: str) -> None:
        """Take note of a cell that was read as a number."""
        if isinstance(value, str):
            self.as_text.append(cell)
            return
        if value.stored is not Stored.NUMBER:
            return
        decimals = _DECIMALS.search(value.text)
        places = len(decimals[1]) if decimals else 0
        self._most[column] = max(places, self._most.get(column, 0))
        if value.zeros_unknown:
            self._open.append((column, places, cell))
        else:
            self._fixed[column] = places

    @property
    def with_lost_zeros(self) -> list[str]:
        """Return the cells that show fewer places than their column, in a sheet whose other cells keep theirs.

        Where no cell of the sheet keeps its zeros there is nothing uneven to tell.
        """
        if not self._fixed:
            return []
        return [cell for column, places, cell in self._open if places < self._most[column]]
