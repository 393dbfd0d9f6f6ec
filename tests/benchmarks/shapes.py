"""How often the shape of simulated I–V points is told, told wrongly, or left open, kind by kind.

The components are simulated from their physics, apart from the curves that the program fits: a filament
from its energy balance, a diode from Shockley's equation with a series resistance, a resistor that warms.
Run ``python -m tests.benchmarks.shapes``; ``tests/checking/test_curves_hard_kinds.py`` holds the limits.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from marking.checking.curves.curve_shapes import MODELS, shapes

Values = NDArray[np.float64]
Generator = np.random.Generator

ROOM_K = 295.0
FEWEST_COUNTS = 2.5
"""Steps of a meter at the largest current, below which somebody fetches the next finer one."""
SETS = 400
"""Sets of points of each component in each kind."""


class Component(Struct, frozen=True, kw_only=True):
    """One simulated part on a bench."""

    shape: str
    current: Callable[[Values], Values]
    """Current in A at a p.d. in V, either direction."""
    top: float
    """Largest p.d. it is taken to, V."""
    turn_on: float
    """P.d. at which a twentieth of the current at *top* flows, V; NaN where it has no turn-on."""
    ammeter: float
    """Smallest step of the ammeter that suits it, A."""


class Points(Struct, frozen=True, kw_only=True):
    """What one student wrote down."""

    x: Values
    y: Values
    step_x: float
    step_y: float


def resistor(random: Generator) -> Component:
    """Return a resistor that warms by up to 40 K at its rating."""
    ohms = random.choice([5.6, 10.0, 15.0, 22.0, 47.0, 100.0]) * random.uniform(0.95, 1.05)
    top = float(random.choice([3.0, 6.0, 6.0, 12.0])) if ohms > 20 else float(random.choice([3.0, 6.0]))
    share = random.uniform(-0.005, 0.02)

    def current(V: Values) -> Values:
        return np.asarray(V / (ohms * (1 + share * (V / top) ** 2)))

    return Component(
        shape="proportional",
        current=current,
        top=top,
        turn_on=np.nan,
        ammeter=0.01 if top / ohms > 0.35 else 0.001,
    )


def lamp(random: Generator) -> Component:
    """Return a tungsten filament: what goes in leaves as radiation and through leads and gas."""
    top, watts = [(12.0, 24.0), (12.0, 5.0), (6.0, 1.8), (2.5, 0.75)][random.integers(4)]
    watts *= random.uniform(0.9, 1.1)
    hot, conducted = random.uniform(2300, 2800), random.uniform(0.03, 0.25)
    cold_ohms = top**2 / watts / (hot / ROOM_K) ** 1.2
    kelvins = np.geomspace(ROOM_K, 4000.0, 4000)
    radiation = (kelvins**4 - ROOM_K**4) / (hot**4 - ROOM_K**4)
    conduction = (kelvins - ROOM_K) / (hot - ROOM_K)
    power = watts * ((1 - conducted) * radiation + conducted * conduction)
    volts = np.sqrt(power * cold_ohms * (kelvins / ROOM_K) ** 1.2)

    def current(V: Values) -> Values:
        at = np.interp(np.abs(V), volts, kelvins)
        return np.asarray(V / (cold_ohms * (at / ROOM_K) ** 1.2))

    return Component(
        shape="flattening", current=current, top=top, turn_on=np.nan, ammeter=0.01 if watts / top > 0.35 else 0.001
    )


def diode(random: Generator) -> Component:
    """Return a silicon diode, a Schottky diode or an LED, with the resistance of its leads."""
    kind = random.integers(5)
    ideality, at_10_mA, series = [
        (random.uniform(1.6, 2.0), random.uniform(0.62, 0.74), random.uniform(0.2, 1.5)),
        (random.uniform(1.6, 2.0), random.uniform(0.62, 0.74), random.uniform(0.2, 1.5)),
        (random.uniform(1.0, 1.2), random.uniform(0.25, 0.35), random.uniform(0.3, 1.5)),
        (random.uniform(1.8, 2.3), random.uniform(1.7, 2.1), random.uniform(2, 12)),
        (random.uniform(2.0, 3.0), random.uniform(2.6, 3.1), random.uniform(5, 15)),
    ][kind]
    thermal = 0.0254 * ideality
    saturation = 0.010 / np.expm1((at_10_mA - 0.010 * series) / thermal)
    amps = np.concatenate([[0.0], np.geomspace(1e-9, 0.5, 4000)])
    volts = thermal * np.log1p(amps / saturation) + amps * series

    def current(V: Values) -> Values:
        return np.asarray(np.where(V > 0, np.interp(V, volts, amps), 0.0))

    most = random.uniform(0.03, 0.06) if kind < 3 else random.uniform(0.015, 0.03)
    top = float(np.interp(most, amps, volts))
    return Component(
        shape="threshold",
        current=current,
        top=top,
        turn_on=float(np.interp(0.05 * most, amps, volts)),
        ammeter=float(random.choice([0.0001, 0.00001])),
    )


COMPONENTS = (resistor, lamp, diode)


def rounded(values: Values, step: float) -> Values:
    """Return *values* as an instrument of that step shows them."""
    return np.asarray(np.round(values / step) * step)


def take(random: Generator, part: Component, V: Values, noise: float | None = None) -> Points:
    """Return the readings at about the p.d.s *V*, with 0.5 to 2 % scatter of each meter unless said."""
    share = random.uniform(0.005, 0.02) if noise is None else noise
    true = V * (1 + random.normal(0, 0.01, V.size))
    amps = part.current(true)
    scatter = np.abs(amps) if random.random() < 0.5 else np.full(amps.size, 0.5 * np.abs(amps).max())
    step_x = 0.01
    return Points(
        x=rounded(true * (1 + random.normal(0, 0.003, V.size)), step_x),
        y=rounded(amps + share * scatter * random.normal(0, 1, V.size), part.ammeter),
        step_x=step_x,
        step_y=part.ammeter,
    )


def usual_steps(random: Generator, part: Component, points: int) -> Values:
    """Return the p.d.s that a student sets, in both directions or in one."""
    if part.shape == "threshold":
        back = [-5.0, -1.0][: random.integers(3)]
        low = random.uniform(0.3, 0.75) * part.top
        return np.concatenate([back, np.linspace(low, part.top, points - len(back))])
    if random.random() < 0.5:
        half = np.linspace(part.top / (points // 2), part.top, points // 2)
        return np.concatenate([-half[::-1], half])
    return np.linspace(part.top / points, part.top, points)


def plain(random: Generator, part: Component) -> Points:
    """Return eight points over the usual range."""
    return take(random, part, usual_steps(random, part, 8))


def six_points(random: Generator, part: Component) -> Points:
    """Return six points over the usual range."""
    return take(random, part, usual_steps(random, part, 6))


def narrow(random: Generator, part: Component) -> Points:
    """Return eight points over the upper half of the range or less; for a diode from where it just conducts."""
    if part.shape == "threshold":
        return take(random, part, np.linspace(part.turn_on * random.uniform(0.85, 0.97), part.top, 8))
    return take(random, part, np.linspace(part.top * random.uniform(0.4, 0.65), part.top, 8))


def one_anomaly(random: Generator, part: Component) -> Points:
    """Return eight points of which one current is far off."""
    points = plain(random, part)
    row = random.choice(np.flatnonzero(np.abs(points.y) > 0.05 * np.abs(points.y).max()))
    factor = random.choice([random.uniform(0.3, 0.75), random.uniform(1.3, 2.5)])
    y = points.y.copy()
    y[row] = rounded(y[row] * factor, part.ammeter)
    return replace(points, y=y)


def zero_offset(random: Generator, part: Component) -> Points:
    """Return eight points of which one meter reads 2 to 8 % of its largest reading too much or too little."""
    points = plain(random, part)
    share = random.uniform(0.02, 0.08) * random.choice([-1, 1])
    if random.random() < 0.5:
        return replace(points, x=rounded(points.x + share * part.top, points.step_x))
    return replace(points, y=rounded(points.y + share * np.abs(points.y).max(), points.step_y))


def reversed_direction(random: Generator, part: Component) -> Points:
    """Return eight points of a component that was connected the other way round."""
    points = plain(random, part)
    return replace(points, x=-points.x, y=-points.y)


def dropped_signs(random: Generator, part: Component) -> Points:
    """Return eight points whose minus signs were left out, of the p.d.s, the currents or both."""
    points = plain(random, part)
    which = random.integers(3)
    return replace(
        points,
        x=np.abs(points.x) if which != 1 else points.x,
        y=np.abs(points.y) if which != 0 else points.y,
    )


def coarse_meters(random: Generator, part: Component) -> Points:
    """Return six to twelve points on meters of 0.1 V and 0.01 A, or of 1 mA where that has under three steps.

    A diode's top of 30 to 60 mA then is three to six steps.
    """
    points = take(random, replace(part, ammeter=1e-6), usual_steps(random, part, int(random.integers(6, 13))))
    top = np.abs(points.y).max()
    step = 0.01 if top > FEWEST_COUNTS * 0.01 else 0.001
    return Points(x=rounded(points.x, 0.1), y=rounded(points.y, step), step_x=0.1, step_y=step)


def hopeless(random: Generator, part: Component) -> Points:
    """Return points that nobody can tell a shape from."""
    kind = random.integers(4)
    if kind == 0:  # hardly any range
        if part.shape == "threshold":
            return take(random, replace(part, ammeter=0.0001), np.linspace(0.05, 0.45, 8) * part.top)
        middle = part.top * random.uniform(0.4, 1.0)
        return take(random, part, np.linspace(middle * 0.97, middle * 1.03, 8), noise=0.02)
    if kind == 1:  # nothing but scatter
        V = usual_steps(random, part, 8)
        return replace(take(random, part, V), y=rounded(random.uniform(0, part.current(V).max(), 8), part.ammeter))
    if kind == 2:  # four readings
        return take(random, part, usual_steps(random, part, 4))
    # a meter that shows hardly more than whole steps
    points = plain(random, part)
    step = float(np.abs(points.y).max() / random.uniform(0.6, 1.6))
    return replace(points, y=rounded(points.y, step), step_y=step)


KINDS: Mapping[str, Callable[[Generator, Component], Points]] = {
    "plain": plain,
    "six points": six_points,
    "narrow range": narrow,
    "one anomaly": one_anomaly,
    "zero offset": zero_offset,
    "reversed": reversed_direction,
    "dropped signs": dropped_signs,
    "hopeless": hopeless,
    "coarse meters": coarse_meters,
}


class Tally(Struct, frozen=True, kw_only=True):
    """What became of the sets of one component in one kind; shares of 1."""

    right: float
    wrong: float
    open: float
    """Left to the teacher."""
    turn_on_within: float
    """Of diodes: turn-on within two standard uncertainties of the true one; NaN for others."""


def measure(kind: str, make: Callable[[Generator], Component], sets: int = SETS, seed: int = 1) -> Tally:
    """Return how *sets* simulated sets of one component come out."""
    random = np.random.default_rng([seed, list(KINDS).index(kind), COMPONENTS.index(make)])
    parts = [make(random) for _ in range(sets)]
    taken = [KINDS[kind](random, part) for part in parts]
    rows = max(points.x.size for points in taken)
    x, y, step_x, step_y = (np.full((sets, rows), np.nan) for _ in range(4))
    for student, points in enumerate(taken):
        count = points.x.size
        x[student, :count], y[student, :count] = points.x, points.y
        step_x[student, :count], step_y[student, :count] = points.step_x, points.step_y
    found = shapes(x, y, step_y, step_x)
    named = [found.named(student) for student in range(sets)]
    right = np.array([name == part.shape for name, part in zip(named, parts, strict=True)])
    left_open = np.array([name is None for name in named])
    true = np.array([part.turn_on for part in parts])
    off = np.abs(np.abs(found.turn_on) - true) / found.turn_on_error
    return Tally(
        right=float(right.mean()),
        wrong=float((~right & ~left_open).mean()),
        open=float(left_open.mean()),
        turn_on_within=float((off[right] < 2).mean()) if np.isfinite(true).all() and right.any() else np.nan,
    )


def table() -> str:
    """Return the whole table as text."""
    lines = [f"{'kind':15s} {'component':13s} {'right':>7s} {'wrong':>7s} {'open':>7s} {'turn-on':>8s}"]
    for kind in KINDS:
        for make in COMPONENTS:
            tally = measure(kind, make)
            lines.append(
                f"{kind:15s} {make.__name__:13s} {tally.right:7.3f} {tally.wrong:7.3f} {tally.open:7.3f}"
                f" {tally.turn_on_within:8.3f}"
            )
    return "\n".join([*lines, f"models: {', '.join(MODELS)}; {SETS} sets each"])


if __name__ == "__main__":
    print(table())
