"""What students get wrong, and how often: the wrong ways to each answer, and slips with figures and units.

Every mistake that is planted is told, so that a test can ask whether it was found. A wrong value that
lies close to the right one is not planted: it would be within what careful rounding or drawing gives.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from random import Random

from msgspec import Struct
from msgspec.structs import replace

from samples.answers import Numbers, Question, fit_line
from samples.recording import write_answer

FAR = 0.08
"""A wrong value differs from the right one by at least this share of it."""
DRAWN_FAR = 0.13
"""The same for what is taken off a line drawn by hand."""
SHARE_FORGETS_UNITS = 0.15
"""Of students, who often leave the unit of an answer out."""
SHARE_COPIES_DISPLAY = 0.15
"""Of students, who often write down all that the calculator shows."""
HABIT_KEPT = 0.6
"""How often a bad habit shows in one answer."""
SHARE_UNIT_WRONG = 0.03
"""Of answers, whose unit is of another quantity."""
SHARE_BLANK = 0.02
SHARE_PLACES_DROPPED = 0.15
"""Of students, who leave a trailing zero out somewhere in their readings."""
_LOOK_ALIKE = {"1": "7", "7": "1", "4": "9", "9": "4", "0": "6", "6": "0", "3": "8", "8": "3", "5": "6", "2": "5"}


class Planted(Struct, frozen=True, kw_only=True):
    """One mistake that was put into a write-up."""

    student: str
    item: str
    row: int | None
    """None for a single item, and for a whole column."""
    lost: str
    """The kind of check that should see it: value, unit, figures, places or choice."""
    cause: str
    detail: str


class Slip(Struct, frozen=True, kw_only=True):
    """One wrong way to an answer."""

    cause: str
    detail: str
    share: float
    work: Callable[[Numbers], float | None]
    """None where the slip cannot happen with these figures."""


def _unconverted(numbers: Numbers, *items: str) -> Numbers | None:
    """Return the numbers with *items* as they were noted; None where they were noted in the right unit."""
    if all(numbers.noted[item] == numbers[item] for item in items):
        return None
    return replace(numbers, value=numbers.value | {item: numbers.noted[item] for item in items})


def _forgot(right: Callable[[Numbers], float], *items: str) -> Callable[[Numbers], float | None]:
    def work(numbers: Numbers) -> float | None:
        changed = _unconverted(numbers, *items)
        return None if changed is None else right(changed)

    return work


def _capacity(n: Numbers) -> float:
    return n["E"] / (n["m"] * n["dT"])


def _resistance_slips(pd: str, current: str) -> tuple[Slip, ...]:
    in_milliamps = _forgot(lambda n: n[pd] / n[current], current)
    return (
        Slip(cause="rearrangement", detail="I / V", share=10, work=lambda n: n[current] / n[pd]),
        Slip(cause="rearrangement", detail="V * I", share=8, work=lambda n: n[pd] * n[current]),
        Slip(cause="unit-conversion", detail="I: mA for A", share=30, work=in_milliamps),
    )


def _gradient_in_cm(n: Numbers) -> float | None:
    if n.noted_columns["L"] == n.columns["L"]:
        return None
    return fit_line(n.noted_columns["L"], n.columns["R"])[0]


def _gradient_of_all(n: Numbers) -> float | None:
    return fit_line([x for x, _ in n.all_points], [y for _, y in n.all_points])[0] if n.all_points else None


def _volume(n: Numbers) -> float:
    return n["l"] * n["w"] * n["h"]


def _volume_times(factor: float) -> Callable[[Numbers], float | None]:
    def work(n: Numbers) -> float | None:
        in_mm = _unconverted(n, "l", "w", "h")
        return None if in_mm is None else _volume(in_mm) * factor

    return work


_PARALLEL = (
    Slip(
        cause="combination-rule",
        detail="stopped before the last step, 1 / R",
        share=35,
        work=lambda n: 1 / n["R_1"] + 1 / n["R_2"],
    ),
    Slip(cause="combination-rule", detail="added, the rule for series", share=25, work=lambda n: n["R_1"] + n["R_2"]),
    Slip(cause="combination-rule", detail="product only", share=8, work=lambda n: n["R_1"] * n["R_2"]),
    Slip(cause="combination-rule", detail="mean of the two", share=6, work=lambda n: (n["R_1"] + n["R_2"]) / 2),
    Slip(cause="combination-rule", detail="one over the sum", share=4, work=lambda n: 1 / (n["R_1"] + n["R_2"])),
)
SLIPS: Mapping[str, tuple[Slip, ...]] = {
    "dT": (
        Slip(cause="sign", detail="added for subtracted", share=15, work=lambda n: n["T_end"] + n["T_start"]),
        Slip(cause="wrong-quantity", detail="T_end for dT", share=15, work=lambda n: n["T_end"]),
        Slip(cause="copying", detail="out by ten", share=20, work=lambda n: n["T_end"] - n["T_start"] + 10),
    ),
    "c": (
        Slip(cause="unit-conversion", detail="m: g for kg", share=30, work=_forgot(_capacity, "m")),
        Slip(cause="unit-conversion", detail="E: kJ for J", share=30, work=_forgot(_capacity, "E")),
        Slip(cause="operation-order", detail="E / m * dT", share=10, work=lambda n: n["E"] / n["m"] * n["dT"]),
        Slip(cause="rearrangement", detail="E * m * dT", share=5, work=lambda n: n["E"] * n["m"] * n["dT"]),
        Slip(cause="rearrangement", detail="m * dT / E", share=6, work=lambda n: n["m"] * n["dT"] / n["E"]),
        Slip(cause="wrong-quantity", detail="T_end for dT", share=14, work=lambda n: n["E"] / (n["m"] * n["T_end"])),
        Slip(cause="missing-factor", detail="E / m", share=6, work=lambda n: n["E"] / n["m"]),
    ),
    "R": _resistance_slips("V", "I"),
    **{f"R_{name}": _resistance_slips(f"V_{name}", f"I_{name}") for name in ("1", "2", "series", "parallel")},
    "R_component": (
        Slip(
            cause="gradient-inverted",
            detail="gradient of I against V",
            share=50,
            work=lambda n: fit_line(n.columns["V"], n.columns["I"])[0],
        ),
    ),
    "gradient": (
        Slip(
            cause="gradient-inverted",
            detail="run over rise",
            share=14,
            work=lambda n: 1 / fit_line(n.columns["L"], n.columns["R"])[0],
        ),
        Slip(
            cause="wrong-quantity",
            detail="one point, R / L",
            share=25,
            work=lambda n: n.columns["R"][0] / n.columns["L"][0],
        ),
        Slip(cause="unit-conversion", detail="L: cm for m", share=22, work=_gradient_in_cm),
        Slip(cause="anomaly-included", detail="", share=500, work=_gradient_of_all),
    ),
    "predicted_series": (
        Slip(
            cause="combination-rule",
            detail="the rule for parallel",
            share=60,
            work=lambda n: n["R_1"] * n["R_2"] / (n["R_1"] + n["R_2"]),
        ),
    ),
    "predicted_parallel": _PARALLEL,
    "V": (
        Slip(cause="unit-conversion", detail="V: mm³ called cm³", share=30, work=_volume_times(1)),
        Slip(cause="unit-conversion", detail="V: mm³ ÷ 10", share=15, work=_volume_times(0.1)),
        Slip(cause="missing-factor", detail="l * w", share=10, work=lambda n: n["l"] * n["w"]),
        Slip(cause="rearrangement", detail="l + w + h", share=5, work=lambda n: n["l"] + n["w"] + n["h"]),
    ),
    "rho": (
        Slip(cause="rearrangement", detail="V / m", share=15, work=lambda n: n["V"] / n["m"]),
        Slip(cause="rearrangement", detail="m * V", share=8, work=lambda n: n["m"] * n["V"]),
    ),
    "rho_si": (
        Slip(cause="unit-conversion", detail="÷ 1000", share=25, work=lambda n: n["rho"] / 1000),
        Slip(cause="unit-conversion", detail="× 100", share=20, work=lambda n: n["rho"] * 100),
        Slip(cause="unit-conversion", detail="× 1000000", share=10, work=lambda n: n["rho"] * 1e6),
    ),
}
"""Answer to the wrong ways to it. The shares are judged, beside each other and beside those of any answer."""


def wrong_column(
    question: Question, rows: Mapping[int, Numbers], chance: Random
) -> tuple[dict[int, float], Slip] | None:
    """Return the wrong values of a column, by row, with the slip: a wrong way in every row, any other slip in one."""
    ways = list(SLIPS.get(question.item, ()))
    slips = ways + _any_answer(question, chance)
    while slips:
        slip = chance.choices(slips, weights=[one.share for one in slips])[0]
        slips.remove(slip)
        chosen = rows if slip in ways else {(row := chance.choice(sorted(rows))): rows[row]}
        values = {row: slip.work(numbers) for row, numbers in chosen.items()}
        wrong = {
            row: value
            for row, value in values.items()
            if value is not None and _is_far(value, question.right(rows[row]), question)
        }
        if len(wrong) == len(chosen):
            return wrong, slip
    return None


def wrong_value(question: Question, numbers: Numbers, chance: Random) -> tuple[float, Slip] | None:
    """Return a wrong value of an answer with the slip; None where no slip gives a value far enough off."""
    right = question.right(numbers)
    slips = list(SLIPS.get(question.item, ())) + _any_answer(question, chance)
    while slips:
        slip = chance.choices(slips, weights=[one.share for one in slips])[0]
        slips.remove(slip)
        value = slip.work(numbers)
        if value is not None and _is_far(value, right, question):
            return value, slip
    return None


def _is_far(value: float, right: float, question: Question) -> bool:
    return abs(value - right) > (DRAWN_FAR if question.is_drawn else FAR) * abs(right)


def _any_answer(question: Question, chance: Random) -> list[Slip]:
    """Return the slips that can happen with any answer."""
    factor = chance.choice((0.1, 10.0, 10.0, 100.0))
    off = chance.choice((-1, 1)) * chance.uniform(0.12, 0.45)
    return [
        Slip(cause="power-of-ten", detail="", share=5, work=lambda n: question.right(n) * factor),
        Slip(cause="digits-swapped", detail="", share=4, work=lambda n: _swapped(question.right(n), chance)),
        Slip(cause="copying", detail="", share=5, work=lambda n: _misread(question.right(n), chance)),
        Slip(cause="unexplained", detail="", share=7, work=lambda n: question.right(n) * (1 + off)),
    ]


def _swapped(value: float, chance: Random) -> float | None:
    text = write_answer(value, 3)
    places = [i for i in range(len(text) - 1) if text[i].isdigit() and text[i + 1].isdigit() and text[i] != text[i + 1]]
    if not places:
        return None
    at = chance.choice(places)
    return float(text[:at] + text[at + 1] + text[at] + text[at + 2 :])


def _misread(value: float, chance: Random) -> float | None:
    text = write_answer(value, 3)
    places = [i for i, sign in enumerate(text) if sign in _LOOK_ALIKE and sign != "0"]
    at = chance.choice(places) if places else 0
    return float(text[:at] + _LOOK_ALIKE[text[at]] + text[at + 1 :]) if places else None
