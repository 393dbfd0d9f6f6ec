"""What stands in a mark scheme where its author wrote nothing: the usual wording of each check."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from rubrics.model.practical import CheckKind, Item

CAUTION_END = "follow your school's own risk assessment and local rules"
"""Cautions here are reminders; the school's own assessment is what counts, and the last caution says so."""

_POINTS: Mapping[CheckKind, str] = {
    CheckKind.READING: "Readings recorded with quantity and unit",
    CheckKind.PLACES: "Readings of one instrument keep the same decimal places",
    CheckKind.ROWS: "Enough readings over a wide enough range",
    CheckKind.VALUE: "{Quantity} follows from the readings",
    CheckKind.UNIT: "Unit of the {quantity}",
    CheckKind.FIGURES: "Sensible number of significant figures",
    CheckKind.METHOD: "The step to the {quantity} is right",
    CheckKind.CHOICE: "The pattern named is that of the points",
    CheckKind.NEAREST: "{Quantity}: the nearest table value",
    CheckKind.IDEAS: "{Quantity}",
    CheckKind.SCALE: "Easy scales; points fill at least half the grid each way",
    CheckKind.LINE: "One straight line of best fit, shown by two points at least half its length apart",
    CheckKind.TEACHER: "",
}


def usual_point(check: CheckKind, items: Sequence[Item]) -> str:
    """Return the usual words for a criterion; empty where only its author can say what earns it."""
    quantity = items[0].quantity if items else ""
    return _POINTS[check].format(quantity=quantity, Quantity=quantity[:1].upper() + quantity[1:])
