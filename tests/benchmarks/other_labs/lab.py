"""How a simulated class works: its instruments, whether settings are kept, who shares readings, who is careless."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from random import Random

from marking.write_up import Student, WriteUp
from tests.cohort.simulated import Cell, Cells, write_up

CARELESS = 0.15
"""Share of the write-ups with a careless reading, in classes that have any; judged, no source."""
LOOK_ALIKE = {"1": "7", "7": "1", "4": "9", "9": "4", "0": "6", "6": "0", "3": "8", "8": "3", "5": "6", "2": "7"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Lab:
    """How one class measures."""

    is_fine: bool
    """The better instrument of the two that schools have."""
    keeps_settings: bool
    """What can be set is set to round values, by everybody to the same; else it is read off near them."""
    share: str
    """'alone': each student's own readings; 'partners': one set a bench; 'pairs': the first two of a bench share."""
    is_careless: bool

    def __str__(self) -> str:
        """Return it in a few words."""
        words = ["fine" if self.is_fine else "coarse", "set" if self.keeps_settings else "read", self.share]
        return ", ".join([*words, *(["careless"] if self.is_careless else [])])


LABS = tuple(
    Lab(is_fine=fine, keeps_settings=kept, share=share, is_careless=careless)
    for fine in (False, True)
    for kept in (False, True)
    for share in ("alone", "partners", "pairs")
    for careless in (False, True)
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Desk:
    """One bench of a class."""

    lab: Lab
    luck: Random
    """Of the bench, when it is set up."""
    common: Random
    """The same for all benches of a class: what it was told to do."""

    def part(self, nominal: float, spread: float) -> float:
        """Return a part of this bench, of a delivery that differs by *spread* (a share, standard deviation)."""
        return nominal * self.luck.gauss(1, spread)

    def step(self, coarse: float, fine: float) -> float:
        """Return the step of this class's instrument."""
        return fine if self.lab.is_fine else coarse

    def near(self, values: Sequence[float], scatter: float, chance: Random) -> list[float]:
        """Return what was set: the very values, or values near them."""
        return [v if self.lab.keeps_settings else v + chance.gauss(0, scatter) for v in values]


def shown(value: float, step: float, unit: str) -> Cell:
    """Return what an instrument of that *step* shows of *value*, with the decimals of its step."""
    places = max(0, len(f"{step:.6f}".rstrip("0").partition(".")[2]))
    return f"{round(value / step) * step:.{places}f}", unit


Reads = Callable[[Random], Cells]
"""What one group reads at its bench."""
SetUp = Callable[[Desk], Reads]
"""A bench, set up."""


def class_of(practical: str, set_up: SetUp, lab: Lab, seed: int, size: int = 30, benches: int = 10) -> list[WriteUp]:
    """Return the write-ups of one class."""
    name = f"{practical} {lab} {seed}"
    luck = Random(name)
    readers = {str(n + 1): set_up(Desk(lab=lab, luck=luck, common=Random(f"{name} told"))) for n in range(benches)}
    first: dict[str, Cells] = {}
    made = []
    for number in range(size):
        bench, place = str(number % benches + 1), number // benches
        cells = readers[bench](luck)
        shares = lab.share == "partners" or (lab.share == "pairs" and place < 2)
        cells = first.setdefault(bench, cells) if shares else cells
        student = Student(code=f"S{number + 1:02}", name="", bench=bench)
        if lab.is_careless and luck.random() < CARELESS:
            cells = misread(cells, luck)
        made.append(write_up(student, practical, cells))
    return made


def misread(cells: Cells, chance: Random) -> Cells:
    """Return *cells* with one number misread: a digit for one that looks like it, two swapped, or a step of ten."""
    places = [
        (item, row)
        for item, cell in cells.items()
        for row in (range(len(cell)) if isinstance(cell, list) else [None])
        if _is_number((cell if row is None else cell[row])[0])
    ]
    item, row = chance.choice(places)
    whole = cells[item]
    text, unit = whole[row] if isinstance(whole, list) and row is not None else whole  # type: ignore[assignment,misc]
    wrong = _wrong(str(text), chance), str(unit)
    if isinstance(whole, list) and row is not None:
        return {**cells, item: [wrong if n == row else one for n, one in enumerate(whole)]}
    return {**cells, item: wrong}


def _is_number(text: str) -> bool:
    return text.lstrip("-").replace(".", "", 1).isdigit()


def _wrong(text: str, chance: Random) -> str:
    digits = [at for at, sign in enumerate(text) if sign.isdigit()]
    at = chance.choice(digits)
    if chance.random() < 0.5:
        return text[:at] + LOOK_ALIKE[text[at]] + text[at + 1 :]
    if at + 1 in digits:
        return text[:at] + text[at + 1] + text[at] + text[at + 2 :]
    return text[:at] + str((int(text[at]) + 1) % 10) + text[at + 1 :]


def labs(*, careless: bool | None = None) -> Iterator[Lab]:
    """Yield every way to work; of those with or without careless readings, where that is asked for."""
    yield from (lab for lab in LABS if careless is None or lab.is_careless is careless)
