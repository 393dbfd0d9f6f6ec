"""Scripts that everybody has marked beforehand: where the markers differ, criterion by criterion."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from msgspec import Struct

from marking.moderation.packs import Key, Returned
from marking.moderation.statistics import many_markers_kappa


class CriterionTogether(Struct, frozen=True, kw_only=True):
    """One criterion over the scripts that all have marked."""

    code: str
    point: str
    scripts: int
    differing: int
    """Scripts on which not all gave the same."""
    kappa: float | None
    """Fleiss's, over all markers; None where all marks are one."""
    given: Mapping[str, Mapping[str, int]]
    """Code of each script to marker to mark."""


class Together(Struct, frozen=True, kw_only=True):
    """What the markers gave for the same scripts."""

    markers: tuple[str, ...]
    scripts: tuple[str, ...]
    criteria: tuple[CriterionTogether, ...]
    """Those that people mark; the one they differ on most first."""
    totals: Mapping[str, Mapping[str, int]]
    """Code of each script to marker to total where people mark."""


def together(key: Key, returned: Sequence[Returned]) -> Together:
    """Return where the markers differ.

    Args:
        key: Of the scripts to mark together: each line once, without a second marker.
        returned: A pack from each marker.
    """
    marks = {
        pack.second_marker: {script.code: script.marks for script in pack.scripts}
        for pack in sorted(returned, key=lambda one: one.second_marker)
    }
    points = {line.code: line for line in key.scheme}
    eye = {code for line in key.lines for code in line.eye}
    found = []
    for code in (line.code for line in key.scheme if line.code in eye):
        given = {
            line.code: {marker: own[line.code][code] for marker, own in marks.items()}
            for line in key.lines
            if code in line.eye
        }
        counts = np.zeros((len(given), points[code].marks + 1))
        for row, by_marker in enumerate(given.values()):
            for mark in by_marker.values():
                counts[row, mark] += 1
        found.append(
            CriterionTogether(
                code=code,
                point=points[code].point,
                scripts=len(given),
                differing=sum(len(set(by_marker.values())) > 1 for by_marker in given.values()),
                kappa=many_markers_kappa(counts),
                given=given,
            )
        )
    return Together(
        markers=tuple(marks),
        scripts=tuple(line.code for line in key.lines),
        criteria=tuple(sorted(found, key=lambda one: -one.differing)),
        totals={
            line.code: {marker: sum(own[line.code][code] for code in line.eye) for marker, own in marks.items()}
            for line in key.lines
        },
    )
