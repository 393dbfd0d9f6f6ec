"""Who sees what: one table for the whole of a desk that a department shares. A page never asks for itself.

Each address has a line for looking and a line for changing; an address without one cannot be built into the desk.
Whose sets and whose packs somebody finds there is settled in ``staff.py``, by the same person's name.

| role | sees | changes |
| --- | --- | --- |
| teacher | own classes; packs given to them, blind; questions about own classes or given to them | own marks; signs |
| second marker | packs given to them, blind; signatures | own packs; signs |
| head of department | every class, but none of a practical while own packs are open; rounds | rulings; signs |
| technician | benches that read off, lists of apparatus | nothing |
"""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from marking.accounts import Role

NOBODY: frozenset[Role] = frozenset()
EVERYBODY = frozenset(Role)
TEACHING = frozenset({Role.TEACHER, Role.HEAD})
MARKING_AGAIN = frozenset({Role.TEACHER, Role.SECOND_MARKER, Role.HEAD})
LEADING = frozenset({Role.HEAD})
APPARATUS = frozenset({Role.TECHNICIAN, Role.HEAD})


class Rule(Struct, frozen=True, kw_only=True):
    """Who may look at an address, and who may send something to it."""

    look: frozenset[Role]
    change: frozenset[Role] = NOBODY


RULES: Mapping[str, Rule] = {
    "/": Rule(look=EVERYBODY, change=TEACHING),
    "/sample": Rule(look=NOBODY, change=TEACHING),
    "/set/{sid}/cells": Rule(look=TEACHING, change=TEACHING),
    "/set/{sid}/decide": Rule(look=TEACHING),
    "/set/{sid}/decide/{criterion}/{at:int}": Rule(look=TEACHING, change=TEACHING),
    "/set/{sid}/student/{at:int}": Rule(look=TEACHING, change=TEACHING),
    "/set/{sid}/student/{at:int}/words": Rule(look=TEACHING, change=TEACHING),
    "/set/{sid}/student/{at:int}/evening": Rule(look=TEACHING),
    "/set/{sid}/student/{at:int}/evening.pdf": Rule(look=TEACHING),
    "/set/{sid}/evening.pdf": Rule(look=TEACHING),
    "/department": Rule(look=TEACHING),
    "/set/{sid}/class": Rule(look=TEACHING),
    "/set/{sid}/benches": Rule(look=TEACHING),
    "/set/{sid}/leads": Rule(look=TEACHING),
    "/set/{sid}/time": Rule(look=TEACHING),
    "/set/{sid}/feedback": Rule(look=TEACHING),
    "/set/{sid}/sheet/{at:int}": Rule(look=TEACHING),
    "/set/{sid}/paper/{paper}": Rule(look=TEACHING),
    "/set/{sid}/close": Rule(look=TEACHING, change=TEACHING),
    "/sign-out": Rule(look=NOBODY, change=EVERYBODY),
    "/password": Rule(look=EVERYBODY, change=EVERYBODY),
    "/second": Rule(look=MARKING_AGAIN),
    "/second/{pack}": Rule(look=MARKING_AGAIN, change=MARKING_AGAIN),
    "/second/{pack}/file/{kind}": Rule(look=MARKING_AGAIN),
    "/second/{pack}/{at:int}": Rule(look=MARKING_AGAIN, change=MARKING_AGAIN),
    "/moderation": Rule(look=LEADING, change=LEADING),
    "/moderation/{round}": Rule(look=LEADING, change=LEADING),
    "/moderation/{round}/rule": Rule(look=LEADING, change=LEADING),
    "/moderation/{round}/paper/{paper}": Rule(look=LEADING),
    "/questions": Rule(look=TEACHING),
    "/questions/{question}": Rule(look=TEACHING, change=TEACHING),
    "/questions/{question}/letter": Rule(look=TEACHING),
    "/set/{sid}/student/{at:int}/question": Rule(look=TEACHING, change=TEACHING),
    "/signatures": Rule(look=MARKING_AGAIN),
    "/signatures/{round}": Rule(look=MARKING_AGAIN, change=MARKING_AGAIN),
    "/benches": Rule(look=APPARATUS),
    "/benches/kit/{practical}": Rule(look=APPARATUS),
}
"""Every address for people who have signed in. Signing in itself, styles and fonts are open to visitors."""


def may(role: Role, path: str, *, changes: bool) -> bool:
    """Tell whether a role may look at an address, or change something there.

    Raises:
        KeyError: The table has no line for it.
    """
    rule = RULES[path]
    return role in (rule.change if changes else rule.look)
