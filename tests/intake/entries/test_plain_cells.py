"""A student whose cells nothing has to be settled for comes out as one for whom all of it was looked at."""

from __future__ import annotations

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from marking.cells import NOWHERE, Column
from marking.intake.entries.entry_units import WrittenUnit
from marking.intake.entries.piles import SINGLE, Pile
from marking.intake.entries.plain_cells import read_cell
from marking.intake.entries.read_entry import read_anew, read_entry, read_number_entry
from marking.intake.entries.settling import settle, settle_part
from marking.intake.entries.typed_ticks import with_ticks
from marking.intake.grids.item_names import Vocabulary
from marking.intake.people import ABSENT_WORDS
from marking.intake.remarks.notebook import Notebook
from marking.write_up import Place
from rubrics.load import load_catalogue

CATALOGUE = load_catalogue()
NAMES = ("density-displacement", "pendulum-g", "quadrat", "specific-heat-block", "wire-resistance")
PRACTICALS = {name: with_ticks(CATALOGUE[name]) for name in NAMES}
FRESH = {name: Vocabulary(PRACTICALS[name]) for name in NAMES}
TEXTS = ("0.50", "0.5 A", "998", "0.998", "-", "–", "", "?", "x", "absent", "ab", "0", "2.10", "1e3", "20,5", "3l", "✓")
UNITS = ("", "V", "A", "m", "cm", "mm", "kg", "g", "W", "Ω", "s", "banana", "°C")
COLUMN = Column("set.csv", "", "F")

Line = tuple[str, str, int, str, str]
"""(code, item, row, entry, unit)."""


@st.composite
def lines(draw: st.DrawFn) -> tuple[str, list[Line]]:
    """Draw a practical, and lines of two students whose codes are one but for a capital, or of one of them alone."""
    name = draw(st.sampled_from(NAMES))
    items = st.sampled_from(sorted(PRACTICALS[name].items))
    rows = st.integers(1, 4)
    one = st.tuples(st.sampled_from(("S1", "S1", "s1")), items, rows, st.sampled_from(TEXTS), st.sampled_from(UNITS))
    return name, draw(st.lists(one, max_size=14))


def piles(name: str, drawn: list[Line], *, absent: bool) -> tuple[Pile, Pile]:
    """Return the lines as cells without a place, and as entries that have one from the start."""
    later, at_once = Pile(), Pile()
    for line, (code, item, row, text, unit) in enumerate(drawn, 1):
        one = PRACTICALS[name].items[item]
        number = SINGLE if one.table is None else row
        written, where = WrittenUnit(field=unit), Place(file="set.csv", sheet="", cell=f"A{line}")
        sheaf, other = later.sheaf(code, where), at_once.sheaf(code, where)
        for each in (sheaf, other):
            each.add_person(bench=str(line % 7 // 6), absent=absent)
        fresh = FRESH[name]
        sheaf.put(one.name, number, read_cell(text, written, one, fresh, decimal_comma=None), line, COLUMN)
        place = COLUMN.place(line)
        other.add(one.name, number, read_entry(text, written, one, place, fresh, decimal_comma=None))
    return later, at_once


@settings(deadline=None, max_examples=60)
@given(drawn=lines(), absent=st.booleans(), is_part=st.booleans())
@example(("wire-resistance", [("S1", "V", 1, "0.5", ""), ("S1", "V", 2, "0.6", "V")]), False, True)
@example(("specific-heat-block", [("S1", "m", 1, "998", ""), ("S1", "E", 1, "9", "kJ")]), False, True)
@example(("wire-resistance", [("S1", "V", 2, "0.5 V", "V"), ("S1", "V", 1, "0.6", "V")]), True, True)
def test_put_in_as_a_cell_or_added_as_an_entry(drawn: tuple[str, list[Line]], absent: bool, is_part: bool) -> None:
    """Write-ups, remarks and their order are the same, whatever stands beside it."""
    name, cells = drawn
    found = []
    for pile in piles(name, cells, absent=absent):
        book = Notebook()
        settled = (settle_part if is_part else settle)(pile, FRESH[name], None, book)
        found.append((settled, [[*one.columns] for one in settled], book.remarks()))
    assert found[0] == found[1]


@pytest.mark.parametrize("name", NAMES)
@settings(deadline=None, max_examples=60)
@given(data=st.data())
def test_a_plain_number_is_read_in_the_shorter_way_as_in_the_longer(name: str, data: st.DataObject) -> None:
    """For every item beside every unit: what asks for a longer look gets it."""
    item = data.draw(st.sampled_from([one for one in CATALOGUE[name].items.values() if not one.is_words]))
    text = data.draw(st.from_regex(r"-?[0-9]{1,5}(\.[0-9]{1,4})?", fullmatch=True))
    own = (item.unit, *item.recorded_in)
    named = ("", item.symbol, item.quantity, "10⁻³ s⁻¹", "10^3 m", "m", "s", "min", "ms", "%", "banana", "W", " ")
    unit = data.draw(st.sampled_from([*(one.symbol for one in own), *named]))
    heading = WrittenUnit(heading=unit)
    beside = data.draw(st.sampled_from((WrittenUnit(field=unit), heading, WrittenUnit(heading=unit, cell="G7"))))
    comma = data.draw(st.sampled_from((None, False, True)))
    found = [read(text, beside, item, NOWHERE, FRESH[name], comma) for read in (read_anew, read_number_entry)]
    assert found[0] == found[1]


BEHIND = (
    "given out",
    "J lost",
    "banana",
    "C",
    "l",
    "Ohms",
    "ms-1",
    "secs",
    "min",
    "%",
    "?",
    "ish",
    "or so",
    "",
    " V",
    "V.",
)


@settings(deadline=None, max_examples=300)
@given(data=st.data())
def test_a_plain_number_before_its_unit_is_read_in_the_shorter_way_as_in_the_longer(data: st.DataObject) -> None:
    """For every item of the catalogue, whatever stands behind the number."""
    rubric = CATALOGUE[data.draw(st.sampled_from(sorted(CATALOGUE)))]
    item = data.draw(st.sampled_from([one for one in rubric.items.values() if not one.is_words]))
    figures = data.draw(st.from_regex(r"-?[0-9]{1,4}(\.[0-9]{1,3})?", fullmatch=True))
    own = [one.symbol for one in (item.unit, *item.recorded_in)]
    behind = data.draw(st.sampled_from([*own, *UNITS, *BEHIND, item.symbol, item.quantity, *item.counted]))
    beside = data.draw(
        st.sampled_from([WrittenUnit(has_box=True), WrittenUnit(field=" "), WrittenUnit(heading=own[0])])
    )
    comma = data.draw(st.sampled_from((None, False, True)))
    text, words = f"{figures} {behind}", Vocabulary(rubric)
    assert read_anew(text, beside, item, NOWHERE, words, comma) == read_number_entry(
        text, beside, item, NOWHERE, words, comma
    )


def test_no_word_for_absence_begins_with_a_figure() -> None:
    """Numbers are not compared with them."""
    assert not [word for word in ABSENT_WORDS if word[:1].isdigit()]
