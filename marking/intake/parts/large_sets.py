"""From the inputs of a call to a large set that is read part by part; None where they have to be read as a whole."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from marking.intake import InputFiles, list_inputs, path_here
from marking.intake.entries import Batch
from marking.intake.forms import UnknownName, tell_unknown
from marking.intake.grids import read_column_map
from marking.intake.ours import MARKS_FILE, TypedMarks, is_results_folder, read_typed_marks
from marking.intake.parts.parquet_files import ENDING, from_parquet
from marking.intake.parts.part_reading import Reader
from marking.intake.parts.part_sources import FileSource, Source, gathered
from marking.intake.parts.scanning import Scan, scan
from marking.intake.parts.tidy_files import TidyFile, tidy_file
from marking.intake.people import Roster, RosterIndex, join_rosters, read_roster
from marking.intake.remarks import Notebook
from marking.write_up import Remark, Weight
from rubrics.faults import InputError, unknown_name
from rubrics.model import Rubric


class LargeSet(Struct, frozen=True, kw_only=True):
    """A set that is read part by part."""

    reader: Reader
    source: Source
    students: int
    is_gathered: bool
    """Whether lines of one student lay apart."""
    remarks: tuple[Remark, ...]
    """On the files as a whole."""
    roster: str
    """Name of the roster that is used; empty where there is none."""


class Asked(Struct, frozen=True, kw_only=True):
    """What a call says of its inputs."""

    paths: Sequence[Path]
    practical: str | None = None
    columns: Path | None = None
    roster: Path | None = None
    results: Path | None = None
    """A folder of results that will be replaced: what a teacher typed in its marks.xlsx counts."""


def large_set(asked: Asked, rubrics: Mapping[str, Rubric], size: int, aside: Path, *, least: int) -> LargeSet | None:
    """Return the set in the files, in parts of *size* students; None where the whole has to be read at once.

    That is so where a file is no tidy CSV in UTF-8 or a Western code page, or where there are fewer than *least*
    students.

    Args:
        asked: What the call says.
        rubrics: The practicals known, by id.
        size: Students of a part.
        aside: A folder for what is gathered on the way; it may be removed when the last part is read.
        least: Students from which a set is large.

    Raises:
        InputError: A file cannot be read, or nothing in it is about a practical that is known.
    """
    if asked.practical is not None and asked.practical not in rubrics:
        raise unknown_name(asked.practical, "no practical of this name is known", asked.practical, rubrics)
    mapped = read_column_map(path_here(asked.columns)) if asked.columns is not None else {}
    inputs = list_inputs(asked.paths)
    files = [
        from_parquet(file.path, file.name, aside, mapped or None)
        if file.path.suffix.lower() == ENDING
        else tidy_file(file.path, file.name, mapped or None)
        for file in inputs.files
    ]
    if any(file.path.suffix.lower() == ENDING for file in inputs.files):
        least = 1
    tidy = [file for file in files if file is not None]
    if not tidy or len(tidy) < len(files) or inputs.results or inputs.trials:
        return None
    people, lies_beside = _people(asked.roster, inputs)
    index = RosterIndex(people) if people.students else None
    found = scan(tidy, size, index)
    told = Notebook()
    if lies_beside and 2 * found.in_roster < found.students:
        said = "lies beside the input and holds hardly any of its students; not used"
        told.tell(Weight.QUERY, said, "Name the right one after --roster", file=inputs.beside.rosters[0].name)
        people, index = Roster(), None
        found = scan(tidy, size)
    if found.students < least:
        return None
    met = {name: rubrics[name] for name in rubrics if name in found.practicals}
    if "" in found.practicals and asked.practical is not None:
        met = {name: rubrics[name] for name in rubrics if name in met or name == asked.practical}
    if not met:
        raise _nothing_known(tidy, found, rubrics)
    source: Source = gathered(found, aside / "lines") if found.is_apart else FileSource(found)
    _tell_files(found, told)
    typed: tuple[TypedMarks, ...] = ()
    if asked.results is not None and is_results_folder(asked.results) and (asked.results / MARKS_FILE).is_file():
        name = f"{asked.results.resolve().name}/{MARKS_FILE}"
        typed = (read_typed_marks(asked.results / MARKS_FILE, name, rubrics),)
    reader = Reader(rubrics=met, practical=asked.practical, files=found.files, mapped=mapped, index=index, typed=typed)
    return LargeSet(
        reader=reader,
        source=source,
        students=source.students,
        is_gathered=found.is_apart,
        remarks=(*people.remarks, *told.remarks(), *(remark for one in typed for remark in one.remarks)),
        roster=people.sources[0].name if people.sources else "",
    )


def told_unknown(names: Sequence[UnknownName], rubrics: Mapping[str, Rubric]) -> tuple[Remark, ...]:
    """Return the remarks on names that no part knew, lines of all parts counted together."""
    together: dict[tuple[str, str], UnknownName] = {}
    for name in names:
        first = together.get((name.kind, name.written))
        together[name.kind, name.written] = name if first is None else replace(first, lines=first.lines + name.lines)
    batch = Batch(rubrics=rubrics, practical=None, mapped={}, index=None)
    general = Notebook()
    tell_unknown(together.values(), batch, general)
    return (*general.remarks(), *(one for found in batch.by_practical.values() for one in found.notebook.remarks()))


def _people(named: Path | None, inputs: InputFiles) -> tuple[Roster, bool]:
    """Return the roster, and whether it only lies beside the inputs without having been named."""
    if named is not None:
        return read_roster(path_here(named)), False
    found = inputs.rosters or inputs.beside.rosters
    return join_rosters([read_roster(file.path, file.name) for file in found]), not inputs.rosters and bool(found)


def _tell_files(found: Scan, told: Notebook) -> None:
    for file in found.files:
        if file.note:
            told.tell(Weight.NOTE, f"{file.note}; read accordingly", file=file.name)
    if found.is_apart:
        said = "lines of one student stand in several places; gathered by student before they were read"
        told.tell(Weight.NOTE, said, "Sorted by student, the file is read faster", file=found.files[0].name)


def _nothing_known(files: Sequence[TidyFile], found: Scan, rubrics: Mapping[str, Rubric]) -> InputError:
    written = next((name for name in found.practicals if name), "")
    problem = f'"{written}" is no practical known here' if written else "no practical is named"
    return InputError(files[0].name, problem, f"practicals known: {', '.join(rubrics)}; or name it after --practical")
