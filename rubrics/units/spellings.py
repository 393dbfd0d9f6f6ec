"""The table of spellings, read once from spellings.toml and unfolded into look-ups."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from enum import Enum
from functools import cache
from pathlib import Path
from typing import Any

import rtoml
from msgspec import Struct

from rubrics.units.grammar import Phrases


class Style(Enum):
    """What sort of word a spelling is; a unit should keep to one sort."""

    SYMBOL = "symbol"
    NAME = "name"
    EITHER = "either"
    """ohm, degC: a name that keyboards use as the symbol."""


_SHORT_WORD = 3
"""Letters of the shortest word that a prefix may precede: msec."""


class Spelling(Struct, frozen=True):
    """One word that stands for a unit."""

    text: str
    meaning: str
    """The unit in our own symbols; more than one for the likes of mph."""
    style: Style
    is_noted: bool = False
    """Understood, but the student should hear of the usual spelling."""
    is_rare: bool = False
    """Put together by rule, and seldom met: GC, microA. Nothing is run together from it, nor near it by misspelling."""


class SpellingTable(Struct, frozen=True, kw_only=True):
    """Everything spellings.toml says."""

    defined: Mapping[str, str]
    """Our symbol, prefix included, to its name in definitions.txt."""
    exact: Mapping[str, Spelling]
    folded: Mapping[str, tuple[Spelling, ...]]
    """The same by case-folded text."""
    names: tuple[str, ...]
    """The full names in small letters, for misspelt ones; sorted, so that ties fall the same way each time."""
    doubtful: frozenset[str]
    """Right as they stand, but far likelier another thousand: mPa for MPa. Taken only where they are asked for."""
    noted_texts: Mapping[str, str]
    """By case-folded text."""
    in_temperatures: Mapping[str, str]
    in_changes: Mapping[str, str]
    in_angles: Mapping[str, str]
    unclear: Mapping[str, tuple[str, ...]]
    unclear_alone: Mapping[str, tuple[str, ...]]
    beside: Mapping[str, Mapping[str, str]]
    no_unit: frozenset[str]
    not_known: frozenset[str]
    """Ways to say that the student does not know the unit."""
    quantities: frozenset[str]
    """Words that name a quantity, not a thing that can be counted."""
    phrases: Phrases

    def says_no_unit(self, text: str) -> bool:
        """Tell whether *text* is a way to say that there is no unit; nA is a unit, and NA is not."""
        return not text or (text.casefold() in self.no_unit and text not in self.defined)


@cache
def spelling_table() -> SpellingTable:
    """Return the table; the file is read at the first call."""
    data = rtoml.loads(Path(__file__).with_name("spellings.toml").read_text(encoding="utf-8"))
    prefixes: dict[str, str] = data["prefixes"]
    usual = dict(_prefixed(data["symbols"], prefixes))
    rare = dict(_rarely_prefixed(data, usual))
    defined = {**rare, **usual}
    exact: dict[str, Spelling] = {}
    for spelling in (*_unfolded(data, usual), *_composed(data, rare, defined)):
        exact.setdefault(spelling.text, spelling)
    folded: defaultdict[str, list[Spelling]] = defaultdict(list)
    for spelling in exact.values():
        folded[spelling.text.casefold()].append(spelling)
    degrees_abroad = dict.fromkeys(data["abroad"]["names"]["°"], "°C")
    return SpellingTable(
        defined=defined,
        exact=exact,
        folded={text: tuple(spellings) for text, spellings in folded.items()},
        names=tuple(sorted(s.text for s in exact.values() if _is_full_name(s))),
        doubtful=frozenset((*_swapped(rare, usual), *data["rare"]["doubtful"])),
        noted_texts={text.casefold(): meaning for text, meaning in data["noted_texts"].items()},
        in_temperatures={**data["in_temperatures"], **degrees_abroad},
        in_changes={**data["in_changes"], **degrees_abroad},
        in_angles=data["in_angles"],
        unclear={text: tuple(meanings) for text, meanings in data["unclear"].items()},
        unclear_alone={text: tuple(meanings) for text, meanings in data["unclear_alone"].items()},
        beside=data["beside"],
        no_unit=frozenset(data["no_unit"]["words"]),
        not_known=frozenset(data["no_unit"]["not_known"]),
        quantities=frozenset(data["no_unit"]["quantities"]),
        phrases=Phrases(
            before=data["powers"]["before"],
            after=data["powers"]["after"],
            joined=frozenset(text for text in folded if " " in text),
        ),
    )


def _is_full_name(spelling: Spelling) -> bool:
    return spelling.style is Style.NAME and spelling.text.isalpha() and not spelling.is_rare


def _prefixed(symbols: Mapping[str, list[str]], prefixes: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    # Each symbol with its name in definitions.txt, first without a prefix, then with each that schools use.
    for symbol, (name, allowed) in symbols.items():
        yield symbol, name
        for prefix in allowed.split():
            yield prefix + symbol, prefixes[prefix] + name


def _rarely_prefixed(data: Mapping[str, Any], usual: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    # Every other prefix before the symbols that take any.
    for symbol in data["rare"]["symbols"]:
        name = data["symbols"][symbol][0]
        for prefix, full in data["prefixes"].items():
            if prefix + symbol not in usual and prefix + symbol not in data["noted"]:
                yield prefix + symbol, full + name


def _swapped(rare: Mapping[str, str], usual: Mapping[str, str]) -> Iterator[str]:
    # Those that become usual with milli and mega exchanged, the slip of a factor of a thousand million.
    for symbol in rare:
        twin = {"m": "M", "M": "m"}.get(symbol[0], "") + symbol[1:]
        if twin != symbol[1:] and twin in usual:
            yield symbol


def _composed(data: Mapping[str, Any], rare: Mapping[str, str], defined: Mapping[str, str]) -> Iterator[Spelling]:
    """Yield what rules make of symbols, names and prefixes: GC, gigacoulombs, microA, uA, kvolts."""
    prefixes: dict[str, str] = data["prefixes"]
    for symbol in rare:
        yield Spelling(symbol, symbol, Style.SYMBOL, is_rare=True)
    for symbol, (full, _) in data["symbols"].items():
        words = [name for name, own in data["names"].items() if own == symbol]
        words += [w for w, own in {**data["words"], **data["noted"]}.items() if own == symbol and len(w) >= _SHORT_WORD]
        for prefix in prefixes:
            meaning = prefix + symbol
            if defined.get(meaning) != prefixes[prefix] + full:
                continue
            yield Spelling(prefixes[prefix] + symbol, meaning, Style.SYMBOL, is_noted=True, is_rare=True)
            if prefix == "µ":
                yield Spelling("u" + symbol, meaning, Style.SYMBOL, is_noted=True, is_rare=True)
            for form in (form for word in words for form in (word, word + "s")):
                yield Spelling(prefixes[prefix] + form, meaning, Style.NAME, is_rare=True)
                yield Spelling(prefix + form, meaning, Style.NAME, is_noted=True, is_rare=True)
                if prefix == "µ":
                    yield Spelling("u" + form, meaning, Style.NAME, is_noted=True, is_rare=True)


def _unfolded(data: Mapping[str, Any], defined: Mapping[str, str]) -> Iterator[Spelling]:
    # Earlier ones win: a symbol is never read as somebody's abbreviation.
    symbols, prefixes = data["symbols"], data["prefixes"]
    for symbol in defined:
        yield Spelling(symbol, symbol, Style.SYMBOL)
    for text, symbol in data["alike"].items():
        yield Spelling(text, symbol, Style.EITHER)
        for prefix in symbols.get(symbol, ("", ""))[1].split():
            yield Spelling(prefix + text, prefix + symbol, Style.EITHER)
    for name, symbol in data["names"].items():
        style = Style.EITHER if name in data["alike"] else Style.NAME
        for form in (name, name + "s"):
            yield Spelling(form, symbol, style if form == name else Style.NAME)
            for prefix in symbols[symbol][1].split():
                yield Spelling(prefixes[prefix] + form, prefix + symbol, Style.NAME)
    for word, meaning in data["words"].items():
        yield Spelling(word, meaning, Style.NAME)
    for word, meaning in data["noted"].items():
        yield Spelling(word, meaning, Style.NAME if word.islower() else Style.SYMBOL, is_noted=True)
    yield from _abroad(data, defined)


def _abroad(data: Mapping[str, Any], defined: Mapping[str, str]) -> Iterator[Spelling]:
    """Yield the names of units in other languages, alone and behind the prefixes of those languages: chilogrammi."""
    for symbol, names in data["abroad"]["names"].items():
        fronts = [("", ""), *data["abroad"]["prefixes"].items()]
        for front, prefix in fronts:
            if prefix + symbol in defined:
                for name in names:
                    yield Spelling(front + name, prefix + symbol, Style.NAME, is_noted=True, is_rare=True)
