"""What marking costs from one class to a million write-ups, beside the floor, in one run.

    python -m tests.benchmarks.speed                      # a class, a year with sheets, two sizes without
    python -m tests.benchmarks.speed --sizes 1000 10000 --year 300
    python -m tests.benchmarks.speed --sizes 10000 100000 1000000 --workers 2

Beside each run of the program stands the floor: the same file read, the same numbers worked out by the same numpy, as
many lines or pages written, and nothing else. Told are processor seconds, the most memory at any time, their ratios,
and how the seconds grow with the size: an exponent of 1 is in proportion. Seconds differ from machine to machine,
ratios and exponents hardly do. Half of the write-ups are of wire-resistance, with its rows, half of
specific-heat-block; nearly all have a slip somewhere, which costs more than care does.
"""

from __future__ import annotations

import argparse
import csv
import math
import sys
import tempfile
import time
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

from tests.benchmarks.floor import FONT, LINES, LINES_A_SHEET, Cost, commands, least, measured
from tests.benchmarks.huge_sets import write_huge

KINDS = ("wire-resistance", "specific-heat-block")
YEAR = ("wire-resistance", "specific-heat-block", "resistor-combinations", "density-cuboid", "specific-heat-liquid")
"""Practicals of a year; every student does all of them."""
SIZES = (10_000, 100_000)
POOL = 6000
"""Write-ups of each kind that are drawn anew. Larger sets repeat them, too far apart for texts that are kept."""
MOST_OF_FLOOR_WITH_SHEETS, MOST_MEGABYTES_WITH_SHEETS, LEAST_OF_TWO = 4.0, 160.0, 1.7
LEAST_A_SECOND, MOST_MEGABYTES_MORE, MOST_EXPONENT = 2000.0, 20.0, 1.1
AT_ONCE = 4096
"""Numbers that the floor works with at a time."""
SETTINGS = {"OPENBLAS_NUM_THREADS": "1"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """One set, marked by the program and gone through by the floor."""

    write_ups: int
    program: Cost
    floor: Cost

    @property
    def ratio(self) -> float:
        """Return how many times the floor's seconds the program takes."""
        return self.program.seconds / self.floor.seconds


def marked(path: Path, out: Path, *more: str) -> Cost:
    """Return what marking the set at *path* takes, in a process of its own."""
    return measured([sys.executable, "-m", "marking", "mark", str(path), "--out", str(out), *more], SETTINGS)


def floor_of(path: Path, out: Path, *, pages: int = 0) -> Cost:
    """Return what the floor takes for the same set, with so many *pages*, none where only lines are written."""
    run = [sys.executable, "-m", "tests.benchmarks.speed", "--floor", str(path), "--out", str(out)]
    return measured([*run, "--pages", str(pages)], SETTINGS)


def without_paper(write_ups: int, aside: Path) -> Size:
    """Return what a set without sheets takes."""
    path = write_huge(aside / f"{write_ups}.csv", write_ups // len(KINDS), KINDS, POOL)
    program = marked(path, aside / "out", "--no-paper", "--workers", "1")
    return Size(write_ups=write_ups, program=program, floor=floor_of(path, aside / "floor.csv"))


def with_sheets(write_ups: int, aside: Path) -> Size:
    """Return what a year with its sheets takes, set by one process."""
    path = year(write_ups, aside)
    pages = write_ups // len(YEAR)
    program = marked(path, aside / "year", "--workers", "1")
    return Size(write_ups=write_ups, program=program, floor=floor_of(path, aside / "pages", pages=pages * len(YEAR)))


def year(write_ups: int, aside: Path) -> Path:
    """Return the file of a year, written where it is not there yet."""
    path = aside / f"year-{write_ups}.csv"
    return path if path.exists() else write_huge(path, write_ups // len(YEAR), YEAR, POOL)


def times_faster(path: Path, workers: int, aside: Path, *more: str) -> str:
    """Return how many times sooner several workers end than one does, and the processor seconds of both.

    By the clock, which other programs disturb: the seconds tell whether they did.
    """
    taken, seconds = [], []
    for number in (1, workers):
        start = time.perf_counter()
        cost = marked(path, aside / f"by-{number}", "--workers", str(number), *more)
        taken.append(time.perf_counter() - start)
        seconds.append(cost.seconds)
    return (
        f"{workers} workers end {taken[0] / taken[1]:.2f} times sooner (at least {LEAST_OF_TWO:g} for two): "
        f"{taken[0]:.1f} and {taken[1]:.1f} s by the clock, {seconds[0]:.1f} and {seconds[1]:.1f} of the processor"
    )


def exponent(one: Size, other: Size) -> float:
    """Return the power of the size with which the seconds grow from one size to another."""
    return math.log(other.program.seconds / one.program.seconds) / math.log(other.write_ups / one.write_ups)


def marginal(one: Size, other: Size) -> float:
    """Return the write-ups a second between one size and a larger one: what starting takes is left out."""
    return (other.write_ups - one.write_ups) / (other.program.seconds - one.program.seconds)


def account(sizes: Sequence[Size]) -> Iterable[str]:
    """Yield the lines to print of sets without sheets."""
    for size in sizes:
        yield (
            f"{size.write_ups:9,} without paper {size.program.seconds:8.1f} s {size.program.megabytes:6.1f} MB   "
            f"{size.ratio:5.1f} times the floor   {size.write_ups / size.program.seconds:6.0f} a second"
        )
    for one, other in pairwise(sizes):
        more = other.program.megabytes - one.program.megabytes
        yield (
            f"from {one.write_ups:,} to {other.write_ups:,}: exponent {exponent(one, other):.2f} (at most "
            f"{MOST_EXPONENT:g}), {marginal(one, other):.0f} a second (at least {LEAST_A_SECOND:g}), "
            f"{more:+.1f} MB (at most {MOST_MEGABYTES_MORE:g})"
        )


# ---- the floor -----------------------------------------------------------------------------------------------


def run_floor(path: Path, out: Path, pages: int) -> None:
    """Read a tidy file, work a number out for each write-up, and write lines or bare pages."""
    import numpy as np

    numbers: list[float] = []
    read = 0
    out.parent.mkdir(parents=True, exist_ok=True)
    written = out.with_suffix(".lines" if pages else ".csv")
    with path.open(encoding="utf-8", newline="") as file, written.open("w", encoding="utf-8") as lines:
        for row in csv.reader(file):
            read += 1
            numbers.append(_number(row[5]))
            lines.write(f"{','.join(row[:1] + row[2:])},{LINES[read % len(LINES)]}\n")
            if len(numbers) == AT_ONCE:
                several = np.array(numbers)
                with np.errstate(all="ignore"):
                    np.abs(np.log(several / several[::-1]))
                numbers.clear()
    if pages:
        _draw(out, pages)


def _number(text: str) -> float:
    try:
        return float(text.split(" ", 1)[0])
    except ValueError:
        return math.nan


def _draw(out: Path, pages: int) -> None:
    from reportlab import rl_config
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont
    from reportlab.pdfgen.canvas import Canvas

    rl_config.invariant = 1
    pdfmetrics.registerFont(TTFont("Sheet", str(FONT), asciiReadable=0))
    out.mkdir(parents=True, exist_ok=True)
    for page in range(pages):
        canvas = Canvas(str(out / f"{page}.pdf"), pageCompression=1)
        canvas.setFont("Sheet", 10)
        for number in range(LINES_A_SHEET):
            canvas.drawString(48, 760 - 15 * number, LINES[(page + number) % len(LINES)])
        canvas.rect(380, 200, 160, 160)
        for number in range(30):
            canvas.circle(380 + 5 * number, 200 + 5 * number, 2)
        canvas.showPage()
        canvas.save()


# ---- the whole -----------------------------------------------------------------------------------------------


def main() -> None:
    """Measure and tell; with ``--floor`` be one of those that are measured."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--sizes", type=int, nargs="*", default=SIZES, help="write-ups without paper, in order")
    parser.add_argument("--year", type=int, default=1500, help="write-ups with sheets; 0 for none")
    parser.add_argument("--runs", type=int, default=3, help="of a class")
    parser.add_argument("--workers", type=int, default=0, help="tell how much sooner so many end")
    parser.add_argument("--floor", type=Path, help=argparse.SUPPRESS)
    parser.add_argument("--pages", type=int, default=0, help=argparse.SUPPRESS)
    parser.add_argument("--out", type=Path, help=argparse.SUPPRESS)
    chosen = parser.parse_args()
    if chosen.floor:
        run_floor(chosen.floor, chosen.out, chosen.pages)
        return
    with tempfile.TemporaryDirectory() as folder:
        aside = Path(folder)
        if chosen.runs:
            names = ("floor", "class of 30")
            costs = least({name: one for name, one in commands(aside).items() if name in names}, chosen.runs)
            one, floor = costs["class of 30"], costs["floor"]
            ratio = one.seconds / floor.seconds
            print(f"class of 30 {one.seconds:.2f} s {one.megabytes:.1f} MB   {ratio:.1f} times the floor", flush=True)
        if chosen.year:
            size = with_sheets(chosen.year, aside)
            print(
                f"{size.write_ups:,} with sheets {size.program.seconds:.1f} s {size.program.megabytes:.1f} MB "
                f"(at most {MOST_MEGABYTES_WITH_SHEETS:g})   {size.ratio:.1f} times the floor "
                f"(at most {MOST_OF_FLOOR_WITH_SHEETS:g})",
                flush=True,
            )
            if chosen.workers:
                print(times_faster(year(chosen.year, aside), chosen.workers, aside), flush=True)
        sizes = [without_paper(size, aside) for size in chosen.sizes]
        print("\n".join(account(sizes)))
        if chosen.workers and sizes:
            path = aside / f"{sizes[-1].write_ups}.csv"
            print("without paper,", times_faster(path, chosen.workers, aside, "--no-paper"))


if __name__ == "__main__":
    main()
