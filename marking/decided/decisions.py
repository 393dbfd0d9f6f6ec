"""What a person may decide: one small record a kind, with a name that never changes its meaning.

A kind says what it decides in fields of its own; who, when, about what and why are the same for all. The clock, names
and ids come from whoever makes a decision.
"""

from __future__ import annotations

from typing import ClassVar

from msgspec import Struct


class SetName(Struct, frozen=True, kw_only=True, order=True):
    """One class's write-ups of one practical."""

    class_name: str
    practical: str
    """Id of the rubric."""

    def __str__(self) -> str:
        """Return the name as people say it, e.g. '10A, wire-resistance'."""
        return f"{self.class_name}, {self.practical}"


DEPARTMENT = "(department)"
"""Stands for a class in the name of the set that a department's decisions on a practical are about."""


def department_set(practical: str) -> SetName:
    """Return the set that a department's decisions on a practical are about."""
    return SetName(class_name=DEPARTMENT, practical=practical)


class Decision(Struct, frozen=True, kw_only=True):
    """What every decision says."""

    name: ClassVar[str]
    """Stable name of the kind; never reused."""
    about: ClassVar[str]
    """Decisions about one thing are numbered; kinds with the same word here are about the same things."""
    changes_marks: ClassVar[bool] = False
    """Whether a closed set refuses it."""

    id: str
    """Made with the button, or from the cell it stands in; the same id twice is one decision."""
    who: str
    """Name of the teacher."""
    when: str
    """UTC, as ISO 8601 text, e.g. '2026-03-02T14:05:09+00:00'."""
    set: SetName
    number: int
    """Its number among the decisions about the same thing, from 1: one more than the last that its maker saw."""
    student: str = ""
    """Code of the student; empty where it is about the whole set."""
    criterion: str = ""
    cell: str = ""
    """Item, and row after a stroke where the item is a column: 'T_end', 'V/3'."""
    was: str = ""
    """What stood before, as its maker saw it."""
    why: str = ""
    source: str = ""
    """File, sheet and cell for what came out of a workbook; empty for what was decided at the desk."""
    input: str = ""
    """SHA-256 of the file in which the student's work stood."""
    edition: str = ""
    """Edition of the rubric."""
    program: str = ""
    """Version of the program."""


class MarkGiven(Decision, frozen=True, kw_only=True):
    """So many marks for a criterion: where the mark waited, or against what was worked out, which takes a reason."""

    name: ClassVar[str] = "mark-given"
    about: ClassVar[str] = "mark"
    changes_marks: ClassVar[bool] = True

    marks: int
    saw: str = ""
    """Fingerprint of what was written when it was decided; see ``state.seen``."""


class PutOff(Decision, frozen=True, kw_only=True):
    """Looked at, and left for later."""

    name: ClassVar[str] = "put-off"
    about: ClassVar[str] = "mark"


class TakenBack(Decision, frozen=True, kw_only=True):
    """The last decision about this mark that stands is taken back; the one before it counts again."""

    name: ClassVar[str] = "taken-back"
    about: ClassVar[str] = "mark"
    changes_marks: ClassVar[bool] = True


class CellMended(Decision, frozen=True, kw_only=True):
    """What a cell should say; the file itself is never changed."""

    name: ClassVar[str] = "cell-mended"
    about: ClassVar[str] = "cell"
    changes_marks: ClassVar[bool] = True

    entry: str
    """As the teacher types it, number and unit."""


class CommentWritten(Decision, frozen=True, kw_only=True):
    """A teacher's own words on a student's sheet; empty words take the comment off."""

    name: ClassVar[str] = "comment-written"
    about: ClassVar[str] = "comment"

    text: str


class SentenceMended(Decision, frozen=True, kw_only=True):
    """What a student's sheet says of something found, in a teacher's words; empty words bring the program's back."""

    name: ClassVar[str] = "sentence-mended"
    about: ClassVar[str] = "sentence"

    text: str
    saw: str = ""
    """Fingerprint of what was written; see ``state.seen``."""


class WorkMarked(Decision, frozen=True, kw_only=True):
    """What a student's work came to when it was last marked, where that is something new; no person decides it.

    By these lines the record tells of earlier practicals, whose files may be gone.
    """

    name: ClassVar[str] = "work-marked"
    about: ClassVar[str] = "work"

    marks: tuple[str, ...]
    """Criterion, marks and marks that can be had: 'P1 1/1'; 'P1 -/1' while it waits."""
    slips: tuple[str, ...]
    """Kind of slip, and kind of check that showed it: 'unit-missing unit'."""
    sound: tuple[str, ...]
    """Kinds of check that found everything right."""


class SetRead(Decision, frozen=True, kw_only=True):
    """Files of a set were read for the first time; they are known by their contents, wherever they are moved."""

    name: ClassVar[str] = "set-read"
    about: ClassVar[str] = "files"

    hashes: tuple[str, ...]
    """SHA-256 of each file not seen before, in order."""


class Signed(Decision, frozen=True, kw_only=True):
    """A teacher has looked through the marks of the set and puts a name to them."""

    name: ClassVar[str] = "signed"
    about: ClassVar[str] = "set"


class Closed(Decision, frozen=True, kw_only=True):
    """No mark of the set changes from now on."""

    name: ClassVar[str] = "closed"
    about: ClassVar[str] = "set"


class Reopened(Decision, frozen=True, kw_only=True):
    """Marks may change again, for the reason given."""

    name: ClassVar[str] = "reopened"
    about: ClassVar[str] = "set"


class Erased(Decision, frozen=True, kw_only=True):
    """All that was personal about a student of a class was erased; the set names the class and no practical."""

    name: ClassVar[str] = "erased"
    about: ClassVar[str] = "person"


class ModerationRuled(Decision, frozen=True, kw_only=True):
    """What becomes of a marker's first marks, or of a criterion, after a round of moderation.

    The cell holds the word of the round: rulings of each are numbered from 1.
    """

    name: ClassVar[str] = "moderation-ruled"
    about: ClassVar[str] = "moderation"

    ruling: str
    """A word of ``marking.moderation.decisions.Ruling``."""
    marker: str = ""
    point: str = ""
    """Code of the criterion that it is about."""
    slope: float = 1.0
    """Of an adjustment: new = slope × mark + constant, on the marks that people give."""
    constant: float = 0.0
    out_of: int = 0
    pairs: int = 0
    round: str = ""
    """Hash over the packs that it rests on."""
    classes: tuple[str, ...] = ()
    """Whose marks it is about, as the record calls them; empty in what an older program wrote."""


class RoundBegun(Decision, frozen=True, kw_only=True):
    """The first decision of a round is taken: from now on this round counts for its classes, and no earlier one.

    The cell holds the word of the round, as in every decision on moderation.
    """

    name: ClassVar[str] = "round-begun"
    about: ClassVar[str] = "round"

    classes: tuple[str, ...]
    """As the record calls them."""


class ModerationUndone(Decision, frozen=True, kw_only=True):
    """An earlier ruling does not stand any more."""

    name: ClassVar[str] = "moderation-undone"
    about: ClassVar[str] = "moderation"

    undoes: int
    """Number of the ruling."""


class ModerationSigned(Decision, frozen=True, kw_only=True):
    """A first marker, a second marker or the head of department puts a name to a version of the moderated marks."""

    name: ClassVar[str] = "moderation-signed"
    about: ClassVar[str] = "moderation"

    role: str
    version: str
    """Hash of what was signed."""
    account: str = ""
    """Under which account its maker had signed in; empty where the name was typed and nothing proves it."""


class ModerationReopened(Decision, frozen=True, kw_only=True):
    """Signed marks may be moderated again, for the reason given."""

    name: ClassVar[str] = "moderation-reopened"
    about: ClassVar[str] = "moderation"


class SecondMarkGiven(Decision, frozen=True, kw_only=True):
    """A second marker's mark for one criterion of a script that is known by its code alone; the last one counts.

    The cell holds the pack and the code: '1f0c9a77e2b4d650/KT42'.
    """

    name: ClassVar[str] = "second-mark-given"
    about: ClassVar[str] = "second-mark"

    marks: int


class SecondRemarkWritten(Decision, frozen=True, kw_only=True):
    """What a second marker says about a script; empty words take it off."""

    name: ClassVar[str] = "second-remark-written"
    about: ClassVar[str] = "second-remark"

    text: str


class PackHandedIn(Decision, frozen=True, kw_only=True):
    """A second marker has marked every script of a pack, and marks none of it again."""

    name: ClassVar[str] = "pack-handed-in"
    about: ClassVar[str] = "second-pack"

    marks: str
    """Hash over all that was given."""


class PackGivenBack(Decision, frozen=True, kw_only=True):
    """A pack that was handed in may be marked again, for the reason given."""

    name: ClassVar[str] = "pack-given-back"
    about: ClassVar[str] = "second-pack"


class AppealAsked(Decision, frozen=True, kw_only=True):
    """A student asks for a review of one mark; the day counts."""

    name: ClassVar[str] = "appeal-asked"
    about: ClassVar[str] = "appeal"


class AppealPassedOn(Decision, frozen=True, kw_only=True):
    """A question is given to one teacher, who did not mark it first and may look at this work from now on."""

    name: ClassVar[str] = "appeal-passed-on"
    about: ClassVar[str] = "appeal"

    reviewer: str


class AppealAnswered(Decision, frozen=True, kw_only=True):
    """A teacher who did not mark it first has looked at the mark, seeing everything."""

    name: ClassVar[str] = "appeal-answered"
    about: ClassVar[str] = "appeal"

    outcome: str
    """upheld, raised, lowered, or scheme-unclear."""
    marks: int
    """What counts from now on."""


KINDS: dict[str, type[Decision]] = {
    kind.name: kind
    for kind in (
        MarkGiven,
        PutOff,
        TakenBack,
        CellMended,
        CommentWritten,
        SentenceMended,
        WorkMarked,
        SetRead,
        Signed,
        Closed,
        Reopened,
        Erased,
        RoundBegun,
        ModerationRuled,
        ModerationUndone,
        ModerationSigned,
        ModerationReopened,
        SecondMarkGiven,
        SecondRemarkWritten,
        PackHandedIn,
        PackGivenBack,
        AppealAsked,
        AppealPassedOn,
        AppealAnswered,
    )
}
"""A new kind is one more line here."""

_SHARED = frozenset(Decision.__struct_fields__)


def own_fields(kind: type[Decision]) -> tuple[str, ...]:
    """Return the names of the fields in which a kind says what it decides."""
    return tuple(name for name in kind.__struct_fields__ if name not in _SHARED)
