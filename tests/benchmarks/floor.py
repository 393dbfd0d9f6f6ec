"""One class beside the floor, and beside the script that a colleague who can program would write.

    python -m tests.benchmarks.floor

marks a class of 30 from cold, sheets on paper included, and beside it runs two others on the same file: the floor,
which does nothing but the work itself (the same cells read, the same numbers worked out, as many pages with as much
text and a chart each, drawn bare in the same type), and the plain script (pandas, openpyxl, pint, platypus,
matplotlib). Told are processor seconds and the most memory, each the least of several runs taken in turn, and ratios:
seconds differ from machine to machine, ratios hardly do.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
CLASS = ROOT / "samples" / "specific-heat-liquid"
BOOK = CLASS / "10B.xlsx"
FONT = ROOT / "reports" / "fonts" / "DejaVuSans.ttf"
SHEET = "Results"
MOST_OF_FLOOR, MOST_OF_PLAIN, MOST_OF_BARE, MOST_MEGABYTES = 3.0, 0.2, 3.0, 80.0
"""A class against the floor and the plain script, ``--help`` against bare Python, and the memory of a class."""
LINES = (
    "Temperature rise: 24.0 °C follows from your readings by ΔT = T₂ − T₁.",
    "Specific heat capacity: 4190 J/(kg °C) follows by c = E ÷ (m × ΔT).",
    "Start temperature: every reading is given to the same decimal place.",
    "Your readings lead to 4190 ± 60 J/(kg °C). It is above the accepted value.",
)
"""As much text as a sheet has, and of its kind."""
LINES_A_SHEET = 24
READINGS = ("m", "T_start", "T_end", "E")


_WAITING = """
import os, sys
from subprocess import DEVNULL, Popen
process = Popen(sys.argv[1:], stdout=DEVNULL, stderr=DEVNULL)
_, status, used = os.wait4(process.pid, 0)
process.returncode = os.waitstatus_to_exitcode(status)
print(process.returncode, used.ru_utime + used.ru_stime, used.ru_maxrss)
"""
"""Runs a command, waits for it, and prints how it ended, its seconds of the processor and its most kilobytes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """What one run took."""

    seconds: float
    """Of the processor, in the program and for it."""
    megabytes: float
    """The most memory at any time."""


def measured(command: Sequence[str], settings: Mapping[str, str] | None = None) -> Cost:
    """Run *command* in a process of its own and return what it took; as installed, its modules compiled beforehand."""
    environment = os.environ | dict(settings or {})
    environment.pop("PYTHONDONTWRITEBYTECODE", None)  # pip compiles what it installs; the first run does it here
    # Between the two stands a small process: memory is counted from the fork on, and whoever measures may be large.
    told = subprocess.run(
        [sys.executable, "-S", "-c", _WAITING, *command], cwd=ROOT, stdout=subprocess.PIPE, env=environment, check=True
    ).stdout.split()
    status, seconds, kilobytes = int(told[-3]), float(told[-2]), float(told[-1])
    if status not in (0, 1):  # 1: done, and something needs attention
        raise RuntimeError(f"{' '.join(command)} ended with {status}")
    return Cost(seconds=seconds, megabytes=kilobytes / 1024)


def least(commands: Mapping[str, Sequence[str]], runs: int) -> dict[str, Cost]:
    """Return the least cost of each command, all of them run in turn, so that a busy minute meets all alike."""
    found: dict[str, list[Cost]] = {name: [] for name in commands}
    for _ in range(runs):
        for name, command in commands.items():
            found[name].append(measured(command, {"OPENBLAS_NUM_THREADS": "1"} if name == "floor" else None))
    return {
        name: Cost(seconds=min(one.seconds for one in costs), megabytes=min(one.megabytes for one in costs))
        for name, costs in found.items()
    }


def commands(out: Path) -> dict[str, list[str]]:
    """Return what is run, by name; what it writes goes below *out*."""
    this = [sys.executable, "-m", "tests.benchmarks.floor"]
    program = [sys.executable, "-m", "marking"]
    return {
        "bare python": [sys.executable, "-c", "pass"],
        "--help": [*program, "--help"],
        "floor": [*this, "--run", "floor", "--out", str(out / "floor")],
        "plain script": [*this, "--run", "plain", "--out", str(out / "plain")],
        "class of 30": [*program, "mark", str(BOOK), "--out", str(out / "marked")],
    }


# ---- the floor -----------------------------------------------------------------------------------------------


def run_floor(out: Path) -> None:
    """Read, work out, draw: nothing else."""
    import numpy as np
    from python_calamine import CalamineWorkbook
    from reportlab import rl_config
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont
    from reportlab.pdfgen.canvas import Canvas

    rl_config.invariant = 1
    rows = CalamineWorkbook.from_path(str(BOOK)).get_sheet_by_name(SHEET).to_python()
    heads = [str(head) for head in rows[1]]
    students = rows[2:]
    columns = [np.array([_number(row[heads.index(name)]) for row in students]) for name in READINGS]
    mass, start, end, energy = columns
    with np.errstate(all="ignore"):
        capacity = energy / (np.where(mass > 5, mass / 1000, mass) * (end - start))
    pdfmetrics.registerFont(TTFont("Sheet", str(FONT), asciiReadable=0))
    out.mkdir(parents=True, exist_ok=True)
    for row, value in zip(students, capacity, strict=True):
        canvas = Canvas(str(out / f"{row[0]}.pdf"), pageCompression=1)
        canvas.setFont("Sheet", 10)
        canvas.drawString(48, 790, f"{row[0]} {row[1]}: {value:.3g} J/(kg °C)")
        for number in range(LINES_A_SHEET):
            canvas.drawString(48, 760 - 15 * number, LINES[number % len(LINES)])
        canvas.rect(380, 200, 160, 160)
        for number, other in enumerate(capacity):
            if np.isfinite(other):
                canvas.circle(380 + 5 * number, 200 + min(160, other / 50), 2)
        canvas.showPage()
        canvas.save()


def _number(text: object) -> float:
    """Return the number that a cell starts with, NaN where there is none."""
    head = str(text).split(" ", 1)[0]
    try:
        return float(head)
    except ValueError:
        return float("nan")


# ---- the plain script ----------------------------------------------------------------------------------------


def run_plain(out: Path) -> None:
    """Do it as it is usually done: a table read whole, units by the library, a picture for each sheet."""
    import matplotlib as mpl
    import pandas as pd
    import pint
    from matplotlib import pyplot as plt
    from reportlab.lib.styles import getSampleStyleSheet
    from reportlab.platypus import Image, Paragraph, SimpleDocTemplate, Spacer, Table

    mpl.use("Agg")
    units = pint.UnitRegistry()
    table = pd.read_excel(BOOK, sheet_name=SHEET, header=1, dtype=str, engine="openpyxl")
    found = [_worked_out(row, units) for _, row in table.iterrows()]
    out.mkdir(parents=True, exist_ok=True)
    styles = getSampleStyleSheet()
    for (_, row), value in zip(table.iterrows(), found, strict=True):
        figure, axes = plt.subplots(figsize=(3, 3))
        axes.plot(range(len(found)), found, "o")
        figure.savefig(out / "chart.png", dpi=150)
        plt.close(figure)
        words = [Paragraph(LINES[number % len(LINES)], styles["BodyText"]) for number in range(LINES_A_SHEET // 2)]
        readings = Table([[name, str(row[name])] for name in READINGS])
        parts = [Paragraph(f"{row['student']}: {value:.3g} J/(kg K)", styles["Title"]), readings, Spacer(1, 12)]
        document = SimpleDocTemplate(str(out / f"{row['student']}.pdf"))
        document.build([*parts, *words, Image(str(out / "chart.png"), 200, 200)])
    marks = pd.DataFrame({"student": table["student"], "capacity": found})
    marks.to_excel(out / "marks.xlsx", index=False)


def _worked_out(row: object, units: object) -> float:
    """Return the specific heat capacity of one row, NaN where it cannot be read."""
    from pint import Quantity, UnitRegistry

    if not isinstance(units, UnitRegistry) or not hasattr(row, "get"):
        return float("nan")

    def quantity(name: str, unit: str) -> Quantity[float]:
        number = _number(row.get(name))
        kilo = str(row.get(f"{name} unit")).strip().casefold()
        return units.Quantity(number, {"g": "gram", "kj": "kilojoule"}.get(kilo, unit))

    warmed = quantity("T_end", "kelvin") - quantity("T_start", "kelvin")
    try:
        found = quantity("E", "joule") / (quantity("m", "kilogram") * warmed)
        return float(found.to("joule / kilogram / kelvin").magnitude)
    except ZeroDivisionError:
        return float("nan")


# ---- the account ---------------------------------------------------------------------------------------------


def account(costs: Mapping[str, Cost]) -> list[str]:
    """Return the lines to print: costs, then ratios beside what is aimed at."""
    lines = [f"{name:13} {one.seconds:6.3f} s {one.megabytes:6.1f} MB" for name, one in costs.items()]
    marked, floor, plain = costs["class of 30"], costs["floor"], costs["plain script"]
    lines += [
        f"class of 30 / floor         {marked.seconds / floor.seconds:5.2f}   (at most {MOST_OF_FLOOR:g})",
        f"class of 30 / plain script  {marked.seconds / plain.seconds:5.2f}   (at most {MOST_OF_PLAIN:g})",
        f"--help / bare python        {costs['--help'].seconds / costs['bare python'].seconds:5.2f}"
        f"   (at most {MOST_OF_BARE:g})",
        f"memory of a class, MB       {marked.megabytes:5.1f}   (at most {MOST_MEGABYTES:g})",
    ]
    return lines


def main() -> None:
    """Measure and tell; with ``--run`` be one of those that are measured."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--runs", type=int, default=5, help="of each, in turn")
    parser.add_argument("--run", choices=("floor", "plain"), help=argparse.SUPPRESS)
    parser.add_argument("--out", type=Path, help=argparse.SUPPRESS)
    chosen = parser.parse_args()
    if chosen.run:
        (run_floor if chosen.run == "floor" else run_plain)(chosen.out)
        return
    with tempfile.TemporaryDirectory() as folder:
        print("\n".join(account(least(commands(Path(folder)), chosen.runs))))


if __name__ == "__main__":
    main()
