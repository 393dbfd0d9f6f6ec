"""A cell that says what another said is not read again, and is the same in all but its place."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from marking.intake.entries.entry_units import WrittenUnit
from marking.intake.entries.read_entry import read_entry
from marking.intake.grids.item_names import Vocabulary
from marking.intake.grids.kept import MOST_KEPT
from marking.write_up import Place
from rubrics.load import load_catalogue
from tests.intake.class_files import BLOCK

RUBRIC = load_catalogue()[BLOCK]
HERE, THERE = (Place(file="class.csv", sheet="", cell=cell) for cell in ("F2", "F9"))
TYPED = ("0.998", "0,998", "998", "20,400", "1,010", "-", "", "about 3", "19.5 C", "20.4 kJ", "9.97e2", "?", "x")
UNITS = ("", "kg", "g", "°C", "J", "kJ", "J/(kg °C)", "m")


@settings(deadline=None)
@given(
    cells=st.lists(
        st.tuples(
            st.sampled_from(("m", "T_start", "E", "c")),
            st.sampled_from(TYPED),
            st.sampled_from(UNITS),
            st.sampled_from((None, True, False)),
        ),
        max_size=12,
    )
)
def test_whatever_was_read_before(cells: list[tuple[str, str, str, bool | None]]) -> None:
    """Each cell is read as if it were the first of its practical."""
    shared = Vocabulary(RUBRIC)
    for item, typed, unit, comma in cells:
        for place in (HERE, THERE):
            fresh = Vocabulary(RUBRIC)
            found, alone = (
                read_entry(typed, WrittenUnit(field=unit), RUBRIC.items[item], place, one, decimal_comma=comma)
                for one in (shared, fresh)
            )
            assert found == alone


@pytest.mark.parametrize("item", ["m", "c"])
def test_only_the_place_differs(item: str) -> None:
    """The same again elsewhere is the same entry there."""
    vocabulary = Vocabulary(RUBRIC)
    first, again = (
        read_entry("0.998", WrittenUnit(field="kg"), RUBRIC.items[item], place, vocabulary) for place in (HERE, THERE)
    )
    assert first.place == HERE
    assert again == replace(first, place=THERE) == first.at(THERE)


def test_what_is_kept_has_an_end() -> None:
    """More different cells than are kept are read all the same."""
    vocabulary = Vocabulary(RUBRIC)
    found = [
        read_entry(f"0.{number}", WrittenUnit(field="kg"), RUBRIC.items["m"], HERE, vocabulary)
        for number in range(1000, 1000 + MOST_KEPT + 2)
    ]
    assert found[0].value == 0.1
    assert found[-1].raw == f"0.{1000 + MOST_KEPT + 1}"
    assert read_entry("0.1000", WrittenUnit(field="kg"), RUBRIC.items["m"], THERE, vocabulary) == found[0].at(THERE)
