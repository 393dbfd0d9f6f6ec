"""How well the cause of a wrong answer is found: seeded classes with known slips, through the main path.

    python -m tests.benchmarks.causes [--students N] [--seed S] [--practical ID] [--json]

Half of the sets have causes as often as markers expect them, half have rare causes made frequent; calibration
is measured on the first half only, for a probability depends on the mix it is used on.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections import Counter
from collections.abc import Callable, Sequence

from tests.apparatus import BENCHES
from tests.benchmarks.cohorts import cohort
from tests.benchmarks.mix import CAUSES
from tests.benchmarks.scores import Score, Tally, calibration, score_set

SET_SIZE = 150
"""Students in one set: a year of a school."""

COMMONEST = 10
EXAMPLES = 3


def run(students: int, seed: str, practicals: Sequence[str]) -> list[Tally]:
    """Return what was counted over *students* students, shared out over the practicals."""
    tallies = []
    for practical in practicals:
        tally = Tally(practical)
        left, number = max(2, students // len(practicals)), 0
        while left > 0:
            levelled = number % 2 == 1
            pages = cohort(practical, min(SET_SIZE, left), f"{seed} {number}", levelled=levelled)
            score_set(tally, pages, levelled=levelled)
            left, number = left - SET_SIZE, number + 1
        tallies.append(tally)
    return tallies


def share(scores: Sequence[Score], is_so: Callable[[Score], bool]) -> str:
    """Return a share in per cent with its number of cases."""
    if not scores:
        return "-"
    return f"{100 * sum(map(is_so, scores)) / len(scores):.1f} ({len(scores)})"


def first(score: Score) -> bool:
    """Tell whether the first cause is right."""
    return score.first_is_right


def within(score: Score) -> bool:
    """Tell whether a right cause is among those given."""
    return score.is_within


def let_pass(score: Score) -> bool:
    """Tell whether a wrong answer got its mark."""
    return str(score.finding.outcome) == "awarded"


def table(headings: Sequence[str], rows: Sequence[Sequence[object]]) -> str:
    """Return a plain table, the columns as wide as they need."""
    cells = [[str(cell) for cell in row] for row in (headings, *rows)]
    widths = [max(len(row[column]) for row in cells) for column in range(len(headings))]
    return "\n".join("  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)) for row in cells)


def _is_kind(*kinds: str) -> Callable[[Score], bool]:
    return lambda score: score.truth.kind in kinds and not score.truth.could_be_careful


def practical_rows(tallies: Sequence[Tally]) -> list[list[object]]:
    """Return one row a practical, and one for all."""
    rows: list[list[object]] = []
    for name, group in [(tally.practical, [tally]) for tally in tallies] + [("all", list(tallies))]:
        scores = [score for tally in group for score in tally.scores]
        single = [score for score in scores if score.is_single]
        either = [score for score in scores if score.is_ambiguous]
        unexplained = list(filter(_is_kind("unexplained"), scores))
        pairs = list(filter(_is_kind("pair"), scores))
        lost = sum(len(tally.lost_values) for tally in group), sum(len(tally.lost_units) for tally in group)
        right = sum(tally.right_values for tally in group), sum(tally.right_units for tally in group)
        rows.append(
            [
                name,
                share(single, first),
                share(single, within),
                share(single, let_pass),
                share(either, first),
                share(either, within),
                share(unexplained, first),
                share(pairs, first),
                sum(score.truth.could_be_careful for score in scores),
                f"{lost[0]}/{right[0]}",
                f"{lost[1]}/{right[1]}",
                f"{sum(tally.answers for tally in group) / sum(tally.marking_seconds for tally in group):.0f}",
                f"{sum(tally.answers for tally in group) / sum(tally.reading_seconds for tally in group):.0f}",
            ]
        )
    return rows


PRACTICAL_HEADINGS = (
    "practical",
    "first %",
    "within %",
    "let pass %",
    "ambiguous: first %",
    "within %",
    "unexplained %",
    "pairs %",
    "careful too",
    "values lost",
    "units lost",
    "marked/s",
    "read/s",
)


def cause_rows(scores: Sequence[Score]) -> list[list[object]]:
    """Return one row a cause, over single slips."""
    rows: list[list[object]] = []
    for cause in CAUSES[:-1]:
        own = [score for score in scores if score.truth.causes == (cause,)]
        single = [score for score in own if score.is_single]
        either = [score for score in own if score.is_ambiguous]
        shares = [share(single, first), share(single, within), share(single, let_pass)]
        careful = sum(score.truth.could_be_careful for score in own)
        rows.append([cause, *shares, share(either, first), share(either, within), careful])
    for kind in ("figures", "unit-missing", "unit-wrong"):
        own = [score for score in scores if score.truth.kind == kind]
        rows.append([own[0].truth.causes[0] if own else kind, share(own, first), share(own, within), "", "", "", ""])
    return rows


def wrong_ones(scores: Sequence[Score]) -> dict[tuple[str, str, str], list[Score]]:
    """Return what was mistaken for what, the commonest first."""
    judged = [score for score in scores if not score.truth.could_be_careful and not score.is_ambiguous]
    missed = [score for score in judged if not score.first_is_right]
    counts = Counter((score.truth.kind, " + ".join(score.truth.causes), score.said) for score in missed)
    return {
        pair: [s for s in missed if (s.truth.kind, " + ".join(s.truth.causes), s.said) == pair]
        for pair, _ in counts.most_common()
    }


def example(score: Score) -> str:
    """Return one case with everything that is needed to see it."""
    finding = score.finding
    expected = f"{finding.expected:.5g}" if finding.expected is not None else "-"
    said = "; ".join(f"{one.cause} {one.probability:.2f} [{one.detail}]" for one in finding.explanations[:3])
    readings = " ".join(
        f"{reading.key.item}={reading.text}{reading.unit}"
        for reading in score.page.sheet.bench.readings_behind(score.truth.key)[:8]
    )
    earlier = " ".join(
        f"{key.item}={answer.text}{answer.unit}"
        for key, answer in score.page.sheet.answers.items()
        if key != score.truth.key and key.row is None
    )
    row = f" row {score.truth.key.row}" if score.truth.key.row else ""
    return (
        f"{score.practical} {score.truth.key.item}{row}: wrote {finding.entry!r} {finding.unit!r}, expected {expected}; "
        f"planted {score.truth.detail}; {finding.outcome}: {said or finding.reason}; {readings} | {earlier}"
    )


def report(tallies: Sequence[Tally]) -> str:
    """Return the whole account as text."""
    scores = [score for tally in tallies for score in tally.scores]
    parts = [table(PRACTICAL_HEADINGS, practical_rows(tallies))]
    headings = ("cause", "first %", "within %", "let pass %", "ambiguous: first %", "within %", "careful too")
    parts.append(table(headings, cause_rows(scores)))
    rows, error = calibration(calibrated(scores))
    bins = [[f"{n / 10:.1f}", count, f"{mean:.3f}", f"{right:.3f}"] for n, (count, mean, right) in enumerate(rows)]
    parts.append(table(("confidence", "number", "mean", "right"), bins) + f"\nexpected calibration error {error:.3f}")
    lines = []
    for (kind, truth, said), cases in list(wrong_ones(scores).items())[:COMMONEST]:
        lines.append(f"{len(cases)} x {kind}: {truth} -> {said}")
        lines += [f"    {example(case)}" for case in cases[:EXAMPLES]]
    parts.append("\n".join(lines))
    for tally in tallies:
        for finding, page in tally.lost_values + tally.lost_units:
            text = "; ".join(",".join(row[3:]) for row in page.sheet.rows())
            parts.append(
                f"RIGHT BUT WITHHELD {tally.practical} {finding.item} {finding.row or ''} {finding.entry!r} "
                f"{finding.unit!r} {finding.criterion} {finding.reason}, expected {finding.expected}: "
                f"{page.truth}: {text}"
            )
    return "\n\n".join(parts)


def calibrated(scores: Sequence[Score]) -> list[Score]:
    """Return the wrong values of the sets whose causes are as often as they are met."""
    kinds = ("slip", "unexplained", "pair")
    return [s for s in scores if s.truth.kind in kinds and not s.levelled and not s.truth.could_be_careful]


def as_json(tallies: Sequence[Tally]) -> str:
    """Return the account for a script."""
    scores = [score for tally in tallies for score in tally.scores]
    rows, error = calibration(calibrated(scores))
    account = {
        "practicals": [dict(zip(PRACTICAL_HEADINGS, row, strict=True)) for row in practical_rows(tallies)],
        "calibration": [{"number": count, "mean": mean, "right": right} for count, mean, right in rows],
        "calibration_error": error,
        "confusions": [
            {"kind": kind, "truth": truth, "said": said, "number": len(cases)}
            for (kind, truth, said), cases in wrong_ones(scores).items()
        ],
        "right_answers_withheld": sum(len(tally.lost_values) + len(tally.lost_units) for tally in tallies),
    }
    return json.dumps(account, ensure_ascii=False, indent=2)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the benchmark and print what it found; return 1 where a right answer was withheld."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.causes", description=__doc__)
    parser.add_argument("--students", type=int, default=3000)
    parser.add_argument("--seed", default="1")
    parser.add_argument("--practical", choices=sorted(BENCHES), action="append")
    parser.add_argument("--json", action="store_true")
    chosen = parser.parse_args(arguments)
    tallies = run(chosen.students, chosen.seed, chosen.practical or sorted(BENCHES))
    print(as_json(tallies) if chosen.json else report(tallies))
    return 1 if any(tally.lost_values or tally.lost_units for tally in tallies) else 0


if __name__ == "__main__":
    sys.exit(main())
