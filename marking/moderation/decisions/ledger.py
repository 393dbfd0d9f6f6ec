"""Rulings, their undoing and signatures, as they are taken down in the record for one round of a department."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from marking.decided import (
    Closed,
    Decision,
    ModerationReopened,
    ModerationRuled,
    ModerationSigned,
    ModerationUndone,
    RoundBegun,
    SetName,
    SetRead,
    department_set,
)
from marking.moderation.comparing import Comparison
from marking.moderation.decisions.rulings import Ruling
from marking.moderation.decisions.signing import refuse_signature
from marking.moderation.decisions.standings import SigningRole, Standing, department_decisions, round_hash, standing
from marking.moderation.joint import Adjustment
from marking.record import (
    Maker,
    OvertakenError,
    Record,
    is_closed,
)
from rubrics.faults import InputError

_TRIES = 8
"""Of a signature, where others sign the same version at the same moment."""


class MovedOnError(InputError):
    """What stands is not what the maker saw; nothing was taken down."""


def _classes(found: Comparison, marker: str) -> tuple[str, ...]:
    """Return the classes of a marker, or of everybody, as the record calls them."""
    names = {one.kept_as or one.class_name for one in found.key.cohort if marker in ("", one.marker)}
    return tuple(sorted(names))


class Ledger:
    """The rulings of one round in a record."""

    def __init__(
        self,
        record: Record,
        found: Comparison,
        maker: Maker,
        *,
        account: str = "",
        saw: str | None = None,
        closes: Sequence[SetName] = (),
    ) -> None:
        """Keep rulings on *found* in *record*; *maker* decides.

        Args:
            record: The record of the department.
            found: The round.
            maker: Who decides.
            account: Under which account the maker has signed in; empty for a name that was typed.
            saw: The version that the maker saw; None where the one that stands is read just now.
            closes: Sets of the round whose marks are closed once the head of department has signed.
        """
        self._record = record
        self._account = account
        self._saw = saw
        self._closes = closes
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
        self._keep(made)
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
        self._keep(made)
        return made

    def sign(self, role: SigningRole) -> ModerationSigned:
        """Sign what stands now.

        Raises:
            InputError: It is not this role's turn, or somebody signs for another.
        """
        own = self._maker.fresh()
        for _ in range(_TRIES):
            state = self.standing()
            if self._saw is not None and not state.shows(self._saw):
                raise self._moved_on()
            refuse_signature(self._found, state, role, self._named())
            shared = {**self._shared(state, ""), "id": own}
            made = ModerationSigned(**shared, role=role.value, version=state.version, account=self._account)
            try:
                self._keep(made, *(self._closings() if role is SigningRole.HEAD else ()))
            except OvertakenError:
                continue  # another signature of the same version came first, and both count
            return made
        raise self._moved_on()

    def _closings(self) -> list[Closed]:
        """Return what closes the sets of the round: nobody changes a mark from now on without opening them again."""
        found = []
        for name in self._closes:
            known = self._record.decisions(name, about=Closed.about)
            # Of a class that it has not read the record knows no mark: there is nothing to close.
            is_read = bool(self._record.decisions(name, about=SetRead.about))
            if is_read and not is_closed(known):
                found.append(
                    Closed(
                        id=self._maker.fresh(),
                        who=self._named(),
                        when=self._maker.now(),
                        set=name,
                        number=max((one.number for one in known), default=0) + 1,
                        program=self._maker.program,
                    )
                )
        return found

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
        self._keep(made)
        return made

    def _seen_state(self) -> Standing:
        """Return what stands, where it is what the maker saw.

        Raises:
            MovedOnError: It is not.
        """
        state = self.standing()
        if self._saw not in (None, state.seen):
            raise self._moved_on()
        return state

    def _moved_on(self) -> MovedOnError:
        return MovedOnError(self._set.practical, "this round was changed meanwhile", "look at it again and decide")

    def _keep(self, *made: Decision) -> None:
        """Take decisions down; the first of a round says that from now on this round counts for its classes."""
        word = self._found.key.word
        begun = RoundBegun(
            id=f"round-begun-{word}",
            who=made[0].who,
            when=made[0].when,
            set=self._set,
            number=1,
            cell=word,
            edition=made[0].edition,
            program=made[0].program,
            classes=_classes(self._found, ""),
        )
        self._record.add([begun, *made])

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
            "cell": self._found.key.word,
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
