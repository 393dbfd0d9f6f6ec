"""A student's result in words: how sure it is, and whether it agrees with the accepted value."""

from __future__ import annotations

import math
from decimal import ROUND_HALF_UP, Decimal

from marking.findings import Agrees, Result, ResultUncertainty, UncertaintyForm
from reports.wording.templates import fill, wording
from rubrics.formulas import grouped, is_plain, printed, rounded, times_ten_to

_MOST_FIGURES = 4


def result_sentences(
    result: Result, *, leaves_out: bool = False, is_short: bool = False, with_cause: bool = True
) -> list[str]:
    """Return what the sheet says of *result*: the value with its plus-or-minus, where that comes from, agreement.

    Args:
        result: A student's.
        leaves_out: A ringed point of the plot was left out.
        is_short: Without where the plus-or-minus comes from.
        with_cause: With the usual reason where the result is off.
    """
    sure = result.uncertainty
    if sure is None or not sure.plus_minus > 0 or not math.isfinite(sure.plus_minus):
        return []
    own = _own(result, sure)
    if leaves_out:
        own = fill([wording("sheet")["result"]["without_odd"]], {"own": own[0].lower() + own[1:]})
    if is_short:
        return [own, *_agreement(result, sure, with_cause=with_cause)]
    return [f"{own} {_comes_from(sure)}", *_agreement(result, sure, with_cause=with_cause)]


def _accepted(value: float) -> str:
    """Return an accepted value as a school uses it: a constant of nature has more figures than any sheet needs."""
    exact = Decimal(repr(float(value)))
    return (
        printed(value) if len(exact.normalize().as_tuple().digits) <= _MOST_FIGURES else printed(value, _MOST_FIGURES)
    )


def with_plus_minus(value: float, plus_minus: float, unit: str) -> str:
    """Return *value* ± *plus_minus*, both to the place where the plus-or-minus has its first figure: '990 ± 30 J'.

    A plus-or-minus that starts with a 1 keeps a second figure.
    """
    figures, place = _short(plus_minus)
    spread, number = rounded(Decimal(repr(float(plus_minus))), figures), _to_place(value, place)
    power = max(number.adjusted() if number else place, spread.adjusted())
    in_full = is_plain(power)
    power = 0 if in_full else power
    digits = max(0, power - place)
    sides = (f"{one.scaleb(-power):.{digits}f}".replace("-", "−") for one in (number, spread))
    both = " ± ".join(grouped(side) for side in sides)
    return (f"{both} {unit}" if in_full else f"({both}){times_ten_to(power)} {unit}").strip()


def _short(plus_minus: float) -> tuple[int, int]:
    """Return how many figures *plus_minus* keeps, two where it starts with a 1, and the place of the last of them."""
    once = rounded(rounded(Decimal(repr(float(plus_minus))), 1), 1)
    figures = 2 if once.as_tuple().digits[0] == 1 else 1
    return figures, once.adjusted() - figures + 1


def _to_place(value: float, place: int) -> Decimal:
    step = Decimal(1).scaleb(place)
    return (Decimal(repr(float(value))) / step).quantize(Decimal(1), rounding=ROUND_HALF_UP) * step


def _own(result: Result, sure: ResultUncertainty) -> str:
    words = wording("sheet")["result"]
    if sure.as_percentage:
        share = abs(100.0 * sure.plus_minus / result.value)
        slots = {"value": printed(result.value, 3), "unit": result.unit, "percent": printed(share, _short(share)[0])}
        return fill([words["own_percent"], words["own_percent_bare"]], slots)
    name = "own_line" if sure.form is UncertaintyForm.LINE else "own"
    return fill([words[name]], {"value": with_plus_minus(result.value, sure.plus_minus, result.unit)})


def _comes_from(sure: ResultUncertainty) -> str:
    words = wording("sheet")["result"]
    return str(words["from"][f"{sure.form.value}_percent" if sure.as_percentage else sure.form.value])


def _agreement(result: Result, sure: ResultUncertainty, *, with_cause: bool) -> list[str]:
    words = wording("sheet")["result"]
    accepted = result.accepted
    if sure.agrees is Agrees.UNKNOWN or accepted is None:
        return []
    if sure.agrees is Agrees.YES:
        spread = printed(accepted.uncertainty) if accepted.uncertainty > 0 else ""
        return [fill(words["yes"], {"accepted": _accepted(accepted.value), "spread": spread, "unit": result.unit})]
    if sure.agrees is Agrees.EDGE:
        return [words["edge"]]
    said = [words[sure.direction]]
    if sure.is_beyond:
        said.append(words["beyond"])
    elif sure.usual_cause and with_cause:
        said.append(fill([words["cause"]], {"cause": sure.usual_cause}))
    return [" ".join(said)]
