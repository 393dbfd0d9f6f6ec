"""How soon the desk opens and its pages answer, with 300 students in five practicals, as mixed as the samples are.

``python -m tests.benchmarks.desk_pages`` prints the table of FIGURES.md; ``--classes 10`` deals the students out to ten
classes, each with its five sets. Beside the time on the clock stands the time that the desk's process worked, which is
what is left of it where nothing else runs.
"""

from __future__ import annotations

import argparse
import csv
import io
import os
import re
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import httpx2

from marking.intake import read_inputs
from marking.write_up import WriteUp
from rubrics.load import load_catalogue

ROOT = Path(__file__).resolve().parents[2]
PRACTICALS = ("wire-resistance", "specific-heat-block", "density-cuboid", "resistor-combinations", "cooling-insulation")
STUDENTS = 300
TURNS = 5


def dealt(folder: Path, classes: int, students: int) -> None:
    """Write five practicals' files for so many classes, a folder for each, made of the samples' write-ups in turn."""
    rubrics = load_catalogue()
    for practical in PRACTICALS:
        works = [one for one in read_inputs([ROOT / "samples" / practical], rubrics)[0].write_ups if one.is_handed_in]
        size = students // classes
        for number in range(classes):
            place = folder / f"class {number} {practical}"
            place.mkdir(parents=True)
            text = io.StringIO()
            lines = csv.writer(text, lineterminator="\n")
            lines.writerow(("student", "bench", "practical", "item", "row", "entry", "unit"))
            for at in range(size):
                lines.writerows(_lines(works[(number * size + at) % len(works)], f"{number}S{at:03}"))
            (place / f"C{number}.csv").write_text(text.getvalue(), encoding="utf-8")


def _lines(work: WriteUp, code: str) -> list[tuple[str, ...]]:
    rows = [(name, "", entry) for name, entry in work.singles.items()]
    rows += [(name, str(row), entry) for name, column in work.columns.items() for row, entry in column.items()]
    return [(code, "", work.practical, name, row, entry.raw, entry.unit_raw) for name, row, entry in rows if entry.raw]


class Sat:
    """A desk in a process of its own, and whoever sits there."""

    def __init__(self, record: Path | str, *more: str) -> None:
        """Open it, with *more* options."""
        self.began = time.perf_counter()
        self.start = ""
        """Begins the address of the first set, once it is read."""
        command = [
            sys.executable,
            "-m",
            "marking",
            "desk",
            "--record",
            str(record),
            "--no-browser",
            "--by",
            "Ms Hale",
            *more,
        ]
        self.process = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
        assert self.process.stdout is not None
        found = re.search(r"(http://[^/]+)/\?key=(\S+)", self.process.stdout.readline())
        assert found is not None
        self.client = httpx2.Client(base_url=found[1], headers={"origin": found[1]}, timeout=60, follow_redirects=True)
        self.page = self.client.get("/", params={"key": found[2]}).text
        self.opened = time.perf_counter() - self.began
        self.work_to_open = self.worked()

    def worked(self) -> float:
        """Return for how long the process has worked, in seconds; threads that ended count."""
        fields = Path(f"/proc/{self.process.pid}/stat").read_text(encoding="ascii").rpartition(")")[2].split()
        return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")

    def all_read(self) -> float:
        """Return how long it took until every set was at hand."""
        while "data-again" in self.page:
            time.sleep(0.05)
            self.page = self.client.get("/").text
        self.start = re.findall(r'href="(/set/\w+)/', self.page)[0]
        return time.perf_counter() - self.began

    def timed(self, path: str) -> float:
        """Return how long a page takes, in seconds."""
        began = time.perf_counter()
        answer = self.client.get(path)
        assert answer.status_code == 200, (path, answer.status_code)
        return time.perf_counter() - began

    def decide(self, page: str) -> tuple[float, str]:
        """Award what a page asks for; return how long until the next page stands, and that page."""
        form = next(
            one for one in re.findall(r'<form[^>]*action="([^"]+)"[^>]*>(.*?)</form>', page, re.S) if "give:" in one[1]
        )
        fields = dict(re.findall(r'<input type="hidden" name="(\w+)" value="([^"]*)"', form[1]))
        deed = re.search(r'value="(give:[1-9]\d*)"', form[1])
        assert deed is not None
        began = time.perf_counter()
        answer = self.client.post(form[0], data={**fields, "deed": deed[1], "why": "seen in the book"})
        return time.perf_counter() - began, answer.text

    def close(self) -> None:
        """Close the desk."""
        self.process.terminate()
        self.process.wait(timeout=20)


def measured(folder: Path, classes: int, students: int = STUDENTS) -> tuple[dict[str, list[float]], dict[str, float]]:
    """Return seconds on the clock for each kind of page, and those that the desk worked for it."""
    dealt(folder / "desk.sets", classes, students)
    first = Sat(folder / "desk.record")
    first.all_read()
    first.close()
    desk = Sat(folder / "desk.record")
    worked: dict[str, float] = {"opening: the first page": desk.work_to_open}
    found: dict[str, list[float]] = {
        "opening: the first page": [desk.opened],
        "opening: every set at hand": [desk.all_read()],
    }
    sids = re.findall(r'href="/set/(\w+)/', desk.page)[:5]
    for sid in sids:
        page = desk.client.get(f"/set/{sid}/decide").text
        before = desk.worked()
        for _ in range(TURNS):
            seconds, page = desk.decide(page)
            found.setdefault("a decision and the next page", []).append(seconds)
        name = "a decision and the next page"
        worked[name] = worked.get(name, 0.0) + (desk.worked() - before) / TURNS / len(sids)
        for name in (
            "cells",
            "decide",
            "class",
            "benches",
            "leads",
            "time",
            "feedback",
            "close",
            "student/7",
            "student/7/words",
            "student/7/evening",
            "sheet/7",
        ):
            first_look = desk.timed(f"/set/{sid}/{name}")
            found.setdefault(f"{name}, first look", []).append(first_look)
            before = desk.worked()
            found.setdefault(name, []).extend(desk.timed(f"/set/{sid}/{name}") for _ in range(TURNS))
            worked[name] = worked.get(name, 0.0) + (desk.worked() - before) / TURNS / len(sids)
    for name in ("/", "/department"):
        before = desk.worked()
        found[name] = [desk.timed(name) for _ in range(TURNS)]
        worked[name] = (desk.worked() - before) / TURNS
    desk.close()
    return found, worked


def main() -> None:
    """Print the table."""
    options = argparse.ArgumentParser()
    options.add_argument("--classes", type=int, default=1)
    options.add_argument("--students", type=int, default=STUDENTS)
    chosen = options.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        found, worked = measured(Path(folder), chosen.classes, chosen.students)
    print("| what | at the middle / ms | slowest / ms | worked / ms |\n| --- | --- | --- | --- |")
    for name, seconds in found.items():
        work = f"{1000 * worked[name]:.0f}" if name in worked else ""
        print(f"| {name} | {1000 * statistics.median(seconds):.0f} | {1000 * max(seconds):.0f} | {work} |")


if __name__ == "__main__":
    main()
