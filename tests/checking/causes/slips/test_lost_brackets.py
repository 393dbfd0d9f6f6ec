"""Percentages, means and gradients of two points: what was left out or typed in one go, as it is told."""

from __future__ import annotations

import pytest

from marking.findings import Finding
from reports.wording.cause_sentences import message
from tests.checking.rows import found

SURE = 0.8
DISPLACED = (
    "m,,80.0,g\nV_1,,29.0,cm³\nV_2,,29.5,cm³\nV_3,,30.0,cm³\nV,,{V},cm³\nref,,2.70,g/cm³\nrho,,{rho},g/cm³\n"
    "percent_off,,{off},%\n"
)
WIRE = (
    "".join(f"L,{n},{10 * n},cm\nR,{n},{0.4 + 0.52 * n:.2f},Ω\n" for n in range(1, 9))
    + "L_a,,14.0,cm\nR_a,,1.13,Ω\nL_b,,76.0,cm\nR_b,,4.35,Ω\ngradient,,{},Ω/m\n"
)


def displaced(**changed: str) -> list[Finding]:
    """Return what is said of a density by displacement with some answers *changed*."""
    answers = {"V": "29.5", "rho": "2.71", "off": "0.37"} | changed
    return found("density-displacement", DISPLACED.format(**answers))


@pytest.mark.parametrize(
    ("item", "changed", "cause", "detail"),
    [
        # A plain number for a percentage: no unit was changed, and no point has moved.
        ("percent_off", {"rho": "3.10", "off": "0.148"}, "missing-factor", "percent_off: × 100 left out"),
        # 3.10 - 2.70 / 2.70 × 100, in one go.
        ("percent_off", {"rho": "3.10", "off": "-96.9"}, "operation-order", "rho - ref / ref * 100"),
        # The same, and the whole times 100.
        ("percent_off", {"rho": "3.31", "off": "231.0"}, "operation-order", "rho - ref / ref"),
        # Divided by the other of the two.
        ("percent_off", {"rho": "3.10", "off": "12.9"}, "wrong-quantity", "(rho - ref) / rho"),
        # 29.0 + 29.5 + 30.0 / 3.
        ("V", {"V": "68.5", "rho": "1.17"}, "operation-order", "V_1 + V_2 + V_3 / 3"),
        ("V", {"V": "44.3", "rho": "1.81"}, "missing-factor", "(V_1 + V_2 + V_3) / 2"),
        # The mean stands on the page, and the sum was used.
        ("rho", {"rho": "0.904", "off": "-66.5"}, "wrong-quantity", "sum for V"),
    ],
)
def test_slips_of_percentages_and_means(item: str, changed: dict[str, str], cause: str, detail: str) -> None:
    """Each is the first cause, by its own name, and no bare power of ten or unit stands before it."""
    first = next(one for one in displaced(**changed) if one.item == item and one.explanations)
    assert (str(first.cause), first.explanations[0].detail) == (cause, detail)
    assert (first.confidence or 0.0) >= SURE


def test_a_percentage_as_a_plain_number_is_told_so() -> None:
    """The student reads what was left out."""
    first = next(one for one in displaced(rho="3.10", off="0.148") if one.item == "percent_off" and one.explanations)
    assert "You left out the × 100." in message(first)


@pytest.mark.parametrize(
    ("gradient", "cause", "detail"),
    [
        ("3.22", "missing-factor", "R_b - R_a"),
        ("8.07", "wrong-quantity", "R_a / L_a"),
        ("2.53", "operation-order", "R_b - R_a / (L_b - L_a)"),  # 4.35 - 1.13 ÷ 0.62
        ("4.10", "operation-order", "(R_b - R_a) / L_b - L_a"),  # 3.22 ÷ 0.76 - 0.14
        ("8.84", "sign", "(R_b + R_a) / (L_b - L_a)"),
        ("0.193", "gradient-inverted", "(L_b - L_a) / (R_b - R_a)"),
        # What stands on the page is what may be miscopied.
        ("9.20", "digits-swapped", "L_a: 41.0 for 14.0"),
        ("10.0", "copying", "R_b: 7.35 for 4.35"),
    ],
)
def test_slips_with_the_points_of_a_line(gradient: str, cause: str, detail: str) -> None:
    """What two points that were read off lead to by a wrong rule is told among the explanations, with its numbers."""
    line = next(
        one for one in found("wire-resistance", WIRE.format(gradient)) if one.item == "gradient" and one.explanations
    )
    assert (cause, detail) in [(str(one.cause), one.detail) for one in line.explanations]


def test_no_point_is_told_that_was_not_written_down() -> None:
    """Where the points stand nowhere, none of them is said to have been used."""
    bare = "\n".join(one for one in WIRE.format("3.22").splitlines() if "_a" not in one and "_b" not in one)
    lines = [one for one in found("wire-resistance", bare) if one.item == "gradient" and one.explanations]
    assert lines
    assert not any("_a" in way.detail or "_b" in way.detail for one in lines for way in one.explanations)
