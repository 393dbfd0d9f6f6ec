"""Names and codes are taken out of what students wrote; what they measured is not touched."""

from __future__ import annotations

import pytest

from marking.moderation.packs.blinding import HIDDEN, hide

NAMES = ("Amelia Thornley", "Will Green", "Thornley", "Amelia", "Green", "Will", "A03", "10A", "Okoro")


@pytest.mark.parametrize(
    ("written", "own", "shown"),
    [
        ("by amelia thornley", (), f"by {HIDDEN}"),
        ("AMELIA did the heating", (), f"{HIDDEN} did the heating"),
        ("with Amelia's block", (), f"with {HIDDEN}'s block"),
        ("the green light will shift", (), "the green light will shift"),
        ("the green light will shift", ("Will", "Green"), f"the {HIDDEN} light {HIDDEN} shift"),
        ("Thornleys rule", (), "Thornleys rule"),
        ("a03, class 10a", (), f"{HIDDEN}, class {HIDDEN}"),
        ("read at eye level", (), "read at eye level"),
    ],
)
def test_hiding(written: str, own: tuple[str, ...], shown: str) -> None:
    """Whole names and codes however written, single names with a capital, one's own in any case."""
    assert hide(written, NAMES, own) == shown
