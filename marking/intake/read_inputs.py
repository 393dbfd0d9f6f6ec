"""From the files that were given to one set of write-ups for each practical met."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from marking.collector import collector_resting
from marking.intake.entries import PREFIX, WHY, Batch, Gathered, settle
from marking.intake.files import Container, Kind, open_container
from marking.intake.forms import read_csv, read_trials_file, settled_trials, trial_batch
from marking.intake.grids import read_column_map
from marking.intake.input_files import InputFile, InputFiles, list_inputs, path_here
from marking.intake.ours import (
    MARKS_FILE,
    TypedMarks,
    is_our_table,
    is_our_workbook,
    is_results_folder,
    joined,
    read_typed_marks,
)
from marking.intake.people import Roster, RosterIndex, join_rosters, read_roster
from marking.intake.remarks import Notebook
from marking.write_up import ClassSet, Remark, Source, Weight
from rubrics.faults import InputError, unknown_name
from rubrics.model import Role, Rubric


class Reading(Struct, frozen=True, kw_only=True):
    """What came of one call's inputs."""

    sets: tuple[ClassSet, ...]
    roster: str
    """Name of the roster that was used; empty where there was none."""
    trials: str
    """Name of the file of trial values; empty where there was none."""
    strangers: tuple[tuple[str, str, str], ...] = ()
    """Student, practical and criterion of what a teacher typed in results, of students who are in none of the sets."""


def read_inputs(
    paths: Sequence[Path],
    rubrics: Mapping[str, Rubric],
    *,
    practical: str | None = None,
    columns: Path | None = None,
    roster: Path | None = None,
    trials: Path | None = None,
) -> tuple[ClassSet, ...]:
    """Return the write-ups in the files and folders *paths*, one set for each practical met: see ``read_all``."""
    reading = read_all(paths, rubrics, practical=practical, columns=columns, roster=roster, trials=trials)
    return reading.sets


def read_all(
    paths: Sequence[Path],
    rubrics: Mapping[str, Rubric],
    *,
    practical: str | None = None,
    columns: Path | None = None,
    roster: Path | None = None,
    trials: Path | None = None,
    results: Path | None = None,
) -> Reading:
    """Return the write-ups in the files and folders *paths*, one set for each practical met, and what else was found.

    A file that cannot be used becomes a remark, and the others are read all the same.

    Args:
        paths: Workbooks, CSV files, and folders of them.
        rubrics: The practicals known, by id; the sets come in their order.
        practical: Id of the practical that files are about which do not say it themselves.
        columns: A map of a form's headings to items (TOML).
        roster: The roster (CSV); without it, a roster.csv in one of the folders, or beside an input.
        trials: Trial values of the technician (CSV or workbook); without it, a trials.csv found in the same way.
        results: A folder of results that will be replaced: what a teacher typed in its marks.xlsx is read too.

    Raises:
        InputError: No file could be used at all, or *practical*, *columns*, *roster*, *trials* or *results* cannot be.
    """
    if practical is not None and practical not in rubrics:
        raise unknown_name(practical, "no practical of this name is known", practical, rubrics)
    columns, roster, trials = (path_here(path) if path is not None else None for path in (columns, roster, trials))
    files = list_inputs(paths)
    given = roster is not None or bool(files.rosters)
    people = read_roster(roster) if roster is not None else _roster(files.rosters or files.beside.rosters)
    read = _Reading(rubrics=rubrics, practical=practical, columns=columns, files=files, people=people)
    read.read()
    if not given and people.students and not read.is_about(people):
        # A roster that lies about may be another class's: theirs would all be missing, ours all strangers.
        name = files.beside.rosters[0].name
        read = _Reading(rubrics=rubrics, practical=practical, columns=columns, files=files, people=Roster())
        read.read()
        said = "lies beside the input and holds hardly any of its students; not used"
        read.general.tell(Weight.QUERY, said, "Name the right one after --roster", file=name)
    told = read.general
    batch = read.batch
    tried = batch.trials or trial_batch(rubrics, practical)
    tried.practical = practical or (next(iter(batch.by_practical)) if len(batch.by_practical) == 1 else None)
    sources = _trial_sources(trials, files, tried, told)
    typed = _typed(read.marks_files, results, rubrics)
    sets = _sets(batch, told, read.people, _Trials(batch=tried, sources=sources))
    sets, strangers = joined(sets, typed)
    return Reading(
        sets=sets,
        roster=read.people.sources[0].name if read.people.sources else "",
        trials=sources[0].name if sources else "",
        strangers=strangers,
    )


@dataclass(slots=True, kw_only=True)
class _Reading:
    # One pass over the files, with one roster.
    rubrics: Mapping[str, Rubric]
    practical: str | None
    columns: Path | None
    files: InputFiles
    people: Roster
    batch: Batch = field(init=False)
    general: Notebook = field(default_factory=Notebook)
    marks_files: list[InputFile] = field(default_factory=list)

    def read(self) -> None:
        """Read all files into the batch.

        Raises:
            InputError: None of them can be used.
        """
        mapped = read_column_map(self.columns) if self.columns is not None else {}
        index = RosterIndex(self.people) if self.people.students else None
        tried = trial_batch(self.rubrics, self.practical)
        self.batch = Batch(rubrics=self.rubrics, practical=self.practical, mapped=mapped, index=index, trials=tried)
        self.marks_files = list(self.files.results)
        for remark in self.people.remarks:
            self.general.add(remark)
        for name in self.files.passed_over:
            said = "a folder of results that this program wrote; nothing in it was read"
            self.general.tell(Weight.NOTE, said, file=name)
        refused = self._read_all(self.files.files)
        met = list(self.batch.by_practical)
        if refused and len(met) == 1 and self.practical is None:
            # A file that does not say what it is about, a sheet of ticks, say, is about what the others are about.
            self.batch.practical = met[0]
            again = self._read_all(tuple(file for file, _ in refused))
            for name in sorted({file.name for file, _ in refused} - {file.name for file, _ in again}):
                said = f"does not say which practical it is about; read as {met[0]}, like the other files"
                self.general.tell(Weight.NOTE, said, file=name)
            refused = again
        if not self.batch.by_practical:
            raise _nothing_read([error for _, error in refused], self.files, self.marks_files)
        for _, error in refused:
            self.general.add(Remark(weight=Weight.REFUSED, file=error.file, message=str(error)))

    def is_about(self, people: Roster) -> bool:
        """Tell whether half or more of those who handed something in are of these people."""
        index = RosterIndex(people)
        codes = {code for one in self.batch.by_practical.values() for code in one.pile.sheaves}
        return 2 * sum(index.find(code) is not None for code in codes) >= len(codes)

    def _read_all(self, files: Sequence[InputFile]) -> list[tuple[InputFile, InputError]]:
        refused = []
        seen: dict[str, str] = {}
        for file in files:
            try:
                container = open_container(file.path, file.name)
                if container.sha256 in seen:
                    said = f"the same file as {seen[container.sha256]}, read once"
                    self.general.tell(Weight.NOTE, said, file=file.name)
                    continue
                seen[container.sha256] = file.name
                if not self._is_ours(file, container):
                    _read_file(file, container, self.batch, self.general)
            except InputError as error:
                refused.append((file, error))
        return refused

    def _is_ours(self, file: InputFile, container: Container) -> bool:
        """Tell whether a file is a table or a workbook of ours; of a workbook what is typed in it is read later."""
        if container.kind is Kind.TEXT and is_our_table(container.data):
            said = "a table that this program wrote; not read as students' work"
        elif container.kind is not Kind.TEXT and is_our_workbook(container.data):
            self.marks_files.append(file)
            said = "a workbook of marks that this program wrote; only what a teacher typed in it is read"
        else:
            return False
        self.general.tell(Weight.NOTE, said, file=file.name)
        return True


def _trial_sources(trials: Path | None, files: InputFiles, batch: Batch, told: Notebook) -> list[Source]:
    if trials is not None or files.trials:
        given = [(trials, trials.name)] if trials is not None else [(file.path, file.name) for file in files.trials]
        return [read_trials_file(path, name, batch) for path, name in given]
    sources = []
    for file in files.beside.trials:
        try:
            sources.append(read_trials_file(file.path, file.name, batch))
        except InputError as error:
            # Nobody named it, so it stops nothing.
            told.tell(Weight.QUERY, f"lies beside the input; {error.problem}", f"{error.mend}", file=file.name)
    return sources


def _typed(named: Sequence[InputFile], results: Path | None, rubrics: Mapping[str, Rubric]) -> list[TypedMarks]:
    """Return what is typed in workbooks of marks: those that were named, and the one that is about to be replaced."""
    files = {file.path.resolve(): file.name for file in named}
    if results is not None and is_results_folder(results) and (results / MARKS_FILE).is_file():
        files[(results / MARKS_FILE).resolve()] = f"{results.resolve().name}/{MARKS_FILE}"
    return [read_typed_marks(path, name, rubrics) for path, name in files.items()]


class _Trials(Struct, frozen=True, kw_only=True):
    batch: Batch
    sources: list[Source]


def _roster(found: Sequence[InputFile]) -> Roster:
    return join_rosters([read_roster(file.path, file.name) for file in found])


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
        with collector_resting():
            write_ups = settle(gathered.pile, gathered.vocabulary, batch.index, gathered.notebook)
        if not _marks_graph(gathered):
            write_ups = tuple(replace(one, student=replace(one.student, marks_graph=False)) for one in write_ups)
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


def _marks_graph(gathered: Gathered) -> bool:
    """Return whether the workbooks leave the graph on paper to be marked: one setting of the set."""
    settings = set(gathered.graph_settings)
    if len(settings) > 1:
        said = "one workbook says that the graph on paper is marked, another that it is not; it is marked"
        gathered.notebook.tell(Weight.QUERY, said, "Write the same in both", file=gathered.sources[0].name)
    return settings != {False}


def _tell_missing_columns(gathered: Gathered) -> None:
    names = gathered.vocabulary.rubric.items
    if not gathered.heading_rows or all(name.startswith((PREFIX, WHY)) for name in gathered.covered & names.keys()):
        return  # a sheet of ticks has no columns for readings
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


def _nothing_read(refused: Sequence[InputError], files: InputFiles, ours: Sequence[InputFile]) -> InputError:
    if len(refused) == 1:
        return refused[0]
    if refused:
        lines = "\n  ".join(str(error) for error in refused).removesuffix(".")
        return InputError(f"{len(refused)} files", "none can be marked", f"mend these and run again:\n  {lines}")
    if ours or files.passed_over or files.files:
        mend = "name the workbook of the class, or the folder with the students' workbooks"
        return InputError("input", "there is nothing here but what this program wrote itself", mend)
    where = ", ".join(files.empty_folders) or "input"
    mend = "put the class's workbook there, or name it; writeups prepare makes an empty one to fill in"
    return InputError(where, "there is no workbook and no CSV file here", mend)
