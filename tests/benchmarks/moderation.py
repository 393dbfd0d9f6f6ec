"""How well a marker who is a mark in 15 off is found, and how much nearer to the truth adjusting brings the marks.

    python -m tests.benchmarks.moderation [--departments N] [--seed S] [--first N] [--second N]

Half of the departments are sound; in the others one marker is off in one of three ways, in turn. The scripts of every
marker are marked again by the others in turn, in two stages, and read by the joint test as the program does.
"""

from __future__ import annotations

import argparse
import itertools
import sys
from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from marking.moderation.joint import (
    FIRST_STAGE,
    SECOND_STAGE,
    Named,
    Pair,
    PairTable,
    adjustment_for,
    doubts,
    is_one_criterion,
    named,
    table_of,
)
from tests.benchmarks.departments import KINDS, OUT_OF, SCHEMES, Department, Marks, department

CLASS = 50
"""Scripts of the named marker over which the error of the marks is taken."""


class Case(Struct, frozen=True, kw_only=True):
    """What became of one department."""

    scheme: str
    kind: str
    is_found: bool
    is_told_wrongly: bool
    scripts: float
    """Second-marked, a marker on average."""
    before: float | None
    """Mean size of the error of the named marker's totals; None where nobody was rightly named."""
    after: float | None


def moderated(one: Department, chance: np.random.Generator, first: int, second: int) -> tuple[PairTable, list[Named]]:
    """Return the pairs of both stages, and who is named."""
    pairs: list[Pair] = []
    for marker in range(one.markers):
        pairs += _pairs(one, marker, first, 0, chance)
    criteria = [str(number) for number in range(len(one.out_of))]
    doubtful = {doubt.marker for doubt in doubts(table_of(pairs, criteria, one.out_of), OUT_OF)}
    for name in sorted(doubtful):
        pairs += _pairs(one, int(name), second, first, chance)
    table = table_of(pairs, criteria, one.out_of)
    return table, [found for found in named(table, OUT_OF) if found.marker in doubtful]


def _pairs(one: Department, marker: int, count: int, start: int, chance: np.random.Generator) -> list[Pair]:
    truth = one.truth(count, chance)
    first = one.marked(marker, truth, chance)
    others = [other for other in range(one.markers) if other != marker]
    found = []
    for number in range(count):
        other = others[(start + number + marker) % len(others)]
        (second,) = one.marked(other, truth[number : number + 1], chance)
        found.append(
            Pair(
                script=f"{marker}/{start + number}",
                first_marker=str(marker),
                second_marker=str(other),
                first=tuple(first[number].tolist()),
                second=tuple(second.tolist()),
            )
        )
    return found


def errors(one: Department, found: Named, table: PairTable, chance: np.random.Generator) -> tuple[float, float]:
    """Return the mean size of the error of the named marker's totals, before and after what is proposed."""
    truth = one.truth(CLASS, chance)
    marks = one.marked(int(found.marker), truth, chance)
    after = _after(one, found, table, marks, truth, chance)
    right = truth.sum(axis=1)
    return float(np.abs(marks.sum(axis=1) - right).mean()), float(np.abs(after - right).mean())


def _after(
    one: Department, found: Named, table: PairTable, marks: Marks, truth: Marks, chance: np.random.Generator
) -> Marks:
    if is_one_criterion(found):
        worst = max(range(len(found.criteria)), key=lambda place: abs(found.criteria[place].score))
        other = (int(found.marker) + 1) % one.markers
        again = marks.copy()
        again[:, worst] = one.marked(other, truth, chance)[:, worst]
        return np.asarray(again.sum(axis=1), dtype=np.int64)
    adjusted = adjustment_for(found, table)
    totals = marks.sum(axis=1).tolist()
    return np.array([adjusted.apply(total) if adjusted else total for total in totals], dtype=np.int64)


def run(departments: int, seed: int, first: int = FIRST_STAGE, second: int = SECOND_STAGE) -> list[Case]:
    """Return what became of so many departments, half of them sound."""
    chance = np.random.default_rng(seed)
    schemes, scheme = itertools.cycle(SCHEMES), ""
    cases = []
    for number in range(departments):
        if number % 2 == 0:
            scheme = next(schemes)  # a sound one and its pair share a scheme
        kinds = [kind for kind in KINDS if kind != "criterion" or max(SCHEMES[scheme]) > 1]
        kind = "sound" if number % 2 == 0 else kinds[number // 2 // len(SCHEMES) % len(kinds)]
        one = department(chance, scheme, kind)
        table, found = moderated(one, chance, first, second)
        right = next((each for each in found if one.off is not None and each.marker == str(one.off)), None)
        before, after = errors(one, right, table, chance) if right else (None, None)
        cases.append(
            Case(
                scheme=scheme,
                kind=kind,
                is_found=right is not None,
                is_told_wrongly=len(found) > (right is not None),
                scripts=len(table.first_by) / one.markers,
                before=before,
                after=after,
            )
        )
    return cases


def summary(cases: Sequence[Case]) -> dict[str, float]:
    """Return the shares that are asked for."""
    off, sound = ([one for one in cases if (one.kind == "sound") is quiet] for quiet in (False, True))
    mended = [one for one in off if one.before is not None and one.after is not None]
    return {
        "named": sum(one.is_found for one in off) / len(off),
        "sound told to adjust": sum(one.is_told_wrongly for one in sound) / len(sound),
        "another told beside": sum(one.is_told_wrongly for one in off) / len(off),
        "scripts a marker": float(np.mean([one.scripts for one in cases])),
        "nearer after": sum(one.after < one.before for one in mended) / max(1, len(mended)),  # type: ignore[operator]
    }


def main(words: Sequence[str] | None = None) -> int:
    """Print the shares, for all departments and for each scheme and way of being off."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.moderation", description=__doc__)
    parser.add_argument("--departments", type=int, default=400)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--first", type=int, default=FIRST_STAGE)
    parser.add_argument("--second", type=int, default=SECOND_STAGE)
    said = parser.parse_args(words)
    cases = run(said.departments, said.seed, said.first, said.second)
    for name, share in summary(cases).items():
        print(f"{name:24} {share:.3f}")
    for scheme, kind in sorted({(one.scheme, one.kind) for one in cases}):
        group = [one for one in cases if (one.scheme, one.kind) == (scheme, kind)]
        share = sum(one.is_found for one in group) / len(group)
        nearer = [one.after < one.before for one in group if one.before is not None and one.after is not None]
        print(f"{scheme:8} {kind:10} {len(group):4}  named {share:.2f}  nearer {np.mean(nearer or [1]):.2f}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
