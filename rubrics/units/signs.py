"""Typed text made plain, so that one table of spellings is enough for all keyboards."""

from __future__ import annotations

import re
import unicodedata

MAX_LENGTH = 48
"""Signs in a unit: 'joules per kilogram per degrees centigrade' has 42, and longer text would only cost time."""

_SUPERSCRIPTS = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻⁺", "0123456789-+")
_RAISED = re.compile("[⁰¹²³⁴⁵⁶⁷⁸⁹⁻⁺]+")
_RAISED_ZERO_DEGREE = re.compile("⁰(?= ?[CcFfKk])")
_RING_BY_OTHER_SIGN = re.compile(r"(?:\^[o0]|^[*']|(?<![0-9A-Za-z^.-])0) ?(?=[CF]\b)")
"""0C, ^oC, *C: what stands for the ring where no key has it."""
_POSSESSIVE = re.compile(r"(?<=[a-z])['’]s\b")
# One sign stands for all that look like it; what is not here keeps its compatibility form (full-width letters, ㎏).
_LOOK_ALIKE = str.maketrans(
    dict.fromkeys("º˚ᵒ∘", "°")
    | dict.fromkeys("·⋅∙•×✕✖", "*")
    | dict.fromkeys("−–—‒―‐‑﹣－", "-")
    | dict.fromkeys("∕⁄÷／", "/")
    | dict.fromkeys("\u00b5\u03bc", "µ")
    | dict.fromkeys("\u03a9\u2126", "Ω")
    | dict.fromkeys("[{", "(")
    | dict.fromkeys("]}", ")")
)


def tidy(text: str) -> str | None:
    """Return a typed unit in plain signs, powers behind '^'; None where it cannot be a unit.

    Spaces of any kind become one plain space, hidden signs and one full stop at the end go, '**' and raised
    figures become '^', every product sign '*'. A control character or a line end inside the text, or a
    text longer than MAX_LENGTH, is no unit.
    """
    if len(text) > 10 * MAX_LENGTH:
        return None
    bare = "".join(sign for sign in text.strip() if unicodedata.category(sign) != "Cf")
    if any(unicodedata.category(sign) in ("Cc", "Zl", "Zp") for sign in bare.replace("\t", " ")):
        return None
    bare = _RAISED_ZERO_DEGREE.sub("°", bare)
    bare = _RAISED.sub(lambda raised: "^" + raised[0].translate(_SUPERSCRIPTS), bare)
    bare = "".join(_plain(sign) for sign in bare).translate(_LOOK_ALIKE)
    bare = _POSSESSIVE.sub("s", _RING_BY_OTHER_SIGN.sub("°", bare))
    bare = " ".join(bare.replace("**", "^").split()).replace(" x ", "*")
    bare = re.sub(r"\^+", "^", bare.replace("-^", "^-")).removesuffix(".").rstrip()
    return bare if len(bare) <= MAX_LENGTH else None


def _plain(sign: str) -> str:
    if sign.isascii() or sign in "ºµΩ":
        return sign
    mapped = sign.translate(_LOOK_ALIKE)
    if mapped != sign:
        return mapped
    plain = unicodedata.normalize("NFKC", sign)
    # Letters with an accent (ampère) as without; the ring of Å is no accent.
    has_accent = len(plain) == 1 and plain.isalpha() and plain != "Å"
    return unicodedata.normalize("NFKD", plain)[:1] if has_accent else plain
