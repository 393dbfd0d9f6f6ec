"""One practical's set as it stands now: what was found, what was decided, and both joined."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from pathlib import Path

from msgspec import Struct, field, structs

from marking.class_notes import ClassNote
from marking.decided import (
    Closed,
    Decision,
    ModerationRuled,
    Reopened,
    SetName,
    Signed,
    Work,
    with_decisions,
    work_of,
)
from marking.findings import MarkedSet, Script
from marking.write_up import ClassSet
from reports.student import Spoken
from rubrics.model import Rubric


class HeldSet(Struct, kw_only=True):
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
    works: dict[int, tuple[Script, Work | None]] = field(default_factory=dict)
    """What each script came to, likewise."""
    owner: str = ""
    """Whose class it is; empty on a desk of one teacher."""
    adjustment: ModerationRuled | None = None
    """What the department ruled on the totals of this class."""

    @property
    def state(self) -> str:
        """Return 'open', 'signed' or 'closed'."""
        return state_after(self.decisions)

    def about(self, word: str, *, student: str = "", criterion: str = "", cell: str = "") -> list[Decision]:
        """Return the decisions about one thing, in order."""
        if self._counted > len(self.decisions):
            self._things, self._counted = {}, 0
        for one in self.decisions[self._counted :]:
            self._things.setdefault((one.about, one.student, one.criterion, one.cell), []).append(one)
        self._counted = len(self.decisions)
        return self._things.get((word, student, criterion, cell), [])

    def forget(self) -> None:
        """Forget what was put in order of the decisions, which are others now."""
        self._things, self._counted = {}, 0

    def live_works(self) -> dict[str, Work]:
        """Return what each student's work comes to as it stands now; worked out once for a script as it stands."""
        for at, script in enumerate(self.marked.scripts):
            known = self.works.get(at)
            if known is None or known[0] is not script:
                self.works[at] = (script, work_of(script))
        found = ((script.write_up.student.code, self.works[at][1]) for at, script in enumerate(self.marked.scripts))
        return {code: work for code, work in found if work is not None}


_STATES: Mapping[type[Decision], str] = {Signed: "signed", Closed: "closed", Reopened: "open"}


def state_after(decisions: Iterable[Decision]) -> str:
    """Return 'open', 'signed' or 'closed', as *decisions* on a set leave it."""
    state = "open"
    for decision in decisions:
        state = _STATES.get(type(decision), state)
    return state


def joined_again(held: HeldSet, touched: Iterable[str]) -> MarkedSet:
    """Return the marked set with the scripts of the students *touched* joined with their decisions anew."""
    chosen = frozenset(touched)
    few = structs.replace(
        held.found,
        scripts=tuple(one for one in held.found.scripts if one.write_up.student.code in chosen),
        remarks=(),
    )
    decided = with_decisions(few, [one for one in held.decisions if one.student in chosen], held.adjustment)
    new: dict[str, Script] = {one.write_up.student.code: one for one in decided.scripts}
    scripts = tuple(new.get(one.write_up.student.code, one) for one in held.marked.scripts)
    return structs.replace(held.marked, scripts=scripts)


def sid_of(name: SetName) -> str:
    """Return how an address names a set: short, and without a sign that an address could not hold."""
    return hashlib.sha256(f"{name.class_name}\n{name.practical}".encode()).hexdigest()[:12]
