"""Which slip goes into a box, and what may be said of it: what else prints the same, and whether it shows at all."""

from __future__ import annotations

import math
from collections.abc import Mapping
from random import Random

from msgspec import Struct

from tests.apparatus import Key
from tests.apparatus.figures import shown
from tests.benchmarks.boxes import Box, Slip, could_pass, finest_place, is_right, print_value, prints_alike
from tests.benchmarks.digits import look_alike, swapped, value_of
from tests.benchmarks.input_slips import EXACT, changed_numbers, slips_of_answer, slips_of_numbers, slips_of_steps
from tests.benchmarks.wrong_formulas import wrong_formulas

NEAR = (0.01, 0.06)
"""How far off half of the near errors are, relative; the others go on to FURTHER."""

FURTHER = 0.5

DECADES = 3.0
"""An unexplained answer is off by up to so many powers of ten, either way."""

LEFT_AS_RECORDED = 4.0
"""A unit left as it was recorded is met so many times as often as any other slip of units."""

SHARE_WITHOUT_CONVERSION = 0.1
"""What is left of the slips of units where every number stands in the unit it is needed in."""

POINT_MOVED = {1: 1.0, 2: 0.3, 3: 0.15}
"""How often a point slips by so many places, beside one place."""

SHARE_WITH_SWAPPED = 0.15
"""Pairs that may have two digits swapped in a number of theirs; slips of units come first."""

MISREAD = 12.0
"""A digit is taken for one that looks like it so many times as often as for any other."""

ODD_FORMULAS = (" - ", " + ")
"""Differences and sums where a quotient is asked for are seldom met together with another slip."""

USUAL_RANGE = (1e-9, 1e9)
"""Beyond it nobody would write an answer down."""


class Truth(Struct, frozen=True, kw_only=True):
    """What was planted on one page."""

    kind: str
    """slip, unexplained, near, further, pair, copied pair, figures, unit-missing or unit-wrong."""
    causes: tuple[str, ...]
    detail: str
    key: Key
    text: str
    rivals: tuple[str, ...] = ()
    """Other causes that print the same answer."""
    could_pass: bool = False
    """It may pass for careful work: nothing was lost, and nothing need be found."""
    is_right: bool = False
    """It is careful work, as it happens."""
    spoiled: tuple[Key, ...] = ()
    """Every box with the slip in it."""
    has_wrong_unit: bool = False


def every_slip(box: Box, right_text: str, *, with_hand: bool) -> list[Slip]:
    """Return every simple slip of this box, as far as this list knows; steps as the student keeps them, or exact."""
    hand = box.hand if with_hand else EXACT
    return [
        *slips_of_numbers(box, hand),
        *wrong_formulas(box, box.working.numbers, hand),
        *slips_of_steps(box),
        *slips_of_answer(box, right_text),
    ]


def choose_near(random: Random, box: Box) -> tuple[Slip, Truth] | None:
    """Return an answer that is off by a little for no reason; what else may print it is for the program to weigh."""
    if not box.right:
        return None
    kind = random.choice(("near", "further"))
    low, high = NEAR if kind == "near" else (NEAR[1], FURTHER)
    off = random.uniform(low, high)
    value = box.right * (1.0 + random.choice((-1, 1)) * off)
    figures = random.choices((2, 3, 4), (0.1, 0.7, 0.2))[0]
    stray = Slip(cause="unexplained", detail=f"{value / box.right:.4g} of right", value=value)
    return write_down(box, stray, figures, box.answer.text, kind=kind, causes=("unexplained",))


def choose_copied_pair(random: Random, box: Box, shares: Mapping[str, float]) -> tuple[Slip, Truth] | None:
    """Return what a wrong formula gives, copied with two digits swapped."""
    figures = choose_figures(random, box)
    right_text, _ = print_value(box, box.right, figures)
    formulas = [
        slip
        for slip in wrong_formulas(box, box.working.numbers, box.hand)
        if math.isfinite(slip.value) and USUAL_RANGE[0] < abs(slip.value) < USUAL_RANGE[1]
    ]
    if not formulas:
        return None
    likely = [shares[one.cause] * (0.2 if any(sign in one.detail for sign in ODD_FORMULAS) else 1) for one in formulas]
    formula = random.choices(formulas, [weight + 0.001 for weight in likely])[0]
    text, _ = print_value(box, formula.value, figures)
    copies = [made for made in swapped(text) if value_of(made)]
    if not copies:
        return None
    made = random.choice(copies)
    both = Slip(cause=formula.cause, detail=f"{formula.detail}; {text} as {made}", value=value_of(made), text=made)
    causes = (formula.cause, "digits-swapped")
    return _unlike_any(write_down(box, both, figures, right_text, kind="copied pair", causes=causes))


def choose_single(random: Random, box: Box, cause: str, *, any_digit: bool = False) -> tuple[Slip, Truth] | None:
    """Return a slip of *cause*, written; None where this box cannot have one."""
    figures = choose_figures(random, box)
    right_text, _ = print_value(box, box.right, figures)
    if cause == "unexplained":
        if not box.right:
            return None
        value = box.right * 10.0 ** random.uniform(-DECADES, DECADES)
        stray = Slip(cause=cause, detail=f"{value / box.right:.4g} of right", value=value)
        return _unlike_any(write_down(box, stray, figures, right_text, kind=cause, causes=(cause,)))
    by_kind: dict[str, list[Slip]] = {}
    for slip in every_slip(box, right_text, with_hand=True):
        if slip.cause == cause and not slip.is_rare:
            # Slips that differ in one digit are many: a kind first, then one of it.
            by_kind.setdefault("answer" if slip.text else slip.detail.split(" as ")[0], []).append(slip)
    if not by_kind:
        return None
    weights = [_weight(slips[0]) for slips in by_kind.values()]
    slips = by_kind[random.choices(list(by_kind), weights)[0]]
    misread = 1.0 if any_digit else MISREAD
    slip = random.choices(slips, [misread if looks_alike(one) else 1.0 for one in slips])[0]
    return write_down(box, slip, figures, right_text, kind="slip", causes=(cause,))


def shares_here(box: Box, shares: Mapping[str, float]) -> dict[str, float]:
    """Return how often each cause is tried in this box: few slips of units where nothing is to be converted."""
    needed = box.key.item == "rho_si" or any(
        " left in " in slip.detail for slip in every_slip(box, "1", with_hand=False) if slip.cause == "unit-conversion"
    )
    scale = 1.0 if needed else SHARE_WITHOUT_CONVERSION
    return {cause: share * (scale if cause == "unit-conversion" else 1.0) for cause, share in shares.items()}


def looks_alike(slip: Slip) -> bool:
    """Tell whether a slip is one digit taken for another that looks like it."""
    before, _, after = slip.detail.rpartition(" as ")
    return slip.is_diffuse and look_alike(before.split()[-1], after)


def _weight(slip: Slip) -> float:
    if slip.cause == "power-of-ten":
        return POINT_MOVED[abs(int(slip.detail.split()[-1]))]
    return LEFT_AS_RECORDED if " left in " in slip.detail else 1.0


def choose_pair(random: Random, box: Box, shares: Mapping[str, float]) -> tuple[Slip, Truth] | None:
    """Return two slips in one answer: a wrong number in a wrong formula, or any slip with a moved point."""
    figures = choose_figures(random, box)
    right_text, _ = print_value(box, box.right, figures)
    made = (
        _number_and_formula(random, box, shares)
        if random.random() < 0.6
        else _slip_and_point(random, box, right_text, shares)
    )
    if made is None or made[0].cause == made[1]:
        return None
    both, other_cause = made
    causes = (other_cause, both.cause)
    return _unlike_any(write_down(box, both, figures, right_text, kind="pair", causes=causes))


def _number_and_formula(random: Random, box: Box, shares: Mapping[str, float]) -> tuple[Slip, str] | None:
    causes = ("unit-conversion", "digits-swapped") if random.random() < SHARE_WITH_SWAPPED else ("unit-conversion",)
    changes = [one for one in changed_numbers(box) if one.cause in causes]
    if not changes:
        return None
    weights = [shares[one.cause] * (LEFT_AS_RECORDED if " left in " in one.detail else 1.0) for one in changes]
    changed = random.choices(changes, weights)[0]
    numbers = {**box.working.numbers, changed.name: changed.number}
    formulas = [slip for slip in wrong_formulas(box, numbers, box.hand) if changed.name in slip.detail]
    if not formulas:
        return None
    likely = [shares[one.cause] * (0.2 if any(sign in one.detail for sign in ODD_FORMULAS) else 1) for one in formulas]
    formula = random.choices(formulas, [weight + 0.001 for weight in likely])[0]
    return Slip(cause=formula.cause, detail=f"{changed.detail}; {formula.detail}", value=formula.value), changed.cause


def _slip_and_point(random: Random, box: Box, right_text: str, shares: Mapping[str, float]) -> tuple[Slip, str] | None:
    causes = ("unit-conversion", "rearrangement", "wrong-quantity", "combination-rule", "gradient-inverted")
    likely = [slip for slip in every_slip(box, right_text, with_hand=True) if slip.cause in causes and not slip.is_rare]
    if not likely:
        return None
    first = random.choices(likely, [shares[slip.cause] + 0.01 for slip in likely])[0]
    power = random.choice((-1, 1))
    detail = f"{first.detail}; point moved by {power}"
    return Slip(cause="power-of-ten", detail=detail, value=first.value * 10.0**power), first.cause


def _unlike_any(made: tuple[Slip, Truth] | None) -> tuple[Slip, Truth] | None:
    return None if made is None or made[1].rivals or made[1].could_pass else made


def choose_figures(random: Random, box: Box) -> int | None:
    """Return the figures a wrong answer is given to; None for the whole display, or a difference to its decimals."""
    if box.bench.natural_places(box.key) is not None and random.random() < 0.85:
        return None
    return random.choices((2, 3, 4, None), (0.2, 0.5, 0.15, 0.15))[0]


def write_down(
    box: Box, slip: Slip, figures: int | None, right_text: str, *, kind: str, causes: tuple[str, ...]
) -> tuple[Slip, Truth] | None:
    """Return the slip with what is known of it once it is on the page; None where nobody would write it."""
    if not math.isfinite(slip.value) or not USUAL_RANGE[0] < abs(slip.value) < USUAL_RANGE[1]:
        return None
    text, last_place = print_value(box, slip.value, figures)
    if slip.text:
        text, last_place = slip.text, finest_place(slip.text)
    # A rise of 0.0 to one decimal: nothing left to judge.
    if figures is None and shown(slip.value).adjusted() < round(math.log10(last_place)) + 1:
        return None
    truth = Truth(
        kind=kind,
        causes=causes,
        detail=slip.detail,
        key=box.key,
        text=text,
        rivals=_rivals(box, slip, causes, last_place, right_text),
        could_pass=could_pass(box, text, last_place),
        is_right=is_right(box, value_of(text), last_place),
    )
    return slip, truth


def _rivals(box: Box, slip: Slip, causes: tuple[str, ...], last_place: float, right_text: str) -> tuple[str, ...]:
    """Return other causes that print the same; any one digit changed counts only against its like."""
    against_all = slip.is_diffuse or slip.cause == "unexplained"
    found = {
        other.cause
        for with_hand in (False, True)
        for other in every_slip(box, right_text, with_hand=with_hand)
        if other.cause not in causes
        and (against_all or not other.is_diffuse)
        and prints_alike(other, slip.value, last_place)
    }
    return tuple(sorted(found))
