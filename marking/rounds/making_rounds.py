"""What a round is made of: scripts drawn by the stated rule and seed, packs for the others in turn, and their key."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct, structs

from marking.moderation.joint import SECOND_STAGE
from marking.moderation.packs import Key, KeyLine, Pack, common_pack, key_lines, names_to_hide, packs, scheme_hash
from marking.moderation.sampling import (
    Candidate,
    ClassMarks,
    Sampled,
    SamplingRule,
    Undecided,
    candidates,
    draw,
    in_turn,
    to_mark_together,
)
from marking.rounds.marks_now import person_of
from rubrics.faults import InputError
from rubrics.model import Rubric


class Asked(Struct, frozen=True, kw_only=True):
    """What a moderator asks for."""

    seed: str
    """Any words; the draw depends on them alone."""
    each: int | None = None
    """Fewest scripts of each marker; None for the usual number."""
    boundaries: tuple[int, ...] = ()
    together: int | None = None
    """So many scripts that all mark beforehand instead."""
    before: Key | None = None
    """Of the first stage, where this is a second one."""
    doubtful: tuple[str, ...] = ()
    """Markers of whom a second stage is wanted."""


class MadeRound(Struct, frozen=True, kw_only=True):
    """A round that nobody has marked yet."""

    key: Key
    packs: tuple[Pack, ...]
    waiting: tuple[Undecided, ...]
    """Scripts that could not be drawn, for their first marks are not all there."""


def make_round(classes: Sequence[ClassMarks], asked: Asked, name: str) -> MadeRound:
    """Return a round over the classes of one practical.

    Args:
        classes: Each with its marker.
        asked: What kind of round.
        name: As messages call the department.

    Raises:
        InputError: No script is marked yet, fewer than two people mark, nobody is in doubt, or another edition.
    """
    ready, waiting = candidates(classes)
    if not ready:
        raise InputError(name, "no script is marked yet", "mark the classes first")
    rubric = classes[0].marked.rubric
    names = names_to_hide(classes)
    if asked.together is not None:
        made, lines = _common(rubric, ready, names, asked)
        stage, rule = 0, SamplingRule()
    else:
        rule = SamplingRule(boundaries=tuple(sorted(set(asked.boundaries))))
        rule = structs.replace(rule, each_marker=asked.each) if asked.each else rule
        stage, sample = _sample(classes, ready, rule, asked, name)
        both = packs(rubric, sample, names, asked.seed)
        made = [pack for pack, _ in both]
        lines = [line for pack, coded in both for line in key_lines(pack, coded)]
    key = _key(asked, rubric, rule, stage, made, lines, classes, ready)
    return MadeRound(key=key, packs=tuple(made), waiting=waiting)


def _sample(
    classes: Sequence[ClassMarks], ready: Sequence[Candidate], rule: SamplingRule, asked: Asked, name: str
) -> tuple[int, tuple[Sampled, ...]]:
    """Return the stage and its sample with second markers."""
    whole = [one.class_name for one in classes if one.is_whole]
    markers = sorted({one.marker for one in ready})
    if len(markers) < 2:
        raise InputError(name, "fewer than two people have marked", "second marking takes another marker")
    if asked.before is None:
        return 1, in_turn(draw(ready, rule, asked.seed, whole=whole), markers, asked.seed)
    _same_round(asked.before, classes[0].marked.rubric, name)
    taken = [(line.class_name, line.student) for line in asked.before.lines]
    more = dict.fromkeys(asked.doubtful, asked.each or SECOND_STAGE)
    drawn = draw(ready, rule, asked.seed, taken=taken, more=more)
    if not drawn:
        raise InputError(name, "nobody is in doubt", "name markers after --markers to look closer all the same")
    return 2, in_turn(drawn, markers, asked.seed)


def _same_round(before: Key, rubric: Rubric, name: str) -> None:
    if (before.practical, before.scheme_sha256) != (rubric.id, scheme_hash(rubric)):
        raise InputError(
            name, "the first stage was of another practical or edition", "use the scheme of the first stage"
        )


def _common(
    rubric: Rubric, ready: Sequence[Candidate], names: Sequence[str], asked: Asked
) -> tuple[list[Pack], list[KeyLine]]:
    sample = to_mark_together(ready, asked.together or 0, asked.seed)
    markers = sorted({one.marker for one in ready})
    made = [common_pack(rubric, sample, names, asked.seed, marker) for marker in markers]
    ((pack, coded),) = packs(rubric, sample, names, asked.seed)
    return made, list(key_lines(pack, coded))


def _key(
    asked: Asked,
    rubric: Rubric,
    rule: SamplingRule,
    stage: int,
    made: Sequence[Pack],
    lines: Sequence[KeyLine],
    classes: Sequence[ClassMarks],
    ready: Sequence[Candidate],
) -> Key:
    return Key(
        practical=rubric.id,
        title=rubric.title,
        edition=rubric.edition,
        scheme_sha256=scheme_hash(rubric),
        seed=asked.seed,
        rule=rule,
        stage=stage,
        scheme=made[0].scheme,
        packs={pack.second_marker: pack.seal for pack in made},
        lines=tuple(lines),
        cohort=tuple(map(person_of, ready)),
        read={source.name: source.sha256 for one in classes for source in one.marked.sources},
        before=asked.before.seal if asked.before is not None and stage > 1 else "",
    )
