"""Passwords on the terminal: typed without being shown, or read from what is piped in, a line each."""

from __future__ import annotations

import getpass
import sys
import time
from collections.abc import Callable

from marking.accounts import AccountBook, Slowing
from marking.record import Record
from rubrics.faults import InputError

PLACE = "terminal"


def typed_password(asked: str) -> str:
    """Return a password that is typed now; nothing of it is shown."""
    if sys.stdin.isatty():
        return getpass.getpass(f"{asked}: ")
    return sys.stdin.readline().rstrip("\n")


def prove_account(record: Record, name: str, now: Callable[[], str]) -> str:
    """Return the account under which *name* signs, after its password; empty where the record has no accounts.

    Raises:
        InputError: The record has accounts, and this is none of them, or the password is another.
    """
    if not AccountBook.is_kept(record.engine):
        return ""
    book = AccountBook(record.engine, now)
    if not book.all():
        return ""
    slowing = Slowing(record.engine, time.time)
    if (wait := slowing.knock(name, PLACE)) > 0:
        raise InputError(name, "several wrong passwords were typed", f"wait {wait:.0f} seconds and try again")
    account = book.check(name, typed_password(f"Password of {name}"))
    if account is None or account.has_phrase:
        mend = "whoever signs types the password with which they sign in at the desk"
        raise InputError(name, "this record has accounts, and this is not the name and password of one", mend)
    slowing.right(name, PLACE)
    if account.name != name:
        raise InputError(name, f"the account is called {account.name}", "say it like that after --by")
    return account.id
