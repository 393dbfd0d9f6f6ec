"""Who may sign a round, and when: every first marker for the own classes, a second marker, the head of department."""

from __future__ import annotations

from marking.moderation.comparing import Comparison
from marking.moderation.decisions.standings import SigningRole, Standing
from rubrics.faults import InputError
from rubrics.formulas import listed


def refuse_signature(found: Comparison, state: Standing, role: SigningRole, who: str) -> None:
    """Refuse a signature out of turn, or one that is not the signer's to give; otherwise do nothing.

    A second marker has first marks of their own as a rule, and signs for both. The head of department is somebody else
    than the second marker who has signed.

    Raises:
        InputError: It is refused.
    """
    if role is not SigningRole.HEAD and who not in may_sign_as(found, role):
        known = ", ".join(may_sign_as(found, role)) or "nobody: no pack is back"
        raise InputError(who, f"is no {role.value} of this round", f"sign as one of {known}")
    _refuse_twice(state, role, who)
    order = "sign in order: all first markers, second marker, head"
    if role is not SigningRole.FIRST_MARKER and state.unsigned:
        waits = listed(list(state.unsigned), most=9)
        raise InputError(who, f"of the first markers there is no signature yet of {waits}", order)
    if role is SigningRole.HEAD and not state.signed_as(SigningRole.SECOND_MARKER):
        raise InputError(who, "the second-marker has not signed yet", order)
    if role is SigningRole.HEAD and who in state.signed_as(SigningRole.SECOND_MARKER):
        raise InputError(who, "has signed as second-marker, and nobody signs for two", "let another person sign")


def _refuse_twice(state: Standing, role: SigningRole, who: str) -> None:
    given = state.signed_as(role)
    if given and (role is not SigningRole.FIRST_MARKER or who in given):
        raise InputError(who, f"{given[0]} has signed as {role.value}", "leave it at that")


def may_sign_as(found: Comparison, role: SigningRole) -> tuple[str, ...]:
    """Return who marked first, or second; the head of department is known by the account alone."""
    if role is SigningRole.FIRST_MARKER:
        return found.key.markers
    return tuple(sorted({one.line.second_marker for one in found.looks}))
