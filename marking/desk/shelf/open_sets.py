"""The sets that are open at the desk: read once, kept up with the record, joined anew where something was decided."""

from __future__ import annotations

import dataclasses
import hashlib
import threading
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from marking.class_notes import ClassNote
from marking.cohort import notes_for
from marking.findings import MarkedSet, Script
from marking.intake import read_inputs
from marking.over_time import Practical, histories, with_history, with_live
from marking.record import (
    CellMended,
    Closed,
    CommentWritten,
    Decision,
    Erased,
    Maker,
    MarkGiven,
    ModerationRuled,
    Record,
    Reopened,
    SentenceMended,
    SetName,
    SetRead,
    Signed,
    WorkMarked,
    adjustment_in,
    keep,
    keep_works,
    name_set,
    proposed_class,
    with_decisions,
)
from marking.write_up import ClassSet
from reports.student import Spoken
from rubrics.faults import InputError, WriteupsError
from rubrics.model import Rubric


@dataclass(slots=True, kw_only=True)
class HeldSet:
    """One practical's set, as it stands now."""

    sid: str
    """Names the set in an address."""
    name: SetName
    rubric: Rubric
    folder: Path
    read: ClassSet
    """As the files say, before any cell was mended."""
    found: MarkedSet
    marked: MarkedSet
    decisions: list[Decision] = field(default_factory=list)
    notes: tuple[ClassNote, ...] | None = None
    """What only the whole class shows; None until somebody asks."""
    _things: dict[tuple[str, str, str, str], list[Decision]] = field(default_factory=dict)
    _counted: int = 0
    """How many of the decisions stand in ``_things``."""
    spoken: dict[int, tuple[Script, tuple[Spoken, ...]]] = field(default_factory=dict)
    """Sentences of each sheet, with the script they were worked out for."""
    owner: str = ""
    """Whose class it is; empty on a desk of one teacher."""
    adjustment: ModerationRuled | None = None
    """What the department ruled on the totals of this class."""

    @property
    def state(self) -> str:
        """Return 'open', 'signed' or 'closed'."""
        state = "open"
        for decision in self.decisions:
            state = _STATES.get(type(decision), state)
        return state

    def about(self, word: str, *, student: str = "", criterion: str = "", cell: str = "") -> list[Decision]:
        """Return the decisions about one thing, in order."""
        if self._counted > len(self.decisions):
            self._things, self._counted = {}, 0
        for one in self.decisions[self._counted :]:
            self._things.setdefault((one.about, one.student, one.criterion, one.cell), []).append(one)
        self._counted = len(self.decisions)
        return self._things.get((word, student, criterion, cell), [])


_STATES: Mapping[type[Decision], str] = {Signed: "signed", Closed: "closed", Reopened: "open"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Refusal:
    """A folder that could not be read, and why."""

    folder: str
    message: str
    owner: str = ""


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
        self._reading: set[tuple[str, str]] = set()
        self._place = 0
        self._told: list[Decision] = []
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
    def refused(self) -> tuple[Refusal, ...]:
        """Return what could not be read."""
        return self.refused_of(None)

    def refused_of(self, owner: str | None) -> tuple[Refusal, ...]:
        """Return what of one owner's could not be read; None for everybody's."""
        with self._lock:
            return tuple(one for one in self._refused.values() if owner in (None, one.owner))

    def begin(self, owner: str = "") -> None:
        """Read every folder, in the background."""
        folders = sorted(path for path in self.folder.iterdir() if path.is_dir()) if self.folder.is_dir() else []
        self.take(folders, owner)

    def take(self, folders: Sequence[Path], owner: str = "") -> None:
        """Read more folders, in the background; they show as being read meanwhile."""
        with self._lock:
            self._reading |= {(owner, folder.name) for folder in folders}
        threading.Thread(target=self._read_all, args=(list(folders), owner), daemon=True).start()

    def _read_all(self, folders: Sequence[Path], owner: str) -> None:
        for folder in folders:
            self.read(folder, owner)

    def read(self, folder: Path, owner: str = "", class_name: str = "") -> None:
        """Read one folder; what is wrong with it is kept to be shown.

        Args:
            folder: Or one file.
            owner: Whose class it is.
            class_name: For a set that the record has not met; without one its name comes from its files.
        """
        try:
            sets = self._sets_in(folder, owner, class_name)
            refusal = None
        except WriteupsError as error:
            sets, refusal = [], Refusal(folder=folder.name, message=str(error), owner=owner)
        with self._lock:
            self._refused.pop(str(folder), None)
            if refusal is not None:
                self._refused[str(folder)] = refusal
            self._sets |= {one.sid: one for one in sets}
            self._reading.discard((owner, folder.name))

    def _sets_in(self, folder: Path, owner: str, class_name: str) -> list[HeldSet]:
        return [self._held(folder, one, owner, class_name) for one in read_inputs([folder], self.rubrics)]

    def _held(self, folder: Path, class_set: ClassSet, owner: str, class_name: str) -> HeldSet:
        rubric = self.rubrics[class_set.practical]
        proposed = class_name or proposed_class([str(folder)], class_set)
        with self._naming:  # two who bring a class of one name at once: the second is told
            class_name, asked = name_set(self.record, class_set, wanted="", proposed=proposed)
            self._refuse_other_owners(SetName(class_name=class_name, practical=rubric.id), owner)
            kept = keep(self.record, rubric, class_set, self._maker(owner), class_name=class_name)
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
            self._told += [one for one in new if isinstance(one, SetRead | WorkMarked)]
            ruled = {one.set.practical for one in new if one.about == ModerationRuled.about}
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
        held.notes, held._things, held._counted = None, {}, 0
        held.adjustment = kept.adjustment


def joined_again(held: HeldSet, touched: Iterable[str]) -> MarkedSet:
    """Return the marked set with the scripts of the students *touched* joined with their decisions anew."""
    chosen = frozenset(touched)
    few = dataclasses.replace(
        held.found,
        scripts=tuple(one for one in held.found.scripts if one.write_up.student.code in chosen),
        remarks=(),
    )
    decided = with_decisions(few, [one for one in held.decisions if one.student in chosen], held.adjustment)
    new: dict[str, Script] = {one.write_up.student.code: one for one in decided.scripts}
    scripts = tuple(new.get(one.write_up.student.code, one) for one in held.marked.scripts)
    return dataclasses.replace(held.marked, scripts=scripts)


def sid_of(name: SetName) -> str:
    """Return how an address names a set: short, and without a sign that an address could not hold."""
    return hashlib.sha256(f"{name.class_name}\n{name.practical}".encode()).hexdigest()[:12]
