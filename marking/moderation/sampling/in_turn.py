"""Who marks what a second time: the others in turn, so that nobody is the measure for all."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from random import Random

from msgspec.structs import replace

from marking.moderation.sampling.drawing import Sampled


def in_turn(sample: Sequence[Sampled], markers: Sequence[str], seed: str) -> tuple[Sampled, ...]:
    """Return the sample with second markers: each first marker's scripts shared out among all the others alike.

    Args:
        sample: As drawn.
        markers: Everybody who marks, at least two.
        seed: Any words; the same ones give the same turns.
    """
    chance = Random(f"{seed}/turns")
    order = list(markers)
    chance.shuffle(order)
    by_lot = list(range(len(sample)))
    chance.shuffle(by_lot)
    # Drawn scripts first: it is over these that every two markers should meet alike.
    by_lot.sort(key=lambda place: not sample[place].is_drawn)
    met: Counter[tuple[str, str]] = Counter()
    load: Counter[str] = Counter()
    second: dict[int, str] = {}
    for place in by_lot:
        first = sample[place].candidate.marker
        others = [one for one in order if one != first]
        chosen = min(others, key=lambda other: (met[first, other], load[other]))
        met[first, chosen] += 1
        load[chosen] += 1
        second[place] = chosen
    return tuple(replace(one, second_marker=second[place]) for place, one in enumerate(sample))
