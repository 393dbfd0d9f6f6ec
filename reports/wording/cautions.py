"""The cautions of a practical, as every sheet of paper tells them."""

from __future__ import annotations

from reports.wording.templates import wording
from rubrics.model import Rubric


def cautions_told(rubric: Rubric) -> list[str]:
    """Return the cautions of *rubric*, the school's own risk assessment always among them."""
    told = list(rubric.cautions)
    if not any("risk assessment" in caution for caution in told):
        told.append(wording("sheet")["cautions"]["rule"])
    return told
