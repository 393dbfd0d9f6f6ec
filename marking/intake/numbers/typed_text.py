"""Typed text before anything is read from it: hidden signs out, look-alike signs alike, and fit to be shown."""

from __future__ import annotations

import unicodedata

from msgspec import Struct
from msgspec.structs import replace

from rubrics.patterns import late_pattern
from rubrics.units import in_right_code_page

SHOWN_LENGTH = 60
"""Signs of a text that a message repeats."""
_LONGEST_LOOKED_AT = 1000
"""A longer text holds no number; looking through it would only cost time."""
_FULL_WIDTH_SHIFT = 0xFEE0
_MINUS_SIGNS = "−–—‒‐‑﹣－"
_RAISED_MINUS = late_pattern("^⁻(?=[0-9.])")
_RAISED_POINT = late_pattern("(?<=[0-9])[·‧⋅∙•](?=[0-9])(?!10)")
"""8·96 as it is printed in old books; in front of 10 it is a sign of multiplication."""
_ARABIC = {chr(start + figure): str(figure) for start in (0x0660, 0x06F0) for figure in range(10)} | {"\u066b": "."}
"""The figures of Arabic and of Persian keyboards, and their own decimal sign."""
_SPACES = "\t\n\r"
_OVERRIDES = frozenset("\u202d\u202e")
"""They turn the figures round on screen, so what was typed is not what is shown."""
_UNPRINTABLE = frozenset({"Cc", "Cf", "Cn", "Co", "Cs", "Zl", "Zp"})


def show_text(text: str) -> str:
    """Return *text* for a message: at most SHOWN_LENGTH signs, hidden ones as [U+200B], spaces as they are."""
    if text.isprintable() and len(text) <= SHOWN_LENGTH:
        return text  # most of what is typed: of all spaces only the usual one is printable
    shown = ""
    for sign in text[: SHOWN_LENGTH + 1]:
        piece = sign if sign == " " or not _is_hidden(sign) else f"[U+{ord(sign):04X}]"
        if len(shown) + len(piece) > SHOWN_LENGTH:
            return shown + "…"
        shown += piece
    return shown


def _is_hidden(sign: str) -> bool:
    category = unicodedata.category(sign)
    return category in _UNPRINTABLE or category == "Zs"


class PlainText(Struct, frozen=True, kw_only=True):
    """A typed text without its hidden signs, twice, sign for sign alike."""

    typed: str
    """As it was written, outer spaces and hidden signs left out."""
    plain: str
    """The same length, in plain figures, signs and spaces."""
    notes: tuple[str, ...]
    """What was done to it."""
    problem: str
    """Why nothing can be read from it; empty for most."""

    def part(self, start: int, end: int, note: str = "") -> PlainText:
        """Return the signs from *start* to *end*, with one more note."""
        notes = (*self.notes, note) if note else self.notes
        return replace(self, typed=self.typed[start:end], plain=self.plain[start:end], notes=notes)


def make_plain(text: str) -> PlainText:
    """Return *text* without hidden signs and outer spaces, its look-alike signs made alike.

    Powers written raised stay as they are: 10² must never become 102.
    """
    if len(text) > _LONGEST_LOOKED_AT and len(text.strip()) > _LONGEST_LOOKED_AT:
        return _unusable(text, f"{len(text)} characters, too long for a number")
    if text.isascii() and text.isprintable():
        bare = text.strip(" ")
        return PlainText(typed=bare, plain=bare, notes=(), problem="")
    right = in_right_code_page(text)
    bare = "".join(sign for sign in right if unicodedata.category(sign) != "Cf")
    typed = bare.strip(_SPACES + "".join(sign for sign in set(bare) if unicodedata.category(sign) == "Zs"))
    if _OVERRIDES & set(text):
        return _unusable(typed, "a hidden sign turns its characters round on screen")
    hidden = next((sign for sign in typed if unicodedata.category(sign) in _UNPRINTABLE - {"Cf"}), None)
    if hidden in ("\n", "\r"):
        return _unusable(typed, "a line break in it")
    if hidden is not None and hidden != "\t":
        return _unusable(typed, f"a hidden character in it, {show_text(hidden)}")
    notes = ["signs put right that came through another code page"] if right != text else []
    if len(bare) < len(right):
        notes.append("hidden characters left out")
    plain = _RAISED_MINUS.sub("-", "".join(_plain_sign(sign) for sign in typed))
    if (pointed := _RAISED_POINT.sub(".", plain)) != plain:
        plain = pointed
        notes.append("raised point as decimal point")
    if any(sign in _ARABIC for sign in typed):
        notes.append("Arabic figures")
    if any("０" <= sign <= "９" for sign in typed):
        notes.append("full-width figures")
    return PlainText(typed=typed, plain=plain, notes=tuple(notes), problem="")


def _unusable(typed: str, problem: str) -> PlainText:
    return PlainText(typed=typed, plain="", notes=(), problem=problem)


def _plain_sign(sign: str) -> str:
    if sign.isascii():
        return " " if sign == "\t" else sign
    if sign in _MINUS_SIGNS:
        return "-"
    if sign in _ARABIC:
        return _ARABIC[sign]
    if "！" <= sign <= "～":
        return chr(ord(sign) - _FULL_WIDTH_SHIFT)
    if unicodedata.category(sign) == "Zs":
        return " "
    return {"’": "'", "‘": "'", "′": "'", "″": '"', "”": '"', "“": '"', "≈": "~", "∼": "~", "⁄": "/"}.get(sign, sign)
