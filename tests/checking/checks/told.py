"""All that a check says of some lines, in one short text a finding: what a fault anywhere in a check would change."""

from __future__ import annotations

from marking.findings import Finding
from rubrics.model.practical import Rubric
from tests.checking.rows import found


def told(
    practical: str | Rubric, lines: str, *criteria: str, facts: tuple[str, ...] = (), causes: bool = True
) -> list[str]:
    """Return 'item row outcome reason expected basis cause detail facts' of each finding, what is empty left out.

    Args:
        practical: Id of a practical of the catalogue, or a rubric.
        lines: Lines ``item,row,entry,unit`` of one student.
        criteria: Codes of the criteria; all, where none is named.
        facts: Which facts to show.
        causes: Show the causes; where they are weighed, a test of the weighing says how sure they are.
    """
    return [_in_short(finding, facts, causes) for finding in found(practical, lines, *criteria)]


def _in_short(finding: Finding, facts: tuple[str, ...], causes: bool) -> str:
    parts = [finding.item, "" if finding.row is None else str(finding.row), finding.outcome, finding.reason]
    parts.append(f"[{finding.entry} {finding.unit}]".replace(" ]", "]") if finding.source is not None else "")
    parts.append("" if finding.expected is None else f"→ {finding.expected:.4g}")
    parts.append(finding.basis)
    parts += [f"{one.cause} ({one.detail}) {one.probability:.2g}" for one in finding.explanations if causes]
    parts += [f"{name}={finding.facts[name]}" for name in facts if name in finding.facts]
    return " ".join(part for part in parts if part)
