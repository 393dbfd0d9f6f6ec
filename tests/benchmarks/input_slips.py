"""Slips in the numbers that go into a formula, and in the answer that comes out of it."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from tests.apparatus.figures import Hand, Rounding, kept
from tests.apparatus.units import SIZES, step
from tests.benchmarks import digits
from tests.benchmarks.boxes import Box, Slip

VOLUME_FACTORS = {
    ("cm³", "m³"): (1e-2, 1e-3),
    ("ml", "m³"): (1e-2, 1e-3),
    ("mm³", "cm³"): (1e-1, 1e-2),
    ("mm³", "m³"): (1e-3, 1e-6),
}
"""Factors of lengths and areas that are taken for those of a volume."""

OTHER_UNITS = {
    "c": ("J/(kg °C)", "kJ/(kg °C)", "J/(g °C)"),
    "R": ("Ω", "kΩ"),
    "gradient": ("Ω/m", "Ω/cm", "Ω/mm"),
    "V": ("cm³", "mm³", "m³"),
    "rho": ("g/cm³", "kg/m³"),
}
"""Units that a value may be in while the student writes another; the usual one first."""

EXACT = Hand(figures=None)
STEPS = (None, 0, 1, 2)
"""Which step is kept too short; None for every one. None of our sums has more than three."""

ROUGH = tuple((figures, mode) for figures in (1, 2) for mode in (Rounding.HALF_UP, Rounding.CUT))


class Changed(Struct, frozen=True, kw_only=True):
    """A number that went into the formula wrongly."""

    cause: str
    detail: str
    name: str
    number: float
    is_diffuse: bool = False


def changed_numbers(box: Box) -> Iterator[Changed]:
    """Yield every simple way to put a wrong number into the formula."""
    yield from _unit_left(box)
    yield from _miscopied(box)
    for name, number in box.working.numbers.items():
        for figures, mode in ROUGH:
            rough = kept(number, figures, mode)
            if rough not in (number, 0):
                detail = f"{name} kept to {figures} figures, {mode}"
                yield Changed(cause="rounded-early", detail=detail, name=name, number=rough)


def _unit_left(box: Box) -> Iterator[Changed]:
    for name, wanted in box.working.units.items():
        if name not in box.working.readings and name not in box.working.carried:
            continue
        unit = box.held(name).unit
        factor = step(unit, wanted)
        if factor == 1:
            continue
        number = box.working.numbers[name]
        wrong = {f"{name} left in {unit}": number / factor, f"{name} converted the wrong way": number / factor**2}
        if factor != 3600:
            wrong[f"{name}: factor ten times too big"] = number * 10
            wrong[f"{name}: factor ten times too small"] = number / 10
        for other in VOLUME_FACTORS.get((unit, wanted), ()):
            wrong[f"{name}: {other:g} for {unit} to {wanted}"] = number / factor * other
        for detail, value in wrong.items():
            yield Changed(cause="unit-conversion", detail=detail, name=name, number=value)


def _miscopied(box: Box) -> Iterator[Changed]:
    for name, wanted in box.working.units.items():
        if name not in box.working.readings and name not in box.working.carried:
            continue
        text, scale = box.held_text(name), step(box.held(name).unit, wanted)
        for made in digits.swapped(text):
            number = digits.value_of(made) * scale
            if number:
                yield Changed(cause="digits-swapped", detail=f"{name}: {text} as {made}", name=name, number=number)
        for made in digits.one_changed(text):
            number = digits.value_of(made) * scale
            if number:
                detail = f"{name}: {text} as {made}"
                yield Changed(cause="copying", detail=detail, name=name, number=number, is_diffuse=True)


def slips_of_numbers(box: Box, hand: Hand) -> Iterator[Slip]:
    """Yield what each wrong number leads to; and all lengths left, where there are several."""
    for one in changed_numbers(box):
        value = box.with_numbers({one.name: one.number}, hand)
        yield Slip(cause=one.cause, detail=one.detail, value=value, is_diffuse=one.is_diffuse)
    left = [one for one in _unit_left(box) if " left in " in one.detail]
    if len(left) == 2:
        value = box.with_numbers({one.name: one.number for one in left}, hand)
        yield Slip(cause="unit-conversion", detail=f"{left[0].detail}, {left[1].detail}", value=value)
    if box.key.item == "V":
        yield from _volume_of_other_lengths(box, hand)


def _volume_of_other_lengths(box: Box, hand: Hand) -> Iterator[Slip]:
    held = {name: box.held(name) for name in box.working.numbers}
    units = {quantity.unit for quantity in held.values()}
    if units == set(box.working.units.values()):
        return
    left = box.with_numbers({name: quantity.value for name, quantity in held.items()}, hand)
    yield Slip(cause="unit-conversion", detail=f"{units.pop()} left in all sides", value=left)
    factor = step(held["l"].unit, box.working.units["l"])
    for power, name in ((1, "length"), (2, "area")):
        detail = f"factor of a {name} for the volume"
        yield Slip(cause="unit-conversion", detail=detail, value=left * factor**power)


def slips_of_steps(box: Box) -> Iterator[Slip]:
    """Yield what a step kept too short leads to: one step, or every one."""
    for way, route in enumerate(box.working.routes):
        for figures, mode in ROUGH:
            for place in STEPS:
                keep = _RoughStep(figures=figures, mode=mode, place=place)
                detail = f"way {way}, step {place} kept to {figures} figures, {mode}"
                try:
                    value = route(box.working.numbers, keep)
                except ZeroDivisionError:
                    continue
                yield Slip(cause="rounded-early", detail=detail, value=value)


class _RoughStep:
    """Keeps one step, the *place*-th, to few figures; all of them where *place* is None."""

    def __init__(self, *, figures: int, mode: Rounding, place: int | None) -> None:
        self.figures, self.mode, self.place = figures, mode, place
        self.seen = 0

    def __call__(self, value: float) -> float:
        """Return *value* as carried on."""
        is_rough = self.place in (None, self.seen)
        self.seen += 1
        return kept(value, self.figures, self.mode) if is_rough else value


def slips_of_answer(box: Box, text: str) -> Iterator[Slip]:
    """Yield slips made with the finished answer, whose right text is *text*."""
    right = box.right
    for power in (-3, -2, -1, 1, 2, 3):
        yield Slip(cause="power-of-ten", detail=f"point moved by {power}", value=right * 10.0**power)
    for made in digits.swapped(text):
        yield Slip(cause="digits-swapped", detail=f"{text} as {made}", value=digits.value_of(made), text=made)
    for how in (digits.one_changed, digits.one_lost_or_doubled):
        for made in how(text):
            value = digits.value_of(made)
            if value:
                yield Slip(cause="copying", detail=f"{text} as {made}", value=value, text=made, is_diffuse=True)
    yield from _other_name(box)


def _other_name(box: Box) -> Iterator[Slip]:
    item = box.key.item
    family = OTHER_UNITS.get("R" if item.startswith(("R", "predicted")) else item, ())
    for unit in family:
        factor = step(box.unit, unit)
        if factor != 1:
            # A value left in the usual unit is met; one in a unit that nobody asked for hardly ever.
            yield Slip(
                cause="unit-conversion",
                detail=f"value in {unit} called {box.unit}",
                value=box.right * factor,
                is_rare=unit != family[0],
            )
    if item in ("rho", "rho_si") and box.unit == "kg/m³":
        stated = box.held("rho").unit if item == "rho_si" else "g/cm³"
        for factor in (1e-6, 0.1, 1e3, 1e-2, 1e-3) if stated == "g/cm³" else (1e3, 1e-3):
            detail = f"kg/m³ from {stated}: {factor:g} of what it should be"
            yield Slip(cause="unit-conversion", detail=detail, value=box.right * factor)
    if item == "difference":
        yield Slip(cause="unit-conversion", detail="fraction called per cent", value=box.right / 100)
        yield Slip(cause="missing-factor", detail="times 100 left out", value=box.right / 100)
    if box.is_line and item == "R_component":
        recorded = box.bench.readings[1].unit
        if recorded == "mA" and SIZES[box.unit] == SIZES["Ω"]:
            yield Slip(cause="unit-conversion", detail="I left in mA", value=box.right / 1000)
