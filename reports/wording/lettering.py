"""What is done to any string before it is printed: hidden characters go, long ones are cut."""

from __future__ import annotations

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
    if text.isascii() and text.isprintable() and len(text) <= _KEPT_WHOLE and "  " not in text:
        return text.strip()  # most of what is written
    shown = unicodedata.normalize("NFC", text[:_KEPT_WHOLE]).translate(_shown)
    return " ".join(word for word in shown.split(" ") if word).strip()


def cut(text: str, limit: int, mark: str = "…") -> str:
    """Return *text* with at most *limit* characters before *mark*; unchanged where it is short enough."""
    return text if len(text) <= limit else text[:limit].rstrip() + mark
