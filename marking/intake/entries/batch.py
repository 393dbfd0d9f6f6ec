"""Everything gathered so far from the inputs of one call."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct, field

from marking.intake.entries.piles import Pile
from marking.intake.entries.typed_ticks import with_ticks
from marking.intake.grids import Named, Vocabulary
from marking.intake.people import RosterIndex
from marking.intake.remarks import Notebook
from marking.write_up import Source
from rubrics.model import Rubric


class Gathered(Struct, kw_only=True):
    """What has come in for one practical."""

    vocabulary: Vocabulary
    pile: Pile = field(default_factory=Pile)
    notebook: Notebook = field(default_factory=Notebook)
    sources: list[Source] = field(default_factory=list)
    covered: set[str] = field(default_factory=set)
    """Items for which some file has a column or a line."""
    heading_rows: list[tuple[str, str, tuple[str, ...]]] = field(default_factory=list)
    """File, sheet, and the headings found there, of every sheet with a row a student."""
    graph_settings: list[bool] = field(default_factory=list)
    """Whether the graph on paper is marked, by each workbook that says it."""
    _named: dict[str, Named | None] = field(default_factory=dict)

    def item_called(self, name: str) -> Named | None:
        """Return the item that a line names, counted as covered; None where it names none."""
        if name not in self._named:
            named = self._named[name] = self.vocabulary.item_called(name)
            if named is not None:
                self.covered.add(named.item.name)
        return self._named[name]


class Batch(Struct, kw_only=True):
    """What has come in so far, for every practical met."""

    rubrics: Mapping[str, Rubric]
    practical: str | None
    """What the files are about where they do not say."""
    mapped: Mapping[str, str]
    """Headings of a form, folded, to item names or words such as 'student'."""
    index: RosterIndex | None
    trials: Batch | None = None
    """Where the trial values of a workbook go; None where the batch is itself one of trial values."""
    by_practical: dict[str, Gathered] = field(default_factory=dict)
    vocabularies: dict[str, Vocabulary] = field(default_factory=dict)
    """Names of each practical's items, and what was read under them so far; parts of one set share them."""

    def vocabulary(self, practical: str) -> Vocabulary:
        """Return the names of a practical's items, gathered once however many files there are."""
        if practical not in self.vocabularies:
            self.vocabularies[practical] = Vocabulary(with_ticks(self.rubrics[practical]))
        return self.vocabularies[practical]

    def gathered(self, practical: str) -> Gathered:
        """Return what has come in for *practical*, which has to be one of the rubrics."""
        found = self.by_practical.get(practical)
        if found is None:
            found = self.by_practical[practical] = Gathered(vocabulary=self.vocabulary(practical))
        return found
