"""Texts as they are printed: the short ways are the long ones for whatever text there is."""

from __future__ import annotations

import re
import unicodedata

from hypothesis import given, settings
from hypothesis import strategies as st

from reports.wording.lettering import _TYPED, one_line

SIGNS = st.text(
    st.sampled_from("12.−-exEX×*·^_ a\u0301Å\u212b\u00a0\u2009\u200b\u202f\u1680\tΩ²°\n") | st.characters(), max_size=12
)


@settings(deadline=None, max_examples=300)
@given(SIGNS)
def test_a_text_on_one_line_is_composed_and_has_single_spaces(text: str) -> None:
    """No sign that hides is left, and a text that is so already stays as it is."""
    shown = one_line(text)
    assert shown == unicodedata.normalize("NFC", shown)
    assert shown == shown.strip(" ")
    assert "  " not in shown
    assert not [sign for sign in shown if unicodedata.category(sign) in ("Cc", "Cf", "Zl", "Zp")]
    assert one_line(shown) == shown
    long_way = one_line(text + "\u200b")  # a hidden sign behind it takes the long way to the same
    assert shown == long_way


@settings(deadline=None, max_examples=300)
@given(SIGNS)
def test_what_is_typed_otherwise_than_printed_is_seen(text: str) -> None:
    """A power of ten, a times sign between numbers, a raised or joined sign, a minus before a number."""
    plainly = re.search(r"[\d.][eExX×*·]|\d ?[x×*·]|[\^*_]|[-−][\d.]", text)
    assert bool(_TYPED.search(text)) is bool(plainly)
