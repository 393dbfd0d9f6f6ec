"""Lowest and highest in one cell of a workbook, as people write them."""

from __future__ import annotations

import pytest

from rubrics.documents.sheet_shape import Kind
from rubrics.documents.typed_cells import read_back


@pytest.mark.parametrize(
    ("cell", "limits"),
    [
        ("0.01; 2", [0.01, 2]),
        ("0.01;2", [0.01, 2]),
        ("0.01 - 2", [0.01, 2]),
        ("0.01-2", [0.01, 2]),
        ("0.01–2", [0.01, 2]),
        ("0.01 to 2", [0.01, 2]),
        ("0.01, 2", [0.01, 2]),
        ("-5 - 5", [-5, 5]),
        ("-5--1", [-5, -1]),
        ("1e-3 to 1e2", [0.001, 100.0]),
        ("0,01", ["0,01"]),
        ("0.01 - 2 kg", ["0.01 - 2 kg"]),
        ("5", [5]),
    ],
)
def test_a_range_is_two_numbers(cell: str, limits: list[object]) -> None:
    """Whatever stands between them; what is no number comes back as it stands, and is told."""
    assert read_back(cell, Kind.NUMBERS) == limits
