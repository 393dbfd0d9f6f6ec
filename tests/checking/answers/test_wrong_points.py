"""A later answer that follows from a wrong one as it was before it was rounded, or from its point: for the teacher."""

from __future__ import annotations

import pytest

from tests.checking.rows import found

LENGTHS = (0.1, 0.2, 0.3, 0.4, 0.6, 0.8, 1.0)
OHMS = ("0.684", "11", "1.57", "1.99", "2.88", "3.74", "4.58")
"""The second is 1.137 with its point moved, and was kept to two figures."""


def wire(gradient: str) -> str:
    """Return what becomes of a gradient through the points."""
    points = "".join(f"L,{n},{x},m\nR,{n},{y},Ω\n" for n, (x, y) in enumerate(zip(LENGTHS, OHMS, strict=True), 1))
    readings = "".join(f"V,{n},{float(y) if n != 2 else 1.137},V\nI,{n},1.000,A\n" for n, y in enumerate(OHMS, 1))
    lines = found("wire-resistance", f"{points}{readings}gradient,,{gradient},Ω/m\n")
    return next(str(one.outcome) for one in lines if one.item == "gradient" and one.criterion == "G5")


@pytest.mark.parametrize(
    ("gradient", "outcome"),
    [
        ("-0.171", "for-teacher"),
        ("0.19", "for-teacher"),
        ("-0.45", "for-teacher"),
        ("-0.60", "withheld"),
        ("-0.90", "withheld"),
    ],
)
def test_a_line_through_a_wrong_point_before_it_was_rounded(gradient: str, outcome: str) -> None:
    """11 stands for all from 10.5 to 12: where that tips the line, the gradient waits, and nowhere else."""
    assert wire(gradient) == outcome


@pytest.mark.parametrize(("volume", "outcome"), [("1.9e-2", "for-teacher"), ("19", "withheld"), ("31", "withheld")])
def test_a_unit_behind_a_point_that_slipped(volume: str, outcome: str) -> None:
    """6830 g/cm³ follows from 0.019 cm³ as surely as 6830 kg/m³ from 19: it costs no unit unseen."""
    sides = "l,,1.6,cm\nw,,7.5,cm\nh,,1.6,cm\nm,,131.2,g\n"
    lines = found("density-cuboid", f"{sides}V,,{volume},cm³\nrho,,6830,g/cm³\n")
    assert next(str(one.outcome) for one in lines if one.item == "rho" and one.criterion == "F2") == outcome
