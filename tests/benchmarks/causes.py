"""How well the cause of a wrong answer is found: seeded classes with known slips, through the main path.

    python -m tests.benchmarks.causes [--students N] [--seed S] [--practical ID] [--json]

Half of the sets have causes as often as markers expect them, half have rare causes made frequent; calibration
is measured on the first half only, for a probability depends on the mix it is used on.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Sequence

from tests.apparatus import BENCHES
from tests.benchmarks.account import as_data, as_text
from tests.benchmarks.cohorts import cohort
from tests.benchmarks.scores import Tally, score_set

SET_SIZE = 150
"""Students in one set: a year of a school."""


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


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the benchmark and print what it found; return 1 where a right answer was withheld."""
    about = (__doc__ or "").partition("\n")[0]
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.causes", description=about)
    parser.add_argument("--students", type=int, default=3000, help="in all, shared out over the practicals")
    parser.add_argument("--seed", default="1")
    parser.add_argument("--practical", choices=sorted(BENCHES), action="append", help="may be given several times")
    parser.add_argument("--json", action="store_true")
    chosen = parser.parse_args(arguments)
    tallies = run(chosen.students, chosen.seed, chosen.practical or sorted(BENCHES))
    print(json.dumps(as_data(tallies), ensure_ascii=False, indent=2) if chosen.json else as_text(tallies))
    return 1 if any(tally.lost_values or tally.lost_units for tally in tallies) else 0


if __name__ == "__main__":
    sys.exit(main())
