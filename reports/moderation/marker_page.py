"""A page for one marker alone: their marks beside those of whoever marked after them."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from marking.moderation.comparing import Comparison, SecondLook
from marking.moderation.decisions import Proposal
from reports.moderation.agreement_words import agreement_sentences
from reports.moderation.difference_plot import DifferencePlot
from reports.moderation.ruling_words import proposal_sentence
from reports.page import BODY, NOTE, SMALL, Block, Heading, Hung, PointHead, Space, text
from reports.page import house_style as style
from reports.teacher import write_staff_pages
from reports.wording import fill, wording


def write_marker_page(path: Path, found: Comparison, marker: str, proposed: Sequence[Proposal]) -> None:
    """Write the page of *marker*; nobody else's marks stand on it, and no second marker's name."""
    words = wording("moderation")["marker"]
    (group,) = [one for one in found.markers if one.name == marker]
    looks = [one for one in found.looks if one.line.first_marker == marker]
    who = fill([words["who"]], {"name": marker})
    blocks = [Block(parts=(PointHead("", found.key.title, ""), text(SMALL, who), text(SMALL, words["blind"])))]
    if not looks:
        blocks.append(Block(parts=(text(BODY, words["nothing"]),), gap=10))
    else:
        drawn = [one for one in looks if one.line.is_drawn and one.is_counted]
        lines = [Hung("–", text(NOTE, line), left=10, small=True) for line in agreement_sentences(group)]
        plot = DifferencePlot(drawn, group.drawn, style.WIDTH, 150.0)
        caption = text(SMALL, wording("moderation")["plot"]["caption"])
        blocks += [Block(parts=tuple(lines), gap=10), Block(parts=(plot, Space(3), caption), gap=8)]
        own = [Hung("–", text(NOTE, proposal_sentence(one)), left=10) for one in proposed if one.marker == marker]
        blocks.append(Block(parts=(Heading(words["suggested"]), *own), gap=10))
        each = [Hung("–", text(NOTE, _script(one)), left=10, small=True) for one in looks]
        blocks.append(Block(parts=(Heading(words["scripts"]), each[0]), gap=10))
        blocks += [Block(parts=(line,), gap=1) for line in each[1:]]
    write_staff_pages(path, words["document"], words["title"], blocks)


def _script(one: SecondLook) -> str:
    words = wording("moderation")["marker"]
    apart = [
        fill([words["criterion"]], {"code": code, "first": str(one.line.first[code]), "second": str(one.second[code])})
        for code in one.line.eye
        if one.line.first[code] != one.second[code]
    ]
    slots = {
        "student": one.line.student,
        "first": str(one.first_total),
        "second": str(one.second_total),
        "criteria": "; ".join(apart) or words["same"],
    }
    return fill([words["script"]], slots)
