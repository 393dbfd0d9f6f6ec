"""Units: published factors, and the factors of another library's registry, each through the main job.

Sources: ``data/unit-conversions.csv`` (NIST SP 811 (2008), B.8 and B.9, and exact definitions); pint.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import permutations

import pint
import pytest

from marking.findings import Outcome
from tests.published.main_path import rubric_named, table, value_finding

OUR_SIGN = {"cal_th": "cal"}
PRACTICALS = {"m": "length", "Pa": "pressure", "J": "energy"}


@pytest.mark.parametrize("line", table("unit-conversions.csv"), ids=lambda line: line["from"])
def test_published_factor(line: Mapping[str, str]) -> None:
    """One of a unit given in the other by the published factor is awarded; ten times it is not."""
    number, unit = line["from"].split()
    practical = f"conversion-{PRACTICALS[line['to_unit']]}"
    reading = ("a", "", number, OUR_SIGN.get(unit, unit))
    finding = value_finding(practical, [reading, ("x", "", line["factor"], line["to_unit"])], "x")
    assert finding.outcome is Outcome.AWARDED
    assert finding.expected == pytest.approx(float(line["factor"]), rel=1e-9)
    wrong = f"{float(line['factor']) * 10:.6e}"
    assert value_finding(practical, [reading, ("x", "", wrong, line["to_unit"])], "x").outcome is Outcome.WITHHELD


PINT_NAMES = {
    "m": "m", "inch": "inch", "foot": "foot", "cm": "cm", "mm": "mm", "km": "km", "µm": "micrometer", "nm": "nm",
    "Pa": "Pa", "kPa": "kPa", "atm": "atm", "mmHg": "mmHg", "bar": "bar", "mbar": "mbar",
    "J": "J", "kJ": "kJ", "cal": "cal", "eV": "eV", "kWh": "kWh", "Wh": "Wh",
    "kg/m³": "kg/m**3", "g/cm³": "g/cm**3", "g/ml": "g/ml",
    "m/s": "m/s", "km/h": "km/h", "cm/s": "cm/s",
    "m³": "m**3", "cm³": "cm**3", "dm³": "dm**3", "L": "L", "ml": "ml", "mm³": "mm**3",
    "Ω": "ohm", "kΩ": "kohm", "mΩ": "mohm",
    "rad": "rad", "°": "deg",
}  # fmt: skip
QUANTITIES = ("length", "pressure", "energy", "density", "speed", "volume", "resistance", "angle")
PAIRS = [
    (quantity, one.symbol, other.symbol)
    for quantity in QUANTITIES
    for one, other in permutations(rubric_named(f"conversion-{quantity}").items["a"].recorded_in, 2)
]
READING = 3.47


@pytest.fixture(scope="module")
def registry() -> pint.UnitRegistry[float]:
    """Return the library's own registry, not the one that the program uses."""
    return pint.UnitRegistry()


@pytest.mark.parametrize(("quantity", "one", "other"), PAIRS, ids=[f"{one}-{other}" for _, one, other in PAIRS])
def test_factor_of_another_registry(quantity: str, one: str, other: str, registry: pint.UnitRegistry[float]) -> None:
    """A reading in any unit of its list, answered in any other as pint converts it, is awarded."""
    theirs = float(registry.Quantity(READING, PINT_NAMES[one]).to(PINT_NAMES[other]).magnitude)
    rows = [("a", "", str(READING), one), ("x", "", f"{theirs:.3e}", other)]
    finding = value_finding(f"conversion-{quantity}", rows, "x")
    assert finding.outcome is Outcome.AWARDED
    assert finding.expected == pytest.approx(theirs, rel=1e-6)


@pytest.mark.parametrize(("kelvin", "celsius"), [("293.15", "20.00"), ("273.15", "0.00"), ("77.36", "-195.79")])
def test_temperature_scales(kelvin: str, celsius: str, registry: pint.UnitRegistry[float]) -> None:
    """A temperature in K is 273.15 more than in °C, and a mean of temperatures keeps its scale (SI Brochure, 2.3.1)."""
    theirs = registry.Quantity(float(kelvin), "K").to("degC").magnitude
    assert float(celsius) == pytest.approx(theirs, abs=0.005)
    rows = [("T", "1", kelvin, "K"), ("T", "2", kelvin, "K")]
    finding = value_finding("mean-temperature", [*rows, ("mean_T", "", celsius, "°C")], "mean_T")
    assert finding.outcome is Outcome.AWARDED
    assert finding.expected == pytest.approx(theirs, abs=1e-9)
    assert value_finding("mean-temperature", [*rows, ("mean_T", "", kelvin, "°C")], "mean_T").outcome == "withheld"
