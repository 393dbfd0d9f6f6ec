"""What the headings and item names of one practical may look like in a teacher's file."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterator
from functools import lru_cache

from msgspec import Struct, field
from msgspec.structs import replace

from marking.cells import Entry, Place, ReadCell
from marking.intake.grids.kept import Kept
from rubrics.model import Item, Role, Rubric
from rubrics.patterns import late_pattern
from rubrics.units import UnitReading, Verdict, knows_unit, read_unit

RESULT_WORDS = frozenset({"answer", "final answer", "your answer", "result", "final result"})
"""Headings that stand for the practical's final answer."""
MAX_UNIT_LENGTH = 40
"""No unit of a school practical comes near it."""
_PARTINGS = (
    late_pattern(r"^(?P<name>.+?)\s*/\s*(?P<unit>.+)$"),  # T / °C, c / J/(kg °C): the first slash parts
    late_pattern(r"^(?P<name>.+?)\s*\((?P<unit>.+)\)$"),
    late_pattern(r"^(?P<name>.+?)\s*\[(?P<unit>.+)\]$"),
    late_pattern(r"^(?P<name>.+?)[\s,]+in\s+(?P<unit>.+)$", re.IGNORECASE),
    late_pattern(r"^(?P<name>.+?)\s*(?:[,;:]|\s[-–—]\s)\s*(?P<unit>.+)$"),  # E, kJ, as many countries head it
    late_pattern(r"^(?P<name>.+)_(?P<unit>[^_]+)$"),  # temp_start_C: the last underscore parts
    late_pattern(r"^(?P<name>.+)\s(?P<unit>\S+)$"),
)
_NO_QUOTES = dict.fromkeys(map(ord, '"“”„«»'))
"""length "l" / cm"""
_COUNT = late_pattern(r"^(?P<number>.*\d)\s*(?P<name>[^\W\d_][^\d]*)$")
MAX_HEADING = 100
"""A longer text is an instruction; matching patterns against it would only cost time."""


def strip_hidden(text: str) -> str:
    """Return *text* without signs that show nothing (zero-width spaces, direction marks)."""
    if text.isascii():
        return text
    return "".join(sign for sign in text if unicodedata.category(sign) != "Cf")


def fold(text: str) -> str:
    """Return *text* as headings are compared: case, spaces, underscores and a closing colon do not count."""
    return _folded_once(text) if len(text) <= _OFTEN else _folded(text)


def _folded(text: str) -> str:
    bare = unicodedata.normalize("NFC", strip_hidden(text)).casefold().replace("_", " ")
    return " ".join(bare.split()).rstrip(" :?*")


_folded_once = lru_cache(maxsize=8192)(_folded)
"""Headings, codes and units come again and again; what is longer does not, and would fill the memory."""
_OFTEN = 64


class Named(Struct, frozen=True, kw_only=True):
    """An item as some text names it."""

    item: Item
    unit: str = ""
    """The unit that stood with the name, as typed."""


class Vocabulary(Struct):
    """The names by which one practical's items are known, and the units read so far."""

    rubric: Rubric
    _folded: dict[str, Item | None] = field(default_factory=dict)
    _units: dict[tuple[str, str], UnitReading] = field(default_factory=dict)
    _others: dict[str, frozenset[str]] = field(default_factory=dict)
    cells: Kept[ReadCell] = field(default_factory=Kept)
    """What texts were understood as, by item, text, unit and whatever else decides."""
    around_plain: Kept[tuple[object]] = field(default_factory=Kept)
    """By item, unit beside and unit behind, what ``entries`` found out about units around plain figures."""
    _read: Kept[Entry] = field(default_factory=Kept)

    def __post_init__(self) -> None:
        """Gather the names; one that two items share belongs to neither."""
        items = list(self.rubric.items.values())
        for names in (
            [(item.name, item) for item in items],
            [(name, item) for item in items for name in (item.symbol, *item.headings, item.quantity)],
        ):
            fresh: dict[str, Item | None] = {}
            for name, item in names:
                key = fold(name)
                fresh[key] = item if fresh.get(key, item) is item else None
            self._folded = fresh | self._folded
        if self.rubric.result is not None:
            final = self.rubric.items[self.rubric.result.answer]
            for word in RESULT_WORDS:
                self._folded.setdefault(word, final)

    def item_called(self, text: str) -> Named | None:
        """Return the item that *text* names, with or without a unit behind the name; None where it names none."""
        if len(text) > MAX_HEADING:
            return None
        bare = strip_hidden(text).strip()
        if bare in self.rubric.items:
            return Named(item=self.rubric.items[bare])
        item = self._folded.get(fold(bare))
        if item is not None:
            return Named(item=item)
        unquoted = bare.translate(_NO_QUOTES)
        return next(self._parted(bare), None) or (self.item_called(unquoted) if unquoted != bare else None)

    def _parted(self, bare: str) -> Iterator[Named]:
        for parting in _PARTINGS:
            match = parting.match(bare.rstrip(" :?*"))
            if match is None:
                continue
            name, unit = match["name"].strip(), match["unit"].strip()
            item = self.rubric.items.get(name) or self._folded.get(fold(name)) or self._named_twice(name)
            if item is None:
                continue
            reading = self.unit_of(unit, item)
            if reading.verdict in (Verdict.ACCEPT, Verdict.NOTE):
                yield Named(item=item, unit=unit)
            elif reading.verdict is Verdict.AMBIGUOUS and (only := _in_any_case(unit, item)):
                yield Named(item=item, unit=only)

    def _named_twice(self, text: str) -> Item | None:
        """Return the item that a text names by its quantity and its letter, 'length l'; None where they are of two.

        'temperature rise, dT' and 'length (l)' do so as well.
        """
        word, _, letter = text.rpartition(" ")
        letter = letter.strip("()[]")
        item = self._folded.get(fold(word.rstrip(" ,;:–—-"))) if word and letter else None
        return item if item is not None and letter in (item.symbol, item.name) else None

    def names_of_others(self, item: Item) -> frozenset[str]:
        """Return what names items of other quantities than *item*, folded; gathered once for each item."""
        found = self._others.get(item.name)
        if found is None:
            others = [other for other in self.rubric.items.values() if other.unit.dimension != item.unit.dimension]
            found = frozenset(fold(name) for other in others for name in (other.name, other.symbol) if name)
            self._others[item.name] = found
        return found

    def read_once(self, key: tuple[object, ...], place: Place, read: Callable[[], Entry]) -> Entry:
        """Return what *read* makes of a cell at *place*; of many cells with one and the same *key* it reads the first.

        A class writes the same temperatures and p.d.s over and over, a year of classes even more.
        """
        found = self._read.get(key)
        if found is not None:
            return found.at(place)
        found = read()
        self._read.put(key, found)
        return found

    def unit_of(self, typed: str, item: Item) -> UnitReading:
        """Return how *typed* reads as a unit of *item*; each spelling is worked out once."""
        key = (typed, item.name)
        found = self._units.get(key)
        if found is None:
            found = self._units[key] = read_item_unit(typed, item)
        return found


def _in_any_case(typed: str, item: Item) -> str:
    """Return the one unit of *item* that differs in capitals at most, for headings often are in capitals; or ''."""
    symbols = {unit.symbol for unit in (item.unit, *item.recorded_in) if unit.symbol.casefold() == typed.casefold()}
    return symbols.pop() if len(symbols) == 1 else ""


def read_item_unit(typed: str, item: Item) -> UnitReading:
    """Return how *typed* reads as a unit of *item*; a text too long for a unit is none."""
    if len(typed) > MAX_UNIT_LENGTH:
        return UnitReading(typed=typed, verdict=Verdict.WRONG, unit=None, note="not a unit")
    if _is_count(item) and _names_what_is_counted(typed, item):
        return UnitReading(typed=typed, verdict=Verdict.ACCEPT, unit=item.unit)
    reading = read_unit(typed, item.unit, item.recorded_in)
    if reading.verdict is Verdict.WRONG and (bare := _without_first(typed, item)):
        return replace(read_unit(bare, item.unit, item.recorded_in), typed=typed)
    return reading


def _without_first(typed: str, item: Item) -> str:
    """Return the unit without the things that are counted, 1/m² for 'plants/m²'; empty where none is named."""
    words = typed.strip().casefold()
    named = next((name for name in item.counted if words.startswith(name.casefold())), None)
    return "" if named is None else f"1 {typed.strip()[len(named) :].strip()}"


def without_counted(text: str, item: Item) -> str:
    """Return *text* without the name of what its number counts: '24 dice' is 24, '29 bubbles/min' is 29 /min."""
    for name in item.counted if len(text) <= MAX_HEADING else ():
        text = re.sub(rf"(?<=\d)\s*{re.escape(name)}\b", " ", text, flags=re.IGNORECASE).rstrip()
    match = _COUNT.match(text) if _is_count(item) and len(text) <= MAX_HEADING else None
    return match["number"] if match and _names_what_is_counted(match["name"], item) else text


def is_count(item: Item) -> bool:
    """Tell whether *item* counts things that have a name: plants, dice."""
    return bool(item.counted) and item.unit.is_pure_number


def _is_count(item: Item) -> bool:
    return item.unit.is_pure_number and not item.unit.symbol and not item.is_words


def _names_what_is_counted(typed: str, item: Item) -> bool:
    """Tell whether *typed* is no unit but says what a number counts: 24 dice, 3 squares."""
    words = fold(typed).split()
    if words and words in [fold(name).split() for name in item.counted]:
        return True
    # Beside a reading, words of its own description; an answer such as 1.5 may well stand with a wrong unit.
    described = {_singular(word) for text in (item.quantity, *item.headings) for word in fold(text).split()}
    is_reading = item.role is Role.READING or bool(item.repeats)
    return is_reading and bool(words) and not knows_unit(typed) and all(_singular(word) in described for word in words)


def _singular(word: str) -> str:
    return word.strip(",.;:()").removesuffix("s")
