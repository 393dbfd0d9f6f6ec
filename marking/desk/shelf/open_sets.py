"""The sets that are open at the desk: read once, kept up with the record, joined anew where something was decided."""

from __future__ import annotations

import threading
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from msgspec import structs

from marking.class_notes import ClassNote
from marking.cohort import notes_for
from marking.decided import (
    CellMended,
    CommentWritten,
    Decision,
    Erased,
    MarkGiven,
    ModerationRuled,
    RoundBegun,
    SentenceMended,
    SetName,
    SetRead,
    Signed,
    WorkMarked,
)
from marking.desk.shelf.held_set import HeldSet, joined_again, sid_of
from marking.desk.shelf.reading_stages import KnownSet, Refusal, Stage, folders_of, known_set
from marking.findings import MarkedSet
from marking.intake import read_inputs
from marking.over_time import Practical, histories, with_history, with_live
from marking.record import (
    Maker,
    Record,
    adjustment_in,
    keep,
    keep_works,
    name_set,
    proposed_class,
)
from marking.write_up import ClassSet
from reports.wording import wording
from rubrics.faults import InputError, WriteupsError
from rubrics.model import Rubric


class Shelf:
    """All sets at hand. Safe to use from several threads."""

    def __init__(
        self, record: Record, rubrics: Mapping[str, Rubric], folder: Path, maker: Callable[[str], Maker]
    ) -> None:
        """Hold the sets whose files lie in the folders below *folder*; *maker* is told whose files are read."""
        self.record = record
        self.rubrics = rubrics
        self.folder = folder
        self._maker = maker
        self._sets: dict[str, HeldSet] = {}
        self._refused: dict[str, Refusal] = {}
        self._reading: dict[tuple[str, str], Stage] = {}
        self._folders: dict[str, Path] = {}
        """Where the files lie of sets that the record knows and that are not read yet."""
        self._turn = threading.Lock()
        self._place = 0
        self._told: list[Decision] = []
        self._practicals: tuple[Practical, ...] | None = None
        """What the record tells of practicals, these and earlier ones."""
        self._lock = threading.RLock()
        self._naming = threading.Lock()

    @property
    def reading(self) -> tuple[str, ...]:
        """Return the names of folders that are being read just now."""
        return self.reading_of(None)

    def reading_of(self, owner: str | None) -> tuple[str, ...]:
        """Return the names of folders of one owner that are being read just now; None for everybody's."""
        with self._lock:
            return tuple(sorted(name for whose, name in self._reading if owner in (None, whose)))

    @property
    def stages(self) -> tuple[Stage, ...]:
        """Return how far each folder is that is being read just now."""
        return self.stages_of(None)

    def stages_of(self, owner: str | None) -> tuple[Stage, ...]:
        """Return the same for the folders of one owner; None for everybody's."""
        with self._lock:
            return tuple(self._reading[key] for key in sorted(self._reading) if owner in (None, key[0]))

    @property
    def coming(self) -> tuple[KnownSet, ...]:
        """Return the sets whose files are not read yet, as the record knows them."""
        self.refresh()
        with self._lock:
            names = [one for one in self._told_of() if sid_of(one.name) in self._folders]
            return tuple(
                known_set(
                    one,
                    self.rubrics[one.name.practical].title,
                    [step for step in self._told if step.set == one.name and step.about == Signed.about],
                )
                for one in sorted(names, key=lambda one: one.name)
                if one.works and one.name.practical in self.rubrics
            )

    @property
    def refused(self) -> tuple[Refusal, ...]:
        """Return what could not be read."""
        return self.refused_of(None)

    def refused_of(self, owner: str | None) -> tuple[Refusal, ...]:
        """Return what of one owner's could not be read; None for everybody's."""
        with self._lock:
            return tuple(one for one in self._refused.values() if owner in (None, one.owner))

    def begin(self, owner: str = "") -> None:
        """Read every folder, in the background; what the record knows of their sets is at hand at once."""
        folders = sorted(path for path in self.folder.iterdir() if path.is_dir()) if self.folder.is_dir() else []
        known = folders_of(folders, self.record.all_decisions(about=SetRead.about)) if folders else {}
        with self._lock:
            self._folders = {sid_of(name): folder for name, folder in known.items()}
        self.take(folders, owner)

    def take(self, folders: Sequence[Path], owner: str = "", class_name: str = "") -> None:
        """Read more folders, in the background; they show as being read meanwhile."""
        with self._lock:
            self._reading |= {(owner, folder.name): Stage(folder=folder.name) for folder in folders}
        threading.Thread(target=self._read_all, args=(list(folders), owner, class_name), daemon=True).start()

    def _read_all(self, folders: Sequence[Path], owner: str, class_name: str) -> None:
        for folder in folders:
            self._read_once(folder, owner, class_name)

    def _read_once(self, folder: Path, owner: str, class_name: str = "") -> None:
        """Read a folder whose turn it is, unless somebody wanted it sooner."""
        with self._turn:
            with self._lock:
                if (owner, folder.name) not in self._reading:
                    return
            self.read(folder, owner, class_name)

    def read(self, folder: Path, owner: str = "", class_name: str = "") -> None:
        """Read one folder; what is wrong with it is kept to be shown.

        Args:
            folder: Or one file.
            owner: Whose class it is.
            class_name: For a set that the record has not met; without one its name comes from its files.
        """
        refusal = None
        try:
            self._read_sets(folder, owner, class_name)
        except WriteupsError as error:
            refusal = Refusal(folder=folder.name, message=str(error), owner=owner)
        except Exception:
            said = wording("desk")["sets"]["broken"].format(folder=folder.name)
            refusal = Refusal(folder=folder.name, message=said, owner=owner)
        with self._lock:
            self._refused.pop(str(folder), None)
            if refusal is not None:
                self._refused[str(folder)] = refusal
            self._reading.pop((owner, folder.name), None)
            self._folders = {sid: path for sid, path in self._folders.items() if path != folder}

    def _read_sets(self, folder: Path, owner: str, class_name: str) -> None:
        """Read the sets in a folder; each is at hand as soon as it is worked out."""
        files = sum(path.is_file() for path in folder.rglob("*")) if folder.is_dir() else 1
        stage = Stage(folder=folder.name, step="files", files=files)
        self._say(owner, stage)
        sets = read_inputs([folder], self.rubrics)
        for number, one in enumerate(sets, start=1):
            stage = structs.replace(
                stage,
                step="marking",
                practical=self.rubrics[one.practical].title,
                students=len(one.write_ups),
                number=number,
                of=len(sets),
            )
            self._say(owner, stage)
            held = self._held(folder, one, owner, class_name)
            with self._lock:
                self._sets[held.sid] = held

    def _say(self, owner: str, stage: Stage) -> None:
        with self._lock:
            if (owner, stage.folder) in self._reading:
                self._reading[owner, stage.folder] = stage

    def _held(self, folder: Path, class_set: ClassSet, owner: str, class_name: str) -> HeldSet:
        rubric = self.rubrics[class_set.practical]
        proposed = class_name or proposed_class([str(folder)], class_set)
        with self._naming:  # two who bring a class of one name at once: the second is told
            class_name, asked = name_set(self.record, class_set, wanted="", proposed=proposed)
            self._refuse_other_owners(SetName(class_name=class_name, practical=rubric.id), owner)
            kept = keep(self.record, rubric, class_set, self._maker(owner), class_name=class_name)
        marked = structs.replace(kept.marked, remarks=(*kept.marked.remarks, *asked))
        return HeldSet(
            sid=sid_of(kept.name),
            name=kept.name,
            rubric=rubric,
            folder=folder,
            read=class_set,
            found=kept.found,
            marked=marked,
            decisions=list(kept.decisions),
            owner=owner,
            adjustment=kept.adjustment,
        )

    def _refuse_other_owners(self, name: SetName, owner: str) -> None:
        """Refuse a set that another teacher brought first: nobody comes by marks by bringing the same file.

        Raises:
            InputError: It is somebody else's.
        """
        if not owner:
            return
        with self._lock:
            here = self._sets.get(sid_of(name))
        first = next(iter(self.record.decisions(name, about=SetRead.about)), None)
        known = {one for one in (here.owner if here else "", first.who if first else "") if one}
        if known - {owner}:
            raise InputError(str(name), "this class is another teacher's here", "ask the head of department")

    def sets(self) -> tuple[HeldSet, ...]:
        """Return all sets, by class and practical, up to the last line of the record."""
        self.refresh()
        with self._lock:
            return tuple(sorted(self._sets.values(), key=lambda one: one.name))

    def get(self, sid: str) -> HeldSet | None:
        """Return one set, up to the last line of the record; None where there is none of that name.

        A set that is not read yet is read now, before its turn.
        """
        self.refresh()
        with self._lock:
            held, folder = self._sets.get(sid), self._folders.get(sid)
        if held is not None or folder is None:
            return held
        self._read_once(folder, "")
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
            told = tuple(one for one in self._told_of() if class_name in ("", one.name.class_name))
        for one in held:
            told = with_live(told, one.name, one.live_works())
        return told

    def _told_of(self) -> tuple[Practical, ...]:
        """Return all practicals as the record's lines tell of them; read once, until a line comes."""
        if self._practicals is None:
            self._practicals = histories(self._told)
        return self._practicals

    def marked_over_time(self, held: HeldSet) -> MarkedSet:
        """Return a set as its papers show it: with what changed since the last practical."""
        titles = {one.id: one.title for one in self.rubrics.values()}
        return with_history(held.marked, held.name, self.practicals(held.name.class_name), titles)

    def take_down(self, held: HeldSet) -> None:
        """Take down in the record what each work came to, where decisions have changed it."""
        keep_works(self.record, held.marked, held.decisions, self._maker(held.owner), name=held.name)

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
            told = [one for one in new if isinstance(one, SetRead | WorkMarked) or one.about == Signed.about]
            if told:
                self._told, self._practicals = [*self._told, *told], None
            ruled = {one.set.practical for one in new if one.about in (ModerationRuled.about, RoundBegun.about)}
            for held in self._sets.values():
                if held.name.practical in ruled:
                    held.adjustment = adjustment_in(self.record, held.name)
                    held.marked = joined_again(held, {one.write_up.student.code for one in held.found.scripts})
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
        kept = keep(self.record, held.rubric, held.read, self._maker(held.owner), class_name=held.name.class_name)
        held.found, held.marked, held.decisions = kept.found, kept.marked, list(kept.decisions)
        held.notes = None
        held.forget()
        held.adjustment = kept.adjustment
