"""Makes the sample classes anew: ``python -m samples.make_samples [FOLDER]``.

The same scenario gives the same bytes, on every machine and at every hour.
"""

from __future__ import annotations

import argparse
import csv
import io
from collections.abc import Mapping, Sequence
from pathlib import Path
from random import Random

from msgspec import Struct

from marking.intake.blank import write_class_workbook, write_student_workbook
from marking.write_up import Student
from rubrics.load import load_catalogue
from rubrics.model import Rubric
from samples.apparatus import PRACTICALS
from samples.bench_class import fill_class
from samples.messy import NUMBER, make_untidy
from samples.mistakes import Planted
from samples.paper_boxes import add_comparison, add_own_readings, columns_of, fill_paper_boxes
from samples.scenario import FOLDER, SampleSet, sample_sets
from samples.sheet import Cell, WriteUp, rows_of
from samples.stored_as_numbers import Typed, store_as_numbers
from samples.write_ups import write_up

Entries = Mapping[str, Mapping[str, Cell]]


class FilledSet(Struct, frozen=True, kw_only=True):
    """A class's write-ups, and what was put into them."""

    sample: SampleSet
    write_ups: Mapping[str, WriteUp]
    """By code; without those who handed nothing in."""

    @property
    def entries(self) -> Entries:
        """Return what was written, by student and item."""
        return {code: work.cells for code, work in self.write_ups.items()}

    @property
    def planted(self) -> tuple[Planted, ...]:
        """Return every mistake of the class."""
        return tuple(one for work in self.write_ups.values() for one in work.planted)


def fill(sample: SampleSet, rubric: Rubric | None = None) -> FilledSet:
    """Return the write-ups of a class, worked out in memory; *rubric* for one that is not in the catalogue."""
    if sample.practical not in PRACTICALS:
        known = rubric or load_catalogue()[sample.practical]
        return FilledSet(sample=sample, write_ups=fill_class(sample, known))
    practical = PRACTICALS[sample.practical]
    stands = {
        bench: {
            **practical.set_up(int(bench), Random(f"{sample.seed}/bench {bench}")),
            **({"ammeter": sample.meters[bench]} if bench in sample.meters else {}),
        }
        for bench in dict.fromkeys(student.bench for student in sample.students)
    }
    write_ups = {}
    for student in sample.students:
        if student.absent or student.code in sample.nothing:
            continue
        chance = Random(f"{sample.seed}/{student.code}")
        readings = practical.read(stands[student.bench], chance)
        work = write_up(
            student.code,
            sample.practical,
            readings,
            chance,
            has_odd_row=student.code in sample.odd_rows,
            loses_minus=student.code in sample.lost_minus,
        )
        words = Random(f"{sample.seed}/{student.code}/words")
        known = load_catalogue()[sample.practical]
        add_own_readings(known, work, words)
        add_comparison(known, work, words)
        columns = dict(columns_of(known, work))
        if student.code in sample.lost_minus:  # and plotted as they were written
            columns["I"] = [abs(current) for current in columns["I"]]
        fill_paper_boxes(known, work, columns, work.numbers.value.get("rho"), words)
        make_untidy(work, [one for one in sample.mess if one.student == student.code])
        write_ups[student.code] = work
    return FilledSet(sample=sample, write_ups=write_ups)


def write(filled: FilledSet, rubric: Rubric, folder: Path) -> None:
    """Write the files of one class into *folder*."""
    sample = filled.sample
    folder.mkdir(parents=True, exist_ok=True)
    _write_roster(folder / "roster.csv", sample.students)
    if sample.form == "tidy":
        _write_tidy(folder / f"{sample.class_name}.csv", filled)
    elif sample.form == "each":
        for student in sample.students:
            if student.code in sample.nothing:
                continue
            write_student_workbook(folder / f"{student.code}.xlsx", rubric, student, filled.entries)
    else:
        path = folder / f"{sample.class_name}.xlsx"
        write_class_workbook(path, rubric, sample.students, filled.entries)
        mess = (*sample.mess, *(one for work in filled.write_ups.values() for one in work.mess))
        typed = [Typed(student=m.student, item=m.item, row=m.row) for m in mess if m.kind == NUMBER]
        store_as_numbers(path, typed)


def _write_roster(path: Path, students: tuple[Student, ...]) -> None:
    rows = [("student", "name", "bench"), *((s.code, s.name, s.bench) for s in students)]
    _write_csv(path, rows)


def _write_tidy(path: Path, filled: FilledSet) -> None:
    practical = filled.sample.practical
    rows: list[tuple[str, ...]] = [("student", "bench", "practical", "item", "row", "entry", "unit")]
    for student in filled.sample.students:
        if student.absent:
            rows.append((student.code, student.bench, practical, "", "", "ab", ""))
        for item, cell in filled.entries.get(student.code, {}).items():
            for row, (text, unit) in rows_of(cell).items():
                rows.append((student.code, student.bench, practical, item, str(row or ""), text, unit))
    _write_csv(path, rows)


def _write_csv(path: Path, rows: Sequence[tuple[str, ...]]) -> None:
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows(rows)
    path.write_text(text.getvalue(), encoding="utf-8", newline="\n")


def main(words: Sequence[str] | None = None) -> None:
    """Write every set of the scenario below the folder that is named on the command line.

    Args:
        words: The command line after the name of the program; None for that of this process.
    """
    parser = argparse.ArgumentParser(prog="python -m samples.make_samples", description="Make the sample classes anew.")
    parser.add_argument("folder", nargs="?", type=Path, default=FOLDER, help="where to; left out: in place of the old")
    folder: Path = parser.parse_args(words).folder
    rubrics = load_catalogue()
    for sample in sample_sets():
        filled = fill(sample)
        write(filled, rubrics[sample.practical], folder / sample.folder)
        print(f"{sample.folder}: {len(sample.students)} students, {len(filled.planted)} mistakes")


if __name__ == "__main__":
    main()
