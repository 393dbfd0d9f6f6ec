"""What a reader of workbooks hands on: sheets, and their cells as they are stored."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Protocol

from msgspec import Struct

MAX_SHEET_ROW = 1_048_576
MAX_SHEET_COLUMN = 16_384
"""What the format of workbooks allows (ECMA-376)."""


class StoredCell(Protocol):
    """One cell under its own address, counted from 1."""

    @property
    def row(self) -> int:
        """Return the number of its row."""

    @property
    def column(self) -> int:
        """Return the number of its column."""

    @property
    def value(self) -> object:
        """Return what is stored: text, number, truth, date; None for nothing."""

    @property
    def data_type(self) -> str:
        """Return 'e' where the value is an error's name."""

    @property
    def number_format(self) -> str:
        """Return the format by which a number is shown."""

    @property
    def struck(self) -> str:
        """Return the part of a text through which a line is drawn, and which is no part of the value."""

    @property
    def is_struck(self) -> bool:
        """Tell whether a line is drawn through the whole cell."""


class StoredSheet(Struct, frozen=True, kw_only=True):
    """A sheet whose cells are read as they are asked for."""

    title: str
    is_visible: bool
    cells: Iterator[StoredCell]
