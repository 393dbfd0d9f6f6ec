"""What a round shows and suggests: the packs that are back compared, what is proposed, and what that would change."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec import Struct, structs

from marking.decided import SetName
from marking.moderation.comparing import Comparison, compare
from marking.moderation.decisions import Effect, Proposal, effect_of, proposals
from marking.moderation.packs import Key, Returned
from marking.moderation.sampling import Undecided
from marking.rounds.marks_now import MarksNow
from rubrics.faults import InputError


class Figures(Struct, frozen=True, kw_only=True):
    """A round of moderation with what it shows and suggests."""

    keys: tuple[Key, ...]
    found: Comparison
    proposed: tuple[Proposal, ...]
    effects: Mapping[str, Effect]
    """Of each adjustment that is proposed, by marker."""
    waiting: tuple[Undecided, ...] = ()
    """Scripts of the round that have no total now."""
    sets: tuple[SetName, ...] = ()
    """Of the classes at hand of which no mark waits."""


def figures(keys: Sequence[Key], returned: Sequence[Returned], now: MarksNow | None = None) -> Figures:
    """Return what the packs that are back show.

    Args:
        keys: Of the first stage, and of the second where there was one.
        returned: The packs.
        now: Everybody as the marks stand now; None for as they stood when the scripts were drawn.
    """
    if now is not None:
        keys = [structs.replace(key, cohort=now.cohort) for key in keys]
    else:
        now = MarksNow(cohort=keys[0].cohort)
    found = compare(keys, returned, now.reviews)
    proposed = proposals(found)
    effects = {
        one.marker: effect_of(one.adjustment, found.key.cohort, found.key.rule.boundaries)
        for one in proposed
        if one.adjustment is not None
    }
    return Figures(
        keys=tuple(keys), found=found, proposed=proposed, effects=effects, waiting=now.waiting, sets=now.sets
    )


def fit_together(keys: Sequence[Key], names: Sequence[str]) -> None:
    """See that the rounds are the stages of one.

    Raises:
        InputError: They are not.
    """
    if len({(key.practical, key.scheme_sha256) for key in keys}) > 1:
        raise InputError(
            names[-1], "the rounds are of different practicals or editions", "name the stages of one round"
        )
    if len({key.stage for key in keys}) < len(keys):
        raise InputError(names[-1], "two of the rounds are of the same stage", "name each stage once")
    if len(keys) > 1 and keys[0].stage == 0:
        raise InputError(names[0], "scripts marked together are no stage of moderation", "name that round by itself")
