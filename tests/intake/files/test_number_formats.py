"""What a spreadsheet shows of a number."""

from __future__ import annotations

import pytest

from marking.intake.files.number_formats import plain_text, show_number


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
