"""What a round of moderation shows: everybody at once, then marker by marker and criterion by criterion."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec import Struct, field

from marking.moderation.comparing.second_look import SecondLook, criteria_marked, pair_table, second_looks
from marking.moderation.joint import ENOUGH, Doubt, Named, PairTable, doubts, named
from marking.moderation.packs import Key, Returned
from marking.moderation.statistics import Agreement, Closeness, agreement, closeness, usual_tolerance


class GroupAgreement(Struct, frozen=True, kw_only=True):
    """Agreement over some of the scripts: one first marker's, or one criterion."""

    name: str
    drawn: Agreement
    """Over the scripts drawn by lot."""
    looked_at: Closeness
    """Over all scripts that count, those near a boundary and other added ones among them."""


class Reviewed(Struct, frozen=True, kw_only=True):
    """What students' questions have changed in one total, in marks."""

    total: int
    eye: int
    """Of these, in the marks that people give."""


class Comparison(Struct, frozen=True, kw_only=True):
    """A round, read."""

    key: Key
    """Of its first stage."""
    stage: int
    looks: tuple[SecondLook, ...]
    outstanding: tuple[str, ...]
    """Second markers whose pack is not back."""
    everybody: GroupAgreement
    markers: tuple[GroupAgreement, ...]
    """By first marker."""
    criteria: tuple[GroupAgreement, ...]
    computed: Closeness
    """Marks that the program works out and a second marker gave as well: no evidence of how people agree."""
    table: PairTable
    doubts: tuple[Doubt, ...]
    """After a first stage: of whom more scripts are wanted."""
    named: tuple[Named, ...]
    """Who is off, by the joint test; nobody before the second stage of those in doubt is back."""
    out_of: int
    """Marks of a whole script."""
    reviews: Mapping[tuple[str, str], Reviewed] = field(default_factory=dict)
    """Class and student to what was changed by a review, and stands in the cohort's totals."""


def compare(
    keys: Sequence[Key], returned: Sequence[Returned], reviews: Mapping[tuple[str, str], Reviewed] | None = None
) -> Comparison:
    """Return what the packs of a round show.

    Args:
        keys: Of the first stage, and of the second where there was one; all of one practical and edition.
        returned: The packs that came back.
        reviews: What students' questions have changed in the totals of the cohort.
    """
    looks = second_looks(keys, returned)
    back = {one.second_marker for one in returned}
    key = keys[0]
    table = pair_table(looks, key)
    out_of = max((one.out_of for one in key.cohort), default=0)
    in_doubt = doubts(pair_table([one for one in looks if one.stage == 1], key), out_of)
    # Whoever had a second stage was in doubt when it was drawn; whoever gave as many scripts at once needs none.
    had_more = {line.first_marker for one in keys if one.stage > 1 for line in one.lines}
    had_more |= {name for name in table.markers if table.scripts_of(name) >= ENOUGH}
    return Comparison(
        key=key,
        stage=max(one.stage for one in keys),
        looks=looks,
        outstanding=tuple(sorted({name for one in keys for name in one.packs} - back)),
        everybody=_group("", looks),
        markers=tuple(_group(name, [one for one in looks if one.line.first_marker == name]) for name in key.markers),
        criteria=tuple(_criterion(looks, code, marks) for code, marks in criteria_marked(looks, key)),
        computed=_computed(looks),
        table=table,
        doubts=tuple(one for one in in_doubt if one.marker not in had_more),
        named=tuple(one for one in named(table, out_of) if one.marker in had_more),
        out_of=out_of,
        reviews=reviews or {},
    )


def _group(name: str, looks: Sequence[SecondLook]) -> GroupAgreement:
    counted = [one for one in looks if one.is_counted]
    most = max((one.eye_out_of for one in counted), default=0)
    drawn = [one for one in counted if one.line.is_drawn]
    tolerance = usual_tolerance(most)
    return GroupAgreement(
        name=name,
        drawn=agreement([one.first_total for one in drawn], [one.second_total for one in drawn], most, tolerance),
        looked_at=closeness([one.first_total for one in counted], [one.second_total for one in counted], tolerance),
    )


def _criterion(looks: Sequence[SecondLook], code: str, marks: int) -> GroupAgreement:
    counted = [one for one in looks if one.is_counted and code in one.line.eye]
    drawn = [one for one in counted if one.line.is_drawn]
    return GroupAgreement(
        name=code,
        drawn=agreement([one.line.first[code] for one in drawn], [one.second[code] for one in drawn], marks, 0),
        looked_at=closeness([one.line.first[code] for one in counted], [one.second[code] for one in counted], 0),
    )


def _computed(looks: Sequence[SecondLook]) -> Closeness:
    both = [
        (mark, one.second[code])
        for one in looks
        if one.is_counted
        for code, mark in one.line.first.items()
        if code not in one.line.eye and code in one.second
    ]
    return closeness([first for first, _ in both], [second for _, second in both], 0)
