"""Pages copied from another bench and then altered, in each way that 'a fifth changed' can be meant."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from random import Random

from msgspec.structs import replace

from marking.write_up import Entry, Student, WriteUp
from rubrics.model import Role
from tests.cohort.answered import WORKINGS, answered
from tests.cohort.simulated import rubric_of

FIGURES = "0123456789"
FIFTH = 0.2

Alter = Callable[[Entry, Random], Entry]
"""Changes one cell."""


def some_digits(entry: Entry, chance: Random, share: float = FIFTH) -> Entry:
    """Change each digit at a chance of *share* to any other."""
    return _with_text(
        entry,
        "".join(
            chance.choice(FIGURES.replace(sign, "")) if sign in FIGURES and chance.random() < share else sign
            for sign in entry.raw
        ),
    )


def last_digit(entry: Entry, chance: Random) -> Entry:
    """Change the last digit to any other; a round number's zeros stay, and the digit before them is changed."""
    at = len(entry.raw.rstrip("0.") if "." not in entry.raw else entry.raw) - 1
    if entry.value is None or at < 0 or entry.raw[at] not in FIGURES:
        return entry
    other = chance.choice(FIGURES.replace(entry.raw[at], ""))
    return _with_text(entry, entry.raw[:at] + other + entry.raw[at + 1 :])


def a_little(entry: Entry, chance: Random) -> Entry:
    """Change the number by 2 to 10 % either way, to as many decimals."""
    if entry.value is None:
        return entry
    places = len(entry.raw.partition(".")[2])
    value = entry.value * (1 + chance.choice((-1, 1)) * chance.uniform(0.02, 0.1))
    zeros = len(entry.raw) - len(entry.raw.rstrip("0")) if not places else 0
    return _with_text(entry, f"{round(value, -zeros):.{places}f}")


def _with_text(entry: Entry, text: str) -> Entry:
    try:
        return replace(entry, raw=text, value=float(text))
    except ValueError:
        return entry


def _readings(one: WriteUp) -> list[tuple[str, int | None]]:
    items = rubric_of(one.practical).items
    names = [name for name in (*one.singles, *one.columns) if items[name].role is Role.READING]
    return [
        (name, row)
        for name in names
        for row in ([None] if name in one.singles else list(one.columns[name]))
        if (one.singles[name] if row is None else one.columns[name][row]).value is not None
    ]


def _change(one: WriteUp, cells: list[tuple[str, int | None]], alter: Alter, chance: Random) -> WriteUp:
    singles, columns = dict(one.singles), {name: dict(column) for name, column in one.columns.items()}
    for name, row in cells:
        if row is None:
            singles[name] = alter(singles[name], chance)
        else:
            columns[name][row] = alter(columns[name][row], chance)
    return replace(one, singles=singles, columns=columns)


def _everything(one: WriteUp) -> list[tuple[str, int | None]]:
    return [
        *((name, None) for name, entry in one.singles.items() if entry.value is not None),
        *((name, row) for name, column in one.columns.items() for row in column),
    ]


def _fifth_of(cells: list[tuple[str, int | None]], chance: Random) -> list[tuple[str, int | None]]:
    """Return a fifth of them, at least one."""
    return chance.sample(cells, max(1, round(FIFTH * len(cells))))


Way = Callable[[WriteUp, Random], WriteUp]
"""Alters a page with answers."""


def _of_all(alter: Alter) -> Way:
    return lambda one, chance: _change(one, _everything(one), alter, chance)


def _of_readings(alter: Alter, *, every: bool, anew: bool) -> Way:
    def way(one: WriteUp, chance: Random) -> WriteUp:
        cells = _readings(one)
        made = _change(one, cells if every else _fifth_of(cells, chance), alter, chance)
        return answered(made) if anew else made

    return way


WAYS: Mapping[str, Way] = {
    "nothing": lambda one, _: one,
    "each digit at 1 in 5, answers too": _of_all(some_digits),
    "each digit of readings at 1 in 5, answers as copied": _of_readings(some_digits, every=True, anew=False),
    "each digit of readings at 1 in 5, answers worked out anew": _of_readings(some_digits, every=True, anew=True),
    "last digit of a fifth of the readings, answers as copied": _of_readings(last_digit, every=False, anew=False),
    "last digit of a fifth of the readings, answers anew": _of_readings(last_digit, every=False, anew=True),
    "a fifth of the readings by 2 to 10 %, answers as copied": _of_readings(a_little, every=False, anew=False),
    "a fifth of the readings by 2 to 10 %, answers anew": _of_readings(a_little, every=False, anew=True),
}


def handed_in(one: WriteUp, student: Student, way: Way, chance: Random) -> WriteUp:
    """Return the page of *one* as *student* hands it in, altered."""
    assert one.practical in WORKINGS
    return replace(way(one, chance), student=student)
