"""What stays with the moderator: which code is whose, what was sampled and why, the first marks. As one JSON file."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from pathlib import Path

import msgspec
from msgspec import Struct

from marking.moderation.packs.pack_contents import Coded, Pack, SchemeLine
from marking.moderation.sampling import Reason, SamplingRule
from rubrics.faults import InputError

FORMAT = 1
WORD = 16
"""Digits of a hash by which the record calls a round."""
EVERYBODY = ""
"""Stands for the second marker of a script that all mark."""


class KeyLine(Struct, frozen=True, kw_only=True):
    """One script of the sample."""

    code: str
    seal: str
    student: str
    class_name: str
    first_marker: str
    second_marker: str
    reasons: tuple[Reason, ...]
    is_drawn: bool
    eye: tuple[str, ...]
    first: Mapping[str, int]
    """Code of every criterion to its first mark."""


class Person(Struct, frozen=True, kw_only=True):
    """One script of the cohort, sampled or not: what a decision on its marker would change."""

    student: str
    class_name: str
    marker: str
    eye_total: int
    """Marks of the criteria that people mark."""
    eye_out_of: int
    total: int
    out_of: int
    kept_as: str = ""
    """The class as the record calls it, where that is not its name in the department's list."""


class Key(Struct, frozen=True, kw_only=True):
    """One round of moderation of one practical."""

    practical: str
    title: str
    edition: int
    scheme_sha256: str
    seed: str
    rule: SamplingRule
    stage: int
    """1, or 2 for more scripts of markers in doubt; 0 for scripts that all mark together beforehand."""
    scheme: tuple[SchemeLine, ...]
    packs: Mapping[str, str]
    """Second marker to the hash of the pack."""
    lines: tuple[KeyLine, ...]
    cohort: tuple[Person, ...]
    read: Mapping[str, str]
    """Name of each file that was read to its SHA-256."""
    before: str = ""
    """Of a second stage: hash over the packs of its first one."""

    @property
    def seal(self) -> str:
        """Return the hash over its packs, which tells it from every other round."""
        said = json.dumps(sorted(self.packs.items()), ensure_ascii=True, separators=(",", ":"))
        return hashlib.sha256(said.encode()).hexdigest()

    @property
    def word(self) -> str:
        """Return how the record calls the round, by its first stage."""
        return (self.before or self.seal)[:WORD]

    @property
    def markers(self) -> tuple[str, ...]:
        """Return everybody who marked, by name."""
        return tuple(sorted({one.marker for one in self.cohort}))


def key_lines(pack: Pack, coded: Sequence[Coded]) -> tuple[KeyLine, ...]:
    """Return the key of one pack."""
    seals = {script.code: script.seal for script in pack.scripts}
    return tuple(
        KeyLine(
            code=one.code,
            seal=seals[one.code],
            student=one.sampled.candidate.student,
            class_name=one.sampled.candidate.class_name,
            first_marker=one.sampled.candidate.marker,
            second_marker=one.sampled.second_marker,
            reasons=one.sampled.reasons,
            is_drawn=one.sampled.is_drawn,
            eye=one.sampled.candidate.eye,
            first=dict(one.sampled.candidate.marks),
        )
        for one in coded
    )


def write_key(path: Path, key: Key) -> None:
    """Write the key; the same key gives the same bytes."""
    text = json.dumps({"format": FORMAT, **msgspec.to_builtins(key)}, indent=1, ensure_ascii=False, sort_keys=True)
    path.write_text(text + "\n", encoding="utf-8", newline="\n")


def read_key(path: Path) -> Key:
    """Return the key that `write_key` wrote.

    Raises:
        InputError: The file is not there, or is no key of a round.
    """
    mend = "name the folder that writeups sample made"
    try:
        held = json.loads(path.read_text(encoding="utf-8"))
        made = held.pop("format")
        key = msgspec.convert(held, Key)
    except FileNotFoundError as error:
        raise InputError(str(path.parent.parent), "there is no round of moderation here", mend) from error
    except (OSError, ValueError, KeyError, AttributeError, msgspec.ValidationError) as error:
        raise InputError(path.name, "this is no key of a round of moderation", mend) from error
    if made != FORMAT:
        raise InputError(path.name, "this key is of another version of the program", mend)
    return key
