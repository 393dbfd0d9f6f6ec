"""Passwords: hashed by Argon2id, and compared so that an unknown name takes as long as a known one."""

from __future__ import annotations

import secrets
import threading
import unicodedata

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

FEWEST_PASSWORD, MOST_PASSWORD = 10, 200
"""Characters. The fewest: common practice, no source; the most keep the work of one try small."""
_LETTERS = "bcdfghjkmpqrtvwxyz"
_GROUPS, _IN_GROUP = 5, 4
AT_ONCE = 2
"""Passwords that are worked on at one time: each takes 64 MiB and a core for a moment (RFC 9106, second choice)."""


class Passwords:
    """Makes and checks hashes."""

    def __init__(self, hasher: PasswordHasher | None = None) -> None:
        """Use *hasher*; without one, that of RFC 9106 for machines of usual size."""
        self._hasher = hasher or PasswordHasher()
        self._nobody = self._hasher.hash(secrets.token_hex(16))
        self._turns = threading.Semaphore(AT_ONCE)

    def hashed(self, password: str) -> str:
        """Return the hash of a password, with its own salt."""
        with self._turns:
            return self._hasher.hash(_same(password))

    def fits(self, hashed: str | None, password: str) -> bool:
        """Tell whether *password* is the one that was hashed; None for nobody's, at the same cost."""
        with self._turns:
            try:
                fits = self._hasher.verify(self._nobody if hashed is None else hashed, _same(password)[:MOST_PASSWORD])
            except (VerificationError, InvalidHashError):
                return False
        return fits and hashed is not None

    def is_outdated(self, hashed: str) -> bool:
        """Tell whether a hash was made at another cost than hashes are made now."""
        return self._hasher.check_needs_rehash(hashed)


def _same(password: str) -> str:
    """Return a password as every keyboard gives it: the same letter in one form."""
    return unicodedata.normalize("NFKC", password)


def unfit_password(password: str, name: str) -> bool:
    """Tell whether a password is too short, too long, one sign over and over, or the name."""
    bare = _same(password)
    is_long = FEWEST_PASSWORD <= len(bare) <= MOST_PASSWORD
    return not is_long or len(set(bare)) < 4 or bare.casefold() in name.casefold() or name.casefold() == bare.casefold()


def new_phrase() -> str:
    """Return a phrase to be let in by once: no vowels and nothing that looks like a figure, 83 bits."""
    groups = ("".join(secrets.choice(_LETTERS) for _ in range(_IN_GROUP)) for _ in range(_GROUPS))
    return "-".join(groups)
