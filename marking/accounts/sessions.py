"""Sessions: random, kept as hashes alone, ended by time, by signing out, by a new password or when somebody leaves."""

from __future__ import annotations

import datetime
import hashlib
import secrets
from collections.abc import Callable

from msgspec import Struct
from sqlalchemy import ColumnElement, delete, insert, or_, select, update
from sqlalchemy.engine import Engine

from marking.accounts.account_book import account_of
from marking.accounts.account_tables import accounts, changing, sessions
from marking.accounts.roles import Account

LONGEST = datetime.timedelta(hours=12)
IDLE = datetime.timedelta(hours=1)
"""Common practice for a machine that others may walk up to; no source."""
_NOTED = datetime.timedelta(minutes=1)
"""How often it is written down that a session is in use."""


class Session(Struct, frozen=True, kw_only=True):
    """Somebody who has signed in."""

    token: str
    """The secret in the cookie; it stands nowhere else."""
    account: Account


class Sessions:
    """The sessions of a desk."""

    def __init__(self, engine: Engine, now: Callable[[], str]) -> None:
        """Keep sessions in *engine*; *now* gives the time, UTC, as ISO 8601 text."""
        self._engine = engine
        self._now = now

    def begin(self, account: Account) -> Session:
        """Begin a session under a new secret; what a browser brought along is never taken for one."""
        token, now = secrets.token_urlsafe(32), self._now()
        with changing(self._engine) as connection:
            connection.execute(delete(sessions).where(self._over(now)))
            connection.execute(insert(sessions).values(hash=_hash(token), account=account.id, began=now, seen=now))
        return Session(token=token, account=account)

    def find(self, token: str) -> Session | None:
        """Return the session of a cookie; None where there is none, or it is over, or its person may not come in."""
        if not token or len(token) > 100:
            return None
        now = self._now()
        query = select(*accounts.c, sessions.c.seen).join(sessions, sessions.c.account == accounts.c.id)
        with self._engine.connect() as connection:
            row = connection.execute(query.where(sessions.c.hash == _hash(token), ~self._over(now))).first()
        if row is None or not row.is_open:
            return None
        if row.seen < _before(now, _NOTED):
            with changing(self._engine) as connection:
                connection.execute(update(sessions).where(sessions.c.hash == _hash(token)).values(seen=now))
        return Session(token=token, account=account_of(row))

    def end(self, token: str) -> None:
        """End one session."""
        with changing(self._engine) as connection:
            connection.execute(delete(sessions).where(sessions.c.hash == _hash(token)))

    def _over(self, now: str) -> ColumnElement[bool]:
        return or_(sessions.c.began < _before(now, LONGEST), sessions.c.seen < _before(now, IDLE))


def _before(now: str, much: datetime.timedelta) -> str:
    return (datetime.datetime.fromisoformat(now) - much).isoformat(timespec="seconds")


def _hash(token: str) -> str:
    # A secret of 256 random bits needs no slow hash.
    return hashlib.sha256(token.encode("utf-8", "replace")).hexdigest()
