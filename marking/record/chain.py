"""Is the record whole? Every line is worked out again from what stands in it and from the line before."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct

from marking.decided import (
    Erased,
)
from marking.record.events import FIRST, Event, hash_of, seal_of
from marking.record.store import Whole


class Break(Struct, frozen=True, kw_only=True):
    """One place at which the record is not as it was written."""

    place: int
    """Of the line."""
    what: str
    """Stable word: 'missing', 'order', 'changed', 'particulars-changed', 'particulars-missing', 'particulars-left'."""


def breaks(record: Whole, *, end: tuple[int, str] | None = None) -> tuple[Break, ...]:
    """Return where the chain does not hold; empty where the record is whole.

    Args:
        record: All that it holds.
        end: Place and hash of a line that is known to have been there, from a print or an earlier check.
    """
    found = [*_of_chain(record.lines), *_of_particulars(record)]
    places = {line.place: line.hash for line in record.lines}
    # A line taken off the end leaves its particulars, or the print that names it.
    found += [Break(place=place, what="missing") for place in record.owners if place not in places]
    if end is not None and places.get(end[0]) != end[1]:
        found.append(Break(place=end[0], what="changed" if end[0] in places else "missing"))
    return tuple(sorted(set(found), key=lambda one: (one.place, one.what)))


def _of_chain(lines: Sequence[Event]) -> Iterator[Break]:
    before, expected = FIRST, 1
    for line in lines:
        if line.place > expected:
            yield Break(place=expected, what="missing")
        elif line.place < expected or line.before != before:
            yield Break(place=line.place, what="order")
        if hash_of(line) != line.hash:
            yield Break(place=line.place, what="changed")
        before, expected = line.hash, line.place + 1


def _of_particulars(record: Whole) -> Iterator[Break]:
    erased = {line.person for line in record.lines if line.kind == Erased.name}
    salts = {one.person: one.salt for one in record.persons}
    yield from (Break(place=0, what="particulars-left") for person in salts if person in erased)
    for line in record.lines:
        if line.particulars is None:
            if line.person not in erased or line.kind == Erased.name:
                yield Break(place=line.place, what="particulars-missing")
            continue
        owner = record.owners.get(line.place, "")
        if owner in erased:
            yield Break(place=line.place, what="particulars-left")
        is_own = owner == ("" if line.kind == Erased.name else line.person)
        if not is_own or seal_of(line.particulars, salts.get(owner, "")) != line.seal:
            yield Break(place=line.place, what="particulars-changed")
