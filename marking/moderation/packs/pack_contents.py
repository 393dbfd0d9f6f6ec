"""What a second marker gets: scripts under codes that say nothing, the scheme, and a hash over all of it."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Sequence
from random import Random

from msgspec import Struct, structs

from marking.moderation.packs.blinding import Shown, evidence
from marking.moderation.sampling import Sampled
from rubrics.model import Rubric

_LETTERS = "BCDFGHJKMPQRTVWXYZ"
"""No vowels, so that no code is a word; nothing that looks like a figure."""


class SchemeLine(Struct, frozen=True, kw_only=True):
    """One criterion as the second marker reads it."""

    code: str
    point: str
    marks: int


class PackScript(Struct, frozen=True, kw_only=True):
    """One script of a pack."""

    code: str
    """Drawn by lot for this round; stands for the student."""
    eye: tuple[str, ...]
    """Criteria that wait for the second marker."""
    shown: tuple[Shown, ...]

    @property
    def seal(self) -> str:
        """Return the hash over what the second marker sees of it."""
        lines = [[one.item, one.label, one.row, one.text] for one in self.shown]
        return _hash([self.code, list(self.eye), lines])


class Pack(Struct, frozen=True, kw_only=True):
    """Everything for one second marker."""

    second_marker: str
    practical: str
    title: str
    edition: int
    scheme_sha256: str
    scheme: tuple[SchemeLine, ...]
    scripts: tuple[PackScript, ...]
    """In an order drawn by lot."""

    @property
    def seal(self) -> str:
        """Return the hash over the pack: whose it is, scheme, edition, and every script."""
        scheme = [[line.code, line.point, line.marks] for line in self.scheme]
        return _hash(
            [
                self.second_marker,
                self.practical,
                self.edition,
                self.scheme_sha256,
                scheme,
                [one.seal for one in self.scripts],
            ]
        )


def _hash(value: object) -> str:
    text = json.dumps(value, ensure_ascii=True, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()


class Coded(Struct, frozen=True, kw_only=True):
    """Which script of the department a code stands for; this is what the moderator keeps."""

    code: str
    sampled: Sampled


def scheme_of(rubric: Rubric) -> tuple[SchemeLine, ...]:
    """Return the scheme of a practical."""
    return tuple(SchemeLine(code=one.code, point=one.point, marks=one.marks) for one in rubric.criteria)


def scheme_hash(rubric: Rubric) -> str:
    """Return the hash over what a marker judges by: practical, edition, and every criterion with its marks.

    How the program reads an answer is no part of it: a round that is out outlives an update.
    """
    return _hash([rubric.id, rubric.edition, [[one.code, one.point, one.marks] for one in rubric.criteria]])


def packs(
    rubric: Rubric, sample: Sequence[Sampled], names: Sequence[str], seed: str
) -> tuple[tuple[Pack, tuple[Coded, ...]], ...]:
    """Return one pack for each second marker, with its key, by the marker's name.

    Args:
        rubric: The practical of the sample.
        sample: Scripts with their second markers.
        names: What is hidden in answers, see ``blinding.names_to_hide``.
        seed: Any words; codes and order are drawn from it.
    """
    chance = Random(f"{seed}/codes")
    mixed = list(sample)
    chance.shuffle(mixed)
    codes = _codes(len(mixed), chance)
    by_marker: dict[str, list[Coded]] = {}
    for code, one in zip(codes, mixed, strict=True):
        by_marker.setdefault(one.second_marker, []).append(Coded(code=code, sampled=one))
    return tuple(
        (_pack(rubric, marker, by_marker[marker], names), tuple(by_marker[marker])) for marker in sorted(by_marker)
    )


def common_pack(rubric: Rubric, sample: Sequence[Sampled], names: Sequence[str], seed: str, marker: str) -> Pack:
    """Return a pack of the same scripts under the same codes for anybody: scripts to mark together beforehand."""
    ((made, _),) = packs(rubric, [structs.replace(one, second_marker="") for one in sample], names, seed)
    return structs.replace(made, second_marker=marker)


def _pack(rubric: Rubric, marker: str, coded: Sequence[Coded], names: Sequence[str]) -> Pack:
    return Pack(
        second_marker=marker,
        practical=rubric.id,
        title=rubric.title,
        edition=rubric.edition,
        scheme_sha256=scheme_hash(rubric),
        scheme=scheme_of(rubric),
        scripts=tuple(
            PackScript(
                code=one.code,
                eye=one.sampled.candidate.eye,
                shown=evidence(rubric, one.sampled.candidate.script.write_up, names),
            )
            for one in coded
        ),
    )


def _codes(count: int, chance: Random) -> list[str]:
    """Return so many different codes such as 'KT42', in the order of a lot."""
    drawn: dict[str, None] = {}
    while len(drawn) < count:
        drawn["".join(chance.choices(_LETTERS, k=2)) + f"{chance.randrange(10, 100)}"] = None
    return list(drawn)
