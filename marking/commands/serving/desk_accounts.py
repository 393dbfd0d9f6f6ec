"""Who may sign in at a shared desk, from the terminal: let in, given a new password, shut out, listed."""

from __future__ import annotations

import argparse
from collections.abc import Callable

from marking.accounts import Account, AccountBook, Role, new_phrase, unfit_password
from marking.commands.serving.proving import typed_password
from marking.record import open_record
from reports.wording import fill, wording
from rubrics.faults import InputError


def asks_for_people(arguments: argparse.Namespace) -> bool:
    """Tell whether a command line is about people and opens no desk."""
    return bool(arguments.add or arguments.new_password or arguments.shut_out or arguments.people)


def people(arguments: argparse.Namespace, now: Callable[[], str]) -> int:
    """Do what is asked for about people; return the exit status."""
    record = open_record(arguments.record, may_begin=bool(arguments.add))
    try:
        _do(arguments, AccountBook(record.engine, now))
    finally:
        record.close()
    return 0


def _do(arguments: argparse.Namespace, book: AccountBook) -> None:
    words = wording("staffroom")["terminal"]
    if arguments.add:
        if not arguments.role:
            raise InputError(arguments.add, "a person has a role", f"say --role with one of {', '.join(Role)}")
        password = _password(arguments, arguments.add)
        account = book.add(arguments.add, Role(arguments.role), password, is_phrase=arguments.phrase)
        print(fill([words["added"]], {"name": account.name, "role": account.role.value}))
        _tell_phrase(arguments, account, password)
    elif arguments.new_password:
        account = book.named(arguments.new_password)
        password = _password(arguments, account.name)
        book.new_password(account, password, is_phrase=arguments.phrase)
        print(fill([words["changed"]], {"name": account.name}))
        _tell_phrase(arguments, account, password)
    elif arguments.shut_out:
        account = book.named(arguments.shut_out)
        book.shut_out(account)
        print(fill([words["shut_out"]], {"name": account.name}))
    else:
        for one in book.all():
            state = words["closed"] if not one.is_open else words["phrase_state"] if one.has_phrase else words["open"]
            print(fill([words["line"]], {"name": one.name, "role": one.role.value, "state": state}))


def _password(arguments: argparse.Namespace, name: str) -> str:
    """Return the new password: typed twice, or a phrase that lets in until an own one is set."""
    if arguments.phrase:
        return new_phrase()
    words = wording("staffroom")["terminal"]
    password = typed_password(fill([words["type"]], {"name": name}))
    if unfit_password(password, name):
        raise InputError(name, "this password is too short, too plain, or the name", "ten characters or more")
    if typed_password(words["again"]) != password:
        raise InputError(name, "the two passwords are not the same", "type them again")
    return password


def _tell_phrase(arguments: argparse.Namespace, account: Account, password: str) -> None:
    if arguments.phrase:
        words = wording("staffroom")["terminal"]
        print(fill([words["phrase"]], {"name": account.name, "phrase": password}))
