"""From the files that were given to one set of write-ups for each practical met."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from marking.intake.entries import Batch, Gathered, settle
from marking.intake.files import Container, Kind, open_container, without_collector
from marking.intake.forms import read_csv, read_trials_file, settled_trials, trial_batch
from marking.intake.grids import read_column_map
from marking.intake.input_files import InputFile, InputFiles, list_inputs
from marking.intake.people import Roster, RosterIndex, join_rosters, read_roster
from marking.intake.remarks import Notebook
from marking.write_up import ClassSet, Remark, Source, Weight
from rubrics.faults import InputError
from rubrics.model import Role, Rubric


def read_inputs(
    paths: Sequence[Path],
    rubrics: Mapping[str, Rubric],
    *,
    practical: str | None = None,
    columns: Path | None = None,
    roster: Path | None = None,
    trials: Path | None = None,
) -> tuple[ClassSet, ...]:
    """Return the write-ups in the files and folders *paths*, one set for each practical met.

    A file that cannot be used becomes a remark, and the others are read all the same.

    Args:
        paths: Workbooks, CSV files, and folders of them.
        rubrics: The practicals known, by id; the sets come in their order.
        practical: Id of the practical that files are about which do not say it themselves.
        columns: A map of a form's headings to items (TOML).
        roster: The roster (CSV); without it, a roster.csv in one of the folders.
        trials: Trial values of the technician (CSV or workbook); without it, a trials.csv in one of the folders.

    Raises:
        InputError: No file could be used at all, or *practical*, *columns*, *roster* or *trials* cannot be.
    """
    if practical is not None and practical not in rubrics:
        raise InputError(practical, "no practical of this name is known", f"use one of {', '.join(rubrics)}")
    files = list_inputs(paths)
    people = _roster(roster, files)
    mapped = read_column_map(columns) if columns is not None else {}
    index = RosterIndex(people) if people.students else None
    tried = trial_batch(rubrics, practical)
    batch = Batch(rubrics=rubrics, practical=practical, mapped=mapped, index=index, trials=tried)
    general = Notebook()
    for remark in people.remarks:
        general.add(remark)
    refused = _read_all(files, batch, general)
    if not batch.by_practical:
        raise _nothing_read(refused, files)
    for error in refused:
        general.add(Remark(weight=Weight.REFUSED, file=error.file, message=str(error)))
    tried.practical = practical or (next(iter(batch.by_practical)) if len(batch.by_practical) == 1 else None)
    given = [(trials, trials.name)] if trials is not None else [(file.path, file.name) for file in files.trials]
    sources = [read_trials_file(path, name, tried) for path, name in given]
    return _sets(batch, general, people, _Trials(batch=tried, sources=sources))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Trials:
    batch: Batch
    sources: list[Source]


def _roster(roster: Path | None, files: InputFiles) -> Roster:
    if roster is not None:
        return read_roster(roster)
    return join_rosters([read_roster(found.path, found.name) for found in files.rosters])


def _read_all(files: InputFiles, batch: Batch, general: Notebook) -> list[InputError]:
    refused = []
    seen: dict[str, str] = {}
    for file in files.files:
        try:
            container = open_container(file.path, file.name)
            if container.sha256 in seen:
                said = f"the same file as {seen[container.sha256]}, read once"
                general.tell(Weight.NOTE, said, file=file.name)
                continue
            seen[container.sha256] = file.name
            _read_file(file, container, batch, general)
        except InputError as error:
            refused.append(error)
    return refused


def _read_file(file: InputFile, container: Container, batch: Batch, general: Notebook) -> None:
    if container.kind is Kind.TEXT:
        met = read_csv(container, batch, general)
    else:
        # Reading workbooks takes a library that a run over CSV files can do without.
        from marking.intake.forms import read_workbook_input

        met = read_workbook_input(container, batch, general)
    for practical in met:
        batch.gathered(practical).sources.append(Source(name=file.name, sha256=container.sha256))


def _sets(batch: Batch, general: Notebook, people: Roster, trials: _Trials) -> tuple[ClassSet, ...]:
    sets = []
    told = general.remarks()
    for practical in batch.rubrics:
        gathered = batch.by_practical.get(practical)
        if gathered is None:
            continue
        _tell_missing_columns(gathered)
        with without_collector():
            write_ups = settle(gathered.pile, gathered.vocabulary, batch.index, gathered.notebook)
        tried = settled_trials(trials.batch, practical, [one.student.bench for one in write_ups])
        sets.append(
            ClassSet(
                practical=practical,
                write_ups=write_ups,
                remarks=told + gathered.notebook.remarks() + tried.remarks,
                sources=(*people.sources, *gathered.sources, *trials.sources),
                trials=tried.write_ups,
            )
        )
        told = ()  # what belongs to no practical is said once, with the first
    return tuple(sets)


def _tell_missing_columns(gathered: Gathered) -> None:
    if not gathered.heading_rows:
        return
    rubric = gathered.vocabulary.rubric
    wanted = [
        item
        for item in rubric.items.values()
        if item.name not in gathered.covered
        and item.role is Role.READING
        and not item.is_words
        # A table may hold means alone, or fewer repeats than there is room for.
        and item.repeat_of not in gathered.covered
        and not (item.repeat_of and f"{item.repeat_of}_1" in gathered.covered)
    ]
    if not wanted:
        return
    file, sheet, found = gathered.heading_rows[0]
    missing = ", ".join(f"{item.name} ({item.quantity})" for item in wanted)
    said = f"no column for {missing}; columns found: {', '.join(text.strip() for text in found)}"
    mend = "Add the column, or head it with the item's name"
    gathered.notebook.tell(Weight.QUERY, said, mend, file=file, sheet=sheet)


def _nothing_read(refused: Sequence[InputError], files: InputFiles) -> InputError:
    if len(refused) == 1:
        return refused[0]
    if refused:
        lines = "\n  ".join(str(error) for error in refused).removesuffix(".")
        return InputError(f"{len(refused)} files", "none can be marked", f"mend these and run again:\n  {lines}")
    where = ", ".join(files.empty_folders) or "input"
    return InputError(where, "there is no workbook and no CSV file here", "name the files, or the folder they are in")
