"""One student's sheet of paper, while it is being written on."""

from __future__ import annotations

from random import Random

from msgspec import Struct, field

from samples.answers import Numbers
from samples.mistakes import Planted
from samples.recording import Written
from samples.scenario import Mess

Cell = Written | dict[int, Written]
"""What stands for an item; for an item of a table, by row."""


class WriteUp(Struct):
    """What one student hands in, while it is being written."""

    student: str
    practical: str
    chance: Random
    cells: dict[str, Cell] = field(default_factory=dict)
    planted: list[Planted] = field(default_factory=list)
    mess: list[Mess] = field(default_factory=list)
    """Cells that were filled in untidily."""
    numbers: Numbers = field(default_factory=Numbers)
    rows: dict[int, Numbers] = field(default_factory=dict)
    forgets_units: bool = False
    copies_display: bool = False

    def plant(self, item: str, lost: str, cause: str, detail: str, row: int | None = None) -> None:
        """Note a mistake."""
        one = Planted(student=self.student, item=item, row=row, lost=lost, cause=cause, detail=detail)
        self.planted.append(one)


def rows_of(cell: Cell) -> dict[int, Written]:
    """Return a cell by row; 0 stands for a single item."""
    return cell if isinstance(cell, dict) else {0: cell}
