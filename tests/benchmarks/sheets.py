"""What the feedback sheets of all samples and banks come to: pages, words, sizes of type, tasks, sheets a second.

Run it as ``python -m tests.benchmarks.sheets``.
"""

from __future__ import annotations

import re
import statistics
import tempfile
import time
from collections import Counter
from pathlib import Path

from pypdf import PdfReader

from marking.findings import Script
from reports.next_step.next_one import next_one
from reports.student import write_feedback
from reports.wording import points_to_mend
from rubrics.model import Rubric
from tests.reports.sheets import runs_of
from tests.samples.all_scripts import SETS, scripts

_SIZES_OF = 6
"""Every so many sheets have the sizes of their type looked at."""
_LEAST = 8.99
_FIGURE = re.compile(r"[\d.,− ×⁻⁰-⁹¹²³]+")


def written(students: list[tuple[Script, Rubric]], folder: Path) -> float:
    """Write a sheet for each of *students* and return the seconds of processor time that one takes."""
    start = time.process_time()
    for number, (script, rubric) in enumerate(students):
        write_feedback(folder / f"{number}.pdf", [script], {rubric.id: rubric})
    return (time.process_time() - start) / len(students)


def main() -> None:
    """Print one line a figure."""
    students = [one for name in SETS for one in scripts(name)]
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        written(students[:50], folder)  # fonts, wording and units are loaded once
        each = written(students, folder)
        print(f"sheets {len(students)}, {1 / each:.0f} a second of one core with tags ({1000 * each:.1f} ms each)")
        readers = [PdfReader(folder / f"{number}.pdf") for number in range(len(students))]
        print("pages", dict(Counter(len(reader.pages) for reader in readers)))
        words = sorted(len(reader.pages[0].extract_text().replace("\u00a0", " ").split()) for reader in readers)
        print(f"words on the front: middle {statistics.median(words):.0f}, nine in ten {words[len(words) * 9 // 10]}")
        runs = [run for number in range(0, len(students), _SIZES_OF) for run in runs_of(folder / f"{number}.pdf")]
        small = {run.string for run in runs if run.size < _LEAST and not _FIGURE.fullmatch(run.string)}
        print("words under 9 points", sorted(small) or "none")
    points = [(script, rubric, points_to_mend(script, rubric)) for script, rubric in students]
    own = [next_one(script, rubric, found[0], "any").is_own for script, rubric, found in points if found]
    print(f"tasks {len(own)}, off the student's own step {own.count(False)}")


if __name__ == "__main__":
    main()
