"""Copies of one table, with a slip of the pen between them, are one set of readings."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import pytest
from msgspec.structs import replace

from marking.cohort.evidence import Partners, families_of, one_of_each_table, partners_of
from marking.write_up import Student
from tests.cohort.simulated import Cells, as_marked, rubric_of, simulate, write_up

RESISTORS = {
    "1": "4.52 0.45",
    "2": "3.17 0.21",
    "series": "5.91 0.24",
    "parallel": "2.86 0.48",
}


def page(number: int, miswritten: Mapping[str, str] | None = None, bench: str = "1") -> tuple[Student, Cells]:
    """Return a page of eight readings, all of them higher by *number* hundredths but for what is miswritten."""
    cells: dict[str, tuple[str, str]] = {}
    for name, pair in RESISTORS.items():
        volts, amps = (f"{float(text) + number / 100:.2f}" for text in pair.split())
        cells |= {f"V_{name}": (volts, "V"), f"I_{name}": (amps, "A")}
    cells |= {item: (text, cells[item][1]) for item, text in (miswritten or {}).items()}
    return Student(code="", bench=bench), dict(cells)


def gathered(pages: Sequence[tuple[Student, Cells]]) -> tuple[Partners, ...]:
    """Return the sets of those pages, copies put together, in a class of which six benches more handed in a page."""
    pages = [*pages, *(page(n, bench=f"other {n}") for n in range(4, 10))]
    ones = [
        write_up(replace(student, code=f"S{place}"), "resistor-combinations", cells)
        for place, (student, cells) in enumerate(pages, 1)
    ]
    marked = as_marked("resistor-combinations", ones)
    sets = one_of_each_table(marked.rubric, partners_of(marked))
    return tuple(one for one in sets if not one.bench.startswith("other"))


def test_two_who_copied_right_settle_what_a_third_miswrote() -> None:
    """Three of one bench, of whom one swapped two digits: one set, with the figure that two have."""
    (one,) = gathered([page(0), page(0), page(0, {"V_1": "5.42"})])
    assert one.students == ("S1", "S2", "S3")
    assert one.write_up.singles["V_1"].value == 4.52


def test_what_two_disagree_about_is_not_known() -> None:
    """Of two copies nobody knows which has the slip: that figure is left out, the others stand."""
    (one,) = gathered([page(0), page(0, {"V_1": "5.42"})])
    assert "V_1" not in one.write_up.singles
    assert one.write_up.singles["V_2"].value == 3.17


@pytest.mark.parametrize(
    ("second", "count"),
    [
        pytest.param(page(0, {"V_1": "5.42"}, bench="2"), 2, id="another bench"),
        pytest.param(page(1), 2, id="readings of their own"),
        pytest.param(page(0, {"V_1": "5.42", "I_2": "0.27"}), 2, id="two of eight unlike"),
        pytest.param(page(0, {"I_2": "0.27"}), 1, id="one of eight unlike"),
    ],
)
def test_how_many_sets_two_pages_are(second: tuple[Student, Cells], count: int) -> None:
    """Only pages of one bench that agree in nearly all they read."""
    assert len(gathered([page(0), second])) == count


def test_what_a_class_was_told_to_set_shows_nothing() -> None:
    """Lengths that all set, and a block that all read alike, are no reason to take two groups for one."""
    ones = simulate("density-cuboid", 5)
    marked = as_marked("density-cuboid", ones)
    assert one_of_each_table(marked.rubric, partners_of(marked)) == partners_of(marked)


@pytest.mark.parametrize("practical", ["wire-resistance", "resistor-combinations", "specific-heat-block"])
def test_groups_with_readings_of_their_own_stay_groups(practical: str) -> None:
    """Two that read the same bench one after the other hardly ever have all but one figure alike."""
    marked = as_marked(practical, simulate(practical, 11))
    assert len(one_of_each_table(marked.rubric, partners_of(marked))) == len(partners_of(marked))


def test_quantities_from_the_same_readings_are_one_family() -> None:
    """A resistance rests on its own two readings; mean, area and modulus of a wire on one diameter."""
    assert len(set(families_of(rubric_of("resistor-combinations"), ["R_1", "R_2", "R_series"]).tolist())) == 3
    assert len(set(families_of(rubric_of("young-modulus"), ["d_mean", "gradient", "E"]).tolist())) == 1
