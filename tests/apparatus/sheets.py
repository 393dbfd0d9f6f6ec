"""From readings to a written page: how careful students fill in their boxes, as tidy CSV rows."""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path
from random import Random

from msgspec import Struct

from tests.apparatus.bench import Bench, Key, Quantity, Working
from tests.apparatus.figures import CAREFUL_HANDS, Form, Hand, Rounding, on_display, written, written_to_places
from tests.apparatus.units import SPELLINGS

HEADINGS = ("student", "bench", "practical", "item", "row", "entry", "unit")
OPTIONAL_ANSWERS = {"intercept": 0.5, "difference": 0.6, "rho_si": 0.75, "R_component": 0.85}
"""Boxes that many leave empty, with how often they are filled in."""


SHARE_KEEPING_CONVERSIONS = 0.3
"""Students who shorten a reading when they turn it into another unit: 227.97 g to 0.228 kg."""


class Cell(Struct, frozen=True, kw_only=True):
    """One line of tidy CSV but for the student."""

    key: Key
    entry: str
    unit: str


class Answer(Struct, frozen=True, kw_only=True):
    """An answer as it was worked out and written."""

    key: Key
    working: Working
    quantity: Quantity
    """What is carried into later answers."""
    text: str
    unit: str
    """As this package names it."""
    figures: int | None
    """Significant figures meant; None for the whole display, or a difference to its natural decimals."""


class Habits(Struct, frozen=True, kw_only=True):
    """What one student always does."""

    hand: Hand
    final_rounding: Rounding
    keeps_conversions: bool
    """Shortens a reading that is turned into another unit as any other step."""
    carries_stated: bool
    """Works on with the answer as stated, not with what the calculator kept."""
    unit_inside: bool
    """Writes the unit beside the number, not in its own column."""
    likes_standard_form: bool


class Sheet(Struct, frozen=True, kw_only=True):
    """One student's page."""

    student: str
    bench_name: str
    bench: Bench
    cells: tuple[Cell, ...]
    answers: Mapping[Key, Answer]

    def rows(self) -> Iterable[tuple[str, ...]]:
        """Yield the page as lines of tidy CSV."""
        for cell in self.cells:
            row = "" if cell.key.row is None else str(cell.key.row)
            yield (self.student, self.bench_name, self.bench.practical, cell.key.item, row, cell.entry, cell.unit)


def draw_habits(random: Random) -> Habits:
    """Return the habits of some careful student."""
    return Habits(
        hand=random.choice(CAREFUL_HANDS),
        final_rounding=random.choice((Rounding.HALF_UP, Rounding.HALF_UP, Rounding.HALF_EVEN)),
        keeps_conversions=random.random() < SHARE_KEEPING_CONVERSIONS,
        carries_stated=random.random() < 0.5,
        unit_inside=random.random() < 0.15,
        likes_standard_form=random.random() < 0.1,
    )


def careful_sheet(bench: Bench, random: Random, student: str, bench_name: str = "") -> Sheet:
    """Return the page of a student who works with care."""
    habits = draw_habits(random)
    units = choose_units(bench, random)
    left_out = {item for item, share in OPTIONAL_ANSWERS.items() if random.random() > share}
    answers = work_through(bench, random, habits, units)
    answers = {key: answer for key, answer in answers.items() if key.item not in left_out}
    return fill_in(bench, random, student, bench_name, habits, answers)


def choose_units(bench: Bench, random: Random) -> dict[str, str]:
    """Return the unit each answer is given in; one a column."""
    chosen = {}
    for item in dict.fromkeys(key.item for key in bench.answers()):
        names, shares = zip(*bench.answer_units(item), strict=True)
        chosen[item] = random.choices(names, shares)[0]
    return chosen


def unaltered(answer: Answer) -> Answer:
    """Return an answer as it is."""
    return answer


def work_through(
    bench: Bench,
    random: Random,
    habits: Habits,
    units: Mapping[str, str],
    alter: Callable[[Answer], Answer] = unaltered,
) -> dict[Key, Answer]:
    """Return all answers, each from the readings and from what was carried; *alter* may spoil one on the way."""
    answers: dict[Key, Answer] = {}
    carried: dict[Key, Quantity] = {}
    extra = {item: random.choice((2, 3, 3, 3, -1, -1, 0)) for item in units}
    for key in bench.answers():
        answer = alter(work_out(bench, random, habits, key, units[key.item], carried, extra[key.item]))
        answers[key] = answer
        carried[key] = answer.quantity
    return answers


def work_out(
    bench: Bench, random: Random, habits: Habits, key: Key, unit: str, carried: Mapping[Key, Quantity], wish: int
) -> Answer:
    """Return one answer; *wish* is its figures, -1 for the least of its data and one more, 0 for the whole display."""
    working = bench.working(key, unit, carried)
    route = random.choice(working.routes)
    value = working.follow(route, habits.hand.keep, keeps_conversions=habits.keeps_conversions)
    figures = final_figures(bench, key, wish)
    form = random.choice(tuple(Form)) if habits.likes_standard_form else Form.PLAIN
    natural = bench.natural_places(key)
    if natural is not None and random.random() < 0.85:
        text, figures = written_to_places(value, natural), None
    elif figures is None:
        text = on_display(value)
    else:
        text = written(value, figures, habits.final_rounding, form)
    stated = written(value, figures, habits.final_rounding) if figures else text
    quantity = Quantity(value=float(stated) if habits.carries_stated else value, unit=unit)
    return Answer(key=key, working=working, quantity=quantity, text=text, unit=unit, figures=figures)


def final_figures(bench: Bench, key: Key, wish: int) -> int | None:
    """Return the figures an answer is given to; None for the whole display."""
    if wish == 0:
        return None
    if key.item == "difference":
        return 2
    return wish if wish > 0 else max(2, bench.own_figures(key) + 1)


def fill_in(
    bench: Bench, random: Random, student: str, bench_name: str, habits: Habits, answers: Mapping[Key, Answer]
) -> Sheet:
    """Return the page with readings, answers and words, each unit in one spelling a column."""
    spelled: dict[tuple[str, str], str] = {}

    def unit_of(item: str, unit: str) -> str:
        return spelled.setdefault((item, unit), random.choice(SPELLINGS[unit]))

    def cell(key: Key, text: str, unit: str) -> Cell:
        name = unit_of(key.item, unit)
        if habits.unit_inside:
            return Cell(key=key, entry=f"{text} {name}", unit="")
        return Cell(key=key, entry=text, unit=name)

    cells = [Cell(key=Key(item=item), entry=words, unit="") for item, words in bench.words()]
    cells += [cell(reading.key, reading.text, reading.unit) for reading in bench.readings]
    cells += [cell(answer.key, answer.text, answer.unit) for answer in answers.values()]
    return Sheet(student=student, bench_name=bench_name, bench=bench, cells=tuple(cells), answers=answers)


def write_tidy(path: Path, sheets: Sequence[Sheet]) -> Path:
    """Write the pages of a class to *path*; return it."""
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(HEADINGS)
        for sheet in sheets:
            writer.writerows(sheet.rows())
    return path
