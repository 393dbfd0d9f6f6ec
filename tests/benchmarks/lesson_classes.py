"""Sound classes for the lesson check: benches with parts of one kind, or every bench with parts of its own."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from random import Random

from marking.write_up import Student, WriteUp
from tests.apparatus import BENCHES
from tests.cohort.simulated import PRACTICALS, Cell, Cells, Reader, Stand, simulate, students, write_up


def swing(stand: Stand) -> Reader:
    """Return a reader of a pendulum of several lengths."""
    g, offset = 9.81 * stand.chance.gauss(1, 0.005), stand.chance.uniform(-0.005, 0.005)

    def read(chance: Random) -> Cells:
        lengths = chance.choice(((0.3, 0.4, 0.5, 0.6, 0.8, 1.0), (0.2, 0.4, 0.6, 0.8, 1.0, 1.2)))
        times = [10 * 6.2832 * ((length + offset) / g) ** 0.5 + chance.gauss(0, 0.1) for length in lengths]
        return {
            "L": [(f"{length:.3f}", "m") for length in lengths],
            "t10": [(f"{time:.2f}", "s") for time in times],
        }

    return read


def spring(stand: Stand) -> Reader:
    """Return a reader of a spring under six loads."""
    stiffness, bare = stand.part(25.0), stand.part(0.045)

    def read(chance: Random) -> Cells:
        loads = [0.1 * n for n in range(1, 7)]
        return {
            "L_0": (f"{bare:.3f}", "m"),
            "M": [(f"{load:.3f}", "kg") for load in loads],
            "L": [(f"{bare + 9.81 * load / stiffness + chance.gauss(0, 0.0007):.3f}", "m") for load in loads],
        }

    return read


def heated_block(stand: Stand) -> Reader:
    """Return a reader of a block heated for some ten minutes, with V, I and t."""
    mass, lost = stand.part(1.0), stand.chance.uniform(0.05, 0.15)

    def read(chance: Random) -> Cells:
        volts, amps = chance.uniform(11, 12), chance.uniform(3.8, 4.2)
        seconds = chance.choice((480, 600, 720))
        start = chance.uniform(18.5, 21)
        end = start + volts * amps * seconds * (1 - lost) / (mass * 897)
        return {
            "m": (f"{mass:.3f}", "kg"),
            "T_start": (f"{start:.1f}", "°C"),
            "T_end": (f"{end + chance.gauss(0, 0.2):.1f}", "°C"),
            "V": (f"{volts:.2f}", "V"),
            "I": (f"{amps:.2f}", "A"),
            "t": (str(seconds), "s"),
        }

    return read


ALIKE: Mapping[str, Callable[[Stand], Reader]] = {
    **PRACTICALS,
    "pendulum-g": swing,
    "spring-extension": spring,
    "specific-heat-block-vit": heated_block,
}
MIXED = tuple(BENCHES)


def alike(practical: str, seed: int) -> tuple[WriteUp, ...]:
    """Return a sound class whose benches have parts of one kind."""
    return simulate(practical, seed, set_up=ALIKE[practical])


def mixed(practical: str, seed: int) -> tuple[WriteUp, ...]:
    """Return a sound class in which every student has a bench of some other kind."""
    random = Random(f"mixed {practical} {seed}")
    return tuple(_own_bench(practical, random, student) for student in students())


def _own_bench(practical: str, random: Random, student: Student) -> WriteUp:
    bench = BENCHES[practical](random)
    singles: dict[str, Cell] = {item: (words, "") for item, words in bench.words() if item == "component"}
    columns: dict[str, list[Cell]] = {}
    for reading in bench.readings:
        if reading.key.row is None:
            singles[reading.key.item] = (reading.text, reading.unit)
        else:
            columns.setdefault(reading.key.item, []).append((reading.text, reading.unit))
    return write_up(student, practical, {**singles, **columns})
