"""A ruling, an adjustment or a role as somebody asks for it in words: understood, or refused with what to do."""

from __future__ import annotations

from collections.abc import Sequence

from marking.moderation.comparing import Comparison
from marking.moderation.decisions import Proposal, Ruling, SigningRole
from marking.moderation.joint import FEWEST_PAIRS, Adjustment
from rubrics.faults import InputError

_ABOUT_A_MARKER = frozenset({Ruling.ADJUST, Ruling.REMARK_CLASS, Ruling.ACCEPT, Ruling.CORRECT})
_ABOUT_A_CRITERION = frozenset({Ruling.REMARK_CRITERION, Ruling.CLARIFY})


def asked_ruling(said: str, marker: str, criterion: str, found: Comparison) -> Ruling:
    """Return the ruling that *said* names.

    Raises:
        InputError: There is none, or it does not say about whom or what.
    """
    known = {one.value: one for one in Ruling}
    if said not in known:
        raise InputError(said, "this is no ruling", f"use one of {', '.join(known)}")
    ruling = known[said]
    if marker and marker not in found.key.markers:
        raise InputError(marker, "nobody of this name marked", f"use one of {', '.join(found.key.markers)}")
    if ruling in _ABOUT_A_MARKER and not marker:
        raise InputError(ruling.value, "this is about one marker's marks", "say whose after --marker")
    codes = [line.code for line in found.key.scheme]
    if ruling in _ABOUT_A_CRITERION and criterion not in codes:
        mend = f"use one of {', '.join(codes)} after --criterion"
        raise InputError(ruling.value, "this is about one criterion", mend)
    return ruling


def asked_adjustment(
    ruling: Ruling, marker: str, constant: float | None, found: Comparison, proposed: Sequence[Proposal]
) -> Adjustment | None:
    """Return the adjustment asked for: by a constant of one's own, else as proposed; None for other rulings.

    Raises:
        InputError: None is proposed, or fewer pairs than adjusting takes.
    """
    if ruling is not Ruling.ADJUST:
        return None
    own = next((one.adjustment for one in proposed if one.marker == marker and one.adjustment), None)
    if constant is None:
        if own is None:
            raise InputError(marker, "no adjustment is proposed", "say by how much after --constant")
        return own
    pairs = found.table.scripts_of(marker)
    if pairs < FEWEST_PAIRS:
        problem = f"only {pairs} scripts were drawn and second-marked, and adjusting takes {FEWEST_PAIRS}"
        raise InputError(marker, problem, "sample more of this marker first")
    out_of = sum(found.table.out_of)
    return Adjustment(marker=marker, slope=1.0, constant=constant, out_of=out_of, pairs=pairs)


def asked_role(said: str) -> SigningRole:
    """Return the role that *said* names.

    Raises:
        InputError: Nobody signs as that.
    """
    known = {one.value: one for one in SigningRole}
    if said not in known:
        raise InputError(said, "nobody signs as this", f"sign as {', '.join(known)}, in this order")
    return known[said]
