"""What a decision would change, shown before anybody takes it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec import Struct

from marking.moderation.joint import Adjustment
from marking.moderation.packs import Person


class MarkChange(Struct, frozen=True, kw_only=True):
    """One student's total, before and after."""

    student: str
    class_name: str
    marker: str
    before: int
    after: int
    crosses: int | None
    """The boundary that lies between the two; None where there is none."""


class Effect(Struct, frozen=True, kw_only=True):
    """What an adjustment does to its marker's students."""

    students: int
    changes: tuple[MarkChange, ...]
    """Those whose total is another one."""
    keeps_order: bool
    """Whether nobody overtakes anybody in the marks that people give; ties may form at the ends."""
    capped: int
    """Students for whom nought or the maximum stops the change short."""

    @property
    def crossing(self) -> tuple[MarkChange, ...]:
        """Return those who cross a boundary: look at these scripts again."""
        return tuple(one for one in self.changes if one.crosses is not None)


def effect_of(adjustment: Adjustment, cohort: Sequence[Person], boundaries: Sequence[int] = ()) -> Effect:
    """Return what *adjustment* does to the totals of its marker's students.

    Args:
        adjustment: On the marks that people give; what is worked out stays as it is.
        cohort: Everybody.
        boundaries: Totals from which a higher grade starts.
    """
    own = [one for one in cohort if one.marker == adjustment.marker]
    changes, capped = [], 0
    for one in own:
        after = adjusted_total(adjustment, one)
        capped += after != one.total + _uncapped(adjustment, one)
        if after != one.total:
            crosses = next((edge for edge in boundaries if min(one.total, after) < edge <= max(one.total, after)), None)
            changes.append(
                MarkChange(
                    student=one.student,
                    class_name=one.class_name,
                    marker=one.marker,
                    before=one.total,
                    after=after,
                    crosses=crosses,
                )
            )
    eye = sorted(own, key=lambda one: one.eye_total)
    after_eye = [adjustment.apply(one.eye_total) for one in eye]
    return Effect(students=len(own), changes=tuple(changes), keeps_order=after_eye == sorted(after_eye), capped=capped)


def adjusted_total(adjustment: Adjustment, one: Person) -> int:
    """Return a student's total with the marks that people gave adjusted, within what can be had there."""
    return one.total - one.eye_total + min(one.eye_out_of, adjustment.apply(one.eye_total))


def _uncapped(adjustment: Adjustment, one: Person) -> int:
    free = Adjustment(
        marker=adjustment.marker,
        slope=adjustment.slope,
        constant=adjustment.constant + 1000,
        out_of=100_000,
        pairs=adjustment.pairs,
    )
    return free.apply(one.eye_total) - 1000 - one.eye_total


def final_totals(cohort: Sequence[Person], adjustments: Mapping[str, Adjustment]) -> tuple[tuple[Person, int], ...]:
    """Return everybody with the total that counts, given the adjustments that stand, by marker."""
    return tuple(
        (one, adjusted_total(adjustments[one.marker], one) if one.marker in adjustments else one.total)
        for one in cohort
    )
