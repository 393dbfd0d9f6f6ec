"""What a number counts, written where a unit stands: bubbles/min, number of bubbles, plants per m²."""

from __future__ import annotations

import re

from rubrics.patterns import late_pattern
from rubrics.units.spellings import spelling_table
from rubrics.units.unit_names import Context, candidates

_ALIKE = 60.0
"""Per cent of likeness (Indel) from which on a word may be meant for the name of a unit."""
_LONG_ENOUGH = 5
"""Letters; a shorter word is like some unit by chance."""
_SCALES = ("celsius", "centigrade", "fahrenheit", "kelvin")
_NUMBER_OF = late_pattern(
    r"(?:the )?(?:number|no\.?|nr\.?|count|total) of (?P<thing>[a-z][a-z -]*[a-z])", re.IGNORECASE
)
_THING_PER = late_pattern(r"(?P<thing>[a-z]{3,}(?:[ -][a-z]{3,}){0,2}?) ?(?=/|per )(?P<per>.+)", re.IGNORECASE)
_PER_POWER = late_pattern(r"(?P<thing>[a-z]{3,}) (?P<per>[a-zµ]{1,3}\^?\(?-[0-9]\)?)", re.IGNORECASE)


def says_number_of(text: str) -> bool:
    """Tell whether a tidied text says that things are counted: 'number of bubbles'."""
    match = _NUMBER_OF.fullmatch(text)
    return match is not None and _is_thing(match["thing"])


def without_thing(text: str) -> str:
    """Return what a tidied text has behind the thing that is counted, '1/min' for bubbles/min; empty for any other."""
    bare = re.sub(r"^(?:number|no\.?) of ", "", text, flags=re.IGNORECASE)
    if match := _THING_PER.fullmatch(bare):
        return f"1 {match['per']}" if _is_thing(match["thing"]) else ""
    match = _PER_POWER.fullmatch(bare)
    return match["per"] if match is not None and _is_thing(match["thing"]) else ""


def names_things(words: str) -> bool:
    """Tell whether plain words may say what a number counts: none is a unit, near one, or the name of a quantity."""
    return bool(re.fullmatch("[A-Za-z]{3,}(?:[ -][A-Za-z]{3,}){0,2}", words)) and _is_thing(words)


def holds_unit(words: str) -> bool:
    """Tell whether one of plain words is a unit, or near one."""
    return any(candidates(word, Context(), is_bare=False) for word in words.split())


def is_like_unit(words: str) -> bool:
    """Tell whether one of plain words is a unit, or looks like the name of one however misspelt: 'faranhite'."""
    from rapidfuzz import fuzz, process  # for words behind a number only

    names = [*spelling_table().names, *_SCALES]
    long = [word.casefold() for word in words.split() if len(word) >= _LONG_ENOUGH]
    return holds_unit(words) or any(
        process.extractOne(word, names, scorer=fuzz.ratio, score_cutoff=_ALIKE) for word in long
    )


def _is_thing(words: str) -> bool:
    """Tell whether no word of a text is a unit, near one, or the name of a quantity."""
    table = spelling_table()
    return not any(
        word in table.quantities or word in table.phrases.after or candidates(word, Context(), is_bare=False)
        for word in re.split("[ -]", words.casefold())
    )
