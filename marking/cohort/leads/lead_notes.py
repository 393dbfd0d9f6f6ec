"""Readings worth a look: too like another bench's, too near book values, too even; answers that came from elsewhere.

A lead is a reason to look and to ask, never a finding: it touches no mark, reaches no student's sheet, and says
how often honest work would show as much. Partners at one bench share their readings by right and are told as one.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from marking.class_notes import ClassNote, NoteKind
from marking.cohort.copies import Alike, WrongAlike, alike_pages, wrong_alike
from marking.cohort.evidence import Partners, luck_in_words, partners_in
from marking.cohort.leads.too_even import TooEven, too_even
from marking.cohort.leads.worked_back import WorkedBack, worked_back
from marking.findings import MarkedSet
from marking.write_up import WriteUp
from rubrics.formulas import listed
from rubrics.model import Rubric

COPIED_CHANCE = 0.001
"""At most this share of honest write-ups has a lead for readings like another bench's. All four kinds together stay
within 1 in 500."""
WORKED_BACK_CHANCE = 0.0005
EVEN_CHANCE = 0.00025
WRONG_CHANCE = 0.00025

ASK = "This is a reason to look and to ask, not a finding; no mark depends on it."


def lead_notes(marked: MarkedSet) -> tuple[ClassNote, ...]:
    """Return the leads of one practical, copied readings first."""
    return leads_in(None, (marked.rubric, [script.write_up for script in marked.scripts]))


def leads_in(_: object, one: tuple[Rubric, Sequence[WriteUp]]) -> tuple[ClassNote, ...]:
    """Return the same of write-ups that nobody has marked yet: a job that any process can do."""
    rubric, write_ups = one
    return tuple(_notes(rubric, partners_in(rubric, write_ups)))


def _notes(rubric: Rubric, partners: Sequence[Partners]) -> Iterator[ClassNote]:
    copied = alike_pages(rubric, partners, COPIED_CHANCE)
    for alike in copied:
        yield _copied(rubric, partners, alike)
    for back in worked_back(rubric, partners, WORKED_BACK_CHANCE):
        yield _worked_back(rubric, partners[back.group], back)
    for even in too_even(rubric, partners, EVEN_CHANCE):
        yield _too_even(rubric, partners[even.group], even)
    known = {(one.first, one.second) for one in copied}
    for wrong in wrong_alike(rubric, partners, WRONG_CHANCE):
        if (wrong.first, wrong.second) not in known:
            yield _wrong_alike(rubric, partners, wrong)


def _copied(rubric: Rubric, partners: Sequence[Partners], alike: Alike) -> ClassNote:
    first, second = partners[alike.first], partners[alike.second]
    more = " Figures that do not fit the rest of one page are like those of the other." if alike.explains else ""
    message = (
        f"{_who(first)} and {_who(second)} wrote the same figures in {alike.same} of {alike.of} readings, and they are "
        f"alike in the others as far as digits go.{more} {luck_in_words(alike.chance, of='honest write-ups')} {ASK}"
    )
    return _lead(rubric, (first, second), alike.items, message, alike.chance)


def _worked_back(rubric: Rubric, one: Partners, back: WorkedBack) -> ClassNote:
    names = _symbols(rubric, back.items)
    message = (
        f"{_who(one)}: {back.fits} of {back.of} values of {names} are book values to the last digit of the readings, "
        f"as if the readings had been worked back from them. {luck_in_words(back.chance, of='honest write-ups')} {ASK}"
    )
    return _lead(rubric, (one,), back.items, message, back.chance)


def _too_even(rubric: Rubric, one: Partners, even: TooEven) -> ClassNote:
    message = (
        f"{_who(one)}: {even.points} points lie on a straight line more closely than the last digits of "
        f"{_symbols(rubric, even.items)} allow. {luck_in_words(even.chance, of='honest write-ups')} {ASK}"
    )
    return _lead(rubric, (one,), even.items, message, even.chance)


def _wrong_alike(rubric: Rubric, partners: Sequence[Partners], wrong: WrongAlike) -> ClassNote:
    first, second = partners[wrong.first], partners[wrong.second]
    message = (
        f"{_who(first)} and {_who(second)} have different readings and the same answers in {wrong.same} of {wrong.of} "
        f"places ({_symbols(rubric, wrong.items)}), though they do not follow from the readings of both. "
        f"{luck_in_words(wrong.chance, of='honest write-ups')} {ASK}"
    )
    return _lead(rubric, (first, second), wrong.items, message, wrong.chance)


def _who(one: Partners) -> str:
    place = f"bench {one.bench}" if one.bench else "no bench given"
    if one.share_readings:
        return f"{listed(one.students)} ({place}, who share their readings as partners do)"
    return f"{listed(one.students)} ({place})"


def _symbols(rubric: Rubric, items: Sequence[str]) -> str:
    return listed(tuple(rubric.items[name].symbol for name in items))


def _lead(rubric: Rubric, groups: Sequence[Partners], items: tuple[str, ...], message: str, chance: float) -> ClassNote:
    benches = tuple(dict.fromkeys(one.bench for one in groups if one.bench))
    return ClassNote(
        kind=NoteKind.LEAD,
        practical=rubric.id,
        message=message,
        bench=";".join(benches),
        students=tuple(code for one in groups for code in one.students),
        items=items,
        chance=chance,
    )
