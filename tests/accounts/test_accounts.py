"""Accounts, sessions and slow answers: on both databases."""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
from argon2 import PasswordHasher
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import select

from marking.accounts import AccountBook, Role, Sessions, Slowing, new_phrase, unfit_password
from marking.accounts.account_book import NamedAlreadyError
from marking.accounts.account_tables import accounts, sessions, tries
from marking.accounts.passwords import Passwords
from marking.accounts.roles import name_key, proper_name
from marking.accounts.slowing_down import FORGOTTEN, FREE, LONGEST_WAIT
from marking.record.opening import open_record
from marking.record.store import Record
from rubrics.faults import InputError
from tests.record.conftest import emptied, shared_address  # noqa: F401 - the cluster of the record's tests
from tests.staffroom.serving import QUICK, Clock

WORD = "nine kettles hum"


@pytest.fixture(params=["file", "postgresql"])
def record(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Record]:
    """An empty record on each database."""
    where = str(tmp_path / "department.record")
    if request.param == "postgresql":
        where = emptied(request.getfixturevalue("shared_address"))
    opened = open_record(where, may_begin=True)
    yield opened
    opened.close()


@pytest.fixture
def clock() -> Clock:
    """A clock that stands."""
    return Clock()


def book_in(record: Record, clock: Clock) -> AccountBook:
    """Return the accounts beside a record."""
    return AccountBook(record.engine, clock.now, QUICK)


def test_a_password_is_kept_as_an_argon2_hash_alone(record: Record, clock: Clock) -> None:
    """With its own salt; the same password twice gives two hashes."""
    book = book_in(record, clock)
    for name in ("Ms Calloway", "Mr Fenn"):
        book.add(name, Role.TEACHER, WORD)
    with record.engine.connect() as connection:
        hashes = [str(row.password) for row in connection.execute(select(accounts))]
    assert all(one.startswith("$argon2id$") for one in hashes)
    assert len(set(hashes)) == 2
    assert not any("kettles" in one for one in hashes)


def test_the_usual_cost_is_that_of_the_rfc() -> None:
    """64 MiB, three passes (RFC 9106, 4, second recommended option)."""
    hashed = Passwords().hashed(WORD)
    assert "$m=65536,t=3,p=4$" in hashed
    assert Passwords().fits(hashed, WORD)


def test_a_hash_of_another_cost_is_made_anew(record: Record, clock: Clock) -> None:
    """When its owner signs in next."""
    book_in(record, clock).add("Ms Calloway", Role.TEACHER, WORD)
    dearer = Passwords(PasswordHasher(time_cost=2, memory_cost=16, parallelism=1))
    book = AccountBook(record.engine, clock.now, dearer)
    assert book.check("Ms Calloway", WORD) is not None
    with record.engine.connect() as connection:
        hashed = str(connection.execute(select(accounts.c.password)).scalar_one())
    assert "m=16,t=2" in hashed
    assert book.check("Ms Calloway", WORD) is not None


def test_names_are_told_apart_for_good(record: Record, clock: Clock) -> None:
    """Whatever their capitals and spaces; a name that was shut out is not given again."""
    book = book_in(record, clock)
    account = book.add("  Ms   Calloway ", Role.TEACHER, WORD)
    assert account.name == "Ms Calloway"
    for name in ("ms calloway", "MS CALLOWAY", "Ms\u00a0Calloway"):
        with pytest.raises(NamedAlreadyError):
            book.add(name, Role.HEAD, WORD)
    book.shut_out(account)
    with pytest.raises(NamedAlreadyError):
        book.add("Ms Calloway", Role.HEAD, WORD)
    assert book.check("Ms Calloway", WORD) is None


@pytest.mark.parametrize(
    "name", ["", " ", "a\r\nSet-Cookie: x", "<b>", 'a"b', "x" * 81, "a\u202eb", "=1+1", "a;b", "(department)"]
)
def test_what_is_no_name_is_refused(name: str) -> None:
    """A name stands in pages, heads and workbooks."""
    with pytest.raises(InputError):
        proper_name(name.strip("\r\n") if not name.strip() else name.replace("\r\n", "\u0085:"))


@settings(deadline=None)
@given(st.text(max_size=90))
def test_a_proper_name_is_proper_already(said: str) -> None:
    """What is kept is kept the same again, and can be found by its key."""
    try:
        name = proper_name(said)
    except InputError:
        return
    assert proper_name(name) == name
    assert name_key(name) == name_key(said)
    assert not set(name) & set('\r\n\t<>"&;:=@')


class Counting(PasswordHasher):
    """Counts how often it works on a password."""

    verified = 0

    def verify(self, hash: str | bytes, password: str | bytes) -> bool:  # noqa: A002 - the library's own name
        """Count, and verify."""
        self.verified += 1
        return super().verify(hash, password)


def test_a_wrong_password_and_an_unknown_name_are_alike(record: Record, clock: Clock) -> None:
    """Nobody, and Argon2 has worked for each."""
    hasher = Counting(time_cost=1, memory_cost=8, parallelism=1)
    book = AccountBook(record.engine, clock.now, Passwords(hasher))
    book.add("Ms Calloway", Role.TEACHER, WORD)
    assert book.check("Ms Calloway", "wrong and wrong") is None
    assert book.check("Nobody Here", "wrong and wrong") is None
    assert hasher.verified == 2


@pytest.mark.parametrize(
    ("password", "unfit"),
    [
        ("nine chars", False),
        ("nine char", True),
        ("x" * 12, True),
        ("Ms Calloway", True),
        ("a" * 201, True),
        (WORD, False),
    ],
)
def test_plain_passwords_are_unfit(password: str, unfit: bool) -> None:
    """Short, one sign over and over, the name."""
    assert unfit_password(password, "Ms Calloway") is unfit


def test_a_phrase_ends(record: Record, clock: Clock) -> None:
    """After seven days; an own password does not."""
    book, phrase = book_in(record, clock), new_phrase()
    account = book.add("Ms Calloway", Role.TEACHER, phrase, is_phrase=True)
    assert account.has_phrase
    assert len({new_phrase() for _ in range(50)}) == 50
    clock.seconds += 7 * 86_400
    assert book.check("Ms Calloway", phrase) is not None
    clock.seconds += 1
    assert book.check("Ms Calloway", phrase) is None
    book.new_password(account, WORD)
    clock.seconds += 400 * 86_400
    found = book.check("Ms Calloway", WORD)
    assert found is not None
    assert not found.has_phrase


def test_a_session_is_kept_as_a_hash_and_ends(record: Record, clock: Clock) -> None:
    """An hour after it was last used, twelve hours after it began, and when anything of its account changes."""
    book, held = book_in(record, clock), Sessions(record.engine, clock.now)
    account = book.add("Ms Calloway", Role.TEACHER, WORD)
    one = held.begin(account)
    with record.engine.connect() as connection:
        (row,) = connection.execute(select(sessions)).all()
    assert one.token not in str(tuple(row))
    assert held.find(one.token) is not None
    assert held.find("") is None
    assert held.find(str(row.hash)) is None
    for _ in range(12):
        assert held.find(one.token) is not None
        clock.seconds += 3_599
    clock.seconds += 60
    assert held.find(one.token) is None
    two = held.begin(account)
    clock.seconds += 3_601
    assert held.find(two.token) is None
    three, four, five = (held.begin(account) for _ in range(3))
    held.end(three.token)
    assert held.find(three.token) is None
    assert held.find(four.token) is not None
    book.new_password(account, "another of the kind")
    assert held.find(four.token) is None
    assert held.find(five.token) is None
    six = held.begin(account)
    book.shut_out(account)
    assert held.find(six.token) is None


def test_wrong_passwords_slow_each_other_down(record: Record, clock: Clock) -> None:
    """Known names and unknown ones alike; another place is slower to wait; the wait has an end; a right one clears."""
    book_in(record, clock)
    slowing = Slowing(record.engine, lambda: clock.seconds)
    for name in ("Ms Calloway", "Nobody Here"):
        waits = []
        for _ in range(12):
            wait = slowing.knock(name, "10.0.0.9")
            waits.append(wait)
            clock.seconds += wait
            if wait:
                assert slowing.knock(name, "10.0.0.9") == 0
        assert waits[: FREE["both"]] == [0.0] * FREE["both"]
        assert waits[FREE["both"]] > 0
        assert max(waits) <= LONGEST_WAIT
        assert waits == sorted(waits)
        clock.seconds += FORGOTTEN + 1
    for _ in range(FREE["both"]):
        assert slowing.knock("Ms Calloway", "10.0.0.9") == 0
    assert slowing.knock("ms  CALLOWAY", "10.0.0.9") > 0
    assert slowing.knock("Ms Calloway", "10.0.0.10") == 0
    slowing.right("Ms Calloway", "10.0.0.9")
    assert slowing.knock("Ms Calloway", "10.0.0.9") == 0


def test_many_tries_at_once_gain_nothing(record: Record, clock: Clock) -> None:
    """A try counts before its password is looked at."""
    book_in(record, clock)
    slowing = Slowing(record.engine, lambda: clock.seconds)
    let: list[float] = []
    threads = [threading.Thread(target=lambda: let.append(slowing.knock("Ms Calloway", "10.0.0.9"))) for _ in range(20)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    assert sum(wait == 0 for wait in let) == FREE["both"]


def test_no_name_that_was_typed_stands_in_the_table(record: Record, clock: Clock) -> None:
    """People type their password into the wrong field."""
    book_in(record, clock)
    Slowing(record.engine, lambda: clock.seconds).knock(WORD, "10.0.0.9")
    with record.engine.connect() as connection:
        assert "kettles" not in str(connection.execute(select(tries)).all())


def test_accounts_are_no_part_of_the_record(tmp_path: Path, clock: Clock) -> None:
    """A record with accounts is a record still, and its export names none."""
    where = tmp_path / "department.record"
    record = open_record(str(where), may_begin=True)
    book_in(record, clock).add("Ms Calloway", Role.TEACHER, WORD)
    assert record.whole().lines == ()
    record.close()
    again = open_record(str(where), may_begin=False)
    assert AccountBook.is_kept(again.engine)
    again.close()
    with sqlite3.connect(where) as plain:
        assert {row[0] for row in plain.execute("SELECT name FROM sqlite_master WHERE type='table'")} >= {"accounts"}
