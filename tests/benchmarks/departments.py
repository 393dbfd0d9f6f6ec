"""Simulated departments: markers whose severity is known, marking scripts whose true marks are known."""

from __future__ import annotations

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

Marks = NDArray[np.int64]
KINDS = ("steady", "criterion", "growing")
"""How the one marker is off: everywhere alike, on one criterion, or the more the better the script is."""
SCHEMES = {"threes": (3,) * 5, "mixed": (1, 1, 1, 1, 2, 2, 3), "ones": (1,) * 15, "seven": (1,) * 7}
"""Marks of the criteria that people mark; the rest of the 15 are computed and the same for everyone."""
OUT_OF = 15
SLIP = 0.10
"""How often a marker is one off on one criterion, either way; on 15 points two markers differ by 1.2 marks (SD)."""
SMALL = 0.15
"""Standard deviation, in marks, of the severities that sound markers have too."""


class Department(Struct, frozen=True, kw_only=True):
    """One department for one task."""

    markers: int
    out_of: tuple[int, ...]
    off: int | None
    """Which marker is a mark in 15 off."""
    kind: str
    sign: int
    criterion: int
    """The one criterion of that kind: the one with the most marks."""
    severities: NDArray[np.float64]
    easy: NDArray[np.float64]

    def truth(self, scripts: int, chance: np.random.Generator) -> Marks:
        """Return true marks, shape (*scripts*, criteria)."""
        able = chance.normal(0.62, 0.18, scripts)
        likely = np.clip(able[:, None] + self.easy, 0.05, 0.95)
        return chance.binomial(np.array(self.out_of)[None, :], likely)

    def marked(self, marker: int, truth: Marks, chance: np.random.Generator) -> Marks:
        """Return what *marker* gives for scripts with true marks *truth*."""
        drawn, small = chance.random(truth.shape), self.severities[marker]
        marks = truth + np.where(drawn < SLIP / 2, -1, 0) + np.where(drawn > 1 - SLIP / 2, 1, 0)
        hit = chance.random(truth.shape) < abs(small) / len(self.out_of)
        marks = np.clip(marks + int(np.sign(small)) * hit, 0, self.out_of)
        return self._shifted(marks, truth, chance) if marker == self.off else marks

    def _shifted(self, marks: Marks, truth: Marks, chance: np.random.Generator) -> Marks:
        room = marks < np.array(self.out_of) if self.sign > 0 else marks > 0
        if self.kind == "criterion":
            room &= np.arange(len(self.out_of)) == self.criterion
            share = room.astype(np.float64)
        else:
            size = truth.sum(axis=1) / max(1.0, truth.sum(axis=1).mean()) if self.kind == "growing" else 1.0
            share = room * (size * np.ones(len(truth)) / np.maximum(room.sum(axis=1), 1))[:, None]
        # The mean shift is one mark: a criterion without room hands its share on to the others.
        return np.clip(marks + self.sign * (chance.random(marks.shape) < share), 0, self.out_of)


def department(chance: np.random.Generator, scheme: str, kind: str) -> Department:
    """Return a department of 4 to 8 markers; *kind* is one of KINDS, or 'sound' where nobody is off."""
    markers, out_of = int(chance.integers(4, 9)), SCHEMES[scheme]
    easy, criterion = chance.normal(0.0, 0.15, (1, len(out_of))), int(np.argmax(out_of))
    # One criterion has a mark of room on one side only: nobody is too generous where all have full marks.
    one_way = -1 if 0.62 + easy[0, criterion] > 0.5 else 1
    return Department(
        markers=markers,
        out_of=out_of,
        off=None if kind == "sound" else int(chance.integers(markers)),
        kind=kind,
        sign=one_way if kind == "criterion" else int(chance.choice([-1, 1])),
        criterion=criterion,
        severities=chance.normal(0.0, SMALL, markers),
        easy=easy,
    )
