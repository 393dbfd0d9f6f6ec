"""The account of what was said of slips by another hand: shares a practical, a cause and a confidence."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence

from marking.findings import Finding, Outcome
from tests.benchmarks.second_picture.said_of_slips import Heard, Said
from tests.benchmarks.second_picture.true_slips import (
    COPIED_PAIR,
    NEAR,
    PAIR,
    SINGLE,
    UNEXPLAINED,
    TrueSlip,
)

BINS = 10
SHOWN = 20
"""Lines of right answers that are printed in full."""

Is = Callable[[Said], bool]


def told(heard: Heard, *, misses: bool) -> str:
    """Return the account as text; with *misses* every slip that was not told as it was planted."""
    said = heard.said
    names = sorted({one.slip.practical for one in said})
    lines = [
        "| practical | " + " | ".join(name for name, _, _ in _COLUMNS) + " |",
        "| --- " * (len(_COLUMNS) + 1) + "|",
    ]
    for name in [*names, "all"]:
        own = said if name == "all" else [one for one in said if one.slip.practical == name]
        shares = [_share([one for one in own if is_kind(one)], is_so) for _, is_kind, is_so in _COLUMNS]
        lines.append(f"| {name} | " + " | ".join(shares) + " |")
    lines += ["", "| cause | first | within |", "| --- | --- | --- |"]
    singles = [one for one in said if one.slip.kind == SINGLE]
    for cause in sorted({one.slip.causes[0] for one in singles}):
        own = [one for one in singles if one.slip.causes[0] == cause]
        lines.append(f"| {cause} | {_share(own, _first)} | {_share(own, _within)} |")
    lines += ["", "| confidence from | number | mean | right |", "| --- | --- | --- | --- |"]
    rows, error = calibration(said)
    lines += [f"| {start:.1f} | {count} | {mean:.3f} | {right:.3f} |" for start, count, mean, right in rows]
    lines += [
        "",
        f"Expected calibration error {error:.3f}; {heard.students} students.",
        f"Wrong values awarded: {sum(one.awarded for one in said if one.slip.is_of_value)}; "
        f"slips that no line is about: {len(heard.not_judged)}.",
        f"Right answers withheld: {len(heard.lost)} of {heard.right}; left to the teacher: {len(heard.waiting)}.",
        *(_of_right(slip, finding) for slip, finding in heard.lost[:SHOWN]),
    ]
    if misses:
        lines += ["", "Left to the teacher:", *(_of_right(slip, finding) for slip, finding in heard.waiting)]
        lines += ["", *_misses(said)]
    return "\n".join(lines)


def calibration(said: Sequence[Said]) -> tuple[list[tuple[float, int, float, float]], float]:
    """Return (confidence from, number, mean confidence, share right) in ten bins, and the expected error.

    Of wrong values that lost their mark, as ``tests.benchmarks.causes`` has it.
    """
    bins: dict[int, list[Said]] = {}
    for one in said:
        if one.slip.is_of_value and one.finding.outcome is Outcome.WITHHELD and one.finding.confidence is not None:
            bins.setdefault(min(BINS - 1, int(one.finding.confidence * BINS)), []).append(one)
    total, rows, error = sum(map(len, bins.values())), [], 0.0
    for place, own in sorted(bins.items()):
        mean = sum(one.finding.confidence or 0.0 for one in own) / len(own)
        right = sum(one.first_is_right for one in own) / len(own)
        rows.append((place / BINS, len(own), mean, right))
        error += len(own) / total * abs(mean - right)
    return rows, error


def _share(said: Sequence[Said], is_so: Is) -> str:
    return f"{100 * sum(map(is_so, said)) / len(said):.1f} % of {len(said)}" if said else "none"


def _first(one: Said) -> bool:
    return one.first_is_right


def _within(one: Said) -> bool:
    return one.is_within


def _both(one: Said) -> bool:
    return one.has_both


def _sure(one: Said) -> bool:
    return one.is_sure


def _passed(one: Said) -> bool:
    return one.was_let_pass


def _is(kind: str) -> Is:
    return lambda one: one.slip.kind == kind


def _near_withheld(one: Said) -> bool:
    return one.slip.kind == NEAR and one.finding.outcome is Outcome.WITHHELD


_COLUMNS: tuple[tuple[str, Is, Is], ...] = (
    ("first cause", _is(SINGLE), _first),
    ("within", _is(SINGLE), _within),
    ("let pass", _is(SINGLE), _passed),
    ("unexplained", _is(UNEXPLAINED), _first),
    ("near, awarded", _is(NEAR), _passed),
    ("near, withheld", _is(NEAR), _near_withheld),
    ("of these unexplained", _near_withheld, _first),
    ("of these named for sure", _near_withheld, _sure),
    ("pairs: one of the two first", _is(PAIR), _first),
    ("pairs: both", _is(PAIR), _both),
    ("copied pairs: one of the two first", _is(COPIED_PAIR), _first),
    ("copied pairs: both", _is(COPIED_PAIR), _both),
)


def _of_right(slip: TrueSlip, finding: Finding) -> str:
    where = f"{slip.practical} {slip.student} {finding.item} {finding.row or ''}"
    what = f"{finding.outcome} {finding.criterion}: {finding.entry} {finding.unit}, expected {finding.expected}"
    return f"  {where} {what}, {finding.reason}, {finding.cause} (planted: {slip.kind} {slip.item} {slip.detail})"


def _misses(said: Sequence[Said]) -> list[str]:
    """Return what was not told as it was planted, by kind, the commonest confusions first."""
    missed = [one for one in said if not (one.has_both if ";" in ";".join(one.slip.causes) else one.first_is_right)]
    by_confusion = Counter(_confusion(one) for one in missed)
    lines = []
    for confusion, count in by_confusion.most_common():
        lines.append(f"{count} × {confusion}")
        lines += [f"    {_told_of(one)}" for one in missed if _confusion(one) == confusion]
    return lines


def _confusion(one: Said) -> str:
    return f"{one.slip.kind}: {' + '.join(one.slip.causes)} told as {one.first}"


def _told_of(one: Said) -> str:
    slip, finding = one.slip, one.finding
    ways = "; ".join(f"{way.cause} {way.detail} {way.probability:.2f}" for way in finding.explanations)
    answer = f"{slip.item} {slip.row or finding.row or ''} {finding.entry} {finding.unit} for {finding.expected}"
    return f"{slip.practical} {slip.student} {answer} {finding.outcome} [{slip.detail}] ({ways})"
