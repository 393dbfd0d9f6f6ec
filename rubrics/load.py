"""From a rubric file to a sound Rubric, or to every fault in it with its line."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from importlib import resources
from importlib.resources.abc import Traversable
from pathlib import Path

from msgspec.structs import replace

from rubrics.build import build_rubric
from rubrics.checked_tables import checked_table
from rubrics.model import Rubric


def read_rubric(path: Path | Traversable) -> Rubric:
    """Return the rubric in the file at *path*, TOML or a workbook.

    Raises:
        RubricError: With every fault of the file, each with its line (or cell) and how to mend it.
    """
    # Loaded only here: the checker takes longer to load than a class to mark.
    from rubrics.documents import read_source
    from rubrics.understanding import understood

    return understood(read_source(path.name, path.read_bytes()))


class Catalogue(Mapping[str, Rubric]):
    """Practicals by id, each read when it is first asked for: a class needs one of them, not all.

    A file of the catalogue is named after the id of its practical, so that the names are known unread.
    """

    def __init__(
        self, files: Mapping[str, Traversable], own: Mapping[str, Rubric], *, marks_paper: bool = True
    ) -> None:
        self._files = files
        self._marks_paper = marks_paper
        self._read: dict[str, Rubric] = dict(own)
        self._names = tuple(dict.fromkeys((*files, *own)))

    def __getitem__(self, name: str) -> Rubric:
        if name not in self._read:
            self._read[name] = _of_catalogue(self._files[name])
        return self._read[name] if self._marks_paper else without_paper(self._read[name])

    def __iter__(self) -> Iterator[str]:
        return iter(self._names)

    def __len__(self) -> int:
        return len(self._names)

    def __contains__(self, name: object) -> bool:
        return name in self._read or name in self._files

    def with_own(self, rubrics: Iterable[Rubric]) -> Catalogue:
        """Return this catalogue with *rubrics* added; one of the same id takes the place of the catalogue's."""
        own = {**self._read, **{rubric.id: rubric for rubric in rubrics}}
        return Catalogue(self._files, own, marks_paper=self._marks_paper)

    def without_paper(self) -> Catalogue:
        """Return this catalogue with the graph on paper left unmarked: what only paper shows is in no total."""
        return Catalogue(self._files, self._read, marks_paper=False)


def _of_catalogue(file: Traversable) -> Rubric:
    """Return the rubric in a file of the catalogue, unchecked where this very text was checked before."""
    data = file.read_bytes()
    table = checked_table(file, data)
    return read_rubric(file) if table is None else build_rubric(table, file.name, hashlib.sha256(data).hexdigest(), [])


def without_paper(rubric: Rubric) -> Rubric:
    """Return *rubric* without the criteria that only the graph on paper shows; a sheet may still have their boxes."""
    paper = tuple(one for one in rubric.criteria if one.on_paper)
    criteria = tuple(one for one in rubric.criteria if not one.on_paper)
    return replace(rubric, criteria=criteria, unmarked=(*rubric.unmarked, *paper))


@cache
def load_catalogue() -> Catalogue:
    """Return the practicals that come with the program, by id, in the order of their ids."""
    folder = resources.files("rubrics") / "catalogue"
    files = sorted((file for file in folder.iterdir() if file.name.endswith(".toml")), key=lambda file: file.name[:-5])
    return Catalogue({file.name.removesuffix(".toml"): file for file in files}, {})
