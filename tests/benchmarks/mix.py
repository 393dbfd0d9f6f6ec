"""How often each cause is planted, and in which box.

The shares are the estimates of experienced markers that the trade starts from (none is published): shares of
wrong calculated answers, by the kind of sum.
"""

from __future__ import annotations

CAUSES = (
    "unit-conversion",
    "rearrangement",
    "operation-order",
    "wrong-quantity",
    "missing-factor",
    "combination-rule",
    "sign",
    "gradient-inverted",
    "power-of-ten",
    "digits-swapped",
    "copying",
    "rounded-early",
    "unexplained",
)
"""Causes of a wrong value, in the order of the shares below."""

_DIVISION = (0.30, 0.18, 0.01, 0.09, 0.03, 0, 0.01, 0, 0.08, 0.04, 0.08, 0.08, 0.10)
_CAPACITY = (0.30, 0.12, 0.08, 0.14, 0.06, 0, 0.02, 0, 0.05, 0.03, 0.06, 0.06, 0.08)
_VOLUME = (0.45, 0.05, 0.02, 0.06, 0.10, 0, 0.01, 0, 0.09, 0.03, 0.06, 0.04, 0.09)
_PARALLEL = (0.08, 0.04, 0.06, 0.08, 0.03, 0.52, 0.01, 0, 0.03, 0.02, 0.04, 0.03, 0.06)
_GRADIENT = (0.22, 0.03, 0.03, 0.15, 0.04, 0, 0.03, 0.14, 0.05, 0.02, 0.06, 0.04, 0.11)
_DIFFERENCE = (0.02, 0, 0, 0.30, 0, 0, 0.20, 0, 0.08, 0.10, 0.20, 0, 0.10)

SHARES: dict[str, tuple[float, ...]] = {
    "dT": _DIFFERENCE,
    "c": _CAPACITY,
    "R": _DIVISION,
    "R_1": _DIVISION,
    "R_2": _DIVISION,
    "R_series": _DIVISION,
    "R_parallel": _DIVISION,
    "predicted_series": _PARALLEL,
    "predicted_parallel": _PARALLEL,
    "difference": _DIVISION,
    "gradient": _GRADIENT,
    "R_component": _GRADIENT,
    "V": _VOLUME,
    "rho": _DIVISION,
    "rho_si": _VOLUME,
}

BOXES: dict[str, dict[str, float]] = {
    "density-cuboid": {"V": 0.4, "rho": 0.35, "rho_si": 0.25},
    "density-displacement": {"rho": 0.6, "rho_si": 0.4},
    "iv-characteristic": {"R": 0.75, "R_component": 0.25},
    "resistor-combinations": {
        "R_1": 0.1,
        "R_2": 0.1,
        "R_series": 0.1,
        "R_parallel": 0.1,
        "predicted_series": 0.15,
        "predicted_parallel": 0.4,
        "difference": 0.05,
    },
    "specific-heat-block": {"dT": 0.2, "c": 0.8},
    "specific-heat-liquid": {"dT": 0.2, "c": 0.8},
    "wire-resistance": {"R": 0.5, "gradient": 0.5},
}
"""Which box of a practical the slip falls into."""

_RESISTANCES = ("R_1", "R_2", "R_series", "R_parallel")

UNITS_MARKED: dict[str, tuple[str, ...]] = {
    "density-cuboid": ("V", "rho"),
    "density-displacement": ("rho",),
    "iv-characteristic": ("R",),
    "resistor-combinations": (*_RESISTANCES, "predicted_series", "predicted_parallel"),
    "specific-heat-block": ("c",),
    "specific-heat-liquid": ("c",),
    "wire-resistance": ("gradient",),
}
"""Answers whose unit has a mark."""

FIGURES_MARKED: dict[str, tuple[str, ...]] = {
    "density-cuboid": ("rho",),
    "density-displacement": ("rho",),
    "iv-characteristic": (),
    "resistor-combinations": _RESISTANCES,
    "specific-heat-block": ("c",),
    "specific-heat-liquid": ("c",),
    "wire-resistance": ("R",),
}
"""Answers whose significant figures have a mark."""

AS_A_COLUMN = ("unit-conversion", "rearrangement")
"""Causes that spoil a whole column in half of the cases; the rest fall into one row."""

LEVEL_FLOOR = 0.15
"""Share of every cause in a levelled set, before scaling, so that rare ones are seen often enough."""

SHARE_COARSE = 0.25
"""Students at coarse meters: every reading to two figures."""

SHARE_ANY_DIGIT = 0.5
"""Of students, those whose pen takes a digit for any other alike; the others mostly for one that looks like it."""

WHAT_HAPPENS = {
    "sound": 0.14,
    "slip": 0.54,
    "near": 0.07,
    "pair": 0.04,
    "copied pair": 0.03,
    "figures": 0.06,
    "unit-missing": 0.06,
    "unit-wrong": 0.06,
}
"""What becomes of one student's page; a slip may be 'unexplained', which lies anywhere.

*near*: off by a little for no reason that can be known, as by a slip of mental arithmetic. *copied pair*: a wrong
formula whose answer is then copied with two digits swapped.
"""


def shares_of(item: str, *, levelled: bool) -> dict[str, float]:
    """Return how often each cause is tried in a box of *item*."""
    shares = dict(zip(CAUSES, SHARES[item], strict=True))
    return {cause: share + LEVEL_FLOOR for cause, share in shares.items()} if levelled else shares
