"""A slip that another criterion takes its mark for: the value stands where it is that slip and no other."""

from __future__ import annotations

import pytest

from marking.findings import Basis, Outcome
from marking.reasons import Reason
from tests.checking.rows import changed, found

NEUTRALISATION = """
V_a,,50.0,cm³
V_b,,50.0,cm³
c_a,,2.00,mol/dm³
c_b,,2.00,mol/dm³
T_start,,19.0,°C
T_end,,31.5,°C
dT,,12.5,°C
m,,100,g
q,,5.23,kJ
n,,0.100,mol
dH,,-52.3,kJ/mol
"""
"""5.23 kJ over 0.100 mol, given out; F1 spares the lost sign, for which P5 pays."""


@pytest.mark.parametrize(
    ("entry", "outcome", "reason"),
    [
        ("-52.3", Outcome.AWARDED, Reason.RIGHT),
        ("52.3", Outcome.AWARDED, Reason.RIGHT_BUT_FOR_SLIP),
        ("52", Outcome.AWARDED, Reason.RIGHT_BUT_FOR_SLIP),
        ("5.23", Outcome.WITHHELD, Reason.WRONG_VALUE),
        ("-5.23", Outcome.WITHHELD, Reason.WRONG_VALUE),
        ("53.2", Outcome.WITHHELD, Reason.WRONG_VALUE),
        ("61.7", Outcome.WITHHELD, Reason.WRONG_VALUE),
    ],
    ids=["right", "sign-lost", "sign-lost-in-two-figures", "a-power-too", "a-power", "digits-too", "nothing-known"],
)
def test_the_lost_sign_alone_is_spared(entry: str, outcome: Outcome, reason: Reason) -> None:
    """A second slip beside the lost sign, or another one, loses the mark of the value."""
    (one,) = found("neutralisation-enthalpy", changed(NEUTRALISATION, dH=entry), "F1")
    assert (one.outcome, one.reason) == (outcome, reason)


def test_what_is_told_of_a_spared_slip() -> None:
    """No cause, no other value to be expected, and the slip by its name; the sign's own criterion is withheld."""
    lines = changed(NEUTRALISATION, dH="52.3")
    (one,) = found("neutralisation-enthalpy", lines, "F1")
    assert (one.explanations, one.expected, one.basis) == ((), None, Basis.CARRIED_FORWARD)
    assert one.facts["slip"] == "minus sign lost"
    (sign,) = found("neutralisation-enthalpy", lines, "P5")
    assert sign.outcome is Outcome.WITHHELD


def test_a_criterion_that_spares_nothing_is_not_softened() -> None:
    """The criterion of the energy spares no slip: its own lost sign loses the mark."""
    (one,) = found("neutralisation-enthalpy", changed(NEUTRALISATION, q="-5.23"), "P3")
    assert (one.outcome, one.reason) == (Outcome.WITHHELD, Reason.WRONG_VALUE)
