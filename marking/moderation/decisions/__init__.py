"""What is decided about marks after a round: proposals, effects, rulings, signatures, appeals."""

from marking.moderation.decisions.appeals import Appeal, answer, appeals, ask, pass_on
from marking.moderation.decisions.appeals import Outcome as AppealOutcome
from marking.moderation.decisions.effects import Effect, effect_of, final_totals
from marking.moderation.decisions.ledger import Ledger
from marking.moderation.decisions.rulings import Proposal, Ruling, proposals
from marking.moderation.decisions.signing import may_sign_as
from marking.moderation.decisions.standings import (
    SigningRole,
    Standing,
    department_decisions,
    round_hash,
    standing,
)

__all__ = [
    "Appeal",
    "AppealOutcome",
    "Effect",
    "Ledger",
    "Proposal",
    "Ruling",
    "SigningRole",
    "Standing",
    "answer",
    "appeals",
    "ask",
    "department_decisions",
    "effect_of",
    "final_totals",
    "may_sign_as",
    "pass_on",
    "proposals",
    "round_hash",
    "standing",
]
