"""The first tables: lines that are only added to, what is personal in them, and whom it is about."""

from __future__ import annotations

from collections.abc import Iterator

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None

KEPT = ("events", "particulars", "persons")
REFUSED = "the record is only added to"
_NOT_ERASED = "NOT EXISTS (SELECT 1 FROM events WHERE kind = 'erased' AND person = OLD.person)"


def upgrade() -> None:
    """Make the tables, and the triggers that refuse to change or take out a line."""
    _make_tables()
    name = op.get_bind().dialect.name
    for statement in _sqlite_triggers() if name == "sqlite" else _postgresql_triggers():
        op.execute(sa.text(statement))


def _text(name: str) -> sa.Column[str]:
    return sa.Column(name, sa.Text, nullable=False)


def _make_tables() -> None:
    op.create_table(
        "events",
        sa.Column("place", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("id", sa.Text, nullable=False, unique=True),
        *(_text(name) for name in ("kind", "time", "who", "class_name", "practical", "person", "about")),
        *(_text(name) for name in ("criterion", "cell")),
        sa.Column("number", sa.Integer, nullable=False),
        *(_text(name) for name in ("edition", "program", "seal", "before", "hash")),
        sa.UniqueConstraint(
            "class_name", "practical", "person", "about", "criterion", "cell", "number", name="one_number"
        ),
        sqlite_strict=True,
    )
    op.create_table(
        "particulars",
        sa.Column("place", sa.Integer, sa.ForeignKey("events.place"), primary_key=True, autoincrement=False),
        *(_text(name) for name in ("person", "student", "was", "becomes", "why", "source", "input")),
        sqlite_strict=True,
    )
    op.create_table(
        "persons",
        sa.Column("person", sa.Text, primary_key=True, nullable=False),
        *(_text(name) for name in ("class_name", "student", "salt")),
        sa.UniqueConstraint("class_name", "student", name="one_person"),
        sqlite_strict=True,
    )


def _sqlite_triggers() -> Iterator[str]:
    def refuse(table: str, what: str, when: str = "") -> str:
        condition = f" WHEN {when}" if when else ""
        name = f"{table}_{what.split()[-1].lower()}"
        return f"CREATE TRIGGER {name} {what} ON {table}{condition} BEGIN SELECT RAISE(ABORT, '{REFUSED}'); END"

    for table in KEPT:
        yield refuse(table, "BEFORE UPDATE")
    yield refuse("events", "BEFORE DELETE")
    yield refuse("particulars", "BEFORE DELETE", _NOT_ERASED)
    yield refuse("persons", "BEFORE DELETE", _NOT_ERASED)
    # INSERT OR REPLACE takes the old line out without asking the trigger for DELETE.
    gap = "NEW.place <> 1 + (SELECT COALESCE(MAX(place), 0) FROM events)"
    known = "EXISTS (SELECT 1 FROM events WHERE id = NEW.id)"
    yield refuse("events", "BEFORE INSERT", f"{gap} OR {known}")
    yield refuse("particulars", "BEFORE INSERT", "EXISTS (SELECT 1 FROM particulars WHERE place = NEW.place)")
    yield refuse("persons", "BEFORE INSERT", "EXISTS (SELECT 1 FROM persons WHERE person = NEW.person)")


def _postgresql_triggers() -> Iterator[str]:
    body = f"BEGIN RAISE EXCEPTION '{REFUSED}'; END"
    yield f"CREATE FUNCTION refuse_change() RETURNS trigger LANGUAGE plpgsql AS $${body}$$"
    erased = "EXISTS (SELECT 1 FROM events WHERE kind = 'erased' AND person = OLD.person)"
    body = f"BEGIN IF NOT {erased} THEN RAISE EXCEPTION '{REFUSED}'; END IF; RETURN OLD; END"
    yield f"CREATE FUNCTION refuse_unless_erased() RETURNS trigger LANGUAGE plpgsql AS $${body}$$"
    for table in KEPT:
        yield f"CREATE TRIGGER {table}_update BEFORE UPDATE ON {table} FOR EACH ROW EXECUTE FUNCTION refuse_change()"
        yield (
            f"CREATE TRIGGER {table}_truncate BEFORE TRUNCATE ON {table} "
            "FOR EACH STATEMENT EXECUTE FUNCTION refuse_change()"
        )
        rule = "refuse_change" if table == "events" else "refuse_unless_erased"
        yield f"CREATE TRIGGER {table}_delete BEFORE DELETE ON {table} FOR EACH ROW EXECUTE FUNCTION {rule}()"
