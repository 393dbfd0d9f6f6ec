"""The technician's trial values: what each bench's apparatus gave before the lesson.

They are written like a class with a row a student, only that each row belongs to a bench. So the readers of classes
read them too, into a batch of their own in which the column 'bench' says whose a row is.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from marking.intake.entries import Batch, settle
from marking.intake.files import Kind, open_container
from marking.intake.forms.csv_forms import read_csv
from marking.intake.forms.trial_sheet import BENCH_COLUMN
from marking.intake.grids import PEOPLE_WORDS, Meaning
from marking.intake.people import code_key
from marking.intake.remarks import Notebook
from marking.write_up import Remark, Source, WriteUp
from rubrics.faults import InputError
from rubrics.model import Rubric

TRIAL_FILES = ("trials.csv", "trials.xlsx")
"""A file of this name in a folder of workbooks holds its trial values."""
_WHOSE = {
    word: "student" if meaning is Meaning.BENCH else ""
    for word, meaning in PEOPLE_WORDS.items()
    if meaning in (Meaning.BENCH, Meaning.STUDENT, Meaning.NAME)
}
"""A heading that names a bench says whose a row is; one that names a student says nothing."""


class TrialsRead(Struct, frozen=True, kw_only=True):
    """What was found of trials for one practical."""

    write_ups: tuple[WriteUp, ...] = ()
    """One a bench, which is named as the student's bench."""
    remarks: tuple[Remark, ...] = ()


def trial_batch(rubrics: Mapping[str, Rubric], practical: str | None) -> Batch:
    """Return an empty batch for trial values, in which every row is a bench's."""
    return Batch(rubrics=rubrics, practical=practical, mapped=_WHOSE, index=None)


def read_trials_file(path: Path, name: str, batch: Batch) -> Source:
    """Read a file of trial values, CSV or workbook, into *batch*.

    Raises:
        InputError: It cannot be read, or holds no bench.
    """
    container = open_container(path, name)
    general = Notebook()
    try:
        if container.kind is Kind.TEXT:
            read_csv(container, batch, general)
        else:
            from marking.intake.forms.workbook_forms import read_workbook_input

            read_workbook_input(container, batch, general)
    except InputError as error:
        mend = f'head the columns "{BENCH_COLUMN}" and the items, as "writeups prepare ... --trials FILE" does'
        raise InputError(name, f"no trial values can be read ({error.problem})", mend) from error
    for remark in general.remarks():
        next(iter(batch.by_practical.values())).notebook.add(remark)
    return Source(name=container.name, sha256=container.sha256)


def settled_trials(batch: Batch, practical: str, benches: Iterable[str]) -> TrialsRead:
    """Return the trials of a practical, each bench spelt as in *benches*; benches without a reading are left out."""
    gathered = batch.by_practical.get(practical)
    if gathered is None:
        return TrialsRead()
    spelt = {code_key(bench): bench for bench in benches if bench}
    write_ups = []
    for one in settle(gathered.pile, gathered.vocabulary, None, gathered.notebook):
        bench = spelt.get(code_key(one.student.code), one.student.code)
        if one.is_handed_in:
            write_ups.append(replace(one, student=replace(one.student, bench=bench)))
    # A remark on a bench is no remark on a student of that code.
    remarks = tuple(replace(remark, student="") for remark in gathered.notebook.remarks())
    return TrialsRead(write_ups=tuple(write_ups), remarks=remarks)
