"""What every simulated bench has: readings as written down, and the answers that follow from them."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Mapping, Sequence

from msgspec import Struct, field

from tests.apparatus.figures import Rounding, figures_in, written_to_places
from tests.apparatus.units import converted


class Key(Struct, frozen=True, kw_only=True):
    """One box of the write-up."""

    item: str
    row: int | None = None


class Quantity(Struct, frozen=True, kw_only=True):
    """A number with its unit."""

    value: float
    unit: str

    def in_unit(self, unit: str) -> float:
        """Return the number in another unit of the same kind."""
        return converted(self.value, self.unit, unit)


class Reading(Struct, frozen=True, kw_only=True):
    """A reading as it was written down."""

    key: Key
    text: str
    unit: str
    """As this package names it; how the student spells it is chosen when the sheet is written."""

    @property
    def quantity(self) -> Quantity:
        """Return what was written, as a number."""
        return Quantity(value=float(self.text), unit=self.unit)

    @property
    def figures(self) -> int:
        """Return the fewest significant figures that the text may claim."""
        return figures_in(self.text)[0]


Numbers = Mapping[str, float]
Keep = Callable[[float], float]
Route = Callable[[Numbers, Keep], float]
"""A way of working: the numbers that go in, and how a step is kept; returns the answer."""


class Working(Struct, frozen=True, kw_only=True):
    """How one answer is worked out."""

    numbers: Numbers
    """What goes in, in the units worked in."""
    units: Mapping[str, str]
    """Those units."""
    routes: tuple[Route, ...]
    """Ways that careful students take; they agree but for rounding."""
    readings: Mapping[str, Reading] = field(default_factory=dict)
    """Which of the numbers are readings."""
    carried: Mapping[str, Key] = field(default_factory=dict)
    """Which of them are earlier answers."""

    def follow(self, route: Route, keep: Keep, *, keeps_conversions: bool) -> float:
        """Return the answer by one way of working.

        Turning a reading into another unit is a step like any other where *keeps_conversions* says so:
        227.97 g may be carried on as 0.228 kg.
        """
        if not keeps_conversions:
            return route(self.numbers, keep)
        converted = {name for name, reading in self.readings.items() if reading.unit != self.units[name]}
        return route({n: keep(value) if n in converted else value for n, value in self.numbers.items()}, keep)

    def exact(self) -> float:
        """Return the answer with every step at full figures."""
        return self.routes[0](self.numbers, lambda value: value)


def read_off(answer: float) -> Working:
    """Return the working of an answer that is read off a drawn line: no steps to keep."""

    def route(numbers: Numbers, keep: Keep) -> float:
        del numbers, keep
        return answer

    return Working(numbers={}, units={}, routes=(route,))


class Bench(ABC):
    """One student's place, after the experiment: the readings stand, the answers are still to be worked out."""

    practical: str

    def __init__(self, readings: Sequence[Reading]) -> None:
        """Keep the readings, and find them by their boxes."""
        self.readings = tuple(readings)
        self._by_key = {reading.key: reading for reading in readings}
        self.rows = tuple(sorted({reading.key.row for reading in readings if reading.key.row is not None}))

    @abstractmethod
    def answers(self) -> tuple[Key, ...]:
        """Return the boxes to work out, in the order of working."""

    @abstractmethod
    def answer_units(self, item: str) -> tuple[tuple[str, float], ...]:
        """Return the units an answer may be given in, with how often students choose each."""

    @abstractmethod
    def working(self, key: Key, unit: str, earlier: Mapping[Key, Quantity]) -> Working:
        """Return how the answer in box *key* is worked out in *unit* from readings and *earlier* answers."""

    @abstractmethod
    def readings_behind(self, key: Key) -> tuple[Reading, ...]:
        """Return the readings that the answer rests on."""

    def own_figures(self, key: Key) -> int:
        """Return the significant figures of the least precise reading behind an answer."""
        return min(reading.figures for reading in self.readings_behind(key))

    def natural_places(self, key: Key) -> int | None:  # noqa: ARG002 - only differences have them
        """Return the decimals that a difference keeps from its readings; None for other answers."""
        return None

    def words(self) -> tuple[tuple[str, str], ...]:
        """Return items that ask for words, with what the student wrote."""
        return ()

    def reading(self, item: str, row: int | None = None) -> Reading:
        """Return the reading in one box."""
        return self._by_key[Key(item=item, row=row)]


def take(item: str, value: float, unit: str, resolution: float, row: int | None = None) -> Reading:
    """Return the reading that an instrument shows for *value*, both in *unit*."""
    places = max(0, -_power(resolution))
    steps = round(value / resolution)
    text = written_to_places(steps * resolution, places, Rounding.HALF_EVEN)
    return Reading(key=Key(item=item, row=row), text=text, unit=unit)


def _power(resolution: float) -> int:
    digits = f"{resolution:.0e}"
    return int(digits.split("e")[1])
