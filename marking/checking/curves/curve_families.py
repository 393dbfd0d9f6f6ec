"""The curves that a component's points may follow, as grids of members to be weighed against each other.

Every member is a function of u, the p.d. as a share of the largest one, scaled so that it is 1 at u = 1.
The grids are coarse on purpose: what counts is the sum over a family, not its best member.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

Values = NDArray[np.float64]

WARMING = ((-0.02, 0.1), (0.0, 0.6), (0.03, 0.2), (0.06, 0.1))
"""(share by which a resistor's current falls short at its largest p.d. because it warms, weight)."""

FLATTENING_POWERS = (0.35, 0.5, 0.65, 0.9)
"""I ~ V / (1 + (V/s)²)**(q/2): well above s a lamp has q between 0.4 and 0.6; 0.9 nearly levels off."""
KNEES = (0.01, 0.08, 0.25, 0.6)
"""Where the flattening starts, as a share of the largest p.d."""
SHIFTS = ((-0.06, 0.05), (-0.02, 0.1), (0.0, 0.7), (0.02, 0.1), (0.06, 0.05))
"""(zero offset of the p.d. as a share of its largest, weight)."""

TURN_ONS = (*np.linspace(0.12, 1.0, 12), 1.15, 1.3)
"""Turn-on p.d. as a share of the largest in the forward direction; beyond 1 the rise is still exponential."""
WIDTHS = (0.004, 0.02, 0.05, 0.1, 0.16)
"""How softly it turns on, as a share of the same p.d."""
RARE_BELOW, RARE_WEIGHT = 0.25, 0.25
"""A turn-on far below the largest p.d. is rare, and near zero it is hard to tell from a meter off its zero."""
MOST_AT_ZERO = 0.04
"""More current than this share at no p.d., and there would be no turn-on to speak of."""
TURNED_ON = 0.05
"""A curve is called turned on where it reaches this share of the largest current."""
SEEN_ON = (0.02, 0.10)
"""Where one reader of the graph sees it start, and another; common practice, no source."""

STEEPENING_POWERS = (1.3, 1.6, 2.0, 2.5)
"""Curves that get steeper from the start: p.d. and current exchanged, or a part that heats up and conducts more."""


class Family(Struct, frozen=True, kw_only=True):
    """The members of one model at each point of each student."""

    height: Values
    """Shape (students, members, rows)."""
    steepness: Values
    """Change of height for a change of u by 1, the same shape."""
    weight: Values
    """Share of each member in its family, shape (members,); adds up to 1."""


def straight(u: Values) -> Family:
    """Return lines through the origin, with a little warming of the resistor."""
    warming, weight = np.array(WARMING).T
    b, at = warming[None, :, None], u[:, None, :]
    below = 1.0 + b * at * at
    return Family(height=at / below, steepness=(1.0 - b * at * at) / below**2, weight=weight)


def flattening(u: Values) -> Family:
    """Return odd curves that get less steep, as a filament's does."""
    grid = [(q, s, d, w) for q in FLATTENING_POWERS for s in KNEES for d, w in SHIFTS]
    q, s, d, weight = np.array(grid).T
    q, s, d = q[None, :, None], s[None, :, None], d[None, :, None]
    at = u[:, None, :] - d
    square = (at / s) ** 2
    top = (1.0 + 1.0 / s**2) ** (-q / 2)
    height = at * (1.0 + square) ** (-q / 2) / top
    steepness = (1.0 + (1.0 - q) * square) * (1.0 + square) ** (-q / 2 - 1.0) / top
    return Family(height=height, steepness=steepness, weight=weight / weight.sum())


def threshold(u: Values) -> Family:
    """Return curves with next to nothing up to a turn-on: exponential below it, straight above it."""
    turn_on, width = threshold_grid()
    t, w, at = turn_on[None, :, None], width[None, :, None], u[:, None, :]
    zero, top = np.logaddexp(0.0, -t / w), np.logaddexp(0.0, (1.0 - t) / w)
    scale = 1.0 / (top - zero)
    height = (np.logaddexp(0.0, (at - t) / w) - zero) * scale
    rising = 1.0 / (1.0 + np.exp(np.clip((t - at) / w, -60.0, 60.0)))
    weight = np.where(turn_on < RARE_BELOW, RARE_WEIGHT, 1.0)
    return Family(height=height, steepness=rising * scale / w, weight=weight / weight.sum())


def threshold_grid() -> tuple[Values, Values]:
    """Return turn-on and width of each member, both (members,)."""
    t, w = (grid.ravel() for grid in np.meshgrid(TURN_ONS, WIDTHS, indexing="ij"))
    zero, top = np.logaddexp(0.0, -t / w), np.logaddexp(0.0, (1.0 - t) / w)
    keep = zero / top < MOST_AT_ZERO
    return t[keep], w[keep]


def reaches(share: float) -> Values:
    """Return the u at which each threshold curve reaches *share* of its height at u = 1, (members,)."""
    t, w = threshold_grid()
    zero, top = np.logaddexp(0.0, -t / w), np.logaddexp(0.0, (1.0 - t) / w)
    wanted = zero + share * (top - zero)
    # The inverse of logaddexp(0, z), which stays finite for large values.
    return np.asarray(t + w * (wanted + np.log(-np.expm1(-wanted))))


def steepening(u: Values) -> Family:
    """Return odd curves that get steeper from the start."""
    power = np.array(STEEPENING_POWERS)[None, :, None]
    at = u[:, None, :]
    size = np.abs(at)
    count = len(STEEPENING_POWERS)
    return Family(
        height=np.sign(at) * size**power,
        steepness=power * size ** (power - 1.0),
        weight=np.full(count, 1.0 / count),
    )


def level(u: Values) -> Family:
    """Return no dependence at all: nothing but an offset, or the same current at every p.d. of one direction."""
    nothing = np.zeros(u.shape)
    return Family(
        height=np.stack([nothing, np.sign(u)], axis=1),
        steepness=np.stack([nothing, nothing], axis=1),
        weight=np.array([0.5, 0.5]),
    )
