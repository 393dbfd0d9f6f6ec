"""A part of a large set read: lines in, write-ups of a few students out, the same wherever the set was cut."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from string import ascii_letters

from msgspec import Struct
from msgspec.structs import replace

from marking.collector import collector_resting
from marking.intake.entries import Batch, settle_part
from marking.intake.forms import PARTED_BY, TidySheet, UnknownName
from marking.intake.grids import Vocabulary
from marking.intake.ours import TypedMarks, joined
from marking.intake.parts.part_sources import Part
from marking.intake.parts.tidy_files import TidyFile
from marking.intake.people import RosterIndex
from marking.intake.remarks import Notebook
from marking.write_up import ClassSet, Remark, Source, WriteUp
from rubrics.model import Rubric

Key = tuple[str, str, str]
"""Student, practical, criterion."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reader:
    """All that is needed to read any part of a set."""

    rubrics: Mapping[str, Rubric]
    """Of the practicals met."""
    practical: str | None
    files: tuple[TidyFile, ...]
    mapped: Mapping[str, str]
    index: RosterIndex | None
    typed: tuple[TypedMarks, ...] = ()
    """What a teacher typed in results that are about to be replaced."""
    vocabularies: dict[str, Vocabulary] = field(default_factory=dict, compare=False)
    """As ``Batch`` has them: what one part teaches, the next need not learn."""

    @property
    def sources(self) -> tuple[Source, ...]:
        """Return what was read."""
        people = self.index.roster.sources if self.index is not None else ()
        return (*people, *(Source(name=file.name, sha256=file.sha256) for file in self.files))


class PartRead(Struct, frozen=True, kw_only=True):
    """What a part holds."""

    sets: tuple[ClassSet, ...]
    students: tuple[str, ...]
    """Their codes, in order of first appearance."""
    general: tuple[Remark, ...]
    """What belongs to no practical."""
    unknown: tuple[UnknownName, ...]
    strangers: tuple[Key, ...] = ()


def read_part(reader: Reader, part: Part) -> PartRead:
    """Return the write-ups of *part*; students of a roster stand in every practical of the whole set."""
    batch = Batch(
        rubrics=reader.rubrics,
        practical=reader.practical,
        mapped=reader.mapped,
        index=reader.index,
        trials=None,
        vocabularies=reader.vocabularies,
    )
    general = Notebook()
    unknown: list[UnknownName] = []
    with collector_resting():
        for number in [part.file] if part.text else sorted({file for file, _, _ in part.lines}):
            file = reader.files[number]
            sheet = TidySheet(
                file=file.name,
                sheet="",
                columns=file.columns,
                batch=batch,
                notebook=general,
                decimal_habit=file.decimal_habit,
                item_habits=file.item_habits,
            )
            if file.is_of_comma_country:
                for practical in reader.rubrics:
                    batch.gathered(practical).notebook.keep_quiet_about_all("decimal comma", file.name)
            if part.text and file.separator == PARTED_BY and sheet.can_take_text():
                sheet.take_text(part.text, part.row)
            else:
                sheet.take(_rows(reader, part, number))
            unknown += sheet.unknown_names()
        first: dict[str, tuple[int, int]] = {}
        sets = tuple(_settled(practical, batch, reader, first) for practical in reader.rubrics)
    students = tuple(sorted(first, key=lambda code: first[code]))
    sets, strangers = joined([_whole(one, students, reader) for one in sets], _about(reader.typed, students))
    return PartRead(
        sets=sets, students=students, general=general.remarks(), unknown=tuple(unknown), strangers=strangers
    )


def _rows(reader: Reader, part: Part, number: int) -> Iterator[tuple[int, list[str]]]:
    """Yield the rows of a part that stand in one file, each with its number."""
    separator = reader.files[number].separator
    if part.text:
        yield from enumerate(csv.reader(io.StringIO(part.text, newline=""), delimiter=separator), part.row + 1)
    for file, row, text in part.lines:
        if file == number:
            yield row, next(csv.reader(io.StringIO(text, newline=""), delimiter=separator))


def _settled(practical: str, batch: Batch, reader: Reader, first: dict[str, tuple[int, int]]) -> ClassSet:
    gathered = batch.gathered(practical)
    write_ups = settle_part(gathered.pile, gathered.vocabulary, batch.index, gathered.notebook)
    there = {write_up.student.code for write_up in write_ups}
    numbers = {file.name: number for number, file in enumerate(reader.files)}
    for sheaf in gathered.pile.sheaves.values():
        if sheaf.code in there:
            place = (numbers[sheaf.place.file], int(sheaf.place.cell.lstrip(ascii_letters)))
            first[sheaf.code] = min(first.get(sheaf.code, place), place)
    return ClassSet(
        practical=practical, write_ups=write_ups, remarks=gathered.notebook.remarks(), sources=reader.sources
    )


def _whole(one: ClassSet, students: tuple[str, ...], reader: Reader) -> ClassSet:
    """Return a set with the students of the roster who handed in nothing of this practical, but something else."""
    if reader.index is None:
        return one
    there = {write_up.student.code for write_up in one.write_ups}
    missing = [reader.index.find(code) for code in students if code not in there]
    empty = tuple(
        WriteUp(student=student, practical=one.practical, singles={}, columns={})
        for student in missing
        if student is not None
    )
    return replace(one, write_ups=(*one.write_ups, *empty))


def _about(typed: tuple[TypedMarks, ...], students: tuple[str, ...]) -> list[TypedMarks]:
    """Return what was typed about these students alone."""
    if not any(one.ticks for one in typed):
        return []
    known = set(students)
    return [
        replace(one, ticks={key: ticks for key, ticks in one.ticks.items() if key[0] in known}, remarks=())
        for one in typed
    ]
