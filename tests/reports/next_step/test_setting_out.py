"""A step set out: in units that make it true, with the figures that were written, or not at all."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reports.next_step.line_points import line_points
from reports.next_step.setting_out import Given, changed, number_shown, set_out
from reports.wording import as_print
from rubrics.load import load_catalogue
from rubrics.units import define_unit
from tests.reports.invented import a_student, wire_script

CATALOGUE = load_catalogue()


def number(text: str, unit: str) -> Given:
    """Return what a student wrote; a temperature is a change here."""
    pure = CATALOGUE["quadrat"].items["plants"].unit
    return Given(value=Decimal(text), unit=define_unit(unit).as_change() if unit else pure)


@pytest.mark.parametrize(
    ("practical", "item", "written", "wanted", "values", "working"),
    [
        (
            "titration", "n", {"c_a": ("0.100", "mol/dm³"), "mean_titre": ("30.0", "cm³")}, "mol",
            ("c acid = 0.100 mol/dm³", "mean titre = 30.0 cm³ = 0.0300 dm³"), "n = 0.100 × 0.0300",
        ),
        (
            "led-planck", "inv_wl", {"wl": ("635", "nm")}, "1/m",
            ("λ = 635 nm = 6.35 × 10⁻⁷ m",), "1/λ = 1 ÷ (6.35 × 10⁻⁷)",
        ),
        (
            "specific-heat-block", "c", {"E": ("24.6", "kJ"), "m": ("998", "g"), "dT": ("25.0", "°C")}, "J/(kg °C)",
            ("E = 24.6 kJ = 24\u202f600 J", "m = 998 g = 0.998 kg", "ΔT = 25.0 °C"), "c = 24\u202f600 ÷ (0.998 × 25.0)",
        ),
        ("lens-focal-length", "inv_u", {"u": ("25.0", "cm")}, "1/cm", ("u = 25.0 cm",), "1/u = 1 ÷ 25.0"),
        ("refraction-index", "sin_i", {"i": ("35", "°")}, "", ("i = 35°",), "sin i = sin(35°)"),
    ],
)  # fmt: skip
def test_units_are_changed_where_the_formula_needs_it(
    practical: str, item: str, written: dict[str, tuple[str, str]], wanted: str, values: tuple[str, ...], working: str
) -> None:
    """Each change is shown, the figures stay, and the sum stops before its answer."""
    rubric = CATALOGUE[practical]
    unit = define_unit(wanted) if wanted else rubric.items[item].unit
    step = set_out(rubric, rubric.items[item], {k: number(*v) for k, v in written.items()}, unit, None)
    assert step is not None
    assert step.values == values
    assert step.working == working


@pytest.mark.parametrize(("expected", "is_set_out"), [(7.5, True), (7.6, True), (7.8, False), (0.133, False)])
def test_what_does_not_come_to_the_expected_value_is_not_set_out(expected: float, is_set_out: bool) -> None:
    """A line that would lead elsewhere gives way to other words."""
    rubric = CATALOGUE["wire-resistance"]
    given_numbers = {"V": number("3.0", "V"), "I": number("0.40", "A")}
    step = set_out(rubric, rubric.items["R"], given_numbers, define_unit("Ω"), expected)
    assert (step is not None) is is_set_out


@settings(deadline=None, max_examples=60)
@given(st.decimals("0.01", "999", places=2), st.sampled_from(["g", "kg"]), st.sampled_from(["J", "kJ", "Wh"]))
def test_every_step_is_true_whatever_units_were_written(mass: Decimal, unit: str, energy: str) -> None:
    """The value of a step is that of the formula in SI."""
    rubric = CATALOGUE["specific-heat-block"]
    written = {"m": Given(value=mass, unit=define_unit(unit)), "E": number("21.5", energy), "dT": number("20.0", "°C")}
    step = set_out(rubric, rubric.items["c"], written, define_unit("J/(kg °C)"), None)
    assert step is not None
    right = 21.5 * define_unit(energy).factor / (float(mass) * define_unit(unit).factor * 20.0)
    assert step.value == pytest.approx(right, rel=6e-4)


@pytest.mark.parametrize(
    ("text", "unit", "other", "shown"),
    [
        ("30.0", "cm³", "dm³", "0.0300"), ("2.5", "min", "s", "150"), ("24.6", "kJ", "J", "24\u202f600"),
        ("635", "nm", "m", "6.35 × 10⁻⁷"),
    ],
)  # fmt: skip
def test_a_change_of_unit_keeps_the_figures(text: str, unit: str, other: str, shown: str) -> None:
    """The point moves; where the factor is no power of ten, four figures and more are kept."""
    assert number_shown(changed(number(text, unit), define_unit(other))) == shown


def test_two_points_of_a_line_give_its_gradient() -> None:
    """As they are printed, to one in a hundred."""
    plot = wire_script(a_student("S1")).plot
    assert plot is not None
    points = line_points(plot)
    assert points is not None
    x1, y1, x2, y2 = map(float, points.texts())
    assert (y2 - y1) / (x2 - x1) == pytest.approx(4.42, rel=0.01)


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("4.9e-7", "4.9 × 10⁻⁷"), ("6.36E-34 J s", "6.36 × 10⁻³⁴ J s"), ("1.2 x 10^-3", "1.2 × 10⁻³"), ("cm^3", "cm³"),
        ("345 ms-1", "345 ms⁻¹"), ("-5.2 °C", "−5.2 °C"), ("mean_titre", "mean titre"), ("2-3", "2-3"),
        ("A1-2", "A1-2"), ("Anna-Maria", "Anna-Maria"),
    ],
)  # fmt: skip
def test_what_was_typed_is_set_as_print(typed: str, shown: str) -> None:
    """Powers, minus signs and names of items; ranges and names stay."""
    assert as_print(typed) == shown
