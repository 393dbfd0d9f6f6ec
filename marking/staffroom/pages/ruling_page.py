"""One ruling before it is taken: who changes, who crosses a boundary, whether the order is kept."""

from __future__ import annotations

from msgspec import Struct

from marking.moderation.comparing import Comparison
from marking.moderation.decisions import Effect, Ruling, effect_of
from marking.moderation.joint import Adjustment
from reports.moderation import asked_ruling_words, effect_sentences


class ChangeRow(Struct, frozen=True, kw_only=True):
    """One student whose total would be another."""

    student: str
    class_name: str
    before: int
    after: int
    crosses: int | None


class RulingPage(Struct, frozen=True, kw_only=True):
    """What a ruling would do."""

    name: str
    title: str
    said: str
    ruling: str
    marker: str
    criterion: str
    constant: str
    effect: tuple[str, ...]
    changes: tuple[ChangeRow, ...]
    is_adjustment: bool
    seen: str
    button: str
    refused: str = ""
    why: str = ""


def ruling_page(
    name: str,
    found: Comparison,
    ruling: Ruling,
    *,
    marker: str,
    criterion: str,
    constant: str,
    adjustment: Adjustment | None,
    seen: str,
    button: str,
    refused: str = "",
    why: str = "",
) -> RulingPage:
    """Return the page before a ruling is taken."""
    effect: Effect | None = None
    if adjustment is not None:
        effect = effect_of(adjustment, found.key.cohort, found.key.rule.boundaries)
    return RulingPage(
        name=name,
        title=found.key.title,
        said=asked_ruling_words(ruling, marker, criterion, adjustment),
        ruling=ruling.value,
        marker=marker,
        criterion=criterion,
        constant=constant,
        effect=tuple(effect_sentences(effect)) if effect is not None else (),
        changes=tuple(
            ChangeRow(
                student=one.student,
                class_name=one.class_name,
                before=one.before,
                after=one.after,
                crosses=one.crosses,
            )
            for one in (effect.changes if effect is not None else ())
        ),
        is_adjustment=adjustment is not None,
        seen=seen,
        button=button,
        refused=refused,
        why=why,
    )
