"""What the tables of spellings cannot show: context, the units an item lists, and the words of the notes."""

from __future__ import annotations

import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from rubrics.units import spellings as spellings_module
from rubrics.units.definition import define_unit
from rubrics.units.quantities import terms_of
from rubrics.units.read_unit import knows_unit, read_unit
from rubrics.units.spellings import spelling_table
from rubrics.units.unit_record import Unit, Verdict

_CAPACITY = define_unit("J/(kg °C)")
_READING = define_unit("°C")
_CHANGE = define_unit("°C").as_change()

_ONE_UNIT = [
    "J/kg/°C",
    "J kg-1 °C-1",
    "J/kgC",
    "J/kg°C",
    "Jkg-1K-1",
    "JKg⁻¹°C⁻¹",
    "Jkg-¹°C-¹",
    "J per kg per °C",
    "joules per kilogram per degree Celsius",
    "Joules per kilogram per degrees centigrade",
    "joules/kilogram/kelvin",
    "J/(kg·K)",
    "J kg**-1 K**-1",
    "J kg^(-1) K^(-1)",
    "J (kg °C)⁻¹",
    "[J/(kg °C)]",
    "J/kg x °C",
    "J/kg·°C⁻¹",
    "J / kg / °C",
    "J/K kg",
    "J/kg⁰C",
    "J/kg oC",
    "J/kgdegC",
    "J/kg deg C",
    "J/kg deg. C",
    "J/㎏℃",
    "Ｊ/ｋｇ　Ｋ",
    "J\u2009kg\u207b\u00b9\u2009K\u207b\u00b9",
    " \u200bJ/(kg\u00a0K).\u202c ",
    "J/kg K)",
    "j/kg/k",
    "J/kg degress",
]


@pytest.mark.parametrize("typed", _ONE_UNIT)
def test_ways_to_write_one_unit(typed: str) -> None:
    """However it is put together, joule per kilogram and degree is accepted, and is one unit."""
    reading = read_unit(typed, _CAPACITY)
    assert reading.verdict in (Verdict.ACCEPT, Verdict.NOTE)
    assert reading.unit is not None
    assert (reading.unit.factor, reading.unit.dimension) == (_CAPACITY.factor, _CAPACITY.dimension)


_COULOMB = [
    (_READING, "C", "°C"),
    (_CAPACITY, "J/kgC", "J/(kg °C)"),
    (define_unit("1/K"), "C-1", "1/°C"),
    (define_unit("V"), "J/C", "J/C"),
    (define_unit("C"), "C", "C"),
    (define_unit("J/kg"), "J/kg C", "J/(kg C)"),
]


@pytest.mark.parametrize(("wanted", "typed", "symbol"), _COULOMB, ids=[f"{u.symbol}<-{t}" for u, t, _ in _COULOMB])
def test_bare_c(wanted: Unit, typed: str, symbol: str) -> None:
    """C is the degree wherever a temperature has a part in it, and the coulomb only where none has."""
    reading = read_unit(typed, wanted)
    assert reading.unit is not None
    assert reading.unit.symbol == symbol


_TEMPERATURES = [
    (_READING, "°C", Verdict.ACCEPT, 273.15),
    (_READING, "K", Verdict.NOTE, 0.0),
    (_CHANGE, "°C", Verdict.ACCEPT, 0.0),
    (_CHANGE, "K", Verdict.ACCEPT, 0.0),
    (define_unit("K"), "°C", Verdict.ACCEPT, 0.0),  # a kelvin without an offset can only be a change
]


@pytest.mark.parametrize(("wanted", "typed", "verdict", "offset"), _TEMPERATURES)
def test_offset_goes_with_readings_only(wanted: Unit, typed: str, verdict: Verdict, offset: float) -> None:
    """Where a change is wanted neither °C nor K has an offset; where a reading is, °C has its own."""
    reading = read_unit(typed, wanted)
    assert reading.unit is not None
    assert (reading.verdict, reading.unit.offset) == (verdict, offset)


def test_degrees_beside_a_temperature_are_those_of_the_laboratory() -> None:
    """'degrees' is the Celsius scale beside a temperature, with a note, and the angle beside an angle."""
    assert (read_unit("degrees", _READING).verdict, read_unit("degrees", _READING).unit) == (Verdict.NOTE, _READING)
    assert read_unit("degrees", _CHANGE).verdict is Verdict.NOTE
    assert read_unit("degrees", define_unit("°")).verdict is Verdict.ACCEPT


def test_units_that_the_item_lists_need_no_note() -> None:
    """Another scale is noted, unless the item lists it."""
    kilogram, gram = define_unit("kg"), define_unit("g")
    assert read_unit("g", kilogram).note == "another scale than kg"
    listed = read_unit("g", kilogram, (gram,))
    assert (listed.verdict, listed.unit, listed.note) == (Verdict.ACCEPT, gram, "")


def test_k_beside_a_resistance_is_the_kilohm() -> None:
    """4.7k is how resistances are written; a capital K is the kelvin too, and asked about unless kΩ is listed."""
    ohm, kilohm = define_unit("Ω"), define_unit("kΩ")
    assert read_unit("k", ohm).unit == kilohm
    assert read_unit("K", ohm).verdict is Verdict.AMBIGUOUS
    assert read_unit("K", ohm, (kilohm,)).unit == kilohm


_NO_UNIT = ["", " ", "-", "—", "none", "None", "no unit", "n/a", "N/A", "ratio", "1"]


@pytest.mark.parametrize("typed", ["x 10^1 ohm", "× 10¹ Ω", "10^1 ohm"])
def test_ten_to_the_first_keeps_its_power(typed: str) -> None:
    """Our own print of it is a unit again, which '10 Ω' is not."""
    unit = read_unit(typed, define_unit("Ω")).unit
    assert unit is not None
    assert unit.symbol == "10¹ Ω"
    assert define_unit(unit.symbol) == unit


def test_nanoampere_is_not_not_applicable() -> None:
    """'NA' says that there is no unit; 'nA' is one."""
    assert read_unit("nA", define_unit("A")).unit == define_unit("nA")
    assert read_unit("NA", define_unit("A")).verdict is Verdict.MISSING


@pytest.mark.parametrize("typed", _NO_UNIT)
def test_nothing_written(typed: str) -> None:
    """No unit is right for a pure number, and a missing one for everything else, a percentage included."""
    assert read_unit(typed, define_unit("")).verdict is Verdict.ACCEPT
    for wanted in ("V", "%", "rad"):
        reading = read_unit(typed, define_unit(wanted))
        assert (reading.verdict, reading.unit) == (Verdict.MISSING, None)


def test_angles_are_no_mere_numbers() -> None:
    """A degree where a pure number is wanted is another quantity, though it has no dimension either."""
    assert read_unit("°", define_unit("")).verdict is Verdict.WRONG
    assert read_unit("%", define_unit("")).verdict is Verdict.NOTE
    assert read_unit("%", define_unit("°")).verdict is Verdict.WRONG


_MISSPELT = [
    # Seven letters and more may be two off, fewer one, and below four none.
    ("kilogrm", "kg", Verdict.NOTE),
    ("killogramms", "kg", Verdict.NOTE),
    ("kkilloggrams", "kg", Verdict.WRONG),
    ("votl", "V", Verdict.NOTE),
    ("vtlo", "V", Verdict.WRONG),
    ("celcius", "°C", Verdict.NOTE),
    ("om", "Ω", Verdict.WRONG),
    ("mass", "g", Verdict.WRONG),
    ("temp", "°C", Verdict.WRONG),
    ("time", "min", Verdict.WRONG),
    ("half", "A", Verdict.WRONG),
]


@pytest.mark.parametrize(("typed", "wanted", "verdict"), _MISSPELT)
def test_misspelt_names(typed: str, wanted: str, verdict: Verdict) -> None:
    """A name one or two letters off is noted; a word that is no name of a unit stays wrong."""
    assert read_unit(typed, define_unit(wanted)).verdict is verdict


_NOTES = [
    ("KJ", "J", "read as kJ: capitals and small letters count; another scale than J"),
    ("kJ", "J", "another scale than J"),
    ("V/A", "Ω", "right, though Ω is expected"),
    ("g/ml", "g/cm³", "1 ml = 1 cm³"),
    ("mol/l", "mol/dm³", "1 l = 1 dm³"),
    ("J/kg/C", "J/(kg °C)", "read as J/(kg °C): C alone is the coulomb, use one slash, with brackets"),
    ("Nm-1", "N/m", "read as N/m: leave a space between symbols"),
    ("J/kg.K", "J/(kg K)", "read as J/(kg K): put brackets round what is below the slash"),
    ("J kg⁻¹/K", "J/(kg K)", "read as J/(kg K): use a slash or negative powers, not both"),
    ("cms", "cm", "read as cm: symbols take no s"),
    ("c.m.", "cm", "read as cm: no space inside a symbol"),
    ("cm 3", "cm³", "read as cm³: write the power next to its symbol"),
    ("Ω per m", "Ω/m", "read as Ω/m: 'per' goes with names"),
    ("moles/dm3", "mol/dm³", "read as mol/dm³: keep to names or to symbols"),
    ("sec-1", "1/s", "read as 1/s: powers go with symbols"),
    ("J/kg°", "J/(kg °C)", "read as J/(kg °C): say which degree"),
    ("J/kg K)", "J/(kg K)", "read as J/(kg K): brackets come in pairs"),
    ("J/(kg K", "J/(kg K)", "may stand for J/(kg K)"),
    ("celcius", "°C", "read as °C: check the spelling"),
    ("secs", "s", "read as s"),
    ("count", "", "right, though a pure number is expected"),
    ("W", "Ω", "may be W or Ω"),
    ("k", "kg", "may stand for kg"),
    ("mw", "W", "may be MW or mW"),
    ("V/m", "V", "V/m may stand for V"),
    ("m/s-1", "m/s", "may stand for m/s: use a slash or negative powers, not both"),
    ("J", "W", "J is a unit of another quantity"),
    ("cm³/g", "g/cm³", "cm³/g is upside down"),
    ("blobs", "W", "not a unit we know"),
    ("none", "W", "none says that there is no unit"),
    ("", "W", ""),
]


@pytest.mark.parametrize(("typed", "wanted", "note"), _NOTES, ids=[f"{w}<-{t}" for t, w, _ in _NOTES])
def test_words_of_the_notes(typed: str, wanted: str, note: str) -> None:
    """Each note says in one clause what was understood and why it is worth a word."""
    assert read_unit(typed, define_unit(wanted)).note == note


def test_a_charge_is_no_plural() -> None:
    """'As' may be amps in the plural or a charge, so a person is asked; 'A s' with its space is a charge."""
    assert read_unit("As", define_unit("A")).verdict is Verdict.AMBIGUOUS
    assert read_unit("A s", define_unit("A")).verdict is Verdict.WRONG
    assert read_unit("As", define_unit("C")).unit == define_unit("A s")


@pytest.mark.parametrize("typed", ["kJ", "J/(kg K)", "k", "grms", "/s", "J/kgk"])
def test_what_can_be_a_unit(typed: str) -> None:
    """A number's reader learns that the words behind the number can be a unit."""
    assert knows_unit(typed)


@pytest.mark.parametrize("typed", ["about", "half", "½", "to 25", "g of water", ""])
def test_what_cannot_be_a_unit(typed: str) -> None:
    """Other words behind a number are never taken for one."""
    assert not knows_unit(typed)


def test_every_meaning_in_the_table_is_one_of_our_units() -> None:
    """A spelling added to the table with a meaning that is no unit is caught here, not in a class."""
    table = spelling_table()
    meanings = {spelling.meaning for spelling in table.exact.values()}
    meanings |= {*table.noted_texts.values(), *table.in_temperatures.values(), *table.in_angles.values()}
    meanings |= {meaning for options in table.unclear.values() for meaning in options}
    meanings |= {meaning for options in table.beside.values() for meaning in options.values()} - {"?"}
    assert all(terms_of(meaning) for meaning in meanings)


def test_no_spelling_is_in_the_table_twice_with_two_meanings() -> None:
    """One spelling, one meaning: the first would silently win."""
    data = tomllib.loads(Path(spellings_module.__file__).with_name("spellings.toml").read_text(encoding="utf-8"))
    seen: dict[str, str] = {symbol: symbol for symbol in spelling_table().defined}
    for section in ("alike", "names", "words", "noted"):
        for text, meaning in data[section].items():
            assert seen.setdefault(text, meaning) == meaning, text


def test_pint_is_loaded_only_when_a_unit_is_needed() -> None:
    """A command that needs no unit does not pay for pint or for the search of misspelt names."""
    program = "import sys, rubrics.units; print([name for name in ('pint', 'rapidfuzz') if name in sys.modules])"
    shown = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert shown.stdout.strip() == "[]"


@pytest.mark.parametrize(("typed", "asked"), [("mass", "C"), ("mhz", "m/s"), ("mω", "Ω m"), ("as", "C"), ("mas", "C")])
def test_a_word_in_small_letters_is_no_product_of_units(typed: str, asked: str) -> None:
    """What is a unit only if its letters are taken apart and written in another case is asked about."""
    assert read_unit(typed, define_unit(asked)).verdict is Verdict.AMBIGUOUS
