"""How readily an instrument reads off by a steady factor: what a technician would check first.

A meter has a wrong range, a flat battery or a shunt that has aged. A rule is as long as it is, and the zero
of a thermometer cancels in a rise.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

READINESS: Mapping[str, float] = {
    "rule": 0.05,
    "ruler": 0.05,
    "tape": 0.05,
    "calipers": 0.2,
    "micrometer": 0.2,
    "protractor": 0.05,
    "thermometer": 0.1,
    "stopwatch": 0.05,
    "clock": 0.05,
    "timer": 0.05,
    "cylinder": 0.2,
    "burette": 0.05,
    "pipette": 0.05,
    "syringe": 0.1,
}
"""Beside an electrical meter or a balance, which count as 1. Judged, not measured: they only order suspects that the
readings cannot tell apart."""


def readiness(instrument: str) -> float:
    """Return how readily an instrument of that name is off, beside a meter."""
    words = re.findall(r"[a-z]+", instrument.casefold())
    known = [READINESS[word] for word in words if word in READINESS]
    return max(known, default=1.0)
