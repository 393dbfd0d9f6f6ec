"""The record: decisions are put in and read out, and nothing else. It has no way to change one."""

from __future__ import annotations

import secrets
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager

from msgspec import Struct
from sqlalchemy import ColumnElement, Connection, Engine, Row, Select, and_, insert, select, text
from sqlalchemy.exc import DBAPIError, IntegrityError

from marking.decided import (
    Closed,
    Decision,
    Reopened,
    SetName,
)
from marking.record.events import FIRST, LINE_FIELDS, Event, Particulars, as_decision, as_event
from marking.record.record_tables import events, particulars, persons
from rubrics.faults import InputError, WriteupsError

_PARTICULARS = ("student", "was", "becomes", "why", "source", "input")


class OvertakenError(WriteupsError):
    """Somebody decided the same thing first; nothing was written.

    Attributes:
        mine: The decision that came too late.
        theirs: The one that stands, as far as it can still be read.
    """

    def __init__(self, mine: Decision, theirs: Decision | None) -> None:
        """Keep both, so that both can be shown."""
        self.mine = mine
        self.theirs = theirs
        who = f"{theirs.who or 'a tick in a workbook'}, {theirs.when}" if theirs else "somebody else"
        what = " ".join(part for part in (mine.student, mine.criterion, mine.cell) if part) or str(mine.set)
        super().__init__(f"{what}: decided meanwhile by {who}. Look at both and decide again.")


class SetClosedError(WriteupsError):
    """The set is closed, and the decision would change a mark; nothing was written."""

    def __init__(self, name: SetName) -> None:
        """Say which set."""
        self.set = name
        super().__init__(f"{name}: the marks are closed. Reopen them, with a reason, to change one.")


class Person(Struct, frozen=True, kw_only=True):
    """Who stands behind a stand-in, until it is erased."""

    person: str
    class_name: str
    student: str
    salt: str


class Whole(Struct, frozen=True, kw_only=True):
    """Everything that a record holds."""

    lines: tuple[Event, ...]
    """In the order of their places."""
    owners: Mapping[int, str]
    """Place of each line that has particulars to whose they are; an empty text where they are nobody's."""
    persons: tuple[Person, ...]


class Record:
    """Decisions in a database. Each call is one transaction, acknowledged when it is on the disk."""

    def __init__(
        self, engine: Engine, *, name: str, was_begun: bool = False, fresh: Callable[[], str] | None = None
    ) -> None:
        """Work on *engine*; *fresh* makes words nobody can guess, for the salts and stand-ins of students."""
        self.engine = engine
        self.name = name
        """As messages call it, without a password."""
        self.was_begun = was_begun
        """Whether it was made just now, because there was none."""
        self._fresh = fresh or (lambda: secrets.token_hex(16))

    def add(self, decisions: Sequence[Decision]) -> tuple[Event, ...]:
        """Write *decisions*, all or none, and return their lines; one whose id is known already is not written again.

        Raises:
            OvertakenError: A number is not the next one of its thing: somebody decided meanwhile.
            SetClosedError: A mark of a closed set would change.
        """
        try:
            with self.writing() as connection:
                return tuple(self._add(connection, decision) for decision in decisions)
        except IntegrityError as error:
            # Only where a database lets two in at once: its key has refused the second.
            raise OvertakenError(decisions[0], None) from error

    def _add(self, connection: Connection, decision: Decision) -> Event:
        known = _first(connection, events.c.id == decision.id)
        if known is not None:
            return known
        if decision.changes_marks and is_closed(_decisions(connection, _of_set(decision.set, "set"))):
            raise SetClosedError(decision.set)
        person, salt = self._person(connection, decision.set.class_name, decision.student)
        last = _first(
            connection,
            _of_set(decision.set, decision.about),
            events.c.person == person,
            events.c.criterion == decision.criterion,
            events.c.cell == decision.cell,
        )
        if decision.number != (last.number if last else 0) + 1:
            raise OvertakenError(decision, as_decision(last) if last else None)
        return append(connection, decision, person=person, owner=person, salt=salt)

    def _person(self, connection: Connection, class_name: str, student: str) -> tuple[str, str]:
        if not student:
            return "", ""
        found = connection.execute(
            select(persons.c.person, persons.c.salt).where(
                persons.c.class_name == class_name, persons.c.student == student
            )
        ).first()
        if found is not None:
            return str(found.person), str(found.salt)
        person, salt = self._fresh(), self._fresh()
        connection.execute(insert(persons).values(person=person, class_name=class_name, student=student, salt=salt))
        return person, salt

    def decisions(self, name: SetName, *, about: str = "") -> tuple[Decision, ...]:
        """Return the decisions on a set in the order in which they were taken; *about* keeps those of one word."""
        with self.reading() as connection:
            return _decisions(connection, _of_set(name, about))

    def sets(self) -> tuple[SetName, ...]:
        """Return the sets that the record knows, by class and practical."""
        query = select(events.c.class_name, events.c.practical).where(events.c.practical != "").distinct()
        with self.reading() as connection:
            rows = connection.execute(query).all()
        return tuple(sorted(SetName(class_name=row.class_name, practical=row.practical) for row in rows))

    def all_decisions(self, *, about: str, class_name: str = "", practical: str = "") -> tuple[Decision, ...]:
        """Return all decisions about things of one word, over all sets, or those of one class or practical."""
        condition = events.c.about == about
        condition = and_(condition, events.c.class_name == class_name) if class_name else condition
        condition = and_(condition, events.c.practical == practical) if practical else condition
        with self.reading() as connection:
            return _decisions(connection, condition)

    def students(self, class_name: str) -> frozenset[str]:
        """Return the codes of the students of a class about whom the record holds anything."""
        query = select(persons.c.student).where(persons.c.class_name == class_name)
        with self.reading() as connection:
            return frozenset(str(row.student) for row in connection.execute(query))

    def whole(self) -> Whole:
        """Return everything that the record holds, as it stood at one moment."""
        with self.reading() as connection:
            return whole(connection)

    def after(self, place: int) -> tuple[int, tuple[Decision, ...]]:
        """Return the place of the last line, and the decisions in lines after *place*, in order."""
        with self.reading() as connection:
            rows = [_as_event(row) for row in connection.execute(_lines().where(events.c.place > place))]
        found = (as_decision(row) for row in rows)
        return (rows[-1].place if rows else place), tuple(one for one in found if one is not None)

    def end(self) -> tuple[int, str]:
        """Return the place and hash of the last line; 0 and nothing but noughts in an empty record."""
        with self.reading() as connection:
            return _end(connection)

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """Give a connection in a transaction that sees one state of the record."""
        with _told(self.name), self.engine.connect() as connection:
            if connection.dialect.name == "postgresql":
                connection = connection.execution_options(isolation_level="REPEATABLE READ")
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """Give a connection in a transaction of the only writer."""
        with _told(self.name), self.engine.connect() as plain:
            connection = plain.execution_options(writes=True)
            with connection.begin():
                if connection.dialect.name == "postgresql":
                    # The chain has one end: places are given in the order in which writers commit.
                    connection.execute(text("LOCK TABLE events IN EXCLUSIVE MODE"))
                yield connection

    def close(self) -> None:
        """Let go of the database."""
        self.engine.dispose()


@contextmanager
def _told(name: str) -> Iterator[None]:
    try:
        yield
    except IntegrityError:
        raise
    except DBAPIError as error:
        said = str(error.orig).strip().splitlines()[0] if error.orig else type(error).__name__
        mend = "see that there is room on the disk, that you may write there, and that nobody else holds it"
        raise InputError(name, f"the record cannot be used ({said}); nothing was written", mend) from error


def whole(connection: Connection) -> Whole:
    """Return everything, within the transaction of *connection*."""
    owners = connection.execute(select(particulars.c.place, particulars.c.person).order_by(particulars.c.place))
    people = connection.execute(select(persons).order_by(persons.c.person))
    return Whole(
        owners={int(place): str(person) for place, person in owners},
        persons=tuple(Person(**row._mapping) for row in people),
        lines=tuple(_as_event(row) for row in connection.execute(_lines())),
    )


def append(connection: Connection, decision: Decision, *, person: str, owner: str, salt: str) -> Event:
    """Write the next line: about *person*, its particulars those of *owner*, whose salt is *salt*."""
    place, before = _end(connection)
    event = as_event(decision, place + 1, person, salt, before)
    write(connection, event, owner)
    return event


def write(connection: Connection, event: Event, owner: str) -> None:
    """Insert a line as it is, with its particulars where it has them."""
    row = {name: getattr(event, name) for name in (*LINE_FIELDS, "hash")}
    connection.execute(insert(events).values(**row))
    if event.particulars is not None:
        own = {name: getattr(event.particulars, name) for name in _PARTICULARS}
        connection.execute(insert(particulars).values(place=event.place, person=owner, **own))


def is_closed(decisions: Iterable[Decision]) -> bool:
    """Tell from a set's decisions whether its marks are closed."""
    closed = False
    for decision in decisions:
        if isinstance(decision, Closed):
            closed = True
        elif isinstance(decision, Reopened):
            closed = False
    return closed


def _end(connection: Connection) -> tuple[int, str]:
    row = connection.execute(select(events.c.place, events.c.hash).order_by(events.c.place.desc()).limit(1)).first()
    return (int(row.place), str(row.hash)) if row is not None else (0, FIRST)


def _lines() -> Select[tuple[object, ...]]:
    own = [particulars.c[name] for name in _PARTICULARS]
    joined = events.outerjoin(particulars, particulars.c.place == events.c.place)
    return select(*events.c, *own).select_from(joined).order_by(events.c.place)


def _of_set(name: SetName, about: str) -> ColumnElement[bool]:
    condition = and_(events.c.class_name == name.class_name, events.c.practical == name.practical)
    return and_(condition, events.c.about == about) if about else condition


def _first(connection: Connection, *conditions: ColumnElement[bool]) -> Event | None:
    query = _lines().where(*conditions).order_by(None).order_by(events.c.place.desc()).limit(1)
    row = connection.execute(query).first()
    return _as_event(row) if row is not None else None


def _decisions(connection: Connection, condition: ColumnElement[bool]) -> tuple[Decision, ...]:
    rows = connection.execute(_lines().where(condition))
    found = (as_decision(_as_event(row)) for row in rows)
    return tuple(decision for decision in found if decision is not None)


def _as_event(row: Row[tuple[object, ...]]) -> Event:
    held = dict(row._mapping)
    own = {name: held.pop(name) for name in _PARTICULARS}
    return Event(particulars=None if own["student"] is None else Particulars(**own), **held)
