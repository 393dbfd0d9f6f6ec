"""The rounds of a department, a folder each, and what they show as the record stands now."""

from __future__ import annotations

import threading
from collections.abc import Sequence
from pathlib import Path

from msgspec import Struct, structs

from marking.decided import (
    Decision,
    department_set,
)
from marking.file_names import file_names
from marking.moderation.comparing import Together, together
from marking.moderation.decisions import Standing, department_decisions, standing
from marking.moderation.packs import Pack, Returned
from marking.moderation.sampling import ClassMarks
from marking.outputs import replaced_folder
from marking.record import Record
from marking.rounds import (
    KEY,
    Figures,
    MadeRound,
    Marked,
    MarksNow,
    OpenRound,
    figures,
    marked_so_far,
    marks_now,
    open_round,
    pack_word,
    returned_in,
    second_decisions,
    write_round,
)


class Round(Struct, frozen=True, kw_only=True):
    """A first stage with its second, or scripts that all mark together."""

    name: str
    """Of the folder of the first stage; stands in addresses."""
    stages: tuple[OpenRound, ...]

    @property
    def first(self) -> OpenRound:
        """Return the first stage."""
        return self.stages[0]

    @property
    def is_together(self) -> bool:
        """Tell whether these are scripts that all mark beforehand."""
        return self.first.key.stage == 0

    @property
    def markers(self) -> tuple[str, ...]:
        """Return the first markers."""
        return self.first.key.markers


class MyPack(Struct, frozen=True, kw_only=True):
    """One pack of one second marker."""

    word: str
    """As an address calls it."""
    open_round: OpenRound
    second_marker: str
    so_far: Marked


class RoundsAtHand:
    """All rounds in a folder. Safe to use from several threads."""

    def __init__(self, folder: Path, record: Record, version: str) -> None:
        """Keep rounds in *folder*, second marks and rulings in *record*; *version* of the program."""
        self.folder = folder
        self._record = record
        self._version = version
        self._opened: dict[Path, tuple[int, OpenRound]] = {}
        self._packs: dict[str, Pack] = {}
        self._figures: dict[str, tuple[tuple[Returned, ...], MarksNow, Figures]] = {}
        self._lock = threading.RLock()

    def all(self) -> tuple[Round, ...]:
        """Return the rounds, by name."""
        opened = self._open_all()
        first = {path.name: one for path, one in opened.items() if one.key.stage < 2}
        rounds = {name: Round(name=name, stages=(one,)) for name, one in first.items()}
        for path, later in opened.items():
            if later.key.stage > 1:
                name = _first_of(later, first)
                if name is None:
                    rounds[path.name] = Round(name=path.name, stages=(later,))
                else:
                    rounds[name] = structs.replace(rounds[name], stages=(*rounds[name].stages, later))
        return tuple(rounds[name] for name in sorted(rounds))

    def get(self, name: str) -> Round | None:
        """Return the round of that name; None where there is none."""
        return next((one for one in self.all() if one.name == name), None)

    def _open_all(self) -> dict[Path, OpenRound]:
        if not self.folder.is_dir():
            return {}
        found = {}
        with self._lock:
            for path in sorted(self.folder.iterdir()):
                key = path / KEY
                if not path.name.startswith(".") and key.is_file():
                    stamp = key.stat().st_mtime_ns
                    if self._opened.get(path, (0, None))[0] != stamp:
                        self._opened[path] = (stamp, open_round(path))
                    found[path] = self._opened[path][1]
        return found

    def keep(self, made: MadeRound, wanted: str) -> str:
        """Write a new round into a folder of its own; return its name."""
        with self._lock:
            stem = file_names([wanted])[wanted]
            name = next(
                one
                for one in (stem if number == 1 else f"{stem}-{number}" for number in range(1, 10_000))
                if not (self.folder / one).exists()
            )
            with replaced_folder(self.folder / name) as folder:
                write_round(folder, made.key, made.packs, self._version)
        return name

    def packs_of(self, name: str) -> tuple[MyPack, ...]:
        """Return the packs that were given to a second marker."""
        found = []
        for one in self.all():
            decisions = None
            for stage in one.stages:
                if name in stage.key.packs:
                    if decisions is None:
                        decisions = second_decisions(self._record, stage.key.practical)
                    so_far = marked_so_far(stage.key, name, decisions)
                    word = pack_word(so_far.pack)
                    found.append(MyPack(word=word, open_round=stage, second_marker=name, so_far=so_far))
        return tuple(found)

    def contents(self, mine: MyPack) -> Pack:
        """Return what is in a pack; read once, for it never changes."""
        with self._lock:
            if mine.so_far.pack not in self._packs:
                self._packs[mine.so_far.pack] = mine.open_round.pack(mine.second_marker)
            return self._packs[mine.so_far.pack]

    def returned(self, one: Round) -> tuple[Returned, ...]:
        """Return the packs of a round that are handed in."""
        keys = [stage.key for stage in one.stages]
        return returned_in(keys, second_decisions(self._record, one.first.key.practical))

    def figures(self, one: Round, classes: Sequence[ClassMarks]) -> Figures:
        """Return what a round shows; worked out anew when a pack came in, or a mark of *classes* changed."""
        returned = self.returned(one)
        now = marks_now(one.first.key, classes, self._record)
        with self._lock:
            held = self._figures.get(one.name)
        if held is not None and held[:2] == (returned, now) and len(held[2].keys) == len(one.stages):
            return held[2]
        found = figures([stage.key for stage in one.stages], returned, now)
        with self._lock:
            self._figures[one.name] = (returned, now, found)
        return found

    def together(self, one: Round) -> Together:
        """Return where the markers differ on scripts that all have marked."""
        return together(one.first.key, self.returned(one))

    def standing(self, found: Figures) -> Standing:
        """Return what was ruled and signed."""
        return standing(found.found, department_decisions(self._record, found.found.key.practical))

    def decisions(self, one: Round) -> tuple[Decision, ...]:
        """Return what the department decided about the practical of a round."""
        return self._record.decisions(department_set(one.first.key.practical))


def _first_of(later: OpenRound, first: dict[str, OpenRound]) -> str | None:
    """Return the name of a second stage's first one; None where that cannot be told."""
    same = {
        name: one
        for name, one in first.items()
        if one.key.stage == 1 and (one.key.practical, one.key.scheme_sha256) == _edition(later)
    }
    named = [name for name, one in same.items() if later.key.before == one.key.seal]
    found: Sequence[str] = named or ([] if later.key.before else list(same))
    return found[0] if len(found) == 1 else None


def _edition(one: OpenRound) -> tuple[str, str]:
    return one.key.practical, one.key.scheme_sha256
