"""Two resistors singly, in series and in parallel."""

from __future__ import annotations

from collections.abc import Mapping
from random import Random

from tests.apparatus.bench import Bench, Keep, Key, Numbers, Quantity, Reading, Working, take
from tests.apparatus.wire import resistance_working

MADE = (4.7, 5.6, 6.8, 8.2, 10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82, 100)
"""Values resistors are sold in, Ω."""

ARRANGEMENTS = ("1", "2", "series", "parallel")
FIRST, SECOND = Key(item="R_1"), Key(item="R_2")
IN_PARALLEL = Key(item="R_parallel")
SERIES = Key(item="predicted_series")
PARALLEL = Key(item="predicted_parallel")
DIFFERENCE = Key(item="difference")


class ResistorBench(Bench):
    """Eight meter readings."""

    practical = "resistor-combinations"

    def answers(self) -> tuple[Key, ...]:
        """Return four resistances, two predictions, and how far one is off."""
        return (*(Key(item=f"R_{name}") for name in ARRANGEMENTS), SERIES, PARALLEL, DIFFERENCE)

    def answer_units(self, item: str) -> tuple[tuple[str, float], ...]:
        """Return the units met in write-ups."""
        return (("%", 1.0),) if item == "difference" else (("Ω", 0.95), ("kΩ", 0.05))

    def readings_behind(self, key: Key) -> tuple[Reading, ...]:
        """Return the pair of meters of a resistance, or all that a prediction rests on."""
        names = {
            SERIES: ("1", "2"),
            PARALLEL: ("1", "2"),
            DIFFERENCE: ("1", "2", "parallel"),
        }.get(key, (key.item.removeprefix("R_"),))
        return tuple(self.reading(f"{meter}_{name}") for name in names for meter in ("V", "I"))

    def working(self, key: Key, unit: str, earlier: Mapping[Key, Quantity]) -> Working:
        """Return how a resistance, a prediction or the percentage is worked out."""
        if key == DIFFERENCE:
            numbers = {"measured": earlier[IN_PARALLEL].in_unit("Ω"), "predicted": earlier[PARALLEL].in_unit("Ω")}
            return Working(
                numbers=numbers,
                units=dict.fromkeys(numbers, "Ω"),
                routes=(percent_of_predicted, percent_of_measured, _reversed_sign),
                carried={"measured": IN_PARALLEL, "predicted": PARALLEL},
            )
        if key in (SERIES, PARALLEL):
            numbers = {"R_1": earlier[FIRST].in_unit(unit), "R_2": earlier[SECOND].in_unit(unit)}
            routes = (total,) if key == SERIES else (of_reciprocals, product_over_sum)
            carried = {"R_1": FIRST, "R_2": SECOND}
            return Working(numbers=numbers, units=dict.fromkeys(numbers, unit), routes=routes, carried=carried)
        name = key.item.removeprefix("R_")
        return resistance_working(self.reading(f"V_{name}"), self.reading(f"I_{name}"), unit)


def total(numbers: Numbers, keep: Keep) -> float:
    """Return the sum of the two."""
    del keep
    return numbers["R_1"] + numbers["R_2"]


def of_reciprocals(numbers: Numbers, keep: Keep) -> float:
    """Return one over the sum of the reciprocals, each kept as a step."""
    return 1 / keep(keep(1 / numbers["R_1"]) + keep(1 / numbers["R_2"]))


def product_over_sum(numbers: Numbers, keep: Keep) -> float:
    """Return the product over the sum."""
    return keep(numbers["R_1"] * numbers["R_2"]) / keep(numbers["R_1"] + numbers["R_2"])


def percent_of_predicted(numbers: Numbers, keep: Keep) -> float:
    """Return measured minus predicted, in per cent of predicted."""
    return keep((numbers["measured"] - numbers["predicted"]) / numbers["predicted"]) * 100


def percent_of_measured(numbers: Numbers, keep: Keep) -> float:
    """Return measured minus predicted, in per cent of measured."""
    return keep((numbers["measured"] - numbers["predicted"]) / numbers["measured"]) * 100


def _reversed_sign(numbers: Numbers, keep: Keep) -> float:
    return -percent_of_predicted(numbers, keep)


def resistor_bench(random: Random) -> ResistorBench:
    """Return a bench with two resistors of a tenth tolerance at most."""
    first, second = (random.choice(MADE) * random.uniform(0.95, 1.05) for _ in range(2))
    values = {"1": first, "2": second, "series": first + second, "parallel": first * second / (first + second)}
    supply = random.choice((3.0, 4.5, 6.0))
    current_unit = random.choices(("A", "mA"), (0.65, 0.35))[0]
    voltage_unit = random.choices(("V", "mV"), (0.96, 0.04))[0]
    resolution = 0.01 if current_unit == "A" else random.choice((1.0, 0.1))
    readings: list[Reading] = []
    for name, value in values.items():
        voltage = supply * random.uniform(0.6, 1.0)
        current = voltage / value * random.gauss(1, 0.005)
        if voltage_unit == "V":
            readings.append(take(f"V_{name}", voltage, "V", 0.01))
        else:
            readings.append(take(f"V_{name}", voltage * 1000, "mV", 10.0))
        shown = max(current, 0.02)
        readings.append(take(f"I_{name}", shown if current_unit == "A" else shown * 1000, current_unit, resolution))
    return ResistorBench(tuple(readings))
