"""Words around a number: remarks on figures, names of trials, corrections, what is struck out or not known.

Each function takes plain text and gives plain text; what is left is for the reader of numbers.
"""

from __future__ import annotations

import re
from functools import cache

_STRUCK = r"(?i)~~.*?~~|<(?P<tag>s|del|strike)>.*?</(?P=tag)>|(?:.\u0336)+"
_DECLINED = (
    r"(?i)\b(?:don'?t know|do not know|dunno|idk|no idea|no clue|not sure|unsure|unknown"
    r"|can'?t (?:do|remember|work|read)|cannot|couldn'?t|didn'?t|did not|forgot|ran out of time|no time|haven'?t"
    r"|not finished|no answer|nothing"
    r"|(?:to|will) (?:do|finish|measure|add|follow)(?: (?:it|this|that))? ?(?:later|tomorrow|soon)"
    r"|to follow|later)\b"
)
_FILLING = frozenset(
    re.findall(
        "[a-z]+",
        "a all an and answer any anything at do enough finish get have how i it know lol me mean means one put "
        "question really remember say so sorry that the this time to understand we what why will write yet",
    )
)
"""Words that say nothing of physics beside 'don't know'."""
_TASK_NOT_REACHED = (
    r"(?i)(?:i |we )?(?:did not|did ?n'?t|never) (?:get|got|come|came) (?:round |as far as )?(?:to )?"
    r"(?:(?:question|part|task|number|no\.|q) ?)?[0-9]{1,2}[a-h]?\.?"
)
"""did not get to 5: the figure is the number of the task."""
_FIGURES_AS_WORDS = r"\b(?:2(?= (?:hard|much|long|difficult|late|do)\b)|4(?= (?:me|you|us)\b))"
_FIGURES_REMARK = (
    r"(?i)[ ,;]*\(? ?\b(?:(?:rounded|correct|given)? ?(?:to|at) )?[0-9] ?"
    r"(?:s\.? ?f\.?s?|d\.? ?p\.?s?|sig(?:nificant)?\.? ?fig(?:ure)?s?\.?|decimal places?)(?![A-Za-z]) ?\)?"
)
_NO_UNIT = r"(?i)[ ,]+\(?(?:no|without) (?:a )?units?\)?\.?$"
_CORRECTION = r"(?i)^.*\b(?:sorry|i mean|i meant|meant|no wait|wait|actually|correction|scrap that|oops)\b[ ,:;.-]*"
_REFERENCE = (
    r"(?:(?:text|data) ?book|book|accepted|true|real|actual|theoretical|theory|expected|internet|google|website|"
    r"published|literature|teacher|known|supposed to be|should (?:be|have been))"
)
_BUT = r"(?:but|while|whereas|although|though|however|compared (?:to|with)|vs\.?|versus)"
_COMPARED = rf"(?i)(?<=[^ ,;(])[ ,;(]+{_BUT}\b.*\b{_REFERENCE}\b.*$"
_IN_BRACKETS_COMPARED = (
    r"(?i) ?\((?:it |the |what it )*(?:text ?book|book|accepted|expected|theoretical|theory|internet|google|website"
    r"|published|literature|true value|real value|(?:is )?supposed to be|should (?:be|have been))\b[^()]*\)[.!]?$"
)
_WITHDRAWN = (
    r"(?i)[^()]*[0-9][^()]*\((?:(?:crossed|struck|scribbled) out|deleted|void|scrapped"
    r"|(?:ignore|disregard|scrap)(?: (?:it|this|that))?"
    r"|(?:i |we )?(?:did ?n'?t|did not|never|forgot to) (?:measured?|do|did|take|took|record(?:ed)?|read|get|got)"
    r"(?: (?:it|this|that|one|this one|that one))?"
    r"|not (?:measured|done|taken|recorded|read))[.!]?\)"
)
_COMPARED_FIRST = rf"(?i)^.*\b{_REFERENCE}\b.*\b(?:but|however|and)\b (?=(?:i|we|my|mine|our|ours)\b)"
_NONE_FOUND = (
    r"(?i)(?!not (?:count|counted|here|in|there|at|this|me|us)\b)(?:i |we |there (?:was|were|are|is) )?"
    r"(?:(?:did|could|can|do|was|were|have|has) ?n[o']?t|did not|could not|not|no|none|nothing|never|zero)"
    r"(?: (?:i|we|see|seen|saw|find|found|count|counted|spot|get|got|have|had|at|all|any|one|there|here|in|this|the|"
    r"square|quadrat|sample|of|them|were|was|present|it|anything))*[.!]?"
)
_TRIAL = (
    r"(?i)\b(?:[0-9]+(?:st|nd|rd|th)"
    r"|(?:trial|reading|attempt|test|run|bench|group|part|question|number|no\.|experiment) ?#?[0-9]{1,2})"
    r"(?![0-9.,]*[0-9])\b ?[:)]?"
)
_TIMES_TEN = r" ?(?:\btimes|[x×*]) ?(?:ten|10) to the (?:power (?:of )?)?"
_LARGE = {"hundred": 2, "thousand": 3, "million": 6}
_SPOKEN = (
    (rf"(?i){_TIMES_TEN}(?:minus|negative|-) ?([0-9]+)(?:th|rd|nd|st)?\b", r"×10^-\1"),
    (rf"(?i){_TIMES_TEN}(?:plus |positive )?([0-9]+)(?:th|rd|nd|st)?\b", r"×10^\1"),
    (r"(?i)(?:^|(?<=[=:] ))(?:minus|negative) (?=[0-9.])", "-"),
    (r"(?i)\b([0-9]+) (?:and |& )?a half\b", r"\1½"),
    (r"(?i)\b([0-9]+) (?:and |& )?a quarter\b", r"\1¼"),
    (r"(?i)\b([0-9]+) (?:and |& )?three[ -]quarters\b", r"\1¾"),
    *((rf"(?i)(?<=[0-9]) {word}\b", f"×10^{power}") for word, power in _LARGE.items()),
    (r"(?i)^(?:a )?half (?:of )?an? (?=[a-z])", "½ "),
    (r" ?\bplus (?:or|and|/) minus\b", " ±"),
)
_FIRST_SPOKEN = _SPOKEN[0][0]
_DOUBT = r"(?<=[^?! ]) ?[?!]+$"
_BOUND = r"(?i)\b(?:up|close|near|next) to$"
"""In front of a number they make a bound of it."""
_TICK = " ?[✓✔☑]+$"
_TO_BE_LEFT_OUT = frozenset("?!✓✔☑")
_STRIKES = ("~~", "<", "\u0336")
"""Without one of these nothing is struck out."""
TURNING = frozenset(
    re.findall(
        "[a-z']+",
        "not less more than under over below above nearly almost barely just max maximum minus squared "
        "cubed times per between least most "
        "crossed struck deleted scribbled ignore ignored disregard void scrap scrapped unmeasured never forgot "
        "didnt didn't wasnt wasn't couldnt couldn't guess guessed",
    )
)
"""Words that make another number of the one beside them, or take it back."""


_compiled = cache(re.compile)
"""A pattern is compiled when a text needs it: together they take longer than reading a class, and most classes hold
numbers alone."""


def without_struck(text: str) -> str:
    """Return *text* without what is struck out; a text that has nothing struck comes back as it was."""
    is_struck = any(sign in text for sign in _STRIKES) and _compiled(_STRUCK).search(text)
    return _compiled(_STRUCK).sub("", text).strip() if is_struck else text


def says_not_known(text: str) -> bool:
    """Tell whether a text says that there is no answer, and gives none all the same."""
    if _compiled(_TASK_NOT_REACHED).fullmatch(text):
        return True
    if not _compiled(_DECLINED).search(text):
        return False
    return not any(sign.isdigit() for sign in _compiled(_FIGURES_AS_WORDS).sub("", text))


def says_only_not_known(text: str) -> bool:
    """Tell whether a written answer is none: 'sorry, I don't know', but not 'the block cannot be insulated'."""
    left, found = _compiled(_DECLINED).subn(" ", text)
    return bool(found) and set(re.findall(r"\w+", left.casefold())) <= _FILLING


def says_withdrawn(text: str) -> bool:
    """Tell whether a number is taken back in brackets behind it, with nothing in its place: 9.87 (crossed out)."""
    return text.endswith(")") and bool(_compiled(_WITHDRAWN).fullmatch(text))


def without_remarks(text: str) -> tuple[str, str]:
    """Return *text* without remarks on figures and trials, a corrected entry alone, and what was done."""
    if sum(map(str.isalpha, text)) < 2 and not _TO_BE_LEFT_OUT & set(text):
        return text, ""  # every remark has two letters or more
    notes = []
    if (bare := _compiled(_TICK).sub("", text)) != text:
        text, notes = bare, ["a tick left out"]
    for note, pattern, new in (
        ("remark on figures left out", _FIGURES_REMARK, ""),
        ("what it is compared with left out", _IN_BRACKETS_COMPARED, ""),
        ("what it is compared with left out", _COMPARED, ""),
        ("what it is compared with left out", _COMPARED_FIRST, ""),
        ("what was corrected left out", _CORRECTION, ""),
        ("said to have no unit", _NO_UNIT, ""),
        ("name of the trial left out", _TRIAL, ""),
        ("written with a question mark", _DOUBT, ""),
        *(("written in words", pattern, new) for pattern, new in _SPOKEN),
    ):
        if pattern is _FIRST_SPOKEN:
            text = _compiled(_POWER_IN_WORDS).sub(lambda match: f"{match[1]}{_ONES[match[2].casefold()]}", text)
        changed = " ".join(_compiled(pattern).sub(new, text).split())
        if changed != text and any(sign.isnumeric() for sign in changed):
            text = changed
            notes.append(note)
    return text, "; ".join(dict.fromkeys(notes))


def is_harmless_front(words: str) -> bool:
    """Tell whether the words in front of a number leave it as it is: 'It took'."""
    bare = words.casefold().split()
    if _compiled(_BOUND).search(words.strip()):
        return False
    is_plain = all(re.fullmatch(r"[a-z]+(?:'[a-z]+)?,?", word) for word in bare)
    return is_plain and any(len(word) > 1 for word in bare) and not TURNING & set(bare)


def says_none_found(text: str) -> bool:
    """Tell whether a text beside a count says that there was none: 'didn't find any', 'no plants seen'."""
    return bool(_compiled(_NONE_FOUND).fullmatch(" ".join(text.replace("’", "'").split())))


def in_figures(text: str) -> str:
    """Return a text that begins with a number in words with its figures: 'twelve daisies' is '12 daisies'."""
    if not text[:1].isalpha() or any(sign.isdigit() for sign in text):
        return text
    match = _compiled(_NUMBER_IN_WORDS).match(text)
    if match is None:
        return text
    value = _TENS.get((match["tens"] or "").casefold(), 0) + _ONES.get((match["ones"] or "").casefold(), 0)
    return f"{match['front']}{value}{text[match.end() :]}"


_ONES = {
    word: value
    for value, word in enumerate(
        [
            "one",
            "two",
            "three",
            "four",
            "five",
            "six",
            "seven",
            "eight",
            "nine",
            "ten",
            "eleven",
            "twelve",
            "thirteen",
            "fourteen",
            "fifteen",
            "sixteen",
            "seventeen",
            "eighteen",
            "nineteen",
        ],
        start=1,
    )
}
_TENS = {
    word: 10 * value
    for value, word in enumerate(
        ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"], start=2
    )
}
_POWER_IN_WORDS = rf"(?i)(\b(?:ten|10) to the (?:power (?:of )?)?(?:(?:minus|negative|plus) )?)({'|'.join(_ONES)})\b"
"""ten to the minus three"""
NUMBER_WORDS = frozenset((*_ONES, *_TENS, "zero", "nought"))
_NUMBER_IN_WORDS = (
    rf"(?i)^(?P<front>(?:about |roughly |around |minus )?)(?=[a-z])(?:(?P<tens>{'|'.join(_TENS)})\b[ -]?)?"
    rf"(?:(?P<ones>{'|'.join(_ONES)})\b)?(?<=[a-z])"
    r"(?! (?:or|to|and(?! a | three)|of|more|less|too|times|hundred|thousand)\b)"
)
