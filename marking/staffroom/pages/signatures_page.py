"""Signatures: what is signed, who has, and what this person may sign as."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from marking.accounts import Account, Role
from marking.moderation.comparing import Comparison
from marking.moderation.decisions import SigningRole, Standing, may_sign_as
from reports.moderation import ruling_sentences, signature_sentences
from reports.wording import wording


class SignAs(Struct, frozen=True, kw_only=True):
    """One role that this person may sign as now."""

    role: str
    words: str


class SigningPage(Struct, frozen=True, kw_only=True):
    """One round to sign."""

    name: str
    title: str
    lines: tuple[str, ...]
    rulings: tuple[str, ...]
    """Those that this person may read: on their own marks or everybody's; all for the head of department."""
    others: int
    """Rulings on other people's marks."""
    outstanding: int
    version: str
    seen: str
    is_locked: bool
    sign_as: tuple[SignAs, ...]
    has_own_page: bool
    """Whether there is a page of this person's own marks beside second marks."""
    button: str
    refused: str = ""


def my_roles(account: Account, found: Comparison) -> tuple[SigningRole, ...]:
    """Return what an account may ever sign a round as; the record decides whose turn it is."""
    markers = (SigningRole.FIRST_MARKER, SigningRole.SECOND_MARKER)
    roles = [role for role in markers if account.name in may_sign_as(found, role)]
    return (*roles, SigningRole.HEAD) if account.role is Role.HEAD else tuple(roles)


def signing_page(
    name: str, account: Account, found: Comparison, state: Standing, *, button: str, refused: str = ""
) -> SigningPage:
    """Return the page of one round as *account* may see it."""
    own = [
        said
        for one, said in zip(state.rulings, ruling_sentences(state), strict=False)
        if account.role is Role.HEAD or one.marker in ("", account.name)
    ]
    words: Mapping[str, str] = wording("moderation")["signatures"]
    return SigningPage(
        name=name,
        title=found.key.title,
        lines=tuple(signature_sentences(state)),
        rulings=tuple(own),
        others=len(state.rulings) - len(own),
        outstanding=len(found.outstanding),
        version=state.version,
        seen=state.seen,
        is_locked=state.is_locked,
        sign_as=tuple(SignAs(role=role.value, words=words[role.value]) for role in _now(account, found, state)),
        has_own_page=account.name in found.key.markers,
        button=button,
        refused=refused,
    )


def _now(account: Account, found: Comparison, state: Standing) -> tuple[SigningRole, ...]:
    """Return the one role whose turn it is, where this person may sign as it and has not signed yet."""
    turn = state.turn
    if turn is None or not found.looks or turn not in my_roles(account, found):
        return ()
    own = {
        SigningRole.FIRST_MARKER: account.name in state.unsigned,
        SigningRole.SECOND_MARKER: True,
        SigningRole.HEAD: account.name not in state.signed_as(SigningRole.SECOND_MARKER),
    }
    return (turn,) if own[turn] else ()
