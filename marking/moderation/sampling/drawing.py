"""Which scripts are second-marked: drawn by lot from a stated seed, so that no marker chooses their own."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from random import Random

from msgspec import Struct
from msgspec.structs import replace

from marking.moderation.sampling.candidates import Candidate
from marking.moderation.sampling.sampling_rule import ASIDE, NEVER, Reason, SamplingRule


class Sampled(Struct, frozen=True, kw_only=True):
    """A script in the sample."""

    candidate: Candidate
    reasons: tuple[Reason, ...]
    second_marker: str = ""

    @property
    def is_drawn(self) -> bool:
        """Tell whether it may be counted in the severity of its marker."""
        is_by_lot = Reason.DRAWN in self.reasons or Reason.WHOLE in self.reasons  # all of a class is no choice either
        return is_by_lot and Reason.ASIDE not in self.reasons


Sample = dict[tuple[str, str], Sampled]
"""By class and student."""


def draw(
    scripts: Sequence[Candidate],
    rule: SamplingRule,
    seed: str,
    *,
    whole: Sequence[str] = (),
    taken: Sequence[tuple[str, str]] = (),
    more: Mapping[str, int] | None = None,
) -> tuple[Sampled, ...]:
    """Return the sample, in the order of *scripts*.

    Args:
        scripts: Of one practical, over all markers.
        rule: How many of whom.
        seed: Any words; the same ones give the same sample.
        whole: Classes of which every script is wanted.
        taken: Class and student of scripts that an earlier stage has had; they are not drawn again.
        more: For a second stage: marker to so many scripts more, and nothing else is taken.
    """
    known = set(taken)
    open_still = [
        one for one in scripts if (one.class_name, one.student) not in known and not NEVER.intersection(one.codes)
    ]
    lot = [one for one in open_still if not ASIDE.intersection(one.codes)]
    sample: Sample = {}
    by_marker: dict[str, list[Candidate]] = defaultdict(list)
    for one in lot:
        by_marker[one.marker].append(one)
    for marker in sorted(by_marker):
        own = by_marker[marker]
        wanted = rule.drawn_of(len(own), len(by_marker), len(lot)) if more is None else more.get(marker, 0)
        for one in _spread(own, wanted, rule, Random(f"{seed}/drawn/{marker}")):
            _add(sample, one, Reason.DRAWN)
        if more is None:
            _near_boundaries(sample, own, rule, wanted, Random(f"{seed}/boundary/{marker}"))
    if more is None:
        _always(sample, open_still, lot, Random(f"{seed}/ends"), frozenset(whole))
    places = {(one.class_name, one.student): place for place, one in enumerate(scripts)}
    return tuple(sample[key] for key in sorted(sample, key=places.__getitem__))


def _add(sample: Sample, one: Candidate, reason: Reason) -> None:
    key = (one.class_name, one.student)
    before = sample.get(key)
    if before is None:
        sample[key] = Sampled(candidate=one, reasons=(reason,))
    elif reason not in before.reasons:
        sample[key] = replace(before, reasons=(*before.reasons, reason))


def _spread(own: Sequence[Candidate], wanted: int, rule: SamplingRule, chance: Random) -> list[Candidate]:
    """Return so many scripts of one marker, each class and each third of the range with its share."""
    by_lot = list(own)
    chance.shuffle(by_lot)
    ranked = sorted(by_lot, key=lambda one: one.total)
    third = {id(one): 3 * place // len(ranked) for place, one in enumerate(ranked)}
    sizes: Counter[object] = Counter()
    for one in own:
        sizes.update((one.class_name, third[id(one)]))
    held: Counter[object] = Counter()
    chosen: list[Candidate] = []
    while by_lot and len(chosen) < wanted:
        # Whose class has not its fewest yet comes first, then whose class and third lie farthest behind their share.
        best = min(
            by_lot,
            key=lambda one: (
                held[one.class_name] >= rule.each_class,
                held[one.class_name] / sizes[one.class_name] + held[third[id(one)]] / sizes[third[id(one)]],
            ),
        )
        by_lot.remove(best)
        chosen.append(best)
        held.update((best.class_name, third[id(best)]))
    return chosen


def _near_boundaries(sample: Sample, own: Sequence[Candidate], rule: SamplingRule, drawn: int, chance: Random) -> None:
    near = [one for one in own if rule.is_near(one.total) and (one.class_name, one.student) not in sample]
    chance.shuffle(near)
    for one in near[: rule.boundary_most(drawn)]:
        _add(sample, one, Reason.BOUNDARY)


def _always(
    sample: Sample, scripts: Sequence[Candidate], lot: Sequence[Candidate], chance: Random, whole: frozenset[str]
) -> None:
    """Add what is always in: both ends of the range, every code, every overruled mark, classes wanted whole."""
    by_lot = list(lot)
    chance.shuffle(by_lot)
    if by_lot:
        _add(sample, max(by_lot, key=lambda one: one.total), Reason.HIGHEST)
        _add(sample, min(by_lot, key=lambda one: one.total), Reason.LOWEST)
    for one in scripts:
        if ASIDE.intersection(one.codes):
            _add(sample, one, Reason.ASIDE)
        elif one.codes:
            _add(sample, one, Reason.CODE)
        if one.overruled:
            _add(sample, one, Reason.OVERRULED)
        if one.class_name in whole:
            _add(sample, one, Reason.WHOLE)
