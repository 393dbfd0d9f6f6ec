"""What of the shelf one person may see: the rest is not there for any page that is made from it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Protocol

from marking.class_notes import ClassNote
from marking.desk.shelf.held_set import HeldSet
from marking.desk.shelf.open_sets import Shelf
from marking.desk.shelf.reading_stages import KnownSet, Refusal, Stage
from marking.findings import MarkedSet
from marking.over_time import Practical, with_history
from marking.record import Record
from rubrics.model import Rubric


class SetsAtHand(Protocol):
    """The sets that a desk has: all of a shelf, or a part of one."""

    @property
    def record(self) -> Record:
        """Return where decisions are kept."""

    @property
    def rubrics(self) -> Mapping[str, Rubric]:
        """Return the practicals known."""

    @property
    def folder(self) -> Path:
        """Return where files that are dropped in are kept."""

    @property
    def reading(self) -> tuple[str, ...]:
        """Return the names of folders that are being read just now."""

    @property
    def stages(self) -> tuple[Stage, ...]:
        """Return how far each of them is."""

    @property
    def coming(self) -> tuple[KnownSet, ...]:
        """Return the sets whose files are not read yet, as the record knows them."""

    @property
    def refused(self) -> tuple[Refusal, ...]:
        """Return what could not be read."""

    def take(self, folders: Sequence[Path], *, class_name: str = "") -> None:
        """Read more folders; *class_name* is for sets that the record has not met."""

    def sets(self) -> tuple[HeldSet, ...]:
        """Return the sets."""

    def get(self, sid: str) -> HeldSet | None:
        """Return one set; None where there is none of that name here."""

    def notes_on(self, held: HeldSet) -> tuple[ClassNote, ...]:
        """Return what only the whole class shows."""

    def practicals(self, class_name: str = "") -> tuple[Practical, ...]:
        """Return the practicals that the record tells of, of one class or of all."""

    def marked_over_time(self, held: HeldSet) -> MarkedSet:
        """Return a set as its papers show it: with what changed since the last practical."""

    def take_down(self, held: HeldSet) -> None:
        """Take down in the record what each work came to."""

    def refresh(self) -> None:
        """Take in what was decided since."""


class PartOfShelf:
    """A shelf as one person sees it."""

    def __init__(self, whole: Shelf, owner: str, folder: Path, may_see: Callable[[HeldSet], bool]) -> None:
        """Show of *whole* what *may_see* allows; what is dropped in is *owner*'s, and goes to *folder*."""
        self._whole = whole
        self._owner = owner
        self._folder = folder
        self._may_see = may_see

    @property
    def record(self) -> Record:
        """Return where decisions are kept."""
        return self._whole.record

    @property
    def rubrics(self) -> Mapping[str, Rubric]:
        """Return the practicals known."""
        return self._whole.rubrics

    @property
    def folder(self) -> Path:
        """Return where this person's files are kept."""
        return self._folder

    @property
    def reading(self) -> tuple[str, ...]:
        """Return the names of this person's folders that are being read just now."""
        return self._whole.reading_of(self._owner)

    @property
    def stages(self) -> tuple[Stage, ...]:
        """Return how far each of them is."""
        return self._whole.stages_of(self._owner)

    @property
    def coming(self) -> tuple[KnownSet, ...]:
        """Return nothing: whose a set is shows when it is read."""
        return ()

    @property
    def refused(self) -> tuple[Refusal, ...]:
        """Return what of this person's could not be read."""
        return self._whole.refused_of(self._owner)

    def take(self, folders: Sequence[Path], *, class_name: str = "") -> None:
        """Read more folders of this person's."""
        self._whole.take(folders, self._owner, class_name)

    def sets(self) -> tuple[HeldSet, ...]:
        """Return the sets that this person may see."""
        return tuple(held for held in self._whole.sets() if self._may_see(held))

    def get(self, sid: str) -> HeldSet | None:
        """Return one of them; None for any other."""
        held = self._whole.get(sid)
        return held if held is not None and self._may_see(held) else None

    def notes_on(self, held: HeldSet) -> tuple[ClassNote, ...]:
        """Return what only the whole class shows."""
        return self._whole.notes_on(held)

    def practicals(self, class_name: str = "") -> tuple[Practical, ...]:
        """Return the practicals of the sets that this person may see, of one class or of all."""
        seen = {held.name for held in self.sets()}
        return tuple(one for one in self._whole.practicals(class_name) if one.name in seen)

    def marked_over_time(self, held: HeldSet) -> MarkedSet:
        """Return a set as its papers show it, beside the earlier practicals that this person may see."""
        titles = {one.id: one.title for one in self.rubrics.values()}
        return with_history(held.marked, held.name, self.practicals(held.name.class_name), titles)

    def take_down(self, held: HeldSet) -> None:
        """Take down in the record what each work came to."""
        self._whole.take_down(held)

    def refresh(self) -> None:
        """Take in what was decided since."""
        self._whole.refresh()
