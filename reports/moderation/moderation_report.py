"""The moderation of one practical, for the file: what was sampled and why, agreement, decisions, signatures, hashes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from marking.moderation.comparing import Comparison, GroupAgreement
from marking.moderation.decisions import Effect, Proposal, Standing, round_hash
from marking.moderation.packs import Key
from reports.moderation.agreement_words import (
    agreement_sentences,
    computed_sentence,
    criterion_sentence,
    joint_sentence,
    places,
)
from reports.moderation.difference_plot import DifferencePlot
from reports.moderation.ruling_words import (
    effect_sentences,
    proposal_sentence,
    ruling_sentences,
    signature_sentences,
)
from reports.page import NOTE, SMALL, Block, Heading, Hung, PointHead, Space, text
from reports.page import house_style as style
from reports.teacher import write_staff_pages
from reports.wording import fill, wording
from rubrics.formulas import listed

_GAP = 12.0
_HASH = 16
"""Digits of a hash that are printed in running text; whole ones stand at the end."""


def write_moderation_report(
    path: Path,
    found: Comparison,
    keys: Sequence[Key],
    proposed: Sequence[Proposal],
    effects: Mapping[str, Effect],
    state: Standing,
) -> None:
    """Write the report.

    Args:
        path: The PDF to write.
        found: The round, read.
        keys: Of its stages.
        proposed: What the figures suggest.
        effects: Marker to what the proposed adjustment would change.
        state: What has been decided and signed.
    """
    words = wording("moderation")["report"]
    blocks = [
        _head(found, state),
        *_sample(found, keys),
        *_everybody(found),
        *_proposals(proposed, effects),
        *_list("rulings", ruling_sentences(state)),
        *_list("signatures", signature_sentences(state)),
        *_markers(found),
        *_criteria(found),
        *_list("sources", _sources(keys, found, state)),
    ]
    write_staff_pages(path, words["document"], words["title"], blocks)


def _head(found: Comparison, state: Standing) -> Block:
    words = wording("moderation")["report"]
    key = found.key
    slots = {"edition": str(key.edition), "rubric": key.scheme_sha256[:_HASH], "seed": key.seed}
    lines = [
        fill([words["head"]], {**slots, "stage": str(found.stage)}),
        fill([words["version"]], {"version": state.version[:_HASH]}),
        words["locked" if state.is_locked else "open"],
    ]
    if found.outstanding:
        lines.append(fill([words["outstanding"]], {"names": listed(list(found.outstanding), most=8)}))
    return Block(parts=(PointHead("", key.title, ""), *(text(SMALL, line) for line in lines)))


def _list(heading: str, lines: Sequence[str]) -> list[Block]:
    head = Heading(wording("moderation")["report"]["headings"][heading])
    hung = [Hung("–", text(NOTE, line), left=10, small=True) for line in lines]
    return [Block(parts=(head, *hung[:1]), gap=_GAP), *(Block(parts=(line,), gap=2) for line in hung[1:])]


def _sample(found: Comparison, keys: Sequence[Key]) -> list[Block]:
    words = wording("moderation")["report"]["sample"]
    reasons = wording("moderation")["reasons"]
    key, rule = found.key, found.key.rule
    lines = [line for one in keys for line in one.lines]
    slots = {
        "cohort": str(len(key.cohort)),
        "markers": str(len(key.markers)),
        "sampled": str(len(lines)),
        "drawn": str(sum(line.is_drawn for line in lines)),
        "each": str(rule.each_marker),
        "share": places(100 * rule.share, 0),
        "class": str(rule.each_class),
    }
    said = [fill([words["cohort"]], slots), fill([words["rule"]], slots)]
    if rule.boundaries:
        facts = {
            "boundaries": listed([str(one) for one in rule.boundaries], most=9),
            "near": str(rule.near),
            "cap": "1",
            "of": places(1 / rule.boundary_cap, 0),
        }
        said.append(fill([words["boundary"]], facts))
    counts = Counter(reason for line in lines for reason in line.reasons)
    said.append(
        "; ".join(fill([words["reason"]], {"reason": reasons[one.value], "count": str(n)}) for one, n in counts.items())
    )
    return _list("sample", [*said, words["severity"]])


def _everybody(found: Comparison) -> Iterator[Block]:
    yield from _list(
        "everybody", [joint_sentence(found), *agreement_sentences(found.everybody), computed_sentence(found)]
    )
    drawn = [one for one in found.looks if one.line.is_drawn and one.is_counted]
    if drawn:
        words = wording("moderation")
        plot = DifferencePlot(drawn, found.everybody.drawn, style.WIDTH, 190.0)
        head = Heading(words["report"]["headings"]["plot"])
        yield Block(parts=(head, plot, Space(3), text(SMALL, words["plot"]["caption"])), gap=_GAP)


def _proposals(proposed: Sequence[Proposal], effects: Mapping[str, Effect]) -> list[Block]:
    lines = []
    for one in proposed:
        lines.append(proposal_sentence(one))
        if one.adjustment is not None and one.marker in effects:
            lines += effect_sentences(effects[one.marker])
    return _list("proposals", lines)


def _markers(found: Comparison) -> Iterator[Block]:
    words = wording("moderation")["report"]
    head = Heading(words["headings"]["markers"])
    for number, group in enumerate(found.markers):
        parts = _marker(found, group)
        yield Block(parts=(head, *parts) if number == 0 else parts, gap=_GAP)


def _marker(found: Comparison, group: GroupAgreement) -> tuple[PointHead | Hung | DifferencePlot, ...]:
    slots = {"name": group.name, "pairs": str(group.drawn.pairs)}
    name = PointHead("•", fill([wording("moderation")["figures"]["marker"]], slots), "")
    lines = [Hung("", text(NOTE, line)) for line in agreement_sentences(group)]
    drawn = [one for one in found.looks if one.line.first_marker == group.name and one.line.is_drawn and one.is_counted]
    return (name, *lines, DifferencePlot(drawn, group.drawn, style.WIDTH, 110.0)) if drawn else (name, *lines)


def _criteria(found: Comparison) -> list[Block]:
    points = {line.code: line.point for line in found.key.scheme}
    lines = [criterion_sentence(group, points[group.name]) for group in found.criteria]
    return _list("criteria", lines) if lines else []


def _sources(keys: Sequence[Key], found: Comparison, state: Standing) -> list[str]:
    words = wording("moderation")["sources"]
    read = {name: digest for one in keys for name, digest in one.read.items()}
    lines = [fill([words["file"]], {"name": name, "hash": digest}) for name, digest in sorted(read.items())]
    for one in keys:
        lines += [
            fill([words["pack"]], {"name": name, "stage": str(one.stage), "hash": digest})
            for name, digest in sorted(one.packs.items())
        ]
    lines.append(fill([words["scheme"]], {"practical": found.key.practical, "hash": found.key.scheme_sha256}))
    lines.append(fill([words["round"]], {"hash": round_hash(found)}))
    lines.append(fill([words["version"]], {"hash": state.version}))
    return lines
