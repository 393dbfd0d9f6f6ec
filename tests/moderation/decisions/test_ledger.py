"""Rulings are taken down with name and reason, undone as easily, signed in order, and locked."""

from __future__ import annotations

import datetime
import itertools
from collections.abc import Iterator

import pytest
from msgspec import structs

from marking.decided import MarkGiven, SetName, SetRead
from marking.moderation.comparing import Comparison, compare
from marking.moderation.decisions import AppealOutcome, Ledger, Ruling, SigningRole, answer, appeals, ask
from marking.moderation.decisions.appeals import school_days
from marking.moderation.joint import Adjustment
from marking.record import (
    Maker,
    Record,
    SetClosedError,
    adjustment_in,
    breaks,
    open_record,
)
from rubrics.faults import InputError
from tests.moderation.scripts import round_of

NUMBERS = itertools.count(1)
NAME = SetName(class_name="9A", practical="p")


@pytest.fixture
def record() -> Iterator[Record]:
    """A record in memory."""
    held = open_record(":memory:", may_begin=True)
    yield held
    held.close()


@pytest.fixture(scope="module")
def found() -> Comparison:
    """A round of four markers, one of them off."""
    key, back = round_of({"Ann": 0, "Ben": -1, "Cy": 0, "Di": 0})
    return compare([key], back)


def maker(who: str, day: str = "2026-03-02") -> Maker:
    """Return somebody who decides."""
    return Maker(who=who, now=lambda: f"{day}T09:00:00+00:00", fresh=lambda: f"id {next(NUMBERS)}", program="1")


def test_a_ruling_has_a_name_and_a_reason(record: Record, found: Comparison) -> None:
    """Without either nothing is written."""
    for who, why in (("", "a reason"), ("Dr Hale", " ")):
        with pytest.raises(InputError):
            Ledger(record, found, maker(who)).rule(Ruling.ACCEPT, marker="Ann", why=why)
    assert Ledger(record, found, maker("Dr Hale")).standing().rulings == ()


def test_an_adjustment_stands_until_it_is_undone(record: Record, found: Comparison) -> None:
    """The version changes with it, and comes back when it is undone; the record stays whole."""
    ledger = Ledger(record, found, maker("Dr Hale"))
    before = ledger.standing().version
    fitted = Adjustment(marker="Ben", slope=1.0, constant=1.0, out_of=8, pairs=20)
    made = ledger.rule(Ruling.ADJUST, marker="Ben", adjustment=fitted, why="a mark severe")
    assert ledger.standing().adjustments == {"Ben": fitted}
    assert ledger.standing().version != before
    with pytest.raises(InputError, match="no ruling of this number"):
        ledger.undo(99, why="x")
    ledger.undo(made.number, why="looked again")
    assert ledger.standing().adjustments == {}
    assert ledger.standing().version == before
    assert breaks(record.whole()) == ()


def sign_first(record: Record, found: Comparison, but: str = "") -> None:
    """Sign as each first marker *but* one."""
    for name in found.key.markers:
        if name != but:
            Ledger(record, found, maker(name)).sign(SigningRole.FIRST_MARKER)


def test_signing_goes_in_order_and_each_for_themselves(record: Record, found: Comparison) -> None:
    """Every first marker, a second marker, the head; no stranger, nobody twice, and then it is locked."""
    second, head_role = SigningRole.SECOND_MARKER, SigningRole.HEAD
    with pytest.raises(InputError, match="no signature yet of Ann, Ben, Cy and Di"):
        Ledger(record, found, maker("Dr Hale")).sign(head_role)
    for role in (SigningRole.FIRST_MARKER, second):
        with pytest.raises(InputError, match=f"no {role.value} of this round"):
            Ledger(record, found, maker("Dr Hale")).sign(role)
    sign_first(record, found, but="Cy")
    with pytest.raises(InputError, match="no signature yet of Cy"):
        Ledger(record, found, maker("Ben")).sign(second)
    with pytest.raises(InputError, match="has signed as first-marker"):
        Ledger(record, found, maker("Ann")).sign(SigningRole.FIRST_MARKER)
    Ledger(record, found, maker("Cy")).sign(SigningRole.FIRST_MARKER)
    with pytest.raises(InputError, match="second-marker has not signed"):
        Ledger(record, found, maker("Dr Hale")).sign(head_role)
    Ledger(record, found, maker("Ben")).sign(second)
    with pytest.raises(InputError, match="Ben has signed as second-marker"):
        Ledger(record, found, maker("Cy")).sign(second)
    with pytest.raises(InputError, match="nobody signs for two"):
        Ledger(record, found, maker("Ben")).sign(head_role)
    head = Ledger(record, found, maker("Dr Hale"))
    signed = head.sign(head_role)
    state = head.standing()
    assert state.is_locked
    assert state.turn is None
    assert signed.version == state.version
    with pytest.raises(InputError, match="locked"):
        head.rule(Ruling.ACCEPT, marker="Ann", why="late thought")
    with pytest.raises(InputError, match="reason"):
        head.reopen(why="")
    head.reopen(why="a late script")
    assert not head.standing().is_locked
    head.rule(Ruling.ACCEPT, marker="Ann", why="late thought")


def test_a_head_who_marked_a_class_signs_for_it_as_well(record: Record, found: Comparison) -> None:
    """Once as a first marker, once as the head."""
    sign_first(record, found)
    Ledger(record, found, maker("Ben")).sign(SigningRole.SECOND_MARKER)
    head = Ledger(record, found, maker("Ann"))
    head.sign(SigningRole.HEAD)
    assert head.standing().is_locked


def test_two_first_markers_may_have_seen_the_same_page(record: Record, found: Comparison) -> None:
    """A signature changes no mark, so it takes nobody else's away; a ruling does."""
    saw = Ledger(record, found, maker("Ann")).standing().seen
    for name in ("Ann", "Ben"):
        Ledger(record, found, maker(name), saw=saw).sign(SigningRole.FIRST_MARKER)
    Ledger(record, found, maker("Dr Hale")).rule(Ruling.ACCEPT, marker="Ann", why="sound")
    with pytest.raises(InputError, match="changed meanwhile"):
        Ledger(record, found, maker("Cy"), saw=saw).sign(SigningRole.FIRST_MARKER)


def test_a_ruling_after_a_signature_asks_for_new_signatures(record: Record, found: Comparison) -> None:
    """What was signed is another version, and that is told."""
    Ledger(record, found, maker("Ann")).sign(SigningRole.FIRST_MARKER)
    ledger = Ledger(record, found, maker("Dr Hale"))
    ledger.rule(Ruling.ACCEPT, marker="Ann", why="all within tolerance")
    assert ledger.standing().signatures == ()
    assert [one.who for one in ledger.standing().outdated] == ["Ann"]
    assert ledger.standing().unsigned == found.key.markers


def next_year() -> Comparison:
    """Return a round of the same classes in other packs: nobody is off any more."""
    key, back = round_of({"Ann": 0, "Ben": 0, "Cy": 0, "Di": 0})
    key = structs.replace(key, packs={marker: f"new {pack}" for marker, pack in key.packs.items()})
    return compare([key], [structs.replace(one, pack=f"new {one.pack}") for one in back])


def test_a_round_of_the_next_year_starts_anew(record: Record, found: Comparison) -> None:
    """The same practical in the same record: rulings and signatures of last year say nothing about this year's."""
    fitted = Adjustment(marker="Ben", slope=1.0, constant=1.0, out_of=8, pairs=20)
    old = Ledger(record, found, maker("Dr Hale"))
    old.rule(Ruling.ADJUST, marker="Ben", adjustment=fitted, why="a mark severe")
    sign_first(record, found)
    ledger = Ledger(record, next_year(), maker("Dr Hale"))
    assert ledger.standing().rulings == ledger.standing().signatures == ()
    assert ledger.standing().adjustments == {}
    made = ledger.rule(Ruling.ACCEPT, marker="Ben", why="sound now")
    assert made.number == 1
    assert [one.ruling for one in old.standing().rulings] == ["adjust"]
    assert old.standing().unsigned == ()
    assert breaks(record.whole()) == ()


def test_the_newest_round_counts_for_a_class(record: Record, found: Comparison) -> None:
    """Last year's adjustment counts no more for a class once anything is decided in a new round of it."""
    fitted = Adjustment(marker="Ben", slope=1.0, constant=1.0, out_of=8, pairs=20)
    Ledger(record, found, maker("Dr Hale")).rule(Ruling.ADJUST, marker="Ben", adjustment=fitted, why="a mark severe")
    own = next(SetName(class_name=one.class_name, practical="p") for one in found.key.cohort if one.marker == "Ben")
    other = next(SetName(class_name=one.class_name, practical="p") for one in found.key.cohort if one.marker == "Ann")
    assert adjustment_in(record, own) is not None
    assert adjustment_in(record, other) is None
    later = Ledger(record, next_year(), maker("Dr Hale"))
    later.rule(Ruling.ACCEPT, marker="Ann", why="sound")
    assert adjustment_in(record, own) is None
    later.rule(Ruling.ADJUST, marker="Ben", adjustment=fitted, why="severe again")
    held = adjustment_in(record, own)
    assert held is not None
    assert held.why == "severe again"


def test_the_heads_signature_closes_the_sets(record: Record, found: Comparison) -> None:
    """No mark changes from then on without a reason; a set that was closed already is left as it is."""
    sign_first(record, found)
    Ledger(record, found, maker("Ben")).sign(SigningRole.SECOND_MARKER)
    mark = MarkGiven(
        id="m", who="Ann", when="2026-03-02T09:00:00+00:00", set=NAME, number=1, student="P1", criterion="K1", marks=1
    )
    unread = SetName(class_name="9B", practical="p")
    when = "2026-03-02T08:00:00+00:00"
    record.add([SetRead(id="r", who="Ann", when=when, set=NAME, number=1, hashes=("h",))])
    Ledger(record, found, maker("Dr Hale"), closes=(NAME, unread)).sign(SigningRole.HEAD)
    with pytest.raises(SetClosedError):
        record.add([mark])
    assert [(type(one).__name__, one.who) for one in record.decisions(NAME)][1:] == [("Closed", "Dr Hale")]
    assert record.decisions(unread) == ()


@pytest.mark.parametrize(("day", "is_in_time"), [("2026-03-13", True), ("2026-03-16", True), ("2026-03-17", False)])
def test_the_window_for_questions(record: Record, day: str, is_in_time: bool) -> None:
    """Ten school days after Monday 2 March end on Monday 16 March."""
    released = datetime.date(2026, 3, 2)
    if is_in_time:
        ask(record, NAME, maker("Ann", day), student="P1", criterion="K1", why="I named it", released=released)
        return
    with pytest.raises(InputError, match="window of 10 school days"):
        ask(record, NAME, maker("Ann", day), student="P1", criterion="K1", why="I named it", released=released)


def test_school_days_leave_weekends_and_holidays_out() -> None:
    """From a Friday to the Monday after is one day, or none where the school is closed."""
    friday, monday = datetime.date(2026, 3, 6), datetime.date(2026, 3, 9)
    assert school_days(friday, monday) == 1
    assert school_days(friday, monday, frozenset({monday})) == 0


def test_an_appeal_is_answered_by_somebody_else_and_may_go_down(record: Record) -> None:
    """The first marker does not judge; the outcome fits the mark; the new mark becomes a decision on the mark."""
    released = datetime.date(2026, 3, 2)
    ask(record, NAME, maker("Ann"), student="P1", criterion="K1", why="I named it", released=released)
    with pytest.raises(InputError, match="being looked at"):
        ask(record, NAME, maker("Ann"), student="P1", criterion="K1", why="again", released=released)
    said = {
        "student": "P1",
        "criterion": "K1",
        "why": "the value is named",
        "first_marker": "Ann",
        "was": 0,
        "out_of": 1,
    }
    with pytest.raises(InputError, match="did not mark it first"):
        answer(record, NAME, maker("Ann"), outcome=AppealOutcome.RAISED, marks=1, **said)
    with pytest.raises(InputError, match="is not 'lowered'"):
        answer(record, NAME, maker("Ben"), outcome=AppealOutcome.LOWERED, marks=1, **said)
    answer(record, NAME, maker("Ben"), outcome=AppealOutcome.RAISED, marks=1, **said)
    (one,) = appeals(record.decisions(NAME))
    assert one.answered is not None
    assert (one.answered.outcome, one.answered.who) == ("raised", "Ben")
    (given,) = record.decisions(NAME, about="mark")
    assert (given.student, given.criterion, given.marks, given.was) == ("P1", "K1", 1, "0")  # type: ignore[attr-defined]
    with pytest.raises(InputError, match="no question"):
        answer(record, NAME, maker("Ben"), outcome=AppealOutcome.RAISED, marks=1, **said)
