"""The accepted values of the catalogue against handbooks: libraries of handbook data, and copied rows with sources.

Sources: CRC Handbook of Chemistry and Physics as tabulated in the library chemicals; IAPWS-95 and the reference
equation of ethanol in CoolProp; ``data/materials.csv`` (several sources a quantity), ``data/water-iapws95.csv``,
``data/wire-gauge-swg.csv`` (BS 3737:1964).
"""

from __future__ import annotations

import math

import chemicals
import pytest
from chemicals import heat_capacity, volume
from CoolProp.CoolProp import PropsSI

from rubrics.load import load_catalogue
from rubrics.model.practical import AcceptedValue
from tests.published.main_path import marked, table

CAS = {"aluminium": "7429-90-5", "copper": "7440-50-8", "iron": "7439-89-6", "zinc": "7440-66-6", "lead": "7439-92-1"}
DENSITIES = ("density-cuboid", "density-displacement")


def accepted(practical: str, name: str) -> AcceptedValue:
    """Return an accepted value of the catalogue."""
    result = load_catalogue()[practical].result
    assert result is not None
    return next(one for one in result.accepted if one.name == name)


def specific_heat_capacity(metal: str) -> float:
    """Return the CRC Handbook's value for the solid at 25 °C, molar value over molar mass, in J/(kg K)."""
    molar = float(str(heat_capacity.CRC_standard_data["Cps"][CAS[metal]]))
    return 1000 * molar / float(chemicals.MW(CAS[metal]))


def holds(value: AcceptedValue, other: float) -> bool:
    """Tell whether another source's value is within the uncertainty, a unit of its last digit allowed for."""
    return abs(value.value - other) <= value.uncertainty + 1e-3 * value.value


@pytest.mark.parametrize("metal", ["aluminium", "copper", "iron"])
def test_specific_heat_capacity_of_a_metal(metal: str) -> None:
    """The accepted value holds that of the CRC Handbook at 25 °C (chemicals: molar value over molar mass)."""
    assert holds(accepted("specific-heat-block", metal), specific_heat_capacity(metal))


@pytest.mark.parametrize("practical", DENSITIES)
@pytest.mark.parametrize("metal", ["aluminium", "copper", "zinc", "lead", "iron"])
def test_density_of_a_metal(metal: str, practical: str) -> None:
    """The accepted value holds that of the CRC Handbook (chemicals: molar mass over molar volume)."""
    molar_volume = float(str(volume.rho_data_CRC_inorg_s_const["Vm"][CAS[metal]]))
    name = "iron or steel" if metal == "iron" else metal
    assert holds(accepted(practical, name), chemicals.MW(CAS[metal]) / molar_volume / 1e6)


@pytest.mark.parametrize(("fluid", "celsius"), [("water", 20.0)])
def test_specific_heat_capacity_of_a_liquid(fluid: str, celsius: float) -> None:
    """The accepted value holds that of the reference equation at the temperature that its edition names (CoolProp)."""
    theirs = PropsSI("C", "T", 273.15 + celsius, "P", 101325, fluid.capitalize())
    assert holds(accepted("specific-heat-liquid", fluid), theirs)


def test_water_table_is_the_reference_equation() -> None:
    """The copied table of water is that of IAPWS-95 to the digits shown, and the accepted value lies in it."""
    for line in table("water-iapws95.csv"):
        theirs = PropsSI("C", "T", 273.15 + float(line["t_C"]), "P", 101325, "Water")
        assert float(line["cp_J_kgK"]) == pytest.approx(theirs, abs=0.01)
    values = [float(line["cp_J_kgK"]) for line in table("water-iapws95.csv")]
    assert min(values) <= accepted("specific-heat-liquid", "water").value <= max(values)


MATERIALS = table("materials.csv")
SPREAD_OF_SOURCES = 0.015
"""Respectable sources differ by up to this share, for purity and for the temperature they name; see the rows."""


@pytest.mark.parametrize(
    ("practical", "quantity", "scale"),
    [
        ("specific-heat-block", "specific heat capacity", 1.0),
        ("density-cuboid", "density", 1000.0),
        ("density-displacement", "density", 1000.0),
    ],
)
def test_accepted_values_lie_among_the_sources(practical: str, quantity: str, scale: float) -> None:
    """Every accepted value lies between the lowest and the highest source near room temperature."""
    result = load_catalogue()[practical].result
    assert result is not None
    for one in result.accepted:
        name = one.name.split(" or ")[0]
        found = [
            float(line["value"]) / scale
            for line in MATERIALS
            if line["material"].split(" ")[0] == name and line["quantity"] == quantity and line["conditions"] != "350 K"
        ]
        assert found, one.name
        assert min(found) * (1 - SPREAD_OF_SOURCES) <= one.value <= max(found) * (1 + SPREAD_OF_SOURCES)


RESISTIVITY = {
    "constantan": [float(line["value"]) for line in MATERIALS if line["material"].startswith("constantan")],
    "nichrome": [float(line["value"]) for line in MATERIALS if line["material"].startswith("nichrome")],
}


def test_resistance_per_metre_of_wires() -> None:
    """Every accepted gradient is a resistivity of the sources over the area of its gauge, all sources inside."""
    diameter = {line["swg"]: float(line["mm"]) / 1000 for line in table("wire-gauge-swg.csv")}
    result = load_catalogue()["wire-resistance"].result
    assert result is not None
    for one in result.accepted:
        metal, gauge = one.name.split(", ")
        area = math.pi * diameter[gauge.removesuffix(" SWG")] ** 2 / 4
        for resistivity in RESISTIVITY[metal]:
            assert abs(resistivity / area - one.value) <= one.uncertainty * 1.02


@pytest.mark.parametrize("metal", ["aluminium", "copper", "iron"])
def test_a_usual_result_is_set_beside_its_metal(metal: str) -> None:
    """A result a tenth above the handbook's, as school apparatus gives it, is compared with that metal."""
    value = 1.1 * specific_heat_capacity(metal)
    rows = [
        ("m", "", "1.000", "kg"),
        ("T_start", "", "20.0", "°C"),
        ("T_end", "", "40.0", "°C"),
        ("E", "", f"{20 * value:.0f}", "J"),
        ("c", "", f"{value:.0f}", "J/(kg °C)"),
    ]
    result = marked("specific-heat-block", rows).result
    assert result is not None
    assert result.accepted is not None
    assert result.accepted.name == metal
    assert result.value == pytest.approx(value, rel=1e-3)
