"""What everybody gave for the scripts marked together beforehand, the criterion with most differences first."""

from __future__ import annotations

from pathlib import Path

from marking.moderation.comparing import Together
from marking.moderation.packs import Key
from reports.page import NOTE, SMALL, Block, Hung, PointHead, WritingLines, text
from reports.teacher import write_staff_pages
from reports.wording import fill, wording
from rubrics.formulas import listed


def write_together_page(path: Path, key: Key, found: Together) -> None:
    """Write the page for the meeting, with room for the wording that settles each difference."""
    words = wording("moderation")["together"]
    slots = {"scripts": str(len(found.scripts)), "markers": listed(list(found.markers), most=9)}
    blocks = [Block(parts=(PointHead("", key.title, ""), text(SMALL, fill([words["about"]], slots))))]
    differing = [one for one in found.criteria if one.differing]
    if not differing:
        blocks.append(Block(parts=(text(NOTE, words["agreed"]),), gap=10))
    for one in differing:
        facts = {"code": one.code, "same": str(one.scripts - one.differing), "scripts": str(one.scripts)}
        head = PointHead("•", fill([words["criterion"]], {**facts, "point": one.point}), "")
        given = []
        for script, marks in one.given.items():
            if len(set(marks.values())) > 1:
                each = [fill([words["mark"]], {"marker": name, "mark": str(mark)}) for name, mark in marks.items()]
                given.append(Hung("", text(NOTE, fill([words["given"]], {"script": script, "marks": "; ".join(each)}))))
        room = (Hung("", text(SMALL, fill([words["next"]], {"edition": str(key.edition + 1)}))), WritingLines(2))
        blocks.append(Block(parts=(head, *given, *room), gap=12))
    write_staff_pages(path, words["document"], words["title"], blocks)
