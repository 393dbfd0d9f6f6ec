"""Wrong passwords, one after the other: each makes the next wait longer. Nobody is shut out for good.

Counted are tries for a name from one place, for a name from anywhere, and from one place for any name. A try counts
before its password is looked at, so that many at once gain nothing; a right one takes its own count off again.
Unknown names are counted like known ones.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping

from sqlalchemy import delete, insert, select, update
from sqlalchemy.engine import Connection, Engine

from marking.accounts.account_tables import changing, tries
from marking.accounts.roles import name_key

FREE: Mapping[str, int] = {"both": 4, "name": 12, "place": 24}
"""Tries without a wait; common practice, no source."""
FIRST_WAIT, LONGEST_WAIT = 2.0, 60.0
"""Seconds; each further try doubles the wait."""
FORGOTTEN = 900.0
"""Seconds after the last try from which nothing is counted any more."""


class Slowing:
    """Counts tries in the database, so that all processes of a desk count together."""

    def __init__(self, engine: Engine, clock: Callable[[], float]) -> None:
        """Count in *engine*; *clock* gives seconds since 1970."""
        self._engine = engine
        self._clock = clock

    def knock(self, name: str, place: str) -> float:
        """Count one try for *name* from *place*; return the seconds to wait where it comes too early, and count none.

        A try that has to wait looks at no password.
        """
        now = self._clock()
        with changing(self._engine) as connection:
            connection.execute(delete(tries).where(tries.c.last < now - FORGOTTEN))
            held = {key: self._held(connection, key) for key in _keys(name, place).values()}
            wait = max(free_at - now for _, free_at in held.values())
            if wait > 0:
                return wait
            for kind, key in _keys(name, place).items():
                self._keep(connection, key, held[key][0] + 1, now, kind)
        return 0.0

    def right(self, name: str, place: str) -> None:
        """Forget the tries for a name whose password was right, and take one off those from its place."""
        keys = _keys(name, place)
        with changing(self._engine) as connection:
            connection.execute(delete(tries).where(tries.c.key.in_([keys["both"], keys["name"]])))
            count, _ = self._held(connection, keys["place"])
            if count:
                row = {"count": count - 1, "free_at": 0.0}
                connection.execute(update(tries).where(tries.c.key == keys["place"]).values(row))

    def _held(self, connection: Connection, key: str) -> tuple[int, float]:
        row = connection.execute(select(tries.c.count, tries.c.free_at).where(tries.c.key == key)).first()
        return (int(row[0]), float(row[1])) if row is not None else (0, 0.0)

    def _keep(self, connection: Connection, key: str, count: int, now: float, kind: str) -> None:
        over = count - FREE[kind]
        # Capped before it is raised: a long siege would leave the range of a float.
        wait = min(LONGEST_WAIT, FIRST_WAIT * 2.0 ** min(over, 16)) if over >= 0 else 0.0
        row = {"count": count, "last": now, "free_at": now + wait}
        connection.execute(delete(tries).where(tries.c.key == key))
        connection.execute(insert(tries).values(key=key, **row))


def _keys(name: str, place: str) -> dict[str, str]:
    # Hashed: a password that was typed into the wrong field stands in no table.
    said = {"both": f"{name_key(name)}\n{place}", "name": name_key(name), "place": place}
    return {
        kind: hashlib.sha256(f"{kind}\n{text}".encode("utf-8", "replace")).hexdigest() for kind, text in said.items()
    }
