"""All markers at once: one model, one test, two stages, and what would bring a marker to the others."""

from marking.moderation.joint.adjusting import FEWEST_PAIRS, Adjustment, adjustment_for, is_one_criterion
from marking.moderation.joint.joint_test import FEWEST_MARKERS
from marking.moderation.joint.pairs import Pair, PairTable, table_of
from marking.moderation.joint.two_stages import ENOUGH, FIRST_STAGE, SECOND_STAGE, Doubt, Named, doubts, named

__all__ = [
    "ENOUGH",
    "FEWEST_MARKERS",
    "FEWEST_PAIRS",
    "FIRST_STAGE",
    "SECOND_STAGE",
    "Adjustment",
    "Doubt",
    "Named",
    "Pair",
    "PairTable",
    "adjustment_for",
    "doubts",
    "is_one_criterion",
    "named",
    "table_of",
]
