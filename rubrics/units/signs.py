"""Typed text made plain, so that one table of spellings is enough for all keyboards."""

from __future__ import annotations

import re
import unicodedata

from rubrics.patterns import late_pattern

MAX_LENGTH = 64
"""Signs in a unit: 'joules per kilogram per degrees centigrade' has 42, and longer text would only cost time."""

_SUPERSCRIPTS = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻⁺", "0123456789-+")
_RAISED = late_pattern("[⁰¹²³⁴⁵⁶⁷⁸⁹⁻⁺]+")
_RAISED_ZERO_DEGREE = late_pattern("⁰(?= ?[CcFfKk])")
_RING_BY_OTHER_SIGN = late_pattern(r"(?:\^[oO0]|(?:^|(?<=[ /*.(]))[*'~]|(?<![0-9^.-])0) ?(?=[CFcf]\b)")
"""0C, ^oC, *C, kg0C: what stands for the ring where no key has it."""
_POSSESSIVE = late_pattern(r"(?<=[A-Za-zΩ])['’][sS]\b")
_PLURAL_IN_BRACKETS = late_pattern(r"(?<=[a-z])\((?:s|es)\)")
_OVER = late_pattern("(?<=[A-Za-z0-9)]) over (?=[A-Za-z(°])", re.IGNORECASE)
_OUTER_MARKS = " ,;:="
_IN_FRONT = late_pattern(
    r"^(?:(?:(?:measured |given |written )?in|(?:the )?units?(?: (?:is|are|was|were))?) ?[:=]? )(?=[^ ])", re.IGNORECASE
)
"""in m, unit: m; nothing in it belongs to the unit."""
_FOR_EACH = late_pattern("(?<=[A-Za-z0-9)]) (?:an?|each|every) (?=[a-z]{3})")
"""metres a second; a single letter behind it would be a symbol."""
_PER_IN_WORDS = late_pattern("(?<=[A-Za-zΩ0-9)]) (?:for (?:each|every)|pr\\.?) (?=[A-Za-z°(])", re.IGNORECASE)
_RECIPROCAL = late_pattern("^(?:reciprocal|inverse|(?:one|1) over) (?:of )?(?:an? |the )?(?=[A-Za-z])", re.IGNORECASE)
_TO_THE_POWER = late_pattern(" (?:elevado )?(?:al|ao) (?=cua|qua|cub)", re.IGNORECASE)
"""metros por segundo al cuadrado: the power alone counts."""
_PER_ABROAD = late_pattern("(?<=[A-Za-z)]) (?:pro|por|par|al|na) (?=[A-Za-z°(])", re.IGNORECASE)
"""'per' in the languages that students bring with them."""
_AND_PER = late_pattern("(?<=[A-Za-z0-9)]) (?:and|und|et|y|e) (?:per )?(?=[A-Za-z°(])", re.IGNORECASE)
"""joules per kilogram and kelvin: what follows stands below the line too."""
_KIND_OF_CURRENT = late_pattern(r"(?<=[A-Za-z]) ?\(?(?:[ad]\.? ?c|rms|r\. ?m\. ?s)\.?\)?$", re.IGNORECASE)
_NOUGHT_FOR_O = late_pattern(r"(?<![0-9A-Za-z])0(?=hms?\b)")
# One sign stands for all that look like it; what is not here keeps its compatibility form (full-width letters, ㎏).
_LOOK_ALIKE = str.maketrans(
    dict.fromkeys("º˚ᵒ∘", "°")
    | dict.fromkeys("·⋅∙•×✕✖", "*")
    | dict.fromkeys("−–—‒―‐‑﹣－", "-")
    | dict.fromkeys("∕⁄÷／\\", "/")
    | dict.fromkeys("\u00b5\u03bc", "µ")
    | dict.fromkeys("\u03a9\u2126", "Ω")
    | dict.fromkeys("[{", "(")
    | dict.fromkeys("]}", ")")
)


def in_right_code_page(text: str) -> str:
    """Return *text* as it was before a UTF-8 file was opened as Windows' own code page: Â°C is °C.

    No other text comes through both steps, so nothing that was meant is changed.
    """
    if text.isascii():
        return text
    try:
        return b"".join(_one_byte(sign) for sign in text).decode("utf-8")
    except UnicodeError:
        return text


def _one_byte(sign: str) -> bytes:
    # Five places of the code page are empty; programs keep the control character of that number there.
    try:
        return sign.encode("cp1252")
    except UnicodeError:
        return sign.encode("latin-1")


def tidy(text: str) -> str | None:
    """Return a typed unit in plain signs, powers behind '^'; None where it cannot be a unit.

    Spaces of any kind become one plain space, hidden signs and one full stop at the end go, '**' and raised
    figures become '^', every product sign '*'. A control character or a line end inside the text, or a
    text longer than MAX_LENGTH, is no unit.
    """
    if len(text) > 10 * MAX_LENGTH:
        return None
    bare = "".join(sign for sign in in_right_code_page(text.strip()) if unicodedata.category(sign) != "Cf")
    if any(unicodedata.category(sign) in ("Cc", "Zl", "Zp") for sign in bare.replace("\t", " ")):
        return None
    bare = _RAISED_ZERO_DEGREE.sub("°", bare)
    bare = _RAISED.sub(lambda raised: "^" + raised[0].translate(_SUPERSCRIPTS), bare)
    bare = "".join(_plain(sign) for sign in bare).translate(_LOOK_ALIKE)
    bare = _OVER.sub("/", _PLURAL_IN_BRACKETS.sub("s", bare))
    bare = _POSSESSIVE.sub("s", _RING_BY_OTHER_SIGN.sub("°", _NOUGHT_FOR_O.sub("o", bare)))
    bare = " ".join(bare.replace("**", "^").split()).replace(" x ", "*").replace(" X ", "*")
    bare = _IN_FRONT.sub("", bare.strip(_OUTER_MARKS)) if len(bare) > 1 else bare
    if bare[:1] == bare[-1:] and bare[:1] in ("'", '"') and len(bare) > 2:
        bare = bare[1:-1].strip()
    bare = re.sub(r"\^+", "^", bare.replace("-^", "^-")).rstrip(". ")
    return bare if len(bare) <= MAX_LENGTH else None


def with_per(text: str) -> str:
    """Return a tidied unit with 'per' for the words that say the same: 'metres a second', 'reciprocal seconds'."""
    bare = _TO_THE_POWER.sub(" ", _RECIPROCAL.sub("per ", with_for_each(text)))
    bare = _FOR_EACH.sub(" per ", _PER_ABROAD.sub(" per ", bare))
    return _AND_PER.sub(" per ", bare) if " per " in bare else bare


def with_for_each(text: str) -> str:
    """Return a tidied unit with 'per' for 'for each' and 'pr', which hold no unit: 'ohms for each metre'."""
    return _PER_IN_WORDS.sub(" per ", text)


def without_kind_of_current(text: str) -> str:
    """Return a tidied unit of p.d. or current without d.c., a.c. or r.m.s. behind it: 'volts d.c' is 'volts'."""
    return _KIND_OF_CURRENT.sub("", text)


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
