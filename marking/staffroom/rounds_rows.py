"""A round in a line: how many packs are back, and what comes next."""

from __future__ import annotations

from marking.staffroom.pages import RoundRow
from marking.staffroom.rounds_at_hand import Round
from marking.staffroom.staff import StaffDesk
from rubrics.faults import InputError


def round_row(desk: StaffDesk, one: Round) -> RoundRow:
    """Return a round for the list."""
    key = one.first.key
    back = len(desk.room.rounds.returned(one))
    packs = sum(len(stage.key.packs) for stage in one.stages)
    return RoundRow(
        name=one.name,
        title=key.title,
        kind="together" if one.is_together else "sample",
        stages=len(one.stages),
        scripts=sum(len(stage.key.lines) for stage in one.stages),
        back=back,
        packs=packs,
        state=_state(desk, one, is_back=back == packs),
    )


def _state(desk: StaffDesk, one: Round, *, is_back: bool) -> str:
    if desk.is_blind(one.first.key.practical):
        return "blind"
    if one.is_together:
        return "back" if is_back else "out"
    try:
        state = desk.room.rounds.standing(desk.figures(one))
    except InputError:
        return "reading"
    if state.is_locked:
        return "signed"
    return "ruled" if state.rulings else "back" if is_back else "out"
