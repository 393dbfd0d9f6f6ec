"""Benches whose apparatus reads off by a steady factor.

What sound benches agree on is compared between benches, for every instrument that could be to blame: in each
practical alone, and in all of a class's practicals together that use the same instrument.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from marking.cohort.benches.bench_quantities import Quantities, Trials, quantities_beside_trials, quantities_of
from marking.cohort.benches.contrasts import Contrast, contrast
from marking.cohort.benches.instruments import readiness
from marking.cohort.benches.odd_parts import odd_parts
from marking.cohort.benches.standing_out import FEWEST_BENCHES, StandsOut, standing_out
from marking.cohort.benches.suspects import STEADY, Suspect, suspects
from marking.findings import MarkedSet

CHANCE = 0.05
"""At most this share of sound classes has a bench named, over everything that a class is looked at by; parts that are
odd have another 1 in 100."""
CHANCE_OF_PARTS = 0.03
"""The same where parts of each bench's own are compared. How widely these differ is guessed from a dozen benches, and
classes that differ by several times what is usual have one named in 6 of 100 where 5 are meant, by measurement."""
BESIDE_SHARE = 0.1
"""Share of *CHANCE* that goes to looks beside the technician's trials. It is the smaller one, for a meter that was off
before the lesson was off for the technician too, and only shows beside other benches."""
FEWEST_MEASUREMENTS = 2
"""One figure of one group may be that group's slip; two that agree are the bench's."""

BORNE_OUT = 0.5
"""Share of what a bench is off by that must be left without its farthest group, who may have been careless."""

Signature = tuple[object, ...]


class OffBench(Struct, frozen=True, kw_only=True):
    """One bench that is off, with the evidence."""

    bench: str
    parts: tuple[Quantities, ...]
    """The practicals that show it."""
    suspects: tuple[Suspect, ...]
    """The likeliest instrument first."""
    answers: float
    """How far off what is worked out is, natural logarithm: up where V / I comes out too high."""
    error: float
    """Standard uncertainty of *answers*."""
    groups: int
    """Sets of readings of students at that bench."""
    is_tried: bool
    """A technician's trial at that bench counts among the evidence."""
    students: tuple[str, ...]
    chance: float
    """How often a sound class would have any bench as far off."""
    beside_trials: bool
    """Seen beside the technician's trial at the same bench, not beside the other benches."""
    odd_part: str = ""
    """Quantity that stands out where no instrument accounts for all that was found: its part may be another one."""


def off_benches(marked_sets: Sequence[MarkedSet], trials: Trials | None = None) -> tuple[OffBench, ...]:
    """Return the benches that are off in the practicals of one class, the surest first.

    Args:
        marked_sets: The practicals; a bench of the same name is taken for the same bench in all of them.
        trials: What the technician found at each bench, before the lesson. It counts twice: as one more group's
            readings at that bench, and as what that bench's groups are compared with.
    """
    plain = [part for one in marked_sets if (part := quantities_of(one, trials)) is not None]
    beside = [quantities_beside_trials(one, trials) for one in marked_sets] if trials else []
    among, alone = _looks(plain), _looks([part for part in beside if part is not None])
    # Each view has its share of the false alarms; without trials the benches have all of it.
    share = BESIDE_SHARE if alone else 0.0
    weighed = [(look, len(among) / (1 - share)) for look in among] + [(look, len(alone) / share) for look in alone]
    seen = [one for look, looks in weighed for one in standing_out(look, looks, _limit(look))]
    seen.sort(key=lambda one: (one.chance, -len(one.contrast.parts)))
    named = frozenset(one.bench for one in seen)
    found: dict[str, OffBench] = {}
    for one in seen:
        if one.bench not in found and (off := _with_suspects(one, named)) is not None:
            found[one.bench] = off
    rest = dict.fromkeys(bench for part in plain for bench in part.benches if bench not in found)
    return (*found.values(), *(off for bench in rest if (off := _with_odd_part(plain, bench)) is not None))


def _with_odd_part(parts: Sequence[Quantities], bench: str) -> OffBench | None:
    """Return a bench of which one part differs from the other benches', with the instruments it was read with."""
    odd = next(iter(odd_parts(parts, bench)), None)
    if odd is None:
        return None
    place = odd.part.names.index(odd.item)
    powers = {name: float(each[place]) for name, each in odd.part.exponents.items() if each[place]}
    weights = {name: readiness(name) for name in powers}
    return _off_bench(
        bench,
        (odd.part,),
        suspects=tuple(
            Suspect(
                instrument=name, factor=odd.factor / power, share=weights[name] / sum(weights.values()), fit=odd.chance
            )
            for name, power in powers.items()
        ),
        answers=odd.factor,
        error=odd.spread,
        chance=odd.chance,
        odd_part=odd.item,
    )


def _looks(parts: Sequence[Quantities]) -> list[Contrast]:
    """Return every different way to look at the benches, those with too few benches left out."""
    found: dict[Signature, Contrast] = {}
    instruments = dict.fromkeys(name for part in parts for name in part.exponents)
    for instrument in instruments:
        users = [part for part in parts if instrument in part.exponents]
        for chosen in [[part] for part in users] + ([users] if len(users) > 1 else []):
            look = contrast(instrument, chosen)
            if len(look.benches) > FEWEST_BENCHES:
                found.setdefault(_signature(look), look)
    return list(found.values())


def _limit(look: Contrast) -> float:
    return CHANCE if look.is_known else CHANCE_OF_PARTS


def _signature(look: Contrast) -> Signature:
    """Return what makes two looks the same: the same practicals, and the same quantities in the same proportions."""
    names = [part.rubric.id for part in look.parts]
    powers = np.concatenate([look.powers(part) for part in look.parts])
    return (*names, *(f"{power:.2f}" for power in powers))


def _with_suspects(one: StandsOut, named: frozenset[str]) -> OffBench | None:
    """Return the bench with the instruments that may be at fault; None where no steady factor accounts for it."""
    look = one.contrast
    if one.measurements < FEWEST_MEASUREMENTS or one.borne_out < BORNE_OUT:
        return None
    sound = frozenset(bench for part in look.parts for bench in part.benches) - named
    ranked = suspects(look.parts, one.bench, sound)
    # What is named must be something that the quantities in which the bench stands out depend on.
    ranked = tuple(suspect for suspect in ranked if _bears_on(look, suspect.instrument))
    if not ranked or ranked[0].fit < STEADY:
        return None
    if not all(odd.follows(ranked[0].instrument, ranked[0].factor) for odd in odd_parts(look.parts, one.bench)):
        return None
    return _off_bench(one.bench, look.parts, suspects=ranked, answers=one.factor, error=one.error, chance=one.chance)


def _off_bench(
    bench: str,
    parts: tuple[Quantities, ...],
    *,
    suspects: tuple[Suspect, ...],
    answers: float,
    error: float,
    chance: float,
    odd_part: str = "",
) -> OffBench:
    partners = [p for part in parts for p in part.partners if p.bench == bench]
    beside_trials = parts[0].beside_trials
    return OffBench(
        bench=bench,
        parts=parts,
        suspects=suspects,
        answers=answers,
        error=error,
        groups=sum(bool(p.students) for p in partners),
        is_tried=not beside_trials and any(not p.students for p in partners),
        students=tuple(dict.fromkeys(code for p in partners for code in p.students)),
        chance=chance,
        beside_trials=beside_trials,
        odd_part=odd_part,
    )


def _bears_on(look: Contrast, instrument: str) -> bool:
    """Tell whether a quantity that the look is taken from follows *instrument*."""
    return any(
        bool(np.any(part.exponents[instrument] * look.powers(part)))
        for part in look.parts
        if instrument in part.exponents
    )
