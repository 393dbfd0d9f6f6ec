"""The words of a write-up: what was tested, which shape the graph has, whether it shows proportion."""

from __future__ import annotations

from collections.abc import Mapping
from random import Random

SHARE_WRONG_WORDS = 0.10
"""Of those asked, who choose another shape than their points show."""
SHARE_COMPONENT_LEFT_OUT = 0.1

_CALLED: Mapping[str, tuple[str, ...]] = {
    "fixed resistor": ("fixed resistor", "resistor", "Resistor"),
    "filament lamp": ("filament lamp", "lamp", "bulb", "Filament bulb"),
    "diode": ("diode", "Diode", "silicon diode"),
}
_SHAPE: Mapping[str, tuple[str, ...]] = {
    "fixed resistor": ("straight line through the origin", "straight line", "Straight line through 0"),
    "filament lamp": ("curve that gets less steep", "curve", "S shape", "gets less steep"),
    "diode": ("no current until a turn-on p.d.", "flat then steep", "only one way"),
}
_PROPORTIONAL: Mapping[str, tuple[str, ...]] = {
    "fixed resistor": ("yes", "Yes", "directly proportional"),
    "filament lamp": ("no", "No", "not proportional"),
    "diode": ("no", "No", "not directly proportional"),
}


def component_called(kind: str, chance: Random) -> str:
    """Return what a student calls the component; empty where it was left out."""
    return "" if chance.random() < SHARE_COMPONENT_LEFT_OUT else chance.choice(_CALLED[kind])


def conclude(kind: str, chance: Random) -> dict[str, tuple[str, bool]]:
    """Return item to the words chosen and whether they are right."""
    found = {}
    for item, words in (("shape", _SHAPE), ("proportional", _PROPORTIONAL)):
        is_right = chance.random() >= SHARE_WRONG_WORDS
        others = [one for one in words if one != kind and words[one][0] != words[kind][0]]
        found[item] = (chance.choice(words[kind if is_right else chance.choice(others)]), is_right)
    return found
