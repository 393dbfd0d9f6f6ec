"""What the record says about one round: rulings that stand, signatures of what stands, and the hash of both."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from enum import StrEnum

from msgspec import Struct, structs

from marking.decided import (
    Decision,
    ModerationReopened,
    ModerationRuled,
    ModerationSigned,
    department_set,
    standing_rulings,
)
from marking.moderation.comparing import Comparison
from marking.moderation.decisions.effects import final_totals
from marking.moderation.decisions.rulings import Ruling
from marking.moderation.joint import Adjustment
from marking.moderation.packs import Person
from marking.record import Record

_SEEN = 32
"""Digits of a version that a form carries."""


class SigningRole(StrEnum):
    """Who signs, in this order."""

    FIRST_MARKER = "first-marker"
    """Every one of them, for the own classes."""
    SECOND_MARKER = "second-marker"
    """One of them, for the second marks."""
    HEAD = "head-of-department"


class Standing(Struct, frozen=True, kw_only=True):
    """What the record says about a round, now."""

    rulings: tuple[ModerationRuled, ...]
    """Those that were not undone, in their order; of two about one thing the later counts."""
    signatures: tuple[ModerationSigned, ...]
    """Of the version as it is now."""
    version: str
    """Hash of the moderated marks: the packs, the second marks, the rulings, everybody's total."""
    last: int
    """Number of the last decision."""
    first_markers: tuple[str, ...] = ()
    outdated: tuple[ModerationSigned, ...] = ()
    """Signatures of an earlier version: what was signed has changed since."""

    @property
    def seen(self) -> str:
        """Return what names exactly this state: its version, and the last decision."""
        return f"{self.version[:_SEEN]}-{self.last}"

    def shows(self, seen: str) -> bool:
        """Tell whether whoever saw *seen* saw the marks that stand now, whatever was signed since."""
        return seen.partition("-")[0] == self.version[:_SEEN]

    def signed_as(self, role: SigningRole) -> tuple[str, ...]:
        """Return who has signed as *role*."""
        return tuple(one.who for one in self.signatures if one.role == role.value)

    @property
    def unsigned(self) -> tuple[str, ...]:
        """Return the first markers who have not signed yet."""
        signed = self.signed_as(SigningRole.FIRST_MARKER)
        return tuple(one for one in self.first_markers if one not in signed)

    @property
    def turn(self) -> SigningRole | None:
        """Return whose turn it is to sign; None where everybody has."""
        if self.unsigned:
            return SigningRole.FIRST_MARKER
        later = (SigningRole.SECOND_MARKER, SigningRole.HEAD)
        return next((role for role in later if not self.signed_as(role)), None)

    @property
    def is_locked(self) -> bool:
        """Tell whether the head of department has signed what stands."""
        return bool(self.signed_as(SigningRole.HEAD))

    @property
    def adjustments(self) -> Mapping[str, Adjustment]:
        """Return the adjustments that stand, by marker."""
        found: dict[str, Adjustment] = {}
        for one in self.rulings:
            # Whatever is decided later about a marker's marks as a whole takes the place of an adjustment.
            if one.ruling in (Ruling.ADJUST, Ruling.ACCEPT, Ruling.REMARK_CLASS):
                found.pop(one.marker, None)
            if one.ruling == Ruling.ADJUST:
                found[one.marker] = Adjustment(
                    marker=one.marker, slope=one.slope, constant=one.constant, out_of=one.out_of, pairs=one.pairs
                )
        return found


def department_decisions(record: Record | None, practical: str) -> tuple[Decision, ...]:
    """Return what a department decided about a practical, in order; nothing where no record is kept."""
    return () if record is None else record.decisions(department_set(practical), about=ModerationRuled.about)


def standing(found: Comparison, decisions: Iterable[Decision]) -> Standing:
    """Return what *decisions*, in their order, come to for a round; those of other rounds say nothing about it."""
    signed: list[ModerationSigned] = []
    last = 0
    taken = [one for one in decisions if one.cell == found.key.word]
    for one in taken:
        last = max(last, one.number)
        if isinstance(one, ModerationSigned):
            signed.append(one)
        elif isinstance(one, ModerationReopened):
            signed.clear()
    bare = Standing(
        rulings=standing_rulings(taken), signatures=(), version="", last=last, first_markers=found.key.markers
    )
    version = _version(found, bare)
    return structs.replace(
        bare,
        version=version,
        signatures=tuple(one for one in signed if one.version == version),
        outdated=tuple(one for one in signed if one.version != version),
    )


def round_hash(found: Comparison) -> str:
    """Return the hash over a round: what went out, and what came back."""
    second = [[one.line.second_marker, one.line.code, sorted(one.second.items())] for one in found.looks]
    return _hash([sorted(found.key.packs.items()), found.key.scheme_sha256, second])


def _version(found: Comparison, state: Standing) -> str:
    before = [_before_review(one, found) for one in found.key.cohort]
    totals = sorted((one.class_name, one.student, total) for one, total in final_totals(before, state.adjustments))
    rulings = [
        [one.number, one.ruling, one.marker, one.point, repr(one.slope), repr(one.constant), one.who, one.why]
        for one in state.rulings
    ]
    return _hash([round_hash(found), rulings, totals])


def _before_review(one: Person, found: Comparison) -> Person:
    """Return a script without what a student's question has changed since: that has names and reasons of its own."""
    review = found.reviews.get((one.class_name, one.student))
    if review is None:
        return one
    return structs.replace(one, total=one.total - review.total, eye_total=one.eye_total - review.eye)


def _hash(value: object) -> str:
    return hashlib.sha256(json.dumps(value, ensure_ascii=True, separators=(",", ":")).encode()).hexdigest()
