"""From a text to its words: stems, directions and negations, each with the place where it stands."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from enum import IntEnum
from functools import cache, lru_cache
from importlib import resources
from typing import Any

import rtoml
import Stemmer
from msgspec import Struct
from msgspec.structs import replace
from rapidfuzz.distance import OSA

LONGEST_ANSWER = 2000
"""Characters of an answer that are read; two sides of writing, and a bound on the time that any text can take."""
SHORTEST_MISSPELT = 5
"""Letters of a word from which one slip is allowed: 'heat' and 'head' are two words."""
FEWEST_WRITTEN = 4
"""Letters that such a word must have as written: 'eror' for 'error'."""
SHORTEST_TWICE_MISSPELT = 8
"""Letters from which two slips are allowed: 'surroundings' written 'suroundngs'."""
_MORE_LETTERS = 2
"""Letters by which a slip may be longer or shorter, beyond as many as there may be slips."""
_ENDS = frozenset(".;!?\n")
_APOSTROPHES = "'’‘`´"
_WITHOUT_APOSTROPHES = dict.fromkeys(map(ord, _APOSTROPHES))
_SIGNS = {"∝": "proportional", "→": "so", ">": "so"}
"""Signs that stand for words."""
_SHAFTS = ("-", "=")
"""In front of a '>' they make it an arrow."""
_GROUPS = (
    "alike",
    "kinds_of_more",
    "turns",
    "hedges",
    "both_ways",
    "opposites",
    "kinds",
    "sound_phrases",
    "got_right",
    "helps",
    "dimensions",
    "written_as",
    "forms",
)
_MEANT = (
    "up", "down", "negation", "answers_no", "moves", "ways", "conjunctions", "joins", "passed_over", "break",
    "undone_by", "never_slips",
)  # fmt: skip
"""Lists whose words are never slips of spelling for other words."""


class Direction(IntEnum):
    """Which way a word points."""

    NONE = 0
    UP = 1
    DOWN = -1


class Word(Struct, frozen=True, kw_only=True):
    """One word of a text."""

    text: str
    """In small letters, without apostrophes."""
    stem: str
    start: int
    end: int
    clause: int
    """Number of the clause that it stands in: a full stop or a 'but' starts a new one."""
    direction: Direction
    is_negation: bool
    is_passed_over: bool
    is_behind_comma: bool = False


@cache
def known_words() -> Mapping[str, frozenset[str]]:
    """Return the lists of ``words.toml``; ``all`` holds the words of every list."""
    lists = {name: frozenset(words) for name, words in _file().items() if name not in _GROUPS}
    everything = frozenset().union(*(lists[name] for name in _MEANT), *_file()["alike"], *_file()["kinds"])
    return lists | {"all": everything}


@cache
def _written_as() -> Mapping[str, str]:
    return {short: word for word, *shorts in _file()["written_as"] for short in shorts}


@cache
def known_phrases(name: str) -> tuple[tuple[str, ...], ...]:
    """Return the lists of words in a row that stand under *name* in ``words.toml``."""
    return tuple(tuple(phrase.split()) for phrase in _file()[name])


@cache
def _phrases_by_first(name: str) -> Mapping[str, Sequence[tuple[str, ...]]]:
    found: dict[str, list[tuple[str, ...]]] = {}
    for phrase in known_phrases(name):
        found.setdefault(phrase[0], []).append(phrase)
    return found


def phrases_in(texts: Sequence[str], name: str) -> Iterator[tuple[int, tuple[str, ...]]]:
    """Yield where a phrase of the list *name* stands among *texts*, the words of an answer, and the phrase."""
    known = _phrases_by_first(name)
    for start, text in enumerate(texts):
        for phrase in known.get(text, ()):
            if tuple(texts[start : start + len(phrase)]) == phrase:
                yield start, phrase


@cache
def known_groups(name: str) -> tuple[frozenset[str], ...]:
    """Return the groups of words that stand under *name* in ``words.toml``."""
    return tuple(frozenset(group) for group in _file()[name])


@cache
def opposites_of(word: str) -> frozenset[str]:
    """Return the words that say the opposite of *word*: 'wide' and its like for 'thin'."""
    found: set[str] = set()
    for one, other in _file()["opposites"]:
        found |= set(other) if word in one else set()
        found |= set(one) if word in other else set()
    return frozenset(found)


@cache
def forms_of(word: str) -> tuple[str, ...]:
    """Return *word* and its forms, where they are no matter of endings: 'went' for 'goes'."""
    return (word, *(other for group in known_groups("forms") if word in group for other in sorted(group - {word})))


@cache
def dimension_of(word: str) -> frozenset[str]:
    """Return the words for more and less of the one kind that *word* tells of; none for 'larger', of any kind."""
    return next((frozenset(group) for group in _file()["dimensions"] if word in group), frozenset())


@cache
def words_like(word: str) -> tuple[str, ...]:
    """Return the words that will do as well as *word*, itself first."""
    groups = list(_groups_by_word().get(word, ()))
    lists = known_words()
    groups += [sorted(lists[name]) for name in ("up", "down") if word in lists[name]]
    return tuple(dict.fromkeys([word, *(other for group in groups for other in group)]))


@cache
def _groups_by_word() -> Mapping[str, Sequence[Sequence[str]]]:
    """Return for each word the groups of words that will do as well."""
    found: dict[str, list[Sequence[str]]] = {}
    for group in (*_file()["alike"], *_families()):
        for word in dict.fromkeys(group):
            found.setdefault(word, []).append(group)
    for kind in _file()["kinds"]:
        found.setdefault(kind[0], []).append(kind)
    return found


@cache
def _file() -> Mapping[str, Any]:
    file = resources.files("marking.checking.short_answers.words").joinpath("words.toml")
    return rtoml.loads(file.read_text(encoding="utf-8"))


@cache
def _families() -> tuple[tuple[str, ...], ...]:
    """Return the families of words that mean much the same, less what points one way: that is no matter of wording."""
    file = resources.files("marking.checking.short_answers.words").joinpath("families.toml")
    families = rtoml.loads(file.read_text(encoding="utf-8"))["families"]
    return tuple(tuple(word for word in family if not direction_of(word)) for family in families)


@cache
def _numbered_families() -> Mapping[str, frozenset[int]]:
    found: dict[str, set[int]] = {}
    for number, family in enumerate(_families()):
        for word in family:
            found.setdefault(stem_of(word), set()).add(number)
    return {stem: frozenset(numbers) for stem, numbers in found.items()}


def family_of(word: str) -> frozenset[int]:
    """Return the numbers of the families that *word*, or another form of it, belongs to."""
    return _numbered_families().get(stem_of(word), frozenset())


@lru_cache(maxsize=8192)
def stem_of(word: str) -> str:
    """Return the stem of an English word in small letters."""
    return str(_stemmer().stemWord(word))


@cache
def _stemmer() -> Stemmer.Stemmer:
    return Stemmer.Stemmer("english")


def direction_of(word: str) -> Direction:
    """Return which way *word* points."""
    lists = known_words()
    if word in lists["up"]:
        return Direction.UP
    return Direction.DOWN if word in lists["down"] else Direction.NONE


@lru_cache(maxsize=2048)  # an answer is looked at from several sides
def read_words(text: str) -> tuple[Word, ...]:
    """Return the words of *text*, which is cut at LONGEST_ANSWER characters, in order."""
    lists, written_as = known_words(), _written_as()
    found: list[Word] = []
    clause = 0
    for start, end, broken in _pieces(text[:LONGEST_ANSWER]):
        word = unicodedata.normalize("NFKC", text[start:end]).casefold().translate(_WITHOUT_APOSTROPHES)
        word = _SIGNS.get(text[start:end], word)
        word = written_as.get(word, word)
        if word == "can" and found and found[-1].text in lists["subjects"]:
            word = "could"  # 'you can see' is about no can
        if not word:
            continue
        clause += broken or word in lists["break"]
        found.append(
            Word(
                text=word,
                stem=stem_of(word),
                start=start,
                end=end,
                clause=clause,
                direction=_direction_after(word, found),
                is_negation=word in lists["negation"],
                is_passed_over=word in lists["passed_over"],
                is_behind_comma=bool(found) and "," in text[found[-1].end : start],
            )
        )
    return tuple(_without_answering_no(found, text))


def _direction_after(word: str, before: list[Word]) -> Direction:
    # 'The value went up', but 'the block heats up'.
    lists = known_words()
    if word in lists["ways"] and not (before and before[-1].text in lists["moves"]):
        return Direction.NONE
    return direction_of(word)


def _without_answering_no(words: list[Word], text: str) -> list[Word]:
    """Return *words*, a 'no' that answers the question no longer counted as one that denies what follows."""
    answers = known_words()["answers_no"]
    kept = []
    for at, word in enumerate(words):
        after = words[at + 1].text if at + 1 < len(words) else ""
        is_answer = word.text == "no" and (after in answers or text[word.end : word.end + 1] in (",", "."))
        kept.append(replace(word, is_negation=False) if is_answer else word)
    return kept


def is_two_ways(words: Sequence[Word]) -> bool:
    """Tell whether something is said to go both ways: 'too low and too high'."""
    joins = known_words()["joins"]
    last, is_joined = Direction.NONE, False
    for word in words:
        if word.direction:
            if is_joined and last == -word.direction:
                return True
            last, is_joined = word.direction, False
        elif word.text in joins:
            is_joined = True
        else:
            last = Direction.NONE
    return False


def _pieces(text: str) -> list[tuple[int, int, bool]]:
    """Return (start, end, a sentence ended before it) of each run of letters and digits."""
    pieces, start, broken = [], -1, False
    for at, sign in enumerate(text + " "):
        if sign.isalnum() or sign in _APOSTROPHES or sign == "%":
            start = at if start < 0 else start
            continue
        if sign in _SIGNS and (sign != ">" or text[at - 1 : at] in _SHAFTS):
            pieces += [(start, at, broken)] if start >= 0 else []
            pieces.append((at, at + 1, broken and start < 0))
            start, broken = -1, False
            continue
        if start >= 0:
            pieces.append((start, at, broken))
            start, broken = -1, False
        # A point between digits is no end, and digits are one piece each either way.
        broken = broken or (sign in _ENDS and not text[at + 1 : at + 2].isdigit() and not _is_abbreviation(text, at))
    return pieces


@cache
def _never_slips() -> frozenset[str]:
    return frozenset(stem_of(word) for word in known_words()["never_slips"])


def _is_abbreviation(text: str, at: int) -> bool:
    """Tell whether the point at *at* stands behind single letters: 'e.m.f.', 'p.d.'."""
    if text[at] != "." or not text[at - 1 : at].isalpha() or text[at - 2 : at - 1].isalpha():
        return False
    return text[at + 2 : at + 3] == "." or text[at - 2 : at - 1] == "."


def _is_opposite_form(written: str, meant: str) -> bool:
    """Tell whether one is the other with 'in' or 'un' in front: 'indirectly' is no slip for 'directly'."""
    longer, shorter = sorted((written, meant), key=len, reverse=True)
    return any(
        longer.startswith(start) and longer[len(start) :][:4] == shorter[:4]
        for start in ("in", "un", "im", "dis", "non")
    )


def is_same_word(written: str, meant: str) -> bool:
    """Tell whether *written* is *meant*, another form of it, or a slip of spelling."""
    if written == meant or stem_of(written) == stem_of(meant):
        return True
    return may_be_slip(written) and is_slip_of(written, meant)


@lru_cache(maxsize=8192)
def may_be_slip(written: str) -> bool:
    """Tell whether *written* is a word that may stand for another by a slip of spelling."""
    return not (len(written) < FEWEST_WRITTEN or written in known_words()["all"] or stem_of(written) in _never_slips())


def is_long_enough(meant: str) -> bool:
    """Tell whether there are slips of spelling for *meant*; 'distance' is none for 'distance2'."""
    return len(meant) >= SHORTEST_MISSPELT and not meant[-1].isdigit()


def lengths_near(written: str) -> range:
    """Return the lengths of words that *written* may be a slip for; some of them are too far off all the same."""
    most = _MORE_LETTERS + (2 if len(written) >= SHORTEST_TWICE_MISSPELT else 1)
    # An 's' at the end is passed over where the word that is meant has none.
    return range(max(SHORTEST_MISSPELT, len(written) - 1 - most), len(written) + most + 1)


Letters = tuple[int, int]
"""The letters of a word and those of its stem, a bit each."""


@lru_cache(maxsize=8192)
def letters_of(word: str) -> Letters:
    """Return the letters of *word* and of its stem."""
    return _bits(word), _bits(stem_of(word))


def _bits(word: str) -> int:
    found = 0
    for sign in word:
        found |= 1 << ord(sign) % 64
    return found


def shares_letters(written: Letters, meant: Letters) -> bool:
    """Tell whether a word has so many letters of another that it may be a slip for it: each slip loses one at most."""
    return (meant[0] & ~written[0]).bit_count() <= 2 or (meant[1] & ~written[1]).bit_count() <= 1


@lru_cache(maxsize=65536)  # many wordings name the same words
def is_slip_of(written: str, meant: str) -> bool:
    """Tell whether *written*, which may be a slip, is so near to *meant* that it is one for this word."""
    if not is_long_enough(meant) or written[-1].isdigit():
        return False
    as_written = written
    written = written[:-1] if written.endswith("s") and not meant.endswith("s") else written
    fewer, more = sorted((len(written), len(meant)))
    slips = 2 if fewer >= SHORTEST_TWICE_MISSPELT else 1
    if more - fewer > slips + _MORE_LETTERS:
        return False
    if OSA.distance(written, meant, score_cutoff=slips) > slips:
        stem, other = stem_of(written), stem_of(meant)
        is_short = len(stem) < SHORTEST_MISSPELT or len(other) < SHORTEST_MISSPELT
        if is_short or OSA.distance(stem, other, score_cutoff=1) > 1:
            return False
    return not _is_opposite_form(as_written, meant)
