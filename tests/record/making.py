"""Invented decisions, short to write."""

from __future__ import annotations

from itertools import count

from marking.decided.decisions import Closed, Decision, MarkGiven, Reopened, SetName

WIRE = SetName(class_name="10A", practical="wire-resistance")
BLOCK = SetName(class_name="10A", practical="specific-heat-block")
_ids = count(1)


def a_mark(
    number: int = 1, *, marks: int = 1, student: str = "A03", criterion: str = "V1", **more: object
) -> MarkGiven:
    """Return a mark given by an invented teacher."""
    said: dict[str, object] = {
        "id": f"m{next(_ids)}",
        "who": "Ms Hale",
        "when": "2026-03-02T14:05:09+00:00",
        "set": WIRE,
        "number": number,
        "student": student,
        "criterion": criterion,
        "marks": marks,
        "why": "seen in the book",
    }
    return MarkGiven(**{**said, **more})  # type: ignore[arg-type]  # the fields of MarkGiven, by name


def a_step(kind: type[Decision], number: int, name: SetName = WIRE, **more: object) -> Decision:
    """Return a decision on a whole set."""
    said: dict[str, object] = {
        "id": f"s{next(_ids)}",
        "who": "Ms Hale",
        "when": "2026-03-02T15:00:00+00:00",
        "set": name,
        "number": number,
    }
    return kind(**{**said, **more})  # type: ignore[arg-type]  # as above


__all__ = ["BLOCK", "WIRE", "Closed", "Reopened", "a_mark", "a_step"]
