"""Signatures: what is signed, who has, and what this person may sign as."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from marking.accounts import Account, Role
from marking.moderation.comparing import Comparison
from marking.moderation.decisions import SigningRole, Standing
from reports.moderation import ruling_sentences, signature_sentences
from reports.wording import wording

ORDER = tuple(SigningRole)


@dataclass(frozen=True, slots=True, kw_only=True)
class SignAs:
    """One role that this person may sign as now."""

    role: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SigningPage:
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
    roles = []
    if account.name in found.key.markers:
        roles.append(SigningRole.FIRST_MARKER)
    if any(one.line.second_marker == account.name for one in found.looks):
        roles.append(SigningRole.SECOND_MARKER)
    if account.role is Role.HEAD:
        roles.append(SigningRole.HEAD)
    return tuple(roles)


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
    given = {one.role: one.who for one in state.signatures}
    turn = next((role for role in ORDER if role.value not in given), None)
    if turn is None or account.name in given.values() or not found.looks:
        return ()
    return tuple(role for role in my_roles(account, found) if role is turn)
