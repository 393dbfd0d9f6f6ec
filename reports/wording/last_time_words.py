"""What a teacher reads of the last times a practical was done, before it is done again."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from marking.findings import Cause
from reports.wording.templates import fill, wording

if TYPE_CHECKING:
    from marking.over_time import LastTime

MOST_FAULTS = 6
"""Of one class; more are not remembered in a lesson."""


def last_time_lines(rounds: Sequence[LastTime], title: str) -> list[str]:
    """Return *rounds*, the latest first, as lines of text; one that says so where there is none."""
    words, names = wording("over_time")["last_time"], wording("causes")
    if not rounds:
        return [fill([words["none"]], {"practical": title})]
    lines = [words["heading"]]
    for one in rounds:
        slots = {"class_name": one.class_name, "day": one.day, "handed_in": str(one.handed_in)}
        lines.append(fill([words["round"]], slots))
        points = [fault for fault in one.faults if fault.cause is Cause.NONE][:MOST_FAULTS]
        slips = [fault for fault in one.faults if fault.cause is not Cause.NONE][:MOST_FAULTS]
        told = [fill([words["point"]], {"students": str(fault.students), "point": fault.point}) for fault in points] + [
            fill([words["slip"]], {"students": str(fault.students), "name": names[fault.cause.value]["name"]})
            for fault in slips
        ]
        if one.cells:
            told.append(fill([words["cells_one" if one.cells == 1 else "cells"]], {"cells": str(one.cells)}))
        lines += [f"  {said}" for said in told or [words["nothing"]]]
    return lines
