"""Who is who: codes as typed, compared without what a typing hand adds or leaves out."""

from __future__ import annotations

import re
import unicodedata
from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping
from difflib import get_close_matches

from msgspec import Struct, field

from marking.intake.grids import Field, fold, strip_hidden, text_of
from marking.write_up import Remark, Source, Student
from rubrics.patterns import late_pattern

_YES = frozenset({"yes", "y", "x", "true", "1", "absent", "ab", "a", "✓", "✔"})
_FEWEST_ALIKE = 2
_USUAL_KIND = (True, False)
_FEWEST_USUAL = 3
_FEWEST_OTHERS = 2
_SHORT_WORD = 2
"""Letters: S 005 is one code with a space in it, Attempt 2 is not."""
_SENTENCE = 6
"""Words from which on what stands where a code should is a remark, whatever the others look like."""
_SAID_ABSENT = late_pattern(
    r"(?P<code>.*[^ ]) ?[(\[](?:absent|abs|away|ill|sick|off|not here|was away|was absent)\.?[)\]]", re.IGNORECASE
)
_SEVERAL = late_pattern(r" ?(?:&|\+|,|;|/|\band\b|\bund\b) ?")
_LONGEST_NAME = 40
"""Names that one system keeps for its devices."""
ABSENT_WORDS = frozenset({"ab", "absent"})
"""What stands in every filled field of a student who was not there."""
_OF_A_CLASS = late_pattern(
    r"(?:class |group |overall |whole class |grand )?"
    r"(?:(?:mean|average|avg|ave|total|sum|median|mode|range|count|error|spread)s?|s\.?d|c\.?v|σ|n ?="
    r"|(?:high|low|great|small|larg|bigg|few)est|number (?:done|finished|present|of .*)|how many(?: .*)?"
    r"|st(?:d|andard)?\.? ?dev(?:iation)?s?(?:\.[sp])?|std|maximum|minimum|max|min|uncertaint(?:y|ies)|overall)"
    r"(?: \(.*\))?"
    r"|(?:%|per ?cent|percentage) (?:error|uncertainty|difference)"
    r"|(?:worked )?examples?(?:[ ,:(-].*)?|e\.?g|sample|demo|demonstration|specimen"
    r"|(?:the )?teacher(?:'?s)?(?: \w+)?|(?:model|correct|right|mark scheme|expected) answers?|answers?|answer key"
    r"|mark scheme|out of|max(?:imum)? marks?"
    r"|(?:checked|marked|entered|measured|recorded|typed|signed|printed|seen|done) by(?:[ :].*)?"
    r"|(?:accepted|true|expected|text ?book|data ?book|book|published|literature|target|reference|actual|theoretical)"
    r"(?: values?| answers?| results?)?"
    r"|mittel(?:wert)?|durchschnitt|moyennes?|m[eé]dias?|promedio|gemiddelde?|średnia|medelvärde|medel|gjennomsnitt"
    r"|gennemsnit|keskiarvo|průměr|átlag|summe|gesamt|somme|suma|soma|totale|totaal|summa"
    r"|(?:standard ?abweichung|écart[- ]type|desvi(?:ación|acion|o|ação)(?: est[aá]ndar| t[ií]pica| padrão)?"
    r"|deviazione(?: standard)?|standaard ?afwijking|standard ?(?:avvikelse|afvigelse)|odchylenie(?: standardowe)?"
    r"|keski?hajonta|std\.?[ -]?abw\.?)"
    r"|mediana?e?|media[nň]|somma|ortalama|toplam|yhteensä|celkem|összesen|m[ií]nimo|m[aá]ximo|minim[aá]le?|maxim[aá]le?"
    r"|.*\((?:worked )?(?:example|sample|demo|teacher|beispiel|exemple|ejemplo|esempio|exemplo|voorbeeld)\)"
    r"|(?:sample|example|specimen|test|dummy) (?:answers?|rows?|students?|data|results?)|dummy|test row"
    r"|(?:beispiel|muster)(?:schüler(?:in)?|zeile|antwort)"
    r"|beispiel|exemples?|ejemplos?|esempio|exemplos?|voorbeeld|przykład|exempel|eksempel|muster(?:lösung)?"
    r"|lehrer(?:in)?|prof(?:esseure?|esora?|essore|essoressa)?|enseignant|docente|leraar|lärare|nauczyciel"
)
"""First cells of rows that sum up a class, show how it is done, or give what should come out; no student."""


def code_of(value: Field) -> str:
    """Return a student's code as typed, without outer spaces and hidden signs; '007' stays '007'."""
    return strip_hidden(text_of(value)).strip()


def code_key(code: str) -> str:
    """Return what two codes share that differ only in case, spaces or the form of an accent."""
    return "".join(unicodedata.normalize("NFC", code).casefold().split())


def is_of_the_class(code: str) -> bool:
    """Tell whether what stands where a code should is the name of a row about the class: AVG, Max, Example."""
    word = fold(code).rstrip(".")
    inside = word[1:-1] if word[:1] + word[-1:] in ("()", "[]") else word
    if len(code) > _LONGEST_NAME or (word.isalnum() and word[-1].isdigit()):
        return False  # B12: among them are words, and numbers only behind a sign or a space
    return any(_OF_A_CLASS.fullmatch(one) for one in (word, inside))


def is_no_code(code: str, others: Collection[str]) -> bool:
    """Tell whether what stands where a code should is none, by the codes of those who handed in.

    True where all the others are one word with a number in it, and this is neither that nor one of them with a word
    behind: 'Note: S42 came late' beside S41 and S43, but never 'S42 late'.
    """
    if len(others) < _FEWEST_OTHERS or any(_kind(other) != _USUAL_KIND for other in others):
        return False
    return _kind(code) != _USUAL_KIND and _shape(code.split(" ")[0]) not in {_shape(other) for other in others}


def says_absent(value: Field) -> bool:
    """Tell whether a field of a column 'absent' says yes."""
    return fold(text_of(value)) in _YES


class Roster(Struct, frozen=True, kw_only=True):
    """The students of a set, in the order in which they are reported."""

    students: tuple[Student, ...] = ()
    other_codes: Mapping[str, str] = field(default_factory=dict)
    """Key of a second code (a candidate number, say) or of a name to the student's code."""
    remarks: tuple[Remark, ...] = ()
    sources: tuple[Source, ...] = ()
    doubled: tuple[str, ...] = ()
    """Codes that stand in it twice, with the cell in which each stands again."""


class RosterIndex(Struct):
    """Finds the student whom a code in a file means."""

    roster: Roster
    _by_code: dict[str, Student] = field(default_factory=dict)
    _by_key: dict[str, Student | None] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Index the roster; a key that two codes share finds neither."""
        for student in self.roster.students:
            key = code_key(student.code)
            self._by_code[student.code] = student
            self._by_key[key] = None if key in self._by_key else student

    def find(self, code: str) -> Student | None:
        """Return the student of the roster whom *code* means; None where it means none, or more than one."""
        found = self._by_code.get(code) or self._by_key.get(code_key(code))
        if found is not None:
            return found
        other = self.roster.other_codes.get(code_key(code))
        return self._by_code[other] if other is not None else None

    def nearest(self, code: str) -> str:
        """Return the code of the roster that looks most like *code*; empty where none does."""
        close = get_close_matches(code_key(code), [key for key in self._by_key if key], n=1, cutoff=0.6)
        student = self._by_key.get(close[0]) if close else None
        return student.code if student is not None else ""


def unlike_the_others(codes: Iterable[str]) -> frozenset[str]:
    """Return the codes that are words, or several words, where nearly all others are one word with a number in it.

    'Mittelwert' and 'Notes: bench 3 was broken' among S001, S002 and S003. Where a class goes by names there is nothing
    to tell them by.
    """
    kinds = {code: _kind(code) for code in codes}
    usual = [code for code, kind in kinds.items() if kind == _USUAL_KIND]
    odd = frozenset(kinds.keys() - set(usual))
    sentences = frozenset(code for code in kinds if len(code.split()) >= _SENTENCE)
    return odd if len(usual) >= max(_FEWEST_USUAL, len(odd) + 1) else sentences


def absent_in(code: str) -> tuple[str, bool]:
    """Return a code without the word in brackets that says its student was away, and whether one stood there."""
    match = _SAID_ABSENT.fullmatch(code)
    return (match["code"], True) if match else (code, False)


def codes_in_one(codes: Collection[str]) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Yield the cells that hold the codes of several students, each written like others, and these: 'A01 & A02'."""
    shapes = {_shape(code) for code in codes}  # a part is shorter than its cell, and never of its shape
    for code in codes:
        parts = tuple(part for part in _SEVERAL.split(code) if part)
        if len(parts) > 1 and all(any(map(str.isdigit, part)) and _shape(part) in shapes for part in parts):
            yield code, parts


def _kind(code: str) -> tuple[bool, bool]:
    words = [word for word in code.split() if sum(map(str.isalpha, word)) > _SHORT_WORD]
    return any(map(str.isdigit, code)), bool(words) and len(code.split()) > 1


class CodeBook:
    """The codes of a pile, by which an odd one is told from the others."""

    def __init__(self, codes: Iterable[str]) -> None:
        """Count how the codes of each kind are written."""
        self._codes = frozenset(codes)
        self._in_capitals = Counter(_shape(code) for code in self._codes if code == code.upper())
        self._others = Counter(_shape(code) for code in self._codes if code != code.upper())

    def capital_form(self, code: str) -> str:
        """Return *code* in capitals where nearly all codes of its kind are written so; else *code* itself.

        's002' among S001, S003 and S004 is S002. With fewer than two in capitals there is nothing to go by.
        """
        upper, shape = code.upper(), _shape(code)
        in_capitals = self._in_capitals[shape]
        is_clear = in_capitals >= max(_FEWEST_ALIKE, _FEWEST_ALIKE * self._others[shape]) and upper not in self._codes
        return upper if code != upper and is_clear else code


def _shape(code: str) -> str:
    # Letters and digits by kind: S001 and s002 are both 'a999'.
    return "".join("9" if sign.isdigit() else "a" if sign.isalpha() else sign for sign in code)
