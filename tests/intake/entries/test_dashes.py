"""What a dash in a column of counts says: none found, or a row that was not used."""

from __future__ import annotations

import pytest

from marking.write_up import State
from tests.intake.class_files import read_tidy, told


@pytest.mark.parametrize(
    ("counts", "values"),
    [
        (["4", "-", "7"], {1: 4, 2: 0, 3: 7}),
        (["4", "7", "-", "-"], {1: 4, 2: 7}),
        (["4", "–", "7", "—"], {1: 4, 2: 0, 3: 7}),
        (["4", "7", "none"], {1: 4, 2: 7, 3: 0}),  # a word says it
        (["4", "7", "0"], {1: 4, 2: 7, 3: 0}),
        (["-", "-"], {}),
    ],
)
def test_a_dash_is_a_nought_only_above_a_count(counts: list[str], values: dict[int, float]) -> None:
    """Lines of dashes at the end of the only column are lines left over."""
    lines = [("A01", "plants", str(row), text, "") for row, text in enumerate(counts, 1)]
    (work,) = read_tidy(lines, "quadrat").write_ups
    column = work.columns["plants"]
    assert {row: entry.value for row, entry in column.items() if entry.state is State.NUMBER} == values


def test_rows_taken_as_not_used_are_told_of() -> None:
    """The cells are named once for a student, with what to type instead."""
    lines = [("A01", "plants", str(row), text, "") for row, text in enumerate(["4", "7", "-", "-"], 1)]
    assert told(read_tidy(lines, "quadrat"))[-1] == (
        "note",
        "class.csv, F4, A01: dashes taken as rows that were not used: F4, F5. "
        "Where a row was used and nothing found, type 0.",
    )


@pytest.mark.parametrize(("beside", "state"), [("5", State.NUMBER), ("-", State.BLANK), ("", State.BLANK)])
def test_in_a_table_of_several_columns_the_rest_of_the_row_decides(beside: str, state: State) -> None:
    """All dice gone in the sixth throw is a nought where the number of the throw stands beside it."""
    lines = [("A01", item, str(row), "5", "") for row in (1, 2) for item in ("throw", "before")]
    lines += [("A01", "before", "3", "-", ""), ("A01", "throw", "3", beside, "")]
    (work,) = read_tidy(lines, "half-life-model").write_ups
    assert work.columns["before"][3].state is state
