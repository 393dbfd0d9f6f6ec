"""The figures of a typed number: points, commas, marks that part thousands, and the last place."""

from __future__ import annotations

import pytest

from marking.intake.numbers.mantissa import Figures, read_figures


@pytest.mark.parametrize(
    ("run", "commas", "wanted"),
    [
        ("20", False, ["20 whole"]),
        ("20.5", False, ["20.5 decimal ."]),
        ("20,5", False, ["20.5 decimal , (decimal comma)"]),
        (".5", False, ["0.5 decimal ."]),
        (",5", False, ["0.5 decimal , (decimal comma)"]),
        ("5.", False, ["5. decimal ."]),
        ("20.5,", False, ["20.5 decimal . (comma after the number left out)"]),
        ("20.5.", False, ["20.5 decimal . (full stop after the number left out)"]),
        ("20,", False, ["20 whole (comma after the number left out)"]),
        ("20,5.", False, ["20.5 decimal , (decimal comma, full stop after the number left out)"]),
        (
            "10,400",
            False,
            ["10.400 decimal , (decimal comma)", "10400 whole , (comma as thousands mark)"],
        ),
        ("10.400", False, ["10.400 decimal ."]),
        ("10.400", True, ["10.400 decimal .", "10400 whole . (full stop as thousands mark)"]),
        ("1.040.000", False, ["1040000 whole . (full stop as thousands mark)"]),
        ("1,040,000", False, ["1040000 whole , (comma as thousands mark)"]),
        ("10 400", False, ["10400 whole   (space as thousands mark)"]),
        ("10'400", False, ["10400 whole ' (apostrophe as thousands mark)"]),
        ("10,400.5", False, ["10400.5 decimal . (comma as thousands mark)"]),
        ("10.400,5", False, ["10400.5 decimal , (decimal comma, full stop as thousands mark)"]),
        ("10.400,5", True, ["10400.5 decimal , (decimal comma, full stop as thousands mark)"]),
        ("1.010.400,5", False, ["1010400.5 decimal , (decimal comma, full stop as thousands mark)"]),
        ("10 400,5", False, ["10400.5 decimal , (decimal comma, space as thousands mark)"]),
        ("10 400.5,", False, ["10400.5 decimal . (space as thousands mark, comma after the number left out)"]),
        (
            "10,400,",
            False,
            [
                "10.400 decimal , (decimal comma, comma after the number left out)",
                "10400 whole , (comma as thousands mark, comma after the number left out)",
            ],
        ),
        ("0,400", False, ["0.400 decimal , (decimal comma)"]),
        ("1234,567", False, ["1234.567 decimal , (decimal comma)"]),
        ("10 40", False, []),
        ("1,04,000", False, []),
        ("10,400,50", False, []),
        ("1 040,000 000", False, []),
        ("1.040 000", False, []),
        ("0 400", False, []),
    ],
)
def test_every_way_to_read_the_figures(run: str, commas: bool, wanted: list[str]) -> None:
    """One way, two where a mark is unclear, none where the marks are amiss; what was read how is said."""
    assert [_in_short(one) for one in read_figures(run, has_decimal_commas=commas)] == wanted


def _in_short(figures: Figures) -> str:
    said = f" ({figures.note})" if figures.note else ""
    mark = f" {figures.mark}" if figures.mark else ""
    return f"{figures.digits} {'decimal' if figures.is_decimal else 'whole'}{mark}{said}"


@pytest.mark.parametrize(
    ("digits", "wanted"),
    [
        ("20", (0, 1)),
        ("25", (0, 0)),
        ("1000", (0, 3)),
        ("1001", (0, 0)),
        ("0", (0, 0)),
        ("00", (0, 0)),
        ("20.5", (-1, -1)),
        ("20.50", (-2, -2)),
        ("20.", (0, 0)),
    ],
)
def test_the_last_place_of_a_number(digits: str, wanted: tuple[int, int]) -> None:
    """Zeros behind a point count; those of a whole number may or may not; a lone nought has none to doubt."""
    assert Figures(digits=digits, is_decimal="." in digits).last_place == wanted
