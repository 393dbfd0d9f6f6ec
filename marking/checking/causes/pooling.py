"""A slip in a whole column: rows that one slip explains speak for each other.

Someone who turns the formula over in one row mostly does so in all. So each row is explained either on
its own, or by the slip that its neighbours share; the figures of all wrong rows decide which. A digit that was
miscopied is an accident of one row: that there is one in the next makes it no likelier.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Values = NDArray[np.float64]

SHARED_SHARE = 0.8
"""How often the wrong rows of one column come from one slip, judged."""
MOST_EVIDENCE = 25.0
"""Logarithm beyond which more agreement adds nothing; keeps the arithmetic finite."""


def pool_rows(
    prior: Values, chance: Values, students: NDArray[np.int64], is_shared: NDArray[np.bool_] | None = None
) -> Values:
    """Return prior times likelihood, with the evidence of a student's other wrong rows counted in.

    Args:
        prior: Of each slip for each answer, shape (slips, answers), 'unexplained' in the last row.
        chance: Of each printed answer under each slip, the same shape.
        students: Whose answer each is, shape (answers,).
        is_shared: Which slips rows may share, shape (slips,); all but the last where None.

    Returns:
        The same shape; answers of students with one wrong row are simply prior times likelihood.
    """
    joint = prior * chance
    owners, owner = np.unique(students, return_inverse=True)
    if owners.size == students.size:
        return joint
    with np.errstate(all="ignore"):
        # How much better the slip explains a row than the row is explained on the whole.
        gain = np.log(chance) - np.log(joint.sum(axis=0))
    gain = np.clip(gain, -MOST_EVIDENCE, MOST_EVIDENCE)
    gain[-1] = -MOST_EVIDENCE  # 'unexplained' is no slip that rows could share
    if is_shared is not None:
        gain[~is_shared] = -MOST_EVIDENCE
    total = np.zeros((owners.size, joint.shape[0]))
    np.add.at(total, owner, gain.T)
    others = np.clip(total[owner].T - gain, -MOST_EVIDENCE, MOST_EVIDENCE)
    factor = (1.0 - SHARED_SHARE) + SHARED_SHARE * np.exp(others)
    several = np.bincount(owner)[owner] > 1
    return np.asarray(np.where(several[None, :], joint * factor, joint))
