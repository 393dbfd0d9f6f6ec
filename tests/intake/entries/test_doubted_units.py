"""A typed unit that the apparatus cannot give is asked about; a value a little beyond the usual is not."""

from __future__ import annotations

import pytest

from marking.findings import Outcome
from tests.checking.rows import mark


@pytest.mark.parametrize(
    ("mass", "unit", "is_asked"),
    [("998", "kg", True), ("5.6289", "kg", False), ("9.9", "kg", False), ("10.1", "kg", True), ("0.0998", "kg", False)],
)
def test_a_mass_far_beyond_the_balance_is_asked(mass: str, unit: str, is_asked: bool) -> None:
    """A block of 998 kg is no block; one of 5.6 kg on a balance that ends at 5 kg may be one."""
    script = mark("density-cuboid", f"l,,10.0,cm\nw,,10.0,cm\nh,,5.0,cm\nm,,{mass},{unit}\nV,,500,cm³")
    (entry,) = (entry for name, entry in script.write_up.singles.items() if name == "m")
    assert any("which unit is meant" in note for note in entry.notes) is is_asked
    lost = [f for f in script.findings if f.item == "m" and f.outcome is Outcome.WITHHELD]
    assert lost == []


@pytest.mark.parametrize(("start", "end", "is_asked"), [("291.5", "315.0", True), ("18.5", "42.0", False)])
def test_a_temperature_in_kelvin_below_a_heading_in_degrees_is_asked(start: str, end: str, is_asked: bool) -> None:
    """No tap runs at 291.5 °C; a kelvin and a degree differ by where they begin, not by their size."""
    script = mark("specific-heat-block", f"m,,1.001,kg\nT_start,,{start},°C\nT_end,,{end},°C\nE,,23100,J\ndT,,23.5,°C")
    notes = [note for name in ("T_start", "T_end") for note in script.write_up.singles[name].notes]
    assert any("which unit is meant" in note for note in notes) is is_asked
    assert [f for f in script.findings if f.outcome is Outcome.WITHHELD and f.item == "dT"] == []
