"""The marks of a round's classes as they stand now: what was decided since the draw counts in every total."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from msgspec import Struct, field, structs

from marking.decided import AppealAnswered, AppealAsked, Decision, SetName
from marking.moderation.comparing import Reviewed
from marking.moderation.packs import Key, Person
from marking.moderation.sampling import Candidate, ClassMarks, Undecided, candidates
from marking.record import Record


class MarksNow(Struct, frozen=True, kw_only=True):
    """Everybody of a round, as the marks stand now."""

    cohort: tuple[Person, ...]
    waiting: tuple[Undecided, ...] = ()
    """Scripts with a mark that waits for its teacher: they have no total."""
    reviews: Mapping[tuple[str, str], Reviewed] = field(default_factory=dict)
    """What students' questions have changed."""
    sets: tuple[SetName, ...] = ()
    """Of the classes of which no mark waits, as the record calls them."""


def marks_now(key: Key, classes: Sequence[ClassMarks], record: Record | None) -> MarksNow:
    """Return everybody of a round; of classes that are not at hand, as they stood when it was drawn.

    Args:
        key: Of the first stage.
        classes: Those at hand; only classes of the round count.
        record: Where students' questions are, if anywhere.
    """
    names = {one.kept_as or one.class_name: one.class_name for one in key.cohort}
    own = [_as_in(key, one, names[_kept(one)]) for one in classes if _kept(one) in names]
    ready, waiting = candidates(own)
    at_hand = {one.class_name for one in own}
    cohort = [one for one in key.cohort if one.class_name not in at_hand] + [person_of(one) for one in ready]
    asked = () if record is None else record.all_decisions(about=AppealAsked.about, practical=key.practical)
    not_whole = {one.class_name for one in waiting}
    whole = [_kept(one) for one in own if one.class_name not in not_whole]
    return MarksNow(
        cohort=tuple(sorted(cohort, key=lambda one: (one.class_name, one.student))),
        waiting=waiting,
        reviews=_reviews(ready, asked),
        sets=tuple(SetName(class_name=name, practical=key.practical) for name in sorted(whole)),
    )


def person_of(one: Candidate) -> Person:
    """Return a script as a key holds it."""
    return Person(
        student=one.student,
        class_name=one.class_name,
        marker=one.marker,
        eye_total=sum(one.marks[code] for code in one.eye),
        eye_out_of=one.eye_out_of,
        total=one.total,
        out_of=one.out_of,
        kept_as=one.kept_as,
    )


def _kept(one: ClassMarks) -> str:
    return one.kept_as or one.class_name


def _as_in(key: Key, one: ClassMarks, class_name: str) -> ClassMarks:
    """Return a class under the name and with the first marker that the key has for it, whoever has the class today."""
    known = next(each for each in key.cohort if each.class_name == class_name)
    return structs.replace(one, class_name=class_name, kept_as=known.kept_as, marker=known.marker)


def _reviews(ready: Sequence[Candidate], asked: Iterable[Decision]) -> dict[tuple[str, str], Reviewed]:
    """Return by how much the answers to students' questions changed each total, where their marks still stand."""
    answers = {
        (one.set.class_name, one.student, one.criterion): one for one in asked if isinstance(one, AppealAnswered)
    }
    found = {}
    for one in ready:
        changed = {
            code: mark - int(answer.was)
            for code, mark in one.marks.items()
            if (answer := answers.get((one.kept_as or one.class_name, one.student, code))) and answer.marks == mark
        }
        if any(changed.values()):
            eye = sum(by for code, by in changed.items() if code in one.eye)
            found[one.class_name, one.student] = Reviewed(total=sum(changed.values()), eye=eye)
    return found
