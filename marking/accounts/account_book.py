"""The people of a department who may sign in: added, shut out, given a new password; and the check of a password."""

from __future__ import annotations

import datetime
import secrets
from collections.abc import Callable
from typing import Any

from sqlalchemy import Row, delete, insert, inspect, select, update
from sqlalchemy.engine import Engine

from marking.accounts.account_tables import accounts, changing, make_tables, sessions
from marking.accounts.passwords import Passwords
from marking.accounts.roles import Account, Role, name_key, proper_name
from rubrics.faults import InputError, WriteupsError

PHRASE_LASTS = datetime.timedelta(days=7)
"""Common practice, no source."""


class NamedAlreadyError(WriteupsError):
    """Somebody of that name has an account."""


class AccountBook:
    """The accounts in the database of a record."""

    def __init__(self, engine: Engine, now: Callable[[], str], passwords: Passwords | None = None) -> None:
        """Keep accounts in *engine*; *now* gives the time, UTC, as ISO 8601 text."""
        make_tables(engine)
        self._engine = engine
        self._now = now
        self._passwords = passwords or Passwords()

    @staticmethod
    def is_kept(engine: Engine) -> bool:
        """Tell whether a database has accounts at all."""
        return inspect(engine).has_table(accounts.name)

    def add(self, name: str, role: Role, password: str, *, is_phrase: bool = False) -> Account:
        """Let a person in.

        Args:
            name: As it is to stand on decisions.
            role: What the person is.
            password: The person's own, or a phrase that lets in once.
            is_phrase: Whether it is such a phrase; it ends after `PHRASE_LASTS`.

        Raises:
            NamedAlreadyError: Somebody has that name; signatures must be told apart for good, so a name of somebody
                who has left is not given again.
            InputError: The name is none.
        """
        proper = proper_name(name)
        row = {
            "id": secrets.token_hex(8),
            "name": proper,
            "name_key": name_key(proper),
            "role": role.value,
            "password": self._passwords.hashed(password),
            "phrase_ends": self._phrase_ends() if is_phrase else "",
            "is_open": 1,
            "made": self._now(),
        }
        with changing(self._engine) as connection:
            known = connection.execute(select(accounts.c.id).where(accounts.c.name_key == row["name_key"])).first()
            if known is not None:
                raise NamedAlreadyError(f"{proper}: somebody of this name has an account, or had one.")
            connection.execute(insert(accounts).values(row))
        return self.named(proper)

    def all(self) -> tuple[Account, ...]:
        """Return everybody, by name."""
        with self._engine.connect() as connection:
            rows = connection.execute(select(accounts).order_by(accounts.c.name)).all()
        return tuple(account_of(row) for row in rows)

    def named(self, name: str) -> Account:
        """Return the account of that name.

        Raises:
            InputError: There is none.
        """
        return account_of(self._row(name))

    def new_password(self, account: Account, password: str, *, is_phrase: bool = False) -> None:
        """Set a password; whoever is signed in under the old one is signed out, and a closed account opens."""
        hashed = self._passwords.hashed(password)
        row = {"password": hashed, "phrase_ends": self._phrase_ends() if is_phrase else "", "is_open": 1}
        with changing(self._engine) as connection:
            connection.execute(update(accounts).where(accounts.c.id == account.id).values(row))
            connection.execute(delete(sessions).where(sessions.c.account == account.id))

    def shut_out(self, account: Account) -> None:
        """Close an account; its name stays, for it stands under decisions."""
        with changing(self._engine) as connection:
            connection.execute(update(accounts).where(accounts.c.id == account.id).values(is_open=0))
            connection.execute(delete(sessions).where(sessions.c.account == account.id))

    def check(self, name: str, password: str) -> Account | None:
        """Return whose name and password these are; None where they are nobody's, at the same cost whoever is named."""
        with self._engine.connect() as connection:
            row = connection.execute(select(accounts).where(accounts.c.name_key == name_key(name))).first()
        may = row is not None and bool(row.is_open) and not self._is_over(row.phrase_ends)
        fits = self._passwords.fits(row.password if row is not None else None, password)
        if row is None or not (fits and may):
            return None
        if self._passwords.is_outdated(row.password):
            with changing(self._engine) as connection:
                better = self._passwords.hashed(password)
                same = (accounts.c.id == row.id) & (accounts.c.password == row.password)
                connection.execute(update(accounts).where(same).values(password=better))
        return account_of(row)

    def _row(self, name: str) -> Row[Any]:
        with self._engine.connect() as connection:
            row = connection.execute(select(accounts).where(accounts.c.name_key == name_key(name))).first()
        if row is None:
            raise InputError(name, "nobody of this name has an account", "see who has one: writeups desk --people")
        return row

    def _phrase_ends(self) -> str:
        return (datetime.datetime.fromisoformat(self._now()) + PHRASE_LASTS).isoformat(timespec="seconds")

    def _is_over(self, phrase_ends: str) -> bool:
        return bool(phrase_ends) and phrase_ends < self._now()


def account_of(row: Any) -> Account:  # noqa: ANN401 - a row that holds the columns of the table, and maybe more
    """Return the account in a row of the table."""
    return Account(
        id=str(row.id),
        name=str(row.name),
        role=Role(row.role),
        has_phrase=bool(row.phrase_ends),
        is_open=bool(row.is_open),
    )
