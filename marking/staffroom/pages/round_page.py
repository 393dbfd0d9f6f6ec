"""A round: severity with its interval first, then agreement, the plot, markers and criteria, what is proposed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from msgspec import Struct

from marking.moderation.comparing import GroupAgreement, SecondLook, Together
from marking.moderation.decisions import Proposal, Ruling, Standing
from marking.moderation.packs import Key
from marking.rounds import Figures, pack_word
from reports.charts import axis
from reports.moderation import (
    agreement_sentences,
    computed_sentence,
    criterion_sentence,
    effect_sentences,
    joint_sentence,
    proposal_sentence,
    ruling_sentences,
    signature_sentences,
)
from reports.wording import fill, wording

WIDTH, HEIGHT, LEFT, FLOOR = 480, 280, 44, 236
"""Of the plot, in its own units: as the plots of the page To decide."""


class Dot(Struct, frozen=True, kw_only=True):
    """One place in the plot, and how many scripts fall there."""

    x: float
    y: float
    r: float
    count: int


class Tick(Struct, frozen=True, kw_only=True):
    """A figure along an axis."""

    at: float
    label: str


class Differences(Struct, frozen=True, kw_only=True):
    """First less second mark against their mean, after Bland and Altman, Lancet i (1986) 307."""

    dots: tuple[Dot, ...]
    x_ticks: tuple[Tick, ...]
    y_ticks: tuple[Tick, ...]
    zero: float
    mean: float | None
    limits: tuple[float, ...]
    said: str


class Group(Struct, frozen=True, kw_only=True):
    """One marker, in sentences."""

    name: str
    pairs: int
    lines: tuple[str, ...]


class Suggestion(Struct, frozen=True, kw_only=True):
    """What the figures suggest for one marker, and where a ruling on it is looked at."""

    said: str
    effect: tuple[str, ...]
    ruling: str
    marker: str
    criterion: str


class PackBack(Struct, frozen=True, kw_only=True):
    """One pack, and whether it is back."""

    second_marker: str
    stage: int
    word: str
    scripts: int
    is_back: bool


class StandingRuling(Struct, frozen=True, kw_only=True):
    """A ruling that may be undone."""

    number: int
    said: str


class RoundPage(Struct, frozen=True, kw_only=True):
    """One round as it stands."""

    name: str
    title: str
    edition: int
    seed: str
    compared: int
    packs: tuple[PackBack, ...]
    everybody: tuple[str, ...]
    joint: str
    plot: Differences | None
    markers: tuple[Group, ...]
    criteria: tuple[str, ...]
    computed: str
    suggestions: tuple[Suggestion, ...]
    rulings: tuple[StandingRuling, ...]
    signatures: tuple[str, ...]
    version: str
    seen: str
    is_locked: bool
    more: tuple[str, ...]
    """Markers of whom a second stage is wanted."""
    all_markers: tuple[str, ...]
    all_rulings: tuple[str, ...]
    scheme: tuple[tuple[str, str], ...]
    """Code and point of each criterion."""
    button: str
    refused: str = ""


def round_page(name: str, one: Figures, state: Standing, *, button: str, refused: str = "") -> RoundPage:
    """Return the page of a round."""
    found = one.found
    points = {line.code: line.point for line in found.key.scheme}
    drawn = [look for look in found.looks if look.line.is_drawn and look.is_counted]
    return RoundPage(
        name=name,
        title=found.key.title,
        edition=found.key.edition,
        seed=found.key.seed,
        compared=len(found.looks),
        packs=tuple(_packs(one.keys, found.looks)),
        everybody=tuple(agreement_sentences(found.everybody)) if found.looks else (),
        joint=joint_sentence(found),
        plot=differences(drawn, found.everybody) if drawn else None,
        markers=tuple(
            Group(name=group.name, pairs=group.drawn.pairs, lines=tuple(agreement_sentences(group)))
            for group in found.markers
        ),
        criteria=tuple(criterion_sentence(group, points[group.name]) for group in found.criteria),
        computed=computed_sentence(found),
        suggestions=tuple(_suggestion(each, one) for each in one.proposed) if found.looks else (),
        rulings=tuple(
            StandingRuling(number=ruling.number, said=said)
            for ruling, said in zip(state.rulings, ruling_sentences(state), strict=False)
        ),
        signatures=tuple(signature_sentences(state)),
        version=state.version,
        seen=state.seen,
        is_locked=state.is_locked,
        more=tuple(doubt.marker for doubt in found.doubts),
        all_markers=found.key.markers,
        all_rulings=tuple(each.value for each in Ruling),
        scheme=tuple(points.items()),
        button=button,
        refused=refused,
    )


def _packs(keys: Sequence[Key], looks: Sequence[SecondLook]) -> list[PackBack]:
    back = {(look.stage, look.line.second_marker) for look in looks}
    return [
        PackBack(
            second_marker=marker,
            stage=key.stage,
            word=pack_word(seal),
            scripts=sum(line.second_marker in (marker, "") for line in key.lines),
            is_back=(key.stage, marker) in back,
        )
        for key in keys
        for marker, seal in sorted(key.packs.items())
    ]


def _suggestion(each: Proposal, one: Figures) -> Suggestion:
    effect = one.effects.get(each.marker) if each.adjustment is not None else None
    return Suggestion(
        said=proposal_sentence(each),
        effect=tuple(effect_sentences(effect)) if effect is not None else (),
        ruling=each.ruling.value,
        marker=each.marker,
        criterion=each.criterion,
    )


def differences(looks: Sequence[SecondLook], group: GroupAgreement) -> Differences:
    """Return the plot of the scripts drawn by lot."""
    points = Counter(((one.first_total + one.second_total) / 2, one.apart) for one in looks)
    limits = group.drawn.limits
    ends = [limits.lower.at, limits.upper.at] if limits is not None else []
    x = axis([mean for mean, _ in points], LEFT + 12, WIDTH - LEFT - 24)
    y = axis([*(float(apart) for _, apart in points), *ends, -1.0, 1.0], 0, FLOOR - 24)

    def up(value: float) -> float:
        return round(FLOOR - y.at(value), 1)

    severity = group.drawn.severity
    return Differences(
        dots=tuple(
            Dot(x=round(x.at(mean), 1), y=up(apart), r=round(3.2 * count**0.5, 1), count=count)
            for (mean, apart), count in sorted(points.items())
        ),
        x_ticks=tuple(Tick(at=round(x.at(value), 1), label=x.label(value)) for value in x.ticks),
        y_ticks=tuple(Tick(at=up(value), label=y.label(value)) for value in y.ticks),
        zero=up(0),
        mean=up(severity.mean) if severity is not None else None,
        limits=tuple(up(end) for end in ends),
        said=fill([wording("moderation")["plot"]["words"]], {"count": str(len(looks))}),
    )


class TogetherRow(Struct, frozen=True, kw_only=True):
    """One script under one criterion: what each marker gave."""

    script: str
    given: tuple[int | None, ...]
    differs: bool


class TogetherCriterion(Struct, frozen=True, kw_only=True):
    """One criterion over the scripts that all have marked."""

    code: str
    said: str
    rows: tuple[TogetherRow, ...]
    differing: int


class TogetherPage(Struct, frozen=True, kw_only=True):
    """Scripts marked together: the criterion on which people differ most comes first."""

    name: str
    title: str
    edition: int
    markers: tuple[str, ...]
    missing: tuple[str, ...]
    criteria: tuple[TogetherCriterion, ...]
    button: str
    refused: str = ""
    wording: str = ""


def together_page(name: str, key: Key, found: Together, *, button: str, refused: str = "") -> TogetherPage:
    """Return the page for the meeting."""
    words = wording("moderation")["together"]
    criteria = []
    for one in found.criteria:
        slots = {"code": one.code, "same": str(one.scripts - one.differing), "scripts": str(one.scripts)}
        rows = tuple(
            TogetherRow(
                script=script,
                given=tuple(given.get(marker) for marker in found.markers),
                differs=len(set(given.values())) > 1,
            )
            for script, given in one.given.items()
        )
        said = fill([words["criterion"]], {**slots, "point": one.point})
        criteria.append(TogetherCriterion(code=one.code, said=said, rows=rows, differing=one.differing))
    return TogetherPage(
        name=name,
        title=key.title,
        edition=key.edition,
        markers=found.markers,
        missing=tuple(sorted(set(key.packs) - set(found.markers))),
        criteria=tuple(criteria),
        button=button,
        refused=refused,
    )
