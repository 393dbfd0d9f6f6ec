"""Classes with known slips: one box of a page spoiled, the rest worked on from it with care."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from random import Random

from msgspec import Struct
from msgspec.structs import replace

from tests.apparatus import BENCHES, Bench, Key, Quantity, Sheet
from tests.apparatus.figures import Form, on_display, written
from tests.apparatus.sheets import (
    OPTIONAL_ANSWERS,
    Answer,
    Cell,
    Habits,
    choose_units,
    draw_habits,
    fill_in,
    work_through,
)
from tests.apparatus.wire import WireBench
from tests.benchmarks.boxes import Box, Slip, print_value
from tests.benchmarks.digits import value_of
from tests.benchmarks.mix import (
    AS_A_COLUMN,
    BOXES,
    FIGURES_MARKED,
    SHARE_ANY_DIGIT,
    SHARE_COARSE,
    UNITS_MARKED,
    WHAT_HAPPENS,
    shares_of,
)
from tests.benchmarks.planting import (
    Truth,
    choose_copied_pair,
    choose_near,
    choose_pair,
    choose_single,
    every_slip,
    shares_here,
)

TRIES = 60
"""Draws before a page is left sound: some boxes cannot have some slips."""

COARSE_FIGURES = 2

WRONG_UNITS = {
    "c": ("J", "J/kg", "J/°C", "W"),
    "R": ("V", "A", "Ω/m", "A/V"),
    "gradient": ("Ω", "Ωm", "m/Ω"),
    "V": ("cm", "cm²", "g"),
    "rho": ("g", "g/cm", "g/cm²", "cm³/g"),
}
"""Units of another quantity, that lose the mark."""

USUAL_UNITS = ("Ω", "Ω/m", "cm³", "g/cm³", "J/(kg °C)")
"""Units beside which a wrong formula may bring its own wrong unit."""

SHARE_WITH_OWN_UNIT = 0.25
"""Wrong formulas that come with the unit that belongs to them: V × I in W."""


class Page(Struct, frozen=True, kw_only=True):
    """One student's page and what is known of it."""

    sheet: Sheet
    truth: Truth | None


class _Student(Struct, frozen=True, kw_only=True):
    """Everything that is fixed before a slip is chosen."""

    bench: Bench
    habits: Habits
    units: Mapping[str, str]
    state: object
    """Of the random numbers before the answers were worked out, so that they can be worked out alike again."""
    sound: Mapping[Key, Answer]


class _Spoiled(Struct, frozen=True, kw_only=True):
    answers: Mapping[Key, Answer]
    truth: Truth
    unit_text: str = ""


def cohort(practical: str, count: int, seed: str, *, levelled: bool) -> list[Page]:
    """Return the pages of *count* students of one practical; causes as often as they are met, or levelled."""
    random = Random(f"{practical} {seed} {levelled}")
    return [_page(practical, random, f"{number:05d}", levelled=levelled) for number in range(count)]


def _page(practical: str, random: Random, code: str, *, levelled: bool) -> Page:
    bench = BENCHES[practical](random)
    if random.random() < SHARE_COARSE:
        at_coarse_meters(bench)
    habits, units = draw_habits(random), choose_units(bench, random)
    state = random.getstate()
    sound = work_through(bench, random, habits, units)
    student = _Student(bench=bench, habits=habits, units=units, state=state, sound=sound)
    happens = random.choices(tuple(WHAT_HAPPENS), tuple(WHAT_HAPPENS.values()))[0]
    for _ in range(TRIES if happens != "sound" else 0):
        spoiled = _spoil(student, random, happens, levelled=levelled)
        if spoiled is not None:
            return Page(sheet=_sheet(student, random, code, spoiled), truth=spoiled.truth)
    shown = _without_some(sound, random, kept="")
    return Page(sheet=fill_in(bench, random, code, "", habits, shown), truth=None)


def at_coarse_meters(bench: Bench) -> None:
    """Let the meters of *bench* show two figures; a reading of nothing stays."""
    coarse = [
        replace(one, text=written(one.quantity.value, COARSE_FIGURES)) if one.quantity.value else one
        for one in bench.readings
    ]
    Bench.__init__(bench, coarse)


def _without_some(answers: Mapping[Key, Answer], random: Random, *, kept: str) -> dict[Key, Answer]:
    left_out = {item for item, share in OPTIONAL_ANSWERS.items() if item != kept and random.random() > share}
    return {key: answer for key, answer in answers.items() if key.item not in left_out}


def _sheet(student: _Student, random: Random, code: str, spoiled: _Spoiled) -> Sheet:
    answers = _without_some(spoiled.answers, random, kept=spoiled.truth.key.item)
    sheet = fill_in(student.bench, random, code, "", student.habits, answers)
    if not spoiled.truth.has_wrong_unit:
        return sheet

    def renamed(cell: Cell) -> Cell:
        if cell.key not in spoiled.truth.spoiled:
            return cell
        return replace(cell, entry=answers[cell.key].text, unit=spoiled.unit_text)

    return replace(sheet, cells=tuple(renamed(cell) for cell in sheet.cells))


def _spoil(student: _Student, random: Random, happens: str, *, levelled: bool) -> _Spoiled | None:
    present = {key.item for key in student.sound}
    shares = {item: share for item, share in BOXES[student.bench.practical].items() if item in present}
    item = random.choices(tuple(shares), tuple(shares.values()))[0]
    key = random.choice([one for one in student.sound if one.item == item])
    box = _box(student, random, key)
    if happens == "figures":
        return _spoil_figures(student, random, box)
    if happens in ("unit-missing", "unit-wrong"):
        return _spoil_unit(student, random, box, happens)
    causes = shares_here(box, shares_of(item, levelled=levelled))
    if happens == "pair":
        chosen = choose_pair(random, box, causes)
    elif happens == "copied pair":
        chosen = choose_copied_pair(random, box, causes)
    elif happens == "near":
        chosen = choose_near(random, box)
    else:
        cause = random.choices(tuple(causes), tuple(causes.values()))[0]
        chosen = choose_single(random, box, cause, any_digit=random.random() < SHARE_ANY_DIGIT)
    return _spoil_value(student, random, box, *chosen) if chosen is not None else None


def _box(student: _Student, random: Random, key: Key) -> Box:
    bench, unrounded = student.bench, dict[Key, Quantity]()
    for one, answer in student.sound.items():
        unrounded[one] = Quantity(value=bench.working(one, answer.unit, unrounded).exact(), unit=answer.unit)
    return Box(
        bench=bench,
        answer=student.sound[key],
        earlier={one: answer.quantity for one, answer in student.sound.items()},
        texts={one: answer.text for one, answer in student.sound.items()},
        hand=student.habits.hand,
        rounding=student.habits.final_rounding,
        form=random.choice((Form.PLAIN,) * 9 + (Form.LETTER_E,)),
        unrounded=unrounded,
    )


def _spoil_value(student: _Student, random: Random, box: Box, slip: Slip, truth: Truth) -> _Spoiled | None:
    keys: tuple[Key, ...] = (box.key,)
    in_a_table = box.key.row is not None
    if in_a_table and slip.cause in AS_A_COLUMN and len(truth.causes) == 1 and random.random() < 0.5:
        keys = tuple(one for one in student.sound if one.item == box.key.item)
    if isinstance(student.bench, WireBench):
        # Half of those with one resistance far off leave it out of the line.
        row = box.key.row if len(keys) == 1 and random.random() < 0.5 else None
        student.bench.odd_rows = frozenset() if row is None else frozenset({row})
    answers = _work_on(student, box, slip, truth, keys)
    if answers is None:
        return None
    has_own = slip.unit_text and box.unit in USUAL_UNITS and random.random() < SHARE_WITH_OWN_UNIT
    truth = replace(truth, spoiled=keys, has_wrong_unit=bool(has_own))
    return _Spoiled(answers=answers, truth=truth, unit_text=slip.unit_text if has_own else "")


def _work_on(
    student: _Student, box: Box, slip: Slip, truth: Truth, keys: tuple[Key, ...]
) -> Mapping[Key, Answer] | None:
    """Return the answers of a student who makes the slip and works on; None where a later one has no value."""

    def with_slip(answer: Answer, value: float, text: str) -> Answer:
        carried = value_of(text) if student.habits.carries_stated else value
        return replace(answer, text=text, figures=None, quantity=Quantity(value=carried, unit=answer.unit))

    def spoil(answer: Answer) -> Answer:
        if answer.key == truth.key:
            return with_slip(answer, slip.value, truth.text)
        if answer.key not in keys:
            return answer
        own = replace(box, answer=answer)
        same = next((one for one in every_slip(own, "1", with_hand=True) if one.detail == truth.detail), None)
        if same is None or not same.value:
            return answer
        return with_slip(answer, same.value, print_value(own, same.value, 3)[0])

    try:
        answers = _again(student, spoil)
    except (ZeroDivisionError, OverflowError):
        return None
    values = [answer.quantity.value for answer in answers.values() if answer.key.item != "difference"]
    return answers if all(value and math.isfinite(value) for value in values) else None


def _again(student: _Student, spoil: Callable[[Answer], Answer]) -> dict[Key, Answer]:
    """Return the answers worked out once more, alike but for what *spoil* does."""
    random = Random()
    random.setstate(student.state)  # type: ignore[arg-type]  # opaque to us, as random.getstate promises
    return work_through(student.bench, random, student.habits, student.units, spoil)


def _spoil_unit(student: _Student, random: Random, box: Box, happens: str) -> _Spoiled | None:
    # A number with no unit, or with one of another quantity, can only be meant in the unit that was asked for.
    if box.key.item not in UNITS_MARKED[student.bench.practical] or box.unit not in USUAL_UNITS:
        return None
    family = "R" if box.key.item.startswith(("R", "predicted")) else box.key.item
    truth = Truth(
        kind=happens,
        causes=(happens,),
        detail=happens,
        key=box.key,
        text=box.answer.text,
        spoiled=tuple(one for one in student.sound if one.item == box.key.item),
        has_wrong_unit=True,
    )
    wrong = "" if happens == "unit-missing" else random.choice(WRONG_UNITS[family])
    return _Spoiled(answers=student.sound, truth=truth, unit_text=wrong)


def _spoil_figures(student: _Student, random: Random, box: Box) -> _Spoiled | None:
    """Return the whole display, or one figure only, where the text shows it without doubt."""
    if box.key.item not in FIGURES_MARKED[student.bench.practical]:
        return None
    text = on_display(box.right) if random.random() < 0.75 else written(box.right, 1)
    digits = len(text.replace(".", "").strip("0") if "." not in text else text.replace(".", "").lstrip("0"))
    if digits < 7 and (digits != 1 or (text.endswith("0") and "." not in text)):
        return None
    truth = Truth(
        kind="figures", causes=("significant-figures",), detail=text, key=box.key, text=text, spoiled=(box.key,)
    )

    def spoil(answer: Answer) -> Answer:
        if answer.key != box.key:
            return answer
        return replace(answer, text=text, figures=None, quantity=Quantity(value=box.right, unit=answer.unit))

    return _Spoiled(answers=_again(student, spoil), truth=truth)
