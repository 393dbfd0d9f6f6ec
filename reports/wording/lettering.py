"""What is done to any string before it is printed: hidden characters go, long ones are cut."""

from __future__ import annotations

import re
import unicodedata

_KEPT_WHOLE = 2000
"""Characters looked at before anything else is done to a string: a pasted book must not slow a sheet down."""
_UNBROKEN = "\u00a0"
"""The space that no line breaks at: it stands for the narrow one too, as in 20\u202f400, which PDF text would break."""
_HIDDEN = frozenset(("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"))
"""Unicode categories of control, direction and formatting characters, halves of pairs, and unassigned codes."""


class _Shown(dict[int, str]):
    """Character code to what stands for it in print; filled as characters are met."""

    def __missing__(self, code: int) -> str:
        sign = chr(code)
        category = unicodedata.category(sign)
        if sign in "\u00a0\u2007\u202f":
            shown = _UNBROKEN
        elif sign in "\t\n\r\v\f\x85\u2028\u2029" or category == "Zs":
            shown = " "
        else:
            shown = "" if category in _HIDDEN else sign
        self[code] = shown
        return shown


_shown = _Shown()


def one_line(text: str) -> str:
    """Return *text* on one line, composed (NFC), without control and direction characters or double spaces."""
    if text.isprintable() and len(text) <= _KEPT_WHOLE and "  " not in text and unicodedata.is_normalized("NFC", text):
        return text.strip()  # most of what is written: printable text has no space but the usual one
    shown = unicodedata.normalize("NFC", text[:_KEPT_WHOLE]).translate(_shown)
    return " ".join(word for word in shown.split(" ") if word).strip()


_POWER = re.compile(r"(?<=\d) ?(?:[eE]|[x×*·] ?10(?:\^|\*\*)?)([+−-]?\d{1,3})(?![\d.])")
_RAISED = re.compile(r"(?<=[A-Za-z\d)])(?:\^|\*\*)\(?([+−-]?\d{1,2})\)?(?!\d)")
_PER = re.compile(r"(?<=[A-Za-zΩ°])[-−]([1-4])(?![\w.])")
"""A unit with a power below the line: ms-1, J kg-1."""
_MINUS = re.compile(r"(?<![\w.)])-(?=[\d.])")
_JOINED = re.compile(r"(?<=\w)_(?=\w)")
"""A name of an item, as formulas have it: mean_titre."""
_SUPERSCRIPTS = str.maketrans("+-−0123456789", "⁺⁻⁻⁰¹²³⁴⁵⁶⁷⁸⁹")


def as_print(text: str) -> str:
    """Return what was typed as it is printed: 4.9e-7 as 4.9 × 10⁻⁷, cm^3 as cm³, a hyphen before a number as minus."""
    if not _TYPED.search(text):
        return text
    shown = _POWER.sub(lambda found: f" × 10{found[1].lstrip('+').translate(_SUPERSCRIPTS)}", text)
    shown = _RAISED.sub(lambda found: found[1].lstrip("+").translate(_SUPERSCRIPTS), shown)
    shown = _PER.sub(lambda found: f"⁻{found[1].translate(_SUPERSCRIPTS)}", shown)
    return _JOINED.sub(" ", _MINUS.sub("−", shown))


_TYPED = re.compile(r"[\^*_eExX×·−-](?:(?<=[\^*_])|(?<=[\d.][eExX×·])|(?<=\d [x×·])|(?<=[−-])[\d.])")
"""Signs that are typed where print has others: '2e3', '2 x 3', 'cm^3', '-5'. Most texts have none, and the sign itself
is rarer than the digits beside it; a pattern that begins with one set of signs is looked for three times as fast."""


def cut(text: str, limit: int, mark: str = "…") -> str:
    """Return *text* with at most *limit* characters before *mark*; unchanged where it is short enough."""
    return text if len(text) <= limit else text[:limit].rstrip() + mark
