"""Two invented practicals, as rubric records made by hand."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec.structs import replace

from rubrics.formulas.formula import parse_formula
from rubrics.model.practical import (
    AcceptedValue,
    Apparatus,
    Blank,
    CheckKind,
    Criterion,
    GraphInfo,
    Item,
    ResultInfo,
    Role,
    Rubric,
)
from rubrics.units.unit_record import NO_DIMENSION, Unit

WIRE = "wire-resistance"
HEAT = "specific-heat-block"


def a_unit(symbol: str) -> Unit:
    """Return a unit that only prints: nothing is worked out in these tests."""
    return Unit(symbol=symbol, factor=1.0, dimension=NO_DIMENSION)


def an_item(name: str, quantity: str, unit: str, *, symbol: str = "", formula: str = "", table: str = "") -> Item:
    """Return an item; one with a formula is an answer."""
    return Item(
        name=name,
        symbol=symbol or name,
        quantity=quantity,
        role=Role.ANSWER if formula else Role.READING,
        unit=a_unit(unit),
        recorded_in=(a_unit(unit),),
        table=table or None,
        limits=None,
        instrument="" if formula else "meter",
        resolution=None,
        headings=(),
        formula=parse_formula(formula) if formula else None,
        also=(),
        figures=(2, 3),
        choices=(),
        curve=None,
        blank=Blank.WITHHELD,
    )


def a_criterion(code: str, point: str, check: CheckKind, items: Sequence[str], marks: int = 1) -> Criterion:
    """Return one line of a mark scheme."""
    return Criterion(
        code=code,
        point=point,
        marks=marks,
        check=check,
        items=tuple(items),
        award=(),
        rows=None,
        span=None,
        each_way=None,
        near=None,
        when=(),
    )


def a_rubric(practical: str, title: str, purpose: str, items: Sequence[Item], criteria: Sequence[Criterion]) -> Rubric:
    """Return a practical without a graph and without a result of nature."""
    return Rubric(
        id=practical,
        edition=1,
        title=title,
        level="14 to 16",
        purpose=purpose,
        items={item.name: item for item in items},
        constants={},
        criteria=tuple(criteria),
        selector=None,
        graph=None,
        result=None,
        slips=(),
        cautions=("The wire gets hot. Switch off between readings.", "Keep the current below 1 A."),
        apparatus=(Apparatus(name="voltmeter", range="0 to 5 V", each=1),),
        file=f"{practical}.toml",
        sha256="0" * 64,
    )


def wire_rubric() -> Rubric:
    """Return resistance against length of a wire."""
    rubric = a_rubric(
        WIRE,
        "Resistance and length of a wire",
        "To find out how the resistance of a wire depends on its length, and to read the resistance "
        "of one metre off a graph.",
        (
            an_item("L", "length", "m", table="readings"),
            an_item("V", "p.d.", "V", table="readings"),
            an_item("I", "current", "A", table="readings"),
            an_item("R", "resistance", "Ω", formula="V / I", table="readings"),
            an_item("gradient", "gradient", "Ω/m", formula="slope(R, L)"),
        ),
        (
            a_criterion("R1", "Every reading is there, with its unit", CheckKind.READING, ["L", "V", "I"]),
            a_criterion("R2", "Readings keep their decimal places", CheckKind.PLACES, ["L", "V", "I"]),
            a_criterion("R3", "At least 6 lengths over at least 0.6 m", CheckKind.ROWS, ["L"]),
            a_criterion("F1", "Resistance right in every row", CheckKind.VALUE, ["R"], marks=2),
            a_criterion("F3", "Resistance to 2 or 3 figures", CheckKind.FIGURES, ["R"]),
            a_criterion("G4", "One straight line that fits the points", CheckKind.TEACHER, []),
            a_criterion("G5", "Gradient right", CheckKind.VALUE, ["gradient"]),
            a_criterion("F2", "Unit of the gradient", CheckKind.UNIT, ["gradient"]),
            a_criterion("K1", "Says what the graph shows, with the reason why it misses zero", CheckKind.TEACHER, []),
            a_criterion("V1", "Names one source of error and its direction", CheckKind.TEACHER, []),
        ),
    )
    return replace(rubric, graph=GraphInfo(x="L", y="R", fit="line"))


def heat_rubric() -> Rubric:
    """Return specific heat capacity of a metal block."""
    rubric = a_rubric(
        HEAT,
        "Specific heat capacity of a metal block",
        "To find how much energy one kilogram of a metal takes in for each degree it warms.",
        (
            an_item("m", "mass", "kg"),
            an_item("T_start", "start temperature", "°C", symbol="T₁"),
            an_item("T_end", "end temperature", "°C", symbol="T₂"),
            an_item("E", "energy", "J"),
            an_item("dT", "temperature rise", "°C", symbol="ΔT", formula="T_end - T_start"),
            an_item("c", "specific heat capacity", "J/(kg °C)", formula="E / (m * dT)"),
        ),
        (
            a_criterion(
                "R1", "All four readings, each with its unit", CheckKind.READING, ["m", "T_start", "T_end", "E"]
            ),
            a_criterion("F0", "Temperature rise", CheckKind.VALUE, ["dT"]),
            a_criterion("F1", "Specific heat capacity", CheckKind.VALUE, ["c"], marks=2),
            a_criterion("F2", "Unit of c", CheckKind.UNIT, ["c"]),
            a_criterion("F3", "Figures of c", CheckKind.FIGURES, ["c"]),
            a_criterion("V1", "Names one source of error and its direction", CheckKind.TEACHER, []),
        ),
    )
    accepted = AcceptedValue(
        name="aluminium", value=900.0, uncertainty=13.0, source="an invented data book", edition="third"
    )
    result = ResultInfo(
        answer="c",
        accepted=(accepted,),
        expected=None,
        stop=None,
        too_high="Some energy warms the surroundings, so the rise is too small for the energy counted.",
        too_low="A low value points to a thermometer close to the heater.",
    )
    return replace(rubric, result=result, cautions=("The heater stays hot after it is switched off.",))


RUBRICS: Mapping[str, Rubric] = {WIRE: wire_rubric(), HEAT: heat_rubric()}
