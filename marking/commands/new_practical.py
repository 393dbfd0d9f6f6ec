"""A practical of one's own, started from the nearest one there is, or from a plain frame."""

from __future__ import annotations

import argparse
import json
import math
import re
import unicodedata
from collections.abc import Iterable, Mapping
from importlib import resources
from pathlib import Path

from rapidfuzz import fuzz

from marking.outputs import put_file
from rubrics.faults import InputError, unknown_name
from rubrics.load import load_catalogue, read_rubric
from rubrics.model import Rubric

FRAME = "plain_frame.toml"
"""What is started from where nothing is alike: two readings, one answer, an example."""
_ALIKE = 85.0
"""Two words at least this much alike are forms of one: insulate, insulation (per cent of Indel similarity)."""
_SHORTEST = 3
"""Letters of a word that tells practicals apart."""
_LONG = 5
"""Letters from which on likeness says something: 'own' and 'down' are no forms of one word."""
_SMALL = frozenset(("the", "and", "with", "for", "from", "how", "against", "two", "one", "its", "into", "find"))
LEAST_SHARED = 0.33
"""Share of what all words would weigh in a title from which on a practical is near; judged."""
_TITLE, _QUANTITY, _PURPOSE = 1.0, 0.7, 0.6
"""How much a word counts by where it stands."""
_HINTS: Mapping[str, str] = {
    "cautions": "The dangers of your practical. Keep the last line.",
    "readings": "What is read off an instrument or given. The order is that of the results sheet.",
    "constants": "Numbers that every student is given.",
    "answers": "What is worked out, each with its formula.",
    "questions": "What is answered in words, with the ideas that are looked for.",
    "graph": "The columns that are drawn. Take it out where there is no graph.",
    "result": "The final value beside the accepted one. Name your source.",
    "slips": "Slips that you see often. Take out those of the other practical.",
    "criteria": "What earns marks, a block for each line of your mark scheme.",
    "apparatus": "The technician's list: what a bench needs.",
    "worked": "An example with its right answers. rubric-check marks it.",
}
"""What a section is for, above its first line."""


def start_practical(arguments: argparse.Namespace) -> int:
    """Write a copy of the nearest practical under a new name; return the exit status."""
    catalogue = load_catalogue()
    words = str(arguments.new).strip()
    name = id_of(words)
    if not name:
        raise InputError(words or "--new", "this holds no letter to make a name of", "write what it is about")
    if name in catalogue:
        raise InputError(name, "there is a practical of this name already", "choose another name")
    like = arguments.like or arguments.practical
    near = like or nearest(words, catalogue)
    source, text = _source(near, catalogue) if near else _frame()
    out = Path(arguments.out or f"{name}.toml")
    if out.suffix != ".toml":
        mend = f"name it {name}.toml after --out; rubric-check --as-workbook makes a workbook of it"
        raise InputError(out.name, "a practical is written to a TOML file", mend)
    if out.exists():
        raise InputError(out.name, "there is such a file already, and it may hold your work", "choose another name")
    out.parent.mkdir(parents=True, exist_ok=True)
    put_file(out, started(text, source, name, _title_of(words)).encode())
    try:
        read_rubric(out)
    except Exception:
        out.unlink()
        raise
    if arguments.json:
        print(json.dumps({"written": str(out), "id": name, "started_from": source.id}, ensure_ascii=False))
        return 0
    how = "" if like else ", the nearest to these words"
    if near:
        print(f"{out}: started from {source.id} ({source.title}){how}.")
    else:
        print(f"{out}: no practical is like this by its words; started from a plain frame. Another after --like:")
        print(f"  {', '.join(catalogue)}")
    print(f"Edit it, and check it as you go: writeups rubric-check {out}")
    return 0


def _source(name: str, catalogue: Mapping[str, Rubric]) -> tuple[Rubric, str]:
    if name in catalogue:
        file = resources.files("rubrics") / "catalogue" / catalogue[name].file
        return catalogue[name], file.read_text(encoding="utf-8")
    if Path(name).is_file() and Path(name).suffix == ".toml":
        rubric = read_rubric(Path(name))
        return rubric, Path(name).read_text(encoding="utf-8-sig")
    raise unknown_name(name, "no practical of this name is known", name, catalogue)


def _frame() -> tuple[Rubric, str]:
    file = resources.files("rubrics") / FRAME
    with resources.as_file(file) as path:
        return read_rubric(path), file.read_text(encoding="utf-8")


# ---- the nearest ---------------------------------------------------------------------------------------------


def nearest(words: str, catalogue: Mapping[str, Rubric]) -> str | None:
    """Return the id of the practical whose title, quantities and purpose share most with *words*, rare words first.

    None where no practical shares enough with it: 'water' alone starts no practical on water of crystallisation.
    """
    said = {name: _places(rubric) for name, rubric in catalogue.items()}
    scores, most = dict.fromkeys(catalogue, 0.0), 0.0
    for word in _words_of(words):
        found = {
            name: max((_worth(word, other, at) for other, at in places), default=0.0) for name, places in said.items()
        }
        holders = sum(worth > 0 for worth in found.values())
        for name, worth in found.items():
            scores[name] += worth * math.log1p(len(catalogue) / max(holders, 1))
        most += _TITLE * math.log1p(len(catalogue) / max(holders, 1))
    best = max(scores, key=lambda name: scores[name])
    return best if scores[best] > 0 and scores[best] >= LEAST_SHARED * most else None


def _places(rubric: Rubric) -> list[tuple[str, float]]:
    quantities = " ".join(item.quantity for item in rubric.items.values() if item.question is None)
    texts = ((rubric.title, _TITLE), (rubric.id, _TITLE), (quantities, _QUANTITY), (rubric.purpose, _PURPOSE))
    return [(word, worth) for text, worth in texts for word in _words_of(text)]


def _words_of(text: str) -> Iterable[str]:
    found = re.findall(r"[^\W\d_]+", text.casefold())
    return dict.fromkeys(word for word in found if len(word) >= _SHORTEST and word not in _SMALL)


def _worth(word: str, other: str, at: float) -> float:
    is_form = min(len(word), len(other)) >= _LONG and fuzz.ratio(word, other) >= _ALIKE
    return at if word == other or is_form else 0.0


# ---- the copy ------------------------------------------------------------------------------------------------


def id_of(words: str) -> str:
    """Return *words* as the id of a practical: small letters, digits and hyphens."""
    plain = unicodedata.normalize("NFKD", words).encode("ascii", "ignore").decode().casefold()
    return "-".join(re.findall(r"[a-z0-9]+", plain))


def _title_of(words: str) -> str:
    said = " ".join(words.split())
    said = said if " " in said else said.replace("-", " ").replace("_", " ")
    return said[:1].upper() + said[1:]


def started(text: str, source: Rubric, name: str, title: str) -> str:
    """Return the rubric in *text* under a new name, edition 1, with a word on each section."""
    lines = [
        f"# Started from {source.id}, edition {source.edition}. Change what is different in your practical.",
        "# The format is explained in rubrics/catalogue/README.md.",
    ]
    own = {"id": _quoted(name), "title": _quoted(title), "edition": "1"}
    hints = dict(_HINTS)
    is_top = True
    for line in text.splitlines():
        head = re.match(r"\s*\[+\s*([A-Za-z_]+)", line)
        key = re.match(r"([A-Za-z_]+)\s*=", line) if is_top else None
        is_top = is_top and head is None
        section = head or key
        if section and (hint := hints.pop(section[1], None)):
            lines.append(f"# {hint}")
        lines.append(f"{key[1]} = {own[key[1]]}" if key and key[1] in own else line)
    return "\n".join(lines) + "\n"


def _quoted(text: str) -> str:
    safe = "".join(sign for sign in text if sign.isprintable())
    return '"' + safe.replace("\\", "\\\\").replace('"', '\\"') + '"'
