"""What is kept has a bound, and goes when nobody has asked for it."""

from __future__ import annotations

from marking.intake.grids.kept import Kept


def test_what_is_asked_for_stays_and_what_is_not_goes() -> None:
    """With room for two in each half, one that is asked for between outlives any number of others."""
    kept: Kept[str] = Kept(2)
    kept.put("asked", "a")
    kept.put("left", "b")
    for number in range(8):
        kept.put(number, "c")
        assert kept.get("asked") == "a"
    assert kept.get("left") is None
    assert [number for number in range(8) if kept.get(number)] == [6, 7]
