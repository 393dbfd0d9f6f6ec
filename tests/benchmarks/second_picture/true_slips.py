"""What was planted in write-ups by another hand, as their ``truth.csv`` tells it."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from pathlib import Path

from msgspec import Struct

TRUTH_FILE = "truth.csv"
CLEAN = "clean"
SINGLE = "single"
PAIR = "pair"
COPIED_PAIR = "copied-pair"
NEAR = "near"
UNEXPLAINED = "unexplained"
BESIDE_THE_VALUE = ("unit-missing", "unit-wrong", "significant-figures")
"""Slips in how a right value is written."""
PERCENTAGES = ("difference", "percent_off")
"""Items that stand with either sign, as the rubrics have it: to subtract the other way round is no slip there."""


class TrueSlip(Struct, frozen=True, kw_only=True):
    """What one student did wrong, or that there was nothing."""

    student: str
    practical: str
    kind: str
    item: str
    """Empty where nothing is wrong."""
    row: int | None
    """None of a single item, and of a whole column."""
    criterion: str
    causes: tuple[str, ...]
    detail: str

    @property
    def is_of_value(self) -> bool:
        """Tell whether the value itself is wrong."""
        return bool(self.item) and not set(self.causes) & set(BESIDE_THE_VALUE)


def true_slips(folder: Path) -> Mapping[str, TrueSlip]:
    """Return what was planted, by the code of the student; what the rubrics let stand is no slip."""
    with (folder / TRUTH_FILE).open(encoding="utf-8", newline="") as file:
        return {line["student"]: _slip(line) for line in csv.DictReader(file)}


def _slip(line: Mapping[str, str]) -> TrueSlip:
    if line["item"] in PERCENTAGES and line["cause"] == "sign":
        line = {**line, "kind": CLEAN, "item": "", "row": "", "criterion": "", "cause": "none"}
    return TrueSlip(
        student=line["student"],
        practical=line["practical"],
        kind=line["kind"],
        item=line["item"],
        row=int(line["row"]) if line["row"] else None,
        criterion=line["criterion"],
        causes=tuple(line["cause"].split(";")),
        detail=line["detail"],
    )
