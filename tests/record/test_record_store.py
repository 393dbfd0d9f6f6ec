"""What is put into the record comes out, once, in order; the second of two writers is refused and sees both."""

from __future__ import annotations

import threading

import pytest
from msgspec import structs

from marking.decided.decisions import (
    KINDS,
    AppealAnswered,
    AppealAsked,
    AppealPassedOn,
    CellMended,
    Closed,
    CommentWritten,
    Erased,
    ModerationReopened,
    ModerationRuled,
    ModerationSigned,
    ModerationUndone,
    PackGivenBack,
    PackHandedIn,
    PutOff,
    Reopened,
    RoundBegun,
    SecondMarkGiven,
    SecondRemarkWritten,
    SentenceMended,
    SetRead,
    Signed,
    TakenBack,
    WorkMarked,
)
from marking.record.chain import breaks
from marking.record.opening import open_record
from marking.record.store import OvertakenError, Record, SetClosedError
from tests.record.making import BLOCK, WIRE, a_mark, a_step

ONE_OF_EACH = (
    a_mark(marks=2, source="10A.xlsx, Ticks!D7", was="1", input="ab" * 32, edition="3", program="0.1.0", saw="c0ffee"),
    a_step(PutOff, 2, student="A03", criterion="V1"),
    a_step(TakenBack, 3, student="A03", criterion="V1"),
    a_step(CellMended, 1, student="A03", cell="V/3", was="l.2 V", entry="1.2 V"),
    a_step(CommentWritten, 1, student="A03", text="Well kept table.\nΩ, “quoted”, 0 \\ 1"),
    a_step(SentenceMended, 1, student="A03", criterion="V1", cell="c/value-wrong/sign", text="Say why.", saw="c0ffee"),
    a_step(WorkMarked, 1, student="A03", marks=("V1 -/2",), slips=("unit-missing unit",), sound=("value",)),
    a_step(RoundBegun, 1, cell="c0ffee", classes=("10A", "10B")),
    a_step(ModerationRuled, 1, ruling="adjust", marker="Mr Reed", slope=0.9, constant=-0.5, out_of=9, pairs=12),
    a_step(ModerationUndone, 2, undoes=1),
    a_step(ModerationSigned, 3, role="head", version="c0ffee"),
    a_step(ModerationReopened, 4, why="a parent asked"),
    a_step(SecondMarkGiven, 1, cell="c0ffee/KT42", criterion="K1", marks=1),
    a_step(SecondRemarkWritten, 1, cell="c0ffee/KT42", text="no scale on the graph"),
    a_step(PackHandedIn, 1, cell="c0ffee", marks="00" * 32),
    a_step(PackGivenBack, 2, cell="c0ffee", why="K1 was misread"),
    a_step(AppealAsked, 1, student="A03", criterion="V1"),
    a_step(AppealPassedOn, 2, student="A03", criterion="V1", reviewer="Dr Osei"),
    a_step(AppealAnswered, 3, student="A03", criterion="V1", outcome="raised", marks=2),
    a_step(SetRead, 1, hashes=("00" * 32, "11" * 32)),
    a_step(Signed, 1),
    a_step(Closed, 2),
    a_step(Reopened, 3, why="a parent asked"),
)


def test_every_kind_is_here() -> None:
    """A kind that is added is tried here, too; only Erased has a door of its own."""
    assert {type(one) for one in ONE_OF_EACH} | {Erased} == set(KINDS.values())
    assert all(name == kind.name for name, kind in KINDS.items())


def test_what_goes_in_comes_out(record: Record) -> None:
    """Every kind, with all its fields, in the order in which it was decided, and the chain holds."""
    record.add(ONE_OF_EACH)
    assert record.decisions(WIRE) == ONE_OF_EACH
    assert record.decisions(BLOCK) == ()
    assert record.decisions(WIRE, about="set") == ONE_OF_EACH[-3:]
    assert record.sets() == (WIRE,)
    assert breaks(record.whole()) == ()
    assert record.end()[0] == len(ONE_OF_EACH)


def test_a_double_submit_is_one_decision(record: Record) -> None:
    """The same id again changes nothing, and is answered as the first time."""
    decision = a_mark()
    assert record.add([decision]) == record.add([decision])
    assert record.decisions(WIRE) == (decision,)


def test_the_later_window_is_refused_and_shown_both(record: Record) -> None:
    """Two windows show the same mark; the second to decide hears of the first, and nothing is written."""
    first, second = a_mark(1, marks=1), a_mark(1, marks=0, who="Mr Reed")
    record.add([first])
    with pytest.raises(OvertakenError) as refused:
        record.add([second])
    assert (refused.value.mine, refused.value.theirs) == (second, first)
    assert "Ms Hale" in str(refused.value)
    assert record.decisions(WIRE) == (first,)


@pytest.mark.parametrize("number", [0, 2, 5])
def test_a_number_out_of_turn_is_refused(record: Record, number: int) -> None:
    """A number that was never due is as stale as one that is taken."""
    with pytest.raises(OvertakenError):
        record.add([a_mark(number)])
    assert record.decisions(WIRE) == ()


def test_like_answers_are_decided_all_or_none(record: Record) -> None:
    """One of them was decided meanwhile: none of the others is written."""
    record.add([a_mark(student="A05")])
    with pytest.raises(OvertakenError):
        record.add([a_mark(student="A03"), a_mark(student="A05"), a_mark(student="A09")])
    assert [one.student for one in record.decisions(WIRE)] == ["A05"]


def test_things_are_numbered_apart(record: Record) -> None:
    """Another student, criterion, class, practical, version or kind of thing has numbers of its own."""
    other_class = structs.replace(WIRE, class_name="10B")
    record.add(
        [
            a_mark(),
            a_mark(student="A04"),
            a_mark(criterion="V2"),
            a_mark(cell="again"),
            a_mark(set=BLOCK),
            a_mark(set=other_class),
            a_step(CommentWritten, 1, student="A03", text="Good."),
            a_mark(2),
        ]
    )
    assert record.sets() == (BLOCK, WIRE, other_class)


def test_a_closed_set_refuses_marks_until_it_is_reopened(record: Record) -> None:
    """Comments go on; a mark needs the set reopened. Another set is not touched."""
    record.add([a_mark(), a_step(Signed, 1), a_step(Closed, 2)])
    for late in (
        a_mark(2),
        a_step(TakenBack, 2, student="A03", criterion="V1"),
        a_step(CellMended, 1, cell="m", entry="1"),
    ):
        with pytest.raises(SetClosedError):
            record.add([late])
    record.add([a_step(CommentWritten, 1, student="A03", text="Good."), a_mark(set=BLOCK)])
    record.add([a_step(Reopened, 3, why="a parent asked"), a_mark(2, marks=0)])
    assert record.decisions(WIRE)[-1].number == 2


def test_signs_that_no_database_keeps_are_shown_as_such(record: Record) -> None:
    """A nought byte or half a sign in a student's text or a reason stops nothing."""
    record.add([a_mark(why="a\x00b\ud800c", was="\x00"), a_step(CommentWritten, 1, student="A03", text="x\x00\ud800y")])
    mark, comment = record.decisions(WIRE)
    assert (mark.why, mark.was) == ("a\ufffdb\ufffdc", "\ufffd")
    assert isinstance(comment, CommentWritten)
    assert comment.text == "x\x00\ud800y"
    assert breaks(record.whole()) == ()


def test_many_writers_at_once_make_one_chain(address: str) -> None:
    """Eight windows decide at once: every acknowledged decision is there once, and the chain has one end."""
    open_record(address, may_begin=True).close()
    kept: list[str] = []
    refused: list[str] = []

    def decide(window: int) -> None:
        mine = open_record(address, may_begin=False)
        for number in range(1, 9):
            decision = a_mark(number, id=f"w{window}-{number}", student="A03")
            own = a_mark(1, id=f"o{window}-{number}", student=f"B{window}", criterion=f"V{number}")
            try:
                mine.add([decision])
                kept.append(decision.id)
            except OvertakenError:
                refused.append(decision.id)
            mine.add([own])
            kept.append(own.id)
        mine.close()

    windows = [threading.Thread(target=decide, args=(window,)) for window in range(8)]
    for window in windows:
        window.start()
    for window in windows:
        window.join()
    record = open_record(address, may_begin=False)
    held = record.whole()
    assert breaks(held) == ()
    assert sorted(line.id for line in held.lines) == sorted(kept)
    assert len(kept) + len(refused) == 8 * 16
    assert len([one for one in kept if one.startswith("w")]) == max(
        one.number for one in record.decisions(WIRE) if one.student == "A03"
    )
    record.close()
