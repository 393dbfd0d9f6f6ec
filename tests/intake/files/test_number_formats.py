"""What a spreadsheet shows of a number."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from marking.intake.files.number_formats import Shown, plain_text, show_number


@pytest.mark.parametrize(
    ("number", "number_format", "text", "is_fixed"),
    [
        (200.0, "General", "200", False),
        (20.5, "General", "20.5", False),
        (200.0, "@", "200", False),
        (200.0, "0.00", "200.00", True),
        (20.5, "0.0", "20.5", True),
        (20.46, "0.0", "20.5", True),
        (7.0, "000", "007", True),  # a code with zeros in front
        (-7.5, "00.0", "-07.5", True),
        (0.125, "0.00", "0.13", True),  # half up, as the spreadsheet shows it
        (2.675, "0.00", "2.68", True),
        (10400.0, "#,##0", "10400", True),
        (10400.5, "#,##0.00", "10400.50", True),
        (0.5, "0.0#", "0.5", False),  # the second place shows only where there is one
        (4213.0, "0.00E+00", "4.21E+03", True),
        (9999.0, "0.00E+00", "1.00E+04", True),
        (0.0, "0.00E+00", "0.00E+00", True),
        (-4.5, "0.0;[Red]-0.0", "-4.5", True),
        (-4.5, "0.0_);(0.0)", "-4.5", True),
        (4.5, "_-* #,##0.00_-;-* #,##0.00_-", "4.50", True),
        (0.2, '0.0" kg"', "0.2 kg", True),
        (0.2, '0.0\\ "kg"', "0.2 kg", True),
        (20.5, '0.0"°C"', "20.5°C", True),
        (5.0, 'General" m"', "5 m", False),
        (0.25, "0%", "25%", True),
        (0.255, "0.0%", "25.5%", True),
        (0.25, "# ?/?", "0.25", False),
        (12345.0, "0,", "12345", False),  # shown in thousands: what is stored is safer
    ],
)
def test_a_number_is_shown_as_its_format_says(number: float, number_format: str, text: str, is_fixed: bool) -> None:
    """Fixed places keep their zeros, words of the format count as typed, and the rest cannot be told."""
    shown = show_number(number, number_format)
    assert (shown.text, shown.is_fixed) == (text, is_fixed)


@pytest.mark.parametrize(
    ("number", "text"),
    [
        (1.0, "1"),
        (-3.0, "-3"),
        (0.1, "0.1"),
        (0.1 + 0.2, "0.3"),  # a double's seventeenth figure was typed by nobody
        (1e300, "1e+300"),
        (1.5e-7, "1.5e-07"),
        (123456789012345.0, "123456789012345"),
    ],
)
def test_a_number_is_written_as_it_would_be_typed(number: float, text: str) -> None:
    """No '.0' behind a whole number, no figures that arithmetic left behind."""
    assert plain_text(number) == text


@pytest.mark.parametrize(
    ("number", "number_format", "wanted"),
    [
        (20.5, "0.0", Shown(text="20.5", is_fixed=True, suffix="")),
        (0.2, '0.0" kg"', Shown(text="0.2 kg", is_fixed=True, suffix="kg")),
        (0.2, '"m = "0.0', Shown(text="0.2 m =", is_fixed=True, suffix="m =")),
        (0.2, '"about "0.0" kg"', Shown(text="0.2 kg", is_fixed=True, suffix="kg")),
        (5.0, "0.0[$kg-809]", Shown(text="5.0 kg", is_fixed=True, suffix="kg")),
        (5.0, "[Red]0.0", Shown(text="5.0", is_fixed=True, suffix="")),
        (0.256, "0.0%", Shown(text="25.6%", is_fixed=True, suffix="%")),
        (0.256, "0.0#%", Shown(text="25.6%", is_fixed=False, suffix="%")),
        (5.25, '0.0#" m"', Shown(text="5.25 m", is_fixed=False, suffix="m")),
        (5.0, "0.0?", Shown(text="5", is_fixed=False, suffix="")),
        (5.0, "GENERAL", Shown(text="5", is_fixed=False, suffix="")),
        (5.0, "", Shown(text="5", is_fixed=False, suffix="")),
        (5.0, "yyyy-mm-dd", Shown(text="5", is_fixed=False, suffix="")),
        (5.0, 'yyyy" m"', Shown(text="5", is_fixed=False, suffix="")),
        (-5.0, '0.0;"minus "0.0', Shown(text="-5.0 minus", is_fixed=True, suffix="minus")),
        (5.0, '0.0;"minus "0.0', Shown(text="5.0", is_fixed=True, suffix="")),
        (0.0, "0.0;-0.00", Shown(text="0.0", is_fixed=True, suffix="")),
        (5.0, '0.0" a;b"', Shown(text="5.0 a;b", is_fixed=True, suffix="a;b")),
        (-0.05, "0.0", Shown(text="-0.1", is_fixed=True, suffix="")),
        (1.5, "0.000000000000000", Shown(text="1.500000000000000", is_fixed=True, suffix="")),
        (1.5, "0.0000000000000000", Shown(text="1.5", is_fixed=False, suffix="")),
        (1e15, "0.0", Shown(text="1000000000000000.0", is_fixed=True, suffix="")),
        (1e16, "0.0", Shown(text="1e+16", is_fixed=True, suffix="")),
        (0.00123, "0.0E+00", Shown(text="1.2E-03", is_fixed=True, suffix="")),
        (0.00996, "0.0E+00", Shown(text="1.0E-02", is_fixed=True, suffix="")),
        (-4213.0, "0.00E+00", Shown(text="-4.21E+03", is_fixed=True, suffix="")),
        (1.25e12, "0.0E+0", Shown(text="1.3E+12", is_fixed=True, suffix="")),
        (12.0, "#,##0", Shown(text="12", is_fixed=True, suffix="")),
        (12.0, "?00", Shown(text="12", is_fixed=True, suffix="")),
        (-7.0, "0000.0", Shown(text="-0007.0", is_fixed=True, suffix="")),
    ],
)
def test_all_that_is_shown(number: float, number_format: str, wanted: Shown) -> None:
    """Text, whether its zeros count, and the words of the format, at the edges of what formats can say."""
    assert show_number(number, number_format) == wanted


@pytest.mark.parametrize(
    ("number", "text"),
    [
        (999999999999999.0, "999999999999999"),
        (1e15, "1000000000000000.0"),
        (-999999999999999.0, "-999999999999999"),
        (0.123456789012345, "0.123456789012345"),
        (0.1234567890123456, "0.123456789012346"),
        (1234567.000000001, "1234567"),
        (-0.5, "-0.5"),
    ],
)
def test_fifteen_figures_are_kept(number: float, text: str) -> None:
    """A spreadsheet keeps fifteen figures; what a double has beyond is nobody's."""
    assert plain_text(number) == text


@settings(deadline=None)
@given(st.decimals("-99999", "99999", places=4), st.integers(0, 6))
def test_fixed_places_are_rounded_half_up(number: Decimal, places: int) -> None:
    """As many places as the format has, halves away from zero."""
    shown = show_number(float(number), "0" if not places else f"0.{'0' * places}")
    wanted = number.quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_UP)
    assert Decimal(shown.text) == wanted
    assert len(shown.text.partition(".")[2]) == places
    assert shown.is_fixed
