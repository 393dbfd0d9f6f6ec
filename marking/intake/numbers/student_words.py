"""Words around a number: remarks on figures, names of trials, corrections, what is struck out or not known.

Each function takes plain text and gives plain text; what is left is for the reader of numbers.
"""

from __future__ import annotations

import re

_STRUCK = re.compile(r"~~.*?~~|<(?P<tag>s|del|strike)>.*?</(?P=tag)>|(?:.\u0336)+", re.IGNORECASE)
_DECLINED = re.compile(
    r"\b(?:don'?t know|do not know|dunno|idk|no idea|no clue|not sure|unsure|unknown|can'?t (?:do|remember|work|read)"
    r"|cannot|couldn'?t|didn'?t|did not|forgot|ran out of time|no time|haven'?t|not finished|no answer|nothing)\b",
    re.IGNORECASE,
)
_FIGURES_AS_WORDS = re.compile(r"\b(?:2(?= (?:hard|much|long|difficult|late|do)\b)|4(?= (?:me|you|us)\b))")
_FIGURES_REMARK = re.compile(
    r"[ ,;]*\(? ?\b(?:(?:rounded|correct|given)? ?(?:to|at) )?[0-9] ?"
    r"(?:s\.? ?f\.?s?|d\.? ?p\.?s?|sig(?:nificant)?\.? ?fig(?:ure)?s?\.?|decimal places?)(?![A-Za-z]) ?\)?",
    re.IGNORECASE,
)
_CORRECTION = re.compile(
    r"^.*\b(?:sorry|i mean|i meant|meant|no wait|wait|actually|should be|correction|scrap that|oops)\b[ ,:;.-]*",
    re.IGNORECASE,
)
_TRIAL = re.compile(
    r"\b(?:[0-9]+(?:st|nd|rd|th)"
    r"|(?:trial|reading|attempt|test|run|bench|group|part|question|number|no\.|experiment) ?#?[0-9]{1,2})"
    r"(?![0-9.,]*[0-9])\b ?[:)]?",
    re.IGNORECASE,
)
_SPOKEN = (
    (re.compile(r" ?\btimes (?:ten|10) to the (?:power (?:of )?)?(?:minus|negative|-) ?([0-9]+)\b"), r"×10^-\1"),
    (re.compile(r" ?\btimes (?:ten|10) to the (?:power (?:of )?)?([0-9]+)\b"), r"×10^\1"),
    (re.compile(r" ?\bplus (?:or|and|/) minus\b"), " ±"),
)
_DOUBT = re.compile(r"(?<=[^?! ]) ?[?!]+$")
_HEDGES = frozenset(re.findall("[a-z]+", "or so about approx approximately ish roughly i think maybe probably error"))
_TURNING = frozenset(
    re.findall("[a-z]+", "not less more than under over below above minus squared cubed times per between least most")
)
"""Words that make another number of the one beside them."""


def without_struck(text: str) -> str:
    """Return *text* without what is struck out; a text that has nothing struck comes back as it was."""
    return _STRUCK.sub("", text).strip() if _STRUCK.search(text) else text


def says_not_known(text: str) -> bool:
    """Tell whether a text says that there is no answer, and gives none all the same."""
    if not _DECLINED.search(text):
        return False
    return not any(sign.isdigit() for sign in _FIGURES_AS_WORDS.sub("", text))


def without_remarks(text: str) -> tuple[str, str]:
    """Return *text* without remarks on figures and trials, a corrected entry alone, and what was done."""
    notes = []
    for note, pattern, new in (
        ("remark on figures left out", _FIGURES_REMARK, ""),
        ("what was corrected left out", _CORRECTION, ""),
        ("name of the trial left out", _TRIAL, ""),
        ("written with a question mark", _DOUBT, ""),
        *(("written in words", pattern, new) for pattern, new in _SPOKEN),
    ):
        changed = " ".join(pattern.sub(new, text).split())
        if changed != text and any(sign.isdigit() for sign in changed):
            text = changed
            notes.append(note)
    return text, "; ".join(dict.fromkeys(notes))


def is_harmless_front(words: str) -> bool:
    """Tell whether the words in front of a number leave it as it is: 'It took'."""
    bare = words.casefold().split()
    is_plain = all(re.fullmatch(r"[a-z]+(?:'[a-z]+)?,?", word) for word in bare)
    return is_plain and any(len(word) > 1 for word in bare) and not _TURNING & set(bare)


def is_harmless_tail(words: str, *, has_unit: bool) -> bool:
    """Tell whether the words behind a number leave it as it is: behind a unit any, else only 'or so' and its like."""
    bare = [word.strip(",.;!()") for word in words.casefold().split()]
    is_plain = all(re.fullmatch(r"[a-z]*(?:'[a-z]+)?", word) for word in bare)
    return is_plain and not _TURNING & set(bare) and (has_unit or set(bare) <= _HEDGES)
