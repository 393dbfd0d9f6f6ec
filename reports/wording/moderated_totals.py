"""What a department ruled on totals, in a sentence that names the ruling."""

from __future__ import annotations

from marking.findings import MarkedSet, Moderated, Script
from reports.wording.templates import fill, wording


def ruling_note(one: Moderated) -> str:
    """Return which ruling a total rests on: its number, who took it, when and why."""
    slots = {"number": str(one.number), "who": one.who, "day": one.when[:10], "why": one.why}
    return fill([wording("moderation")["totals"]["ruling"]], slots)


def class_note(marked: MarkedSet) -> str:
    """Return that the totals of a class are adjusted, and by which ruling; empty where they are not."""
    ruled = [script.moderated for script in marked.scripts if script.moderated is not None]
    if not ruled:
        return ""
    changed = sum(one.total != one.before for one in ruled)
    slots = {"changed": str(changed), "count": str(len(ruled)), "ruling": ruling_note(ruled[0])}
    return fill([wording("moderation")["totals"]["class"]], slots)


def total_note(script: Script) -> str:
    """Return what a total comes to after moderation, beside what the criteria do; empty where nothing was ruled."""
    one = script.moderated
    if one is None:
        return ""
    slots = {
        "total": str(one.total),
        "out_of": str(script.out_of),
        "before": str(one.before),
        "ruling": ruling_note(one),
    }
    return fill([wording("moderation")["totals"]["student"]], slots)
