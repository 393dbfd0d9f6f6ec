"""The sets that are open at the desk: read once, kept up with the record, joined anew where something was decided."""

from __future__ import annotations

import dataclasses
import threading
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from marking.class_notes import ClassNote
from marking.cohort import notes_for
from marking.desk.shelf.held_set import HeldSet, joined_again, sid_of
from marking.findings import MarkedSet
from marking.intake import read_inputs
from marking.over_time import Practical, histories, with_history, with_live
from marking.record import (
    CellMended,
    CommentWritten,
    Decision,
    Erased,
    Maker,
    MarkGiven,
    Record,
    SentenceMended,
    SetRead,
    WorkMarked,
    keep,
    keep_works,
    name_set,
    proposed_class,
)
from marking.write_up import ClassSet
from reports.wording import wording
from rubrics.faults import WriteupsError
from rubrics.model import Rubric


@dataclass(frozen=True, slots=True, kw_only=True)
class Refusal:
    """A folder that could not be read, and why."""

    folder: str
    message: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """How far the reading of a folder is."""

    folder: str
    step: str = "waits"
    """'waits', 'files' or 'marking'."""
    files: int = 0
    practical: str = ""
    """Title of the practical whose set is being worked out."""
    students: int = 0
    number: int = 0
    """Of the set, among those found in the folder."""
    of: int = 0


class Shelf:
    """All sets at hand. Safe to use from several threads."""

    def __init__(self, record: Record, rubrics: Mapping[str, Rubric], folder: Path, maker: Callable[[], Maker]) -> None:
        """Hold the sets whose files lie in the folders below *folder*."""
        self.record = record
        self.rubrics = rubrics
        self.folder = folder
        self._maker = maker
        self._sets: dict[str, HeldSet] = {}
        self._refused: dict[str, Refusal] = {}
        self._reading: dict[str, Stage] = {}
        self._wanted: dict[str, str] = {}
        """Folder to its class, where a teacher said it."""
        self._place = 0
        self._told: list[Decision] = []
        """What the record tells of practicals, these and earlier ones."""
        self._lock = threading.RLock()

    @property
    def reading(self) -> tuple[str, ...]:
        """Return the names of folders that are being read just now."""
        with self._lock:
            return tuple(sorted(self._reading))

    @property
    def stages(self) -> tuple[Stage, ...]:
        """Return how far each folder is that is being read just now."""
        with self._lock:
            return tuple(self._reading[name] for name in sorted(self._reading))

    @property
    def refused(self) -> tuple[Refusal, ...]:
        """Return what could not be read."""
        with self._lock:
            return tuple(self._refused.values())

    def begin(self) -> None:
        """Read every folder, in the background."""
        folders = sorted(path for path in self.folder.iterdir() if path.is_dir()) if self.folder.is_dir() else []
        self.take(folders)

    def take(self, folders: Sequence[Path], *, class_name: str = "") -> None:
        """Read more folders, in the background; they show as being read meanwhile."""
        with self._lock:
            self._reading |= {folder.name: Stage(folder=folder.name) for folder in folders}
            self._wanted |= {folder.name: class_name for folder in folders if class_name}
        threading.Thread(target=self._read_all, args=(list(folders),), daemon=True).start()

    def _read_all(self, folders: Sequence[Path]) -> None:
        for folder in folders:
            self.read(folder)

    def read(self, folder: Path) -> None:
        """Read one folder; what is wrong with it is kept to be shown."""
        refusal = None
        try:
            self._read_sets(folder)
        except WriteupsError as error:
            refusal = Refusal(folder=folder.name, message=str(error))
        except Exception:
            refusal = Refusal(folder=folder.name, message=wording("desk")["sets"]["broken"].format(folder=folder.name))
        with self._lock:
            self._refused.pop(folder.name, None)
            if refusal is not None:
                self._refused[folder.name] = refusal
            self._reading.pop(folder.name, None)

    def _read_sets(self, folder: Path) -> None:
        """Read the sets in a folder; each is at hand as soon as it is worked out."""
        stage = Stage(folder=folder.name, step="files", files=sum(path.is_file() for path in folder.rglob("*")))
        self._say(stage)
        sets = read_inputs([folder], self.rubrics)
        for number, one in enumerate(sets, start=1):
            title, students = self.rubrics[one.practical].title, len(one.write_ups)
            self._say(
                dataclasses.replace(
                    stage, step="marking", practical=title, students=students, number=number, of=len(sets)
                )
            )
            held = self._held(folder, one)
            with self._lock:
                self._sets[held.sid] = held

    def _say(self, stage: Stage) -> None:
        with self._lock:
            if stage.folder in self._reading:
                self._reading[stage.folder] = stage

    def _held(self, folder: Path, class_set: ClassSet) -> HeldSet:
        rubric = self.rubrics[class_set.practical]
        proposed = proposed_class([str(folder)], class_set)
        class_name, asked = name_set(
            self.record, class_set, wanted=self._wanted.get(folder.name, ""), proposed=proposed
        )
        kept = keep(self.record, rubric, class_set, self._maker(), class_name=class_name)
        marked = dataclasses.replace(kept.marked, remarks=(*kept.marked.remarks, *asked))
        return HeldSet(
            sid=sid_of(kept.name),
            name=kept.name,
            rubric=rubric,
            folder=folder,
            read=class_set,
            found=kept.found,
            marked=marked,
            decisions=list(kept.decisions),
        )

    def sets(self) -> tuple[HeldSet, ...]:
        """Return all sets, by class and practical, up to the last line of the record."""
        self.refresh()
        with self._lock:
            return tuple(sorted(self._sets.values(), key=lambda one: one.name))

    def get(self, sid: str) -> HeldSet | None:
        """Return one set, up to the last line of the record; None where there is none of that name."""
        self.refresh()
        with self._lock:
            return self._sets.get(sid)

    def notes_on(self, held: HeldSet) -> tuple[ClassNote, ...]:
        """Return what only the whole class shows; worked out once, for it takes seconds and no decision changes it."""
        if held.notes is None:
            trials = {held.name.practical: held.read.trials} if held.read.trials else {}
            held.notes = tuple(notes_for([held.found], trials))
        return held.notes

    def practicals(self, class_name: str = "") -> tuple[Practical, ...]:
        """Return all practicals that the record tells of, or those of one class; sets at hand as they stand now."""
        held = [one for one in self.sets() if class_name in ("", one.name.class_name)]
        with self._lock:
            told = histories(one for one in self._told if class_name in ("", one.set.class_name))
        for one in held:
            told = with_live(told, one.name, one.marked)
        return told

    def marked_over_time(self, held: HeldSet) -> MarkedSet:
        """Return a set as its papers show it: with what changed since the last practical."""
        titles = {one.id: one.title for one in self.rubrics.values()}
        return with_history(held.marked, held.name, self.practicals(held.name.class_name), titles)

    def take_down(self, held: HeldSet) -> None:
        """Take down in the record what each work came to, where decisions have changed it."""
        keep_works(self.record, held.marked, held.decisions, self._maker(), name=held.name)

    def refresh(self) -> None:
        """Take in what was decided since, here or at another desk of the same record."""
        with self._lock:
            self._place, new = self.record.after(self._place)
            if not new:
                return
            erased = {one.set.class_name for one in new if isinstance(one, Erased)}
            if erased:
                new = self.record.after(0)[1]  # what was told of a student who is erased is known no more
                self._told = []
            self._told += [one for one in new if isinstance(one, SetRead | WorkMarked)]
            for held in self._sets.values():
                if held.name.class_name in erased:
                    self._anew(held)
                    continue
                known = {one.id for one in held.decisions}
                mine = [one for one in new if one.set == held.name and one.id not in known]
                if mine:
                    self._take_in(held, mine)

    def _take_in(self, held: HeldSet, new: Sequence[Decision]) -> None:
        held.decisions += new
        if any(isinstance(one, CellMended) for one in new):
            self._anew(held)
            return
        touched = {
            one.student for one in new if one.about in (MarkGiven.about, CommentWritten.about, SentenceMended.about)
        }
        if touched:
            held.marked = joined_again(held, touched)

    def _anew(self, held: HeldSet) -> None:
        """Read a set's cells and decisions anew: a cell was mended, or a student erased."""
        kept = keep(self.record, held.rubric, held.read, self._maker(), class_name=held.name.class_name)
        held.found, held.marked, held.decisions = kept.found, kept.marked, list(kept.decisions)
        held.notes, held._things, held._counted = None, {}, 0
