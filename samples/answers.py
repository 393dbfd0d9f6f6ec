"""How a careful student works each answer out, and the units it may be given in.

Plain arithmetic, on purpose not the formula language of the rubrics: two ways to the same number.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from msgspec import Struct, field

from samples.recording import Way

Line = tuple[float, float]
"""Gradient and intercept."""


class Numbers(Struct, kw_only=True):
    """The numbers that a student holds when an answer is worked out."""

    value: dict[str, float] = field(default_factory=dict)
    """Item to number in the unit of the rubric."""
    noted: dict[str, float] = field(default_factory=dict)
    """Item to number as it was written down, in the student's own unit."""
    columns: dict[str, list[float]] = field(default_factory=dict)
    """The same as *value* for a table; rows without a number are left out of all columns."""
    noted_columns: dict[str, list[float]] = field(default_factory=dict)
    all_points: list[tuple[float, float]] = field(default_factory=list)
    """Length and resistance in every row, where one of them is odd; else empty."""

    def __getitem__(self, name: str) -> float:
        """Return a number in the unit of the rubric."""
        return self.value[name]


class Question(Struct, frozen=True, kw_only=True):
    """One answer that is asked for."""

    item: str
    right: Callable[[Numbers], float]
    ways: tuple[Way, ...]
    """The first is the unit of the rubric."""
    wrong_units: tuple[str, ...]
    """Units of another quantity that are met for it."""
    slip_rate: float
    """How often the value is wrong, for the class of the scenario."""
    in_table: bool = False
    is_drawn: bool = False
    """Taken off a line that was drawn by hand."""


def fit_line(x: list[float], y: list[float]) -> Line:
    """Return the least-squares line through the points."""
    mean_x, mean_y = sum(x) / len(x), sum(y) / len(y)
    spread = sum((one - mean_x) ** 2 for one in x)
    gradient = sum((a - mean_x) * (b - mean_y) for a, b in zip(x, y, strict=True)) / spread
    return gradient, mean_y - gradient * mean_x


def _ohms_law(pd: str, current: str) -> Callable[[Numbers], float]:
    return lambda n: n[pd] / n[current]


def _meets_axis(n: Numbers) -> float:
    # The line that was drawn balances the points, so it goes through their middle.
    x, y = n.columns["L"], n.columns["R"]
    return sum(y) / len(y) - n["gradient"] * sum(x) / len(x)


def _parallel(first: float, second: float) -> float:
    return first * second / (first + second)


_RISE = Way(spellings=("°C", "degC", "°C", "C", "K"))
_HEAT_CAPACITY = (
    Way(
        spellings=(
            "J/kg°C", "J/(kg °C)", "J/kg/°C", "J kg⁻¹ °C⁻¹", "J/kg °C", "J/kgK", "J/kg K", "j/kg°c", "J/kg C",
        ),
        share=12,
    ),
    Way(spellings=("kJ/kg°C", "kJ/(kg °C)"), factor=0.001),
    Way(spellings=("J/g°C", "J/(g °C)"), factor=0.001),
)  # fmt: skip
_OHM = Way(spellings=("Ω", "ohms", "Ohms", "ohm", "Ω"), share=12)
_KILOHM = Way(spellings=("kΩ",), factor=0.001)
_OHM_PER_M = (
    Way(spellings=("Ω/m", "ohm/m", "Ω m⁻¹", "ohms per metre"), share=6),
    Way(spellings=("Ω/cm", "ohm/cm"), factor=0.01),
)
_CUBIC_CM = Way(spellings=("cm³", "cm3", "cm^3"), share=6)
_DENSITY = Way(spellings=("g/cm³", "g/cm3", "g cm⁻³", "g/cm^3", "gcm-3"))
_DENSITY_SI = Way(spellings=("kg/m³", "kg/m3", "kg m⁻³", "kgm-3"))
_NOT_OHM = ("A", "V", "A/V")

_HEATING = (
    Question(
        item="dT",
        right=lambda n: n["T_end"] - n["T_start"],
        ways=(_RISE,),
        wrong_units=("J",),
        slip_rate=0.05,
    ),
    Question(
        item="c",
        right=lambda n: n["E"] / (n["m"] * n["dT"]),
        ways=_HEAT_CAPACITY,
        wrong_units=("J", "J/kg", "J/°C", "J kg °C"),
        slip_rate=0.22,
    ),
)
_RESISTANCE = Question(
    item="R",
    right=_ohms_law("V", "I"),
    ways=(_OHM,),
    wrong_units=_NOT_OHM,
    slip_rate=0.10,
    in_table=True,
)
_DENSITIES = (
    Question(
        item="rho",
        right=lambda n: n["m"] / n["V"],
        ways=(_DENSITY,),
        wrong_units=("g", "g cm³", "cm³/g"),
        slip_rate=0.12,
    ),
    Question(
        item="rho_si",
        right=lambda n: n["rho"] * 1000,
        ways=(_DENSITY_SI,),
        wrong_units=("kg", "kg/m"),
        slip_rate=0.30,
    ),
)

QUESTIONS: Mapping[str, tuple[Question, ...]] = {
    "specific-heat-block": _HEATING,
    "specific-heat-liquid": _HEATING,
    "wire-resistance": (
        _RESISTANCE,
        Question(
            item="gradient",
            right=lambda n: fit_line(n.columns["L"], n.columns["R"])[0],
            ways=_OHM_PER_M,
            wrong_units=("Ω", "m/Ω"),
            slip_rate=0.25,
            is_drawn=True,
        ),
        Question(item="intercept", right=_meets_axis, ways=(_OHM,), wrong_units=("Ω/m",), slip_rate=0.0),
    ),
    "resistor-combinations": (
        *(
            Question(
                item=f"R_{name}",
                right=_ohms_law(f"V_{name}", f"I_{name}"),
                ways=(_OHM, _KILOHM),
                wrong_units=_NOT_OHM,
                slip_rate=0.07,
            )
            for name in ("1", "2", "series", "parallel")
        ),
        Question(
            item="predicted_series",
            right=lambda n: n["R_1"] + n["R_2"],
            ways=(_OHM,),
            wrong_units=_NOT_OHM,
            slip_rate=0.05,
        ),
        Question(
            item="predicted_parallel",
            right=lambda n: _parallel(n["R_1"], n["R_2"]),
            ways=(_OHM,),
            wrong_units=("1/Ω", "V"),
            slip_rate=0.30,
        ),
        Question(
            item="difference",
            right=lambda n: 100 * (n["R_parallel"] - n["predicted_parallel"]) / n["predicted_parallel"],
            ways=(Way(spellings=("%", "%", "percent")),),
            wrong_units=("Ω",),
            slip_rate=0.0,
        ),
    ),
    "iv-characteristic": (_RESISTANCE,),
    "density-cuboid": (
        Question(
            item="V",
            right=lambda n: n["l"] * n["w"] * n["h"],
            ways=(_CUBIC_CM, Way(spellings=("mm³", "mm3"), factor=1000)),
            wrong_units=("cm", "cm²"),
            slip_rate=0.12,
        ),
        *_DENSITIES,
    ),
    "density-displacement": _DENSITIES,
}
RESISTANCE_FROM_GRAPH = Question(
    item="R_component",
    right=lambda n: fit_line(n.columns["I"], n.columns["V"])[0],
    ways=(_OHM,),
    wrong_units=_NOT_OHM,
    slip_rate=0.20,
    is_drawn=True,
)
"""Asked only of those who tested a fixed resistor."""
