"""The units that rubrics name: our spelling of them, and their arithmetic against other sources."""

from __future__ import annotations

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rubrics.faults.errors import UnitError, WriteupsError
from rubrics.units.definition import define_unit
from rubrics.units.read_unit import read_unit
from rubrics.units.spellings import spelling_table
from rubrics.units.unit_record import NO_DIMENSION, TEMPERATURE

_SYMBOLS = sorted(spelling_table().defined)

_NORMAL = [
    ("J/(kg °C)", "J/(kg °C)"),
    ("J/kg °C", "J/(kg °C)"),
    ("J kg⁻¹ °C⁻¹", "J/(kg °C)"),
    ("J kg-1 degC-1", "J/(kg °C)"),
    ("J/(kg*K)", "J/(kg K)"),
    ("J/(kg·K)", "J/(kg K)"),
    ("cm3", "cm³"),
    ("cm^3", "cm³"),
    ("ohm/m", "Ω/m"),
    ("\u2126", "Ω"),
    ("s⁻¹", "1/s"),
    ("1/s", "1/s"),
    ("s²/m", "s²/m"),
    ("m/s/s", "m/s²"),
    ("m m", "m²"),
    ("kPa cm³", "kPa cm³"),
    ("mol dm⁻³", "mol/dm³"),
    ("V^2/(A s)", "V²/(A s)"),
    ("counts/min", "count/min"),
    ("", ""),
    ("none", ""),
    ("m/m", ""),
]


@pytest.mark.parametrize(("text", "symbol"), _NORMAL, ids=[text or "empty" for text, _ in _NORMAL])
def test_symbol_comes_back_in_our_spelling(text: str, symbol: str) -> None:
    """A unit is printed one way, however its author wrote it."""
    assert define_unit(text).symbol == symbol


@settings(deadline=None)
@given(st.lists(st.tuples(st.sampled_from(_SYMBOLS), st.integers(-3, 3)), max_size=3))
def test_printed_symbol_is_the_same_unit_again(factors: list[tuple[str, int]]) -> None:
    """What we print, we read as the same unit: symbol, factor, dimension and offset."""
    text = " ".join(f"{symbol}^{power}" for symbol, power in factors if power) or "none"
    unit = define_unit(text)
    assert define_unit(unit.symbol) == unit


@pytest.mark.parametrize("symbol", _SYMBOLS)
def test_our_own_symbol_needs_no_note(symbol: str) -> None:
    """Every symbol that we print is accepted, without a note, where that very unit is wanted."""
    reading = read_unit(symbol, define_unit(symbol))
    # K stands for a change where it is wanted alone, which is the same symbol with the same factor.
    assert (reading.verdict.value, reading.unit, reading.note) == ("accept", define_unit(symbol), "")


_SI = [
    # SI Brochure, 9th edition: table 4 (derived units), table 8 (litre, minute, hour, day, tonne, electronvolt).
    ("N", 1, (1, 1, -2, 0, 0, 0, 0)),
    ("Pa", 1, (-1, 1, -2, 0, 0, 0, 0)),
    ("J", 1, (2, 1, -2, 0, 0, 0, 0)),
    ("W", 1, (2, 1, -3, 0, 0, 0, 0)),
    ("C", 1, (0, 0, 1, 1, 0, 0, 0)),
    ("V", 1, (2, 1, -3, -1, 0, 0, 0)),
    ("F", 1, (-2, -1, 4, 2, 0, 0, 0)),
    ("Ω", 1, (2, 1, -3, -2, 0, 0, 0)),
    ("S", 1, (-2, -1, 3, 2, 0, 0, 0)),
    ("Wb", 1, (2, 1, -2, -1, 0, 0, 0)),
    ("T", 1, (0, 1, -2, -1, 0, 0, 0)),
    ("H", 1, (2, 1, -2, -2, 0, 0, 0)),
    ("lx", 1, (-2, 0, 0, 0, 0, 0, 1)),
    ("Hz", 1, (0, 0, -1, 0, 0, 0, 0)),
    ("mol/dm³", 1e3, (-3, 0, 0, 0, 0, 1, 0)),
    ("l", 1e-3, (3, 0, 0, 0, 0, 0, 0)),
    ("min", 60, (0, 0, 1, 0, 0, 0, 0)),
    ("h", 3600, (0, 0, 1, 0, 0, 0, 0)),
    ("day", 86400, (0, 0, 1, 0, 0, 0, 0)),
    ("t", 1e3, (0, 1, 0, 0, 0, 0, 0)),
    ("eV", 1.602176634e-19, (2, 1, -2, 0, 0, 0, 0)),
    ("g/cm³", 1e3, (-3, 1, 0, 0, 0, 0, 0)),
    ("J/(g °C)", 1e3, (2, 0, -2, 0, -1, 0, 0)),
    ("kPa cm³", 1e-3, (2, 1, -2, 0, 0, 0, 0)),
    ("mm³", 1e-9, (3, 0, 0, 0, 0, 0, 0)),
    ("%", 1e-2, NO_DIMENSION),
    # NIST SP 811 (2008), appendix B.8 and B.9.
    ("inch", 0.0254, (1, 0, 0, 0, 0, 0, 0)),
    ("foot", 0.3048, (1, 0, 0, 0, 0, 0, 0)),
    ("atm", 101325, (-1, 1, -2, 0, 0, 0, 0)),
    ("cal", 4.184, (2, 1, -2, 0, 0, 0, 0)),
    ("mmHg", 133.3224, (-1, 1, -2, 0, 0, 0, 0)),
    ("psi", 6894.757293168362, (-1, 1, -2, 0, 0, 0, 0)),
    ("D", 1.0, (-1, 0, 0, 0, 0, 0, 0)),
    ("ppm", 1e-6, NO_DIMENSION),
    ("ppb", 1e-9, NO_DIMENSION),
    ("cmHg", 1333.224, (-1, 1, -2, 0, 0, 0, 0)),
    ("gauss", 1e-4, (0, 1, -2, -1, 0, 0, 0)),
    ("gallon", 4.54609e-3, (3, 0, 0, 0, 0, 0, 0)),
    ("pint", 4.54609e-3 / 8, (3, 0, 0, 0, 0, 0, 0)),
    ("acre", 4046.8564224, (2, 0, 0, 0, 0, 0, 0)),  # of international feet
    ("Btu", 1055.05585262, (2, 1, -2, 0, 0, 0, 0)),
    ("amu", 1.66053906660e-27, (0, 1, 0, 0, 0, 0, 0)),  # CODATA 2018
    ("kWh", 3.6e6, (2, 1, -2, 0, 0, 0, 0)),
]


@pytest.mark.parametrize(("text", "factor", "dimension"), _SI, ids=[text for text, _, _ in _SI])
def test_factors_and_dimensions_as_published(text: str, factor: float, dimension: tuple[int, ...]) -> None:
    """Factor and dimension are those of the SI Brochure or of NIST SP 811, to the last bit of a double."""
    unit = define_unit(text)
    assert (unit.factor, unit.dimension) == (factor, dimension)


@pytest.fixture(scope="module")
def others() -> pint.UnitRegistry[float]:
    """Return pint's own list of units, which other hands keep."""
    return pint.UnitRegistry()


_THEIRS_DIFFER = {"°C", "°F", "D", "dB", "ppm", "ppb", "cmHg", "gauss", "acre", "gallon", "pint", "amu", "Btu"}
"""Scales with an offset, what they do not have, and what has their name in another system; published values above."""


@pytest.mark.parametrize("symbol", sorted(set(_SYMBOLS) - _THEIRS_DIFFER))
def test_factors_agree_with_another_list(symbol: str, others: pint.UnitRegistry[float]) -> None:
    """Each symbol has the factor that another list gives its name; theirs of mmHg has more figures."""
    name = spelling_table().defined[symbol].replace("millimetre_of_mercury", "mmHg")
    theirs = others.Quantity(1.0, name).to_base_units().magnitude
    assert define_unit(symbol).factor == pytest.approx(theirs, rel=1e-6 if symbol == "mmHg" else 1e-12)


@pytest.mark.parametrize(("symbol", "name"), [("°C", "degC"), ("°F", "degF")])
@pytest.mark.parametrize("reading", [-40.0, 0.0, 20.5])
def test_temperature_scales_agree_with_another_list(
    symbol: str, name: str, reading: float, others: pint.UnitRegistry[float]
) -> None:
    """A reading on either scale is the same temperature in kelvin as by another list."""
    unit = define_unit(symbol)
    theirs = others.Quantity(reading, name).to("kelvin").magnitude
    assert reading * unit.factor + unit.offset == pytest.approx(theirs, rel=1e-12)


def test_degree_alone_is_a_reading_and_in_a_compound_a_change() -> None:
    """°C has its offset only where it stands alone; K has none (SI Brochure, 9th edition, 2.3.1)."""
    assert (define_unit("°C").offset, define_unit("°C").dimension) == (273.15, TEMPERATURE)
    assert define_unit("K").offset == 0
    assert define_unit("J/(kg °C)").offset == 0
    assert define_unit("1/°C").offset == 0
    assert define_unit("°C").as_change().offset == 0


_REFUSED = [
    ("Kg/m3", "'Kg/m3': Kg is not how the unit is written: write kg"),
    ("Nm", "'Nm': Nm is not how the unit is written: write N m"),
    ("secs", "'secs': secs is not how the unit is written: write s"),
    ("J/blob", "'J/blob': blob is not a unit we know: mend it, or add it to rubrics/units/spellings.toml"),
    ("m/s-1", "'m/s-1' has a slash and a negative power behind it: write m/s or m s⁻¹, not m/s⁻¹"),
    ("2 m", "'2 m' has not the shape of a unit: write it like J/(kg °C), cm³ or Ω/m"),
    ("m^9 m", "'m^9 m' has a power beyond 9: split the unit or mend the power"),
]


@pytest.mark.parametrize(("text", "message"), _REFUSED, ids=[text for text, _ in _REFUSED])
def test_message_says_how_to_mend(text: str, message: str) -> None:
    """An author is told which word is not known and what to write."""
    with pytest.raises(UnitError) as caught:
        define_unit(text)
    assert str(caught.value) == message
    assert isinstance(caught.value, WriteupsError)


def test_power_limit_from_inside() -> None:
    """A ninth power is still a unit."""
    assert define_unit("m^9").dimension == (9, 0, 0, 0, 0, 0, 0)
