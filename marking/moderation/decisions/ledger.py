"""Rulings, their undoing and signatures, as the record keeps them for one practical of a department."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from marking.decided import (
    Decision,
    ModerationReopened,
    ModerationRuled,
    ModerationSigned,
    ModerationUndone,
    department_set,
    standing_rulings,
)
from marking.moderation.comparing import Comparison
from marking.moderation.decisions.effects import final_totals
from marking.moderation.decisions.rulings import Ruling
from marking.moderation.joint import Adjustment
from marking.record import (
    Maker,
    Record,
)
from rubrics.faults import InputError


class SigningRole(StrEnum):
    """Who signs, in this order."""

    FIRST_MARKER = "first-marker"
    SECOND_MARKER = "second-marker"
    HEAD = "head-of-department"


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """What the record says about a round, now."""

    rulings: tuple[ModerationRuled, ...]
    """Those that were not undone, in their order; of two about one thing the later counts."""
    signatures: tuple[ModerationSigned, ...]
    """Of the version as it is now."""
    version: str
    """Hash of the moderated marks: the packs, the second marks, the rulings, everybody's total."""
    last: int
    """Number of the last decision."""

    @property
    def seen(self) -> str:
        """Return what names exactly this state: its version, and the last decision."""
        return f"{self.version[:32]}-{self.last}"

    @property
    def is_locked(self) -> bool:
        """Tell whether the head of department has signed what stands."""
        return any(one.role == SigningRole.HEAD for one in self.signatures)

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
    """Return what *decisions*, in their order, come to for a round."""
    signed: list[ModerationSigned] = []
    last = 0
    taken = tuple(decisions)
    for one in taken:
        last = max(last, one.number)
        if isinstance(one, ModerationSigned):
            signed.append(one)
        elif isinstance(one, ModerationReopened):
            signed.clear()
    kept = standing_rulings(taken)
    bare = Standing(rulings=kept, signatures=(), version="", last=last)
    version = _version(found, bare)
    own = tuple(one for one in signed if one.version == version)
    return Standing(rulings=kept, signatures=own, version=version, last=last)


def round_hash(found: Comparison) -> str:
    """Return the hash over a round: what went out, and what came back."""
    second = [[one.line.second_marker, one.line.code, sorted(one.second.items())] for one in found.looks]
    return _hash([sorted(found.key.packs.items()), found.key.rubric_sha256, second])


def _version(found: Comparison, state: Standing) -> str:
    totals = final_totals(found.key.cohort, state.adjustments)
    rulings = [
        [one.number, one.ruling, one.marker, one.point, repr(one.slope), repr(one.constant), one.who, one.why]
        for one in state.rulings
    ]
    return _hash([round_hash(found), rulings, [[one.class_name, one.student, total] for one, total in totals]])


def _hash(value: object) -> str:
    return hashlib.sha256(json.dumps(value, ensure_ascii=True, separators=(",", ":")).encode()).hexdigest()


class MovedOnError(InputError):
    """What stands is not what the maker saw; nothing was taken down."""


def _classes(found: Comparison, marker: str) -> tuple[str, ...]:
    """Return the classes of a marker, or of everybody, as the record calls them."""
    names = {one.kept_as or one.class_name for one in found.key.cohort if marker in ("", one.marker)}
    return tuple(sorted(names))


class Ledger:
    """The rulings of one round in a record."""

    def __init__(
        self, record: Record, found: Comparison, maker: Maker, *, account: str = "", saw: str | None = None
    ) -> None:
        """Keep rulings on *found* in *record*; *maker* decides.

        Args:
            record: The record of the department.
            found: The round.
            maker: Who decides.
            account: Under which account the maker has signed in; empty for a name that was typed.
            saw: The version that the maker saw; None where the one that stands is read just now.
        """
        self._record = record
        self._account = account
        self._saw = saw
        self._found = found
        self._maker = maker
        self._set = department_set(found.key.practical)

    def standing(self) -> Standing:
        """Return what stands now."""
        return standing(self._found, department_decisions(self._record, self._set.practical))

    def rule(
        self,
        ruling: Ruling,
        *,
        marker: str = "",
        point: str = "",
        adjustment: Adjustment | None = None,
        why: str,
    ) -> ModerationRuled:
        """Take a ruling down.

        Raises:
            InputError: No reason, nobody named, or the marks are signed and locked.
        """
        state = self._open_state(why)
        fitted = {} if adjustment is None else _fitted(adjustment)
        made = ModerationRuled(
            **self._shared(state, why), ruling=ruling.value, marker=marker, point=point,
            round=round_hash(self._found), classes=_classes(self._found, marker), **fitted,
        )  # fmt: skip
        self._record.add([made])
        return made

    def undo(self, number: int, *, why: str) -> ModerationUndone:
        """Undo the ruling of that number.

        Raises:
            InputError: There is no such ruling, no reason, or the marks are signed and locked.
        """
        state = self._open_state(why)
        if all(one.number != number for one in state.rulings):
            known = ", ".join(str(one.number) for one in state.rulings) or "none"
            raise InputError(str(number), "no ruling of this number stands", f"use one of: {known}")
        made = ModerationUndone(**self._shared(state, why), undoes=number)
        self._record.add([made])
        return made

    def sign(self, role: SigningRole) -> ModerationSigned:
        """Sign what stands now.

        Raises:
            InputError: It is not this role's turn, or somebody signs for another.
        """
        state = self._seen_state()
        _may_sign(self._found, state, role, self._named())
        shared = self._shared(state, "")
        made = ModerationSigned(**shared, role=role.value, version=state.version, account=self._account)
        self._record.add([made])
        return made

    def reopen(self, *, why: str) -> ModerationReopened:
        """Open signed marks again.

        Raises:
            InputError: They are not locked, or no reason is given.
        """
        state = self._seen_state()
        if not state.is_locked:
            raise InputError(self._set.practical, "these marks are not locked", "rule or sign as they are")
        self._say_why(why)
        made = ModerationReopened(**self._shared(state, why))
        self._record.add([made])
        return made

    def _seen_state(self) -> Standing:
        """Return what stands, where it is what the maker saw.

        Raises:
            MovedOnError: It is not.
        """
        state = self.standing()
        if self._saw not in (None, state.seen):
            raise MovedOnError(self._set.practical, "this round was changed meanwhile", "look at it again and decide")
        return state

    def _open_state(self, why: str) -> Standing:
        state = self._seen_state()
        if state.is_locked:
            problem = "the head of department has signed these marks, and they are locked"
            raise InputError(self._set.practical, problem, "open them again with --reopen and a reason")
        self._say_why(why)
        return state

    def _say_why(self, why: str) -> None:
        if not why.strip():
            raise InputError(self._set.practical, "a decision has a reason", "say it after --reason")

    def _named(self) -> str:
        if not self._maker.who.strip():
            raise InputError(self._set.practical, "a named person decides", "say who after --by")
        return self._maker.who

    def _shared(self, state: Standing, why: str) -> dict[str, Any]:
        return {
            "id": self._maker.fresh(),
            "who": self._named(),
            "when": self._maker.now(),
            "set": self._set,
            "number": state.last + 1,
            "was": state.version,
            "why": why,
            "edition": str(self._found.key.edition),
            "program": self._maker.program,
        }


def _fitted(adjustment: Adjustment) -> dict[str, Any]:
    return {
        "slope": adjustment.slope,
        "constant": adjustment.constant,
        "out_of": adjustment.out_of,
        "pairs": adjustment.pairs,
    }


_ORDER: Sequence[SigningRole] = tuple(SigningRole)


def _may_sign(found: Comparison, state: Standing, role: SigningRole, who: str) -> None:
    """Refuse a signature out of turn, or one that is not the signer's to give."""
    given = {one.role: one.who for one in state.signatures}
    place = _ORDER.index(role)
    missing = [one for one in _ORDER[:place] if one.value not in given]
    if role.value in given:
        raise InputError(who, f"{given[role.value]} has signed as {role.value}", "leave it at that")
    if missing:
        raise InputError(who, f"the {missing[0].value} has not signed yet", "sign in order: first marker, second, head")
    if role is not SigningRole.HEAD and who not in _may(found, role):
        raise InputError(who, f"is no {role.value} of this round", f"sign as one of {', '.join(_may(found, role))}")
    if who in given.values():
        raise InputError(who, "has signed already, and nobody signs for two", "let another person sign")


def _may(found: Comparison, role: SigningRole) -> list[str]:
    if role is SigningRole.FIRST_MARKER:
        return list(found.key.markers)
    return sorted({one.line.second_marker for one in found.looks})
