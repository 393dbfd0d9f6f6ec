"""Which share of the marks is left to a teacher's eye: ``python -m tests.benchmarks.waiting [--graph none] [FOLDER]``.

The sample classes are marked as typed. For each practical: marks that wait of all marks, and which criteria they wait
for. At most a quarter may wait in any practical, and at most 15 % in the seven that every school has. With ``--clumsy``
a third of the units is left out and one answer in six has a slip.
"""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from tempfile import TemporaryDirectory

from msgspec import Struct

from marking.checking import mark_set
from marking.intake import read_inputs
from marking.write_up import ClassSet
from rubrics.load import load_catalogue
from rubrics.model import Rubric
from samples.scenario import FOLDER, sample_sets
from tests.benchmarks.clumsy_classes import write_clumsily

MOST = 0.25
MOST_OF_THE_SEVEN = 0.15
SEVEN = (
    "density-cuboid",
    "density-displacement",
    "iv-characteristic",
    "resistor-combinations",
    "specific-heat-block",
    "specific-heat-liquid",
    "wire-resistance",
)


class Waiting(Struct, frozen=True, kw_only=True):
    """What is left to the teacher in one practical."""

    practical: str
    waits: int
    marks: int
    by_code: Counter[str]
    """Code of a criterion to the marks that wait for it."""

    @property
    def share(self) -> float:
        """Return the share of all marks that wait."""
        return self.waits / self.marks if self.marks else 0.0

    @property
    def most(self) -> float:
        """Return the share that may wait."""
        return MOST_OF_THE_SEVEN if self.practical in SEVEN else MOST


def measure(folder: Path = FOLDER, graph: str = "paper", *, clumsy: bool = False) -> list[Waiting]:
    """Return what waits in each practical of the sample classes in *folder*, the graph on paper marked or not."""
    rubrics = load_catalogue()
    rubrics = rubrics if graph == "paper" else rubrics.without_paper()
    waits: Counter[str] = Counter()
    marks: Counter[str] = Counter()
    codes: dict[str, Counter[str]] = {}
    for sample in sample_sets():
        sets = read_inputs([folder / sample.folder], rubrics)
        for class_set in _clumsily(sets, rubrics, sample.folder) if clumsy else sets:
            for script in mark_set(rubrics[class_set.practical], class_set).scripts:
                waits[class_set.practical] += script.pending
                marks[class_set.practical] += script.out_of
                open_now = codes.setdefault(class_set.practical, Counter())
                open_now.update(
                    {one.criterion.code: one.criterion.marks for one in script.criteria if one.marks is None}
                )
    return [
        Waiting(practical=name, waits=waits[name], marks=marks[name], by_code=codes[name]) for name in sorted(marks)
    ]


def _clumsily(sets: Iterable[ClassSet], rubrics: Mapping[str, Rubric], seed: str) -> Iterator[ClassSet]:
    """Yield *sets* as read back from clumsy writing."""
    for one in sets:
        with TemporaryDirectory() as folder:
            file = Path(folder) / "class.csv"
            write_clumsily(rubrics[one.practical], one.write_ups, file, seed)
            yield from read_inputs([file], rubrics)


def main(words: Sequence[str] | None = None) -> int:
    """Print the table; return 1 where a practical leaves too much."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.waiting", description=__doc__)
    parser.add_argument("folder", nargs="?", type=Path, default=FOLDER)
    parser.add_argument("--graph", choices=("paper", "none"), default="paper", help="is the graph on paper marked?")
    parser.add_argument("--clumsy", action="store_true", help="leave units out and plant slips")
    arguments = parser.parse_args(words)
    found = measure(arguments.folder, arguments.graph, clumsy=arguments.clumsy)
    for one in sorted(found, key=lambda one: -one.share):
        flag = "  over" if one.share > one.most else ""
        most = ", ".join(f"{code} {count}" for code, count in one.by_code.most_common(6))
        print(f"{one.practical:26} {100 * one.share:5.1f} % of {one.marks:4}{flag:7}  {most}")
    total = sum(one.waits for one in found) / sum(one.marks for one in found)
    print(f"{'all':26} {100 * total:5.1f} %")
    return int(any(one.share > one.most for one in found))


if __name__ == "__main__":
    raise SystemExit(main())
