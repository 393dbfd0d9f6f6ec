"""A decision as a line of the record, and the line's hash over the hash of the line before.

What is personal (the student's code, what was written, the reason) stands apart in ``Particulars``; the line itself
holds a seal over it, keyed with a salt of the student's own. When particulars and salt are erased, the line still
checks, and the seal tells nobody what it was.
"""

from __future__ import annotations

import hashlib
import hmac
import json
import re

from msgspec import Struct, structs

from marking.decided import (
    KINDS,
    Decision,
    SetName,
    own_fields,
)

FIRST = "0" * 64
"""Stands for the hash before the first line."""
_UNKEEPABLE = re.compile(r"[\x00\ud800-\udfff]")
"""Signs that no database keeps as text."""


class Particulars(Struct, frozen=True, kw_only=True):
    """What of a decision may be about a person."""

    student: str
    was: str
    becomes: str
    """What the kind decides, as JSON."""
    why: str
    source: str
    input: str


class Event(Struct, frozen=True, kw_only=True):
    """One line of the record."""

    place: int
    """From 1, without a gap."""
    id: str
    kind: str
    time: str
    who: str
    class_name: str
    practical: str
    person: str
    """Stands for the student, and says nothing about who it is; empty where the line is about no student."""
    about: str
    criterion: str
    cell: str
    number: int
    edition: str
    program: str
    seal: str
    before: str
    """Hash of the line before."""
    hash: str
    particulars: Particulars | None
    """None where they were erased."""


LINE_FIELDS = tuple(name for name in Event.__struct_fields__ if name not in ("hash", "particulars"))


def hash_of(event: Event) -> str:
    """Return the hash that a line should have."""
    return hashlib.sha256(_bytes([getattr(event, name) for name in LINE_FIELDS])).hexdigest()


def seal_of(particulars: Particulars, salt: str) -> str:
    """Return the seal over *particulars*; *salt* is empty where the line is about no student."""
    return hmac.new(salt.encode(), _bytes(structs.astuple(particulars)), hashlib.sha256).hexdigest()


def _bytes(values: object) -> bytes:
    return json.dumps(values, ensure_ascii=True, separators=(",", ":")).encode()


def as_event(decision: Decision, place: int, person: str, salt: str, before: str) -> Event:
    """Return *decision* as the line number *place* after the line whose hash is *before*."""
    becomes = {name: getattr(decision, name) for name in own_fields(type(decision))}
    particulars = Particulars(
        student=decision.student,
        was=kept(decision.was),
        becomes=json.dumps(becomes, ensure_ascii=True, sort_keys=True),
        why=kept(decision.why),
        source=kept(decision.source),
        input=decision.input,
    )
    event = Event(
        place=place,
        id=decision.id,
        kind=decision.name,
        time=decision.when,
        who=kept(decision.who),
        class_name=decision.set.class_name,
        practical=decision.set.practical,
        person=person,
        about=decision.about,
        criterion=decision.criterion,
        cell=decision.cell,
        number=decision.number,
        edition=decision.edition,
        program=decision.program,
        seal=seal_of(particulars, salt),
        before=before,
        hash="",
        particulars=particulars,
    )
    return structs.replace(event, hash=hash_of(event))


def as_decision(event: Event) -> Decision | None:
    """Return the decision in a line; None where its particulars were erased or a later program made its kind."""
    kind = KINDS.get(event.kind)
    particulars = event.particulars
    if kind is None or particulars is None:
        return None
    said = json.loads(particulars.becomes)
    own = {name: _as_said(said[name]) for name in own_fields(kind) if name in said}
    return kind(
        id=event.id,
        who=event.who,
        when=event.time,
        set=SetName(class_name=event.class_name, practical=event.practical),
        number=event.number,
        student=particulars.student,
        criterion=event.criterion,
        cell=event.cell,
        was=particulars.was,
        why=particulars.why,
        source=particulars.source,
        input=particulars.input,
        edition=event.edition,
        program=event.program,
        **own,
    )


def _as_said(value: object) -> object:
    return tuple(value) if isinstance(value, list) else value


def kept(text: str) -> str:
    """Return *text* with signs that no database keeps replaced."""
    return _UNKEEPABLE.sub("\N{REPLACEMENT CHARACTER}", text)
