"""How old a reader has to be: measured over every sentence the program can say to a student."""

from __future__ import annotations

import re
import statistics
import warnings
from collections.abc import Mapping

import pytest

from reports.wording.templates import wording
from rubrics.load import load_catalogue
from rubrics.model.practical import Rubric
from tests.reports.wording.test_wording import sentences_below

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # how the library finds its own word list is none of our business
    from textstat import textstat

textstat.set_lang("en_GB")

OLDEST = 12.0
"""For students of 14 to 16, a quarter of whom read as at twelve or younger."""
ON_AVERAGE = 11.0
SCHOOL_STARTS = 5.0
"""Years between a school grade and the age of its readers."""
WHOLE = 5
"""Words from which on a sentence can be measured by itself; a label of two words says nothing about reading."""
TECHNICAL = re.compile(
    r"\b(significant figures?|decimal (?:places?|points?)|readings?|quantity|calculator|formulas?|gradient|divided|"
    r"density|resistance|resistors?|resistivity|temperatures?|energy|electric\w*|specific heat|capacity|"
    r"conclusion|risk assessment|multiplication|proportional|series|parallel|measur\w*|cylinders?|heater|"
    r"thermometer|immersion|displace\w*|experiment|practical|component|characteristic|filament|diode|"
    r"circuit|connect\w*|metre|aluminium|micrometer|calipers?|joulemeter|power supply|radius|volume|"
    r"concentration|hydrochloric|sulfuric|sodium|hydroxide|solutions?|acids?|alkalis?|indicator|burette|pipette|"
    r"acceleration|velocity|pendulum|extension|frequency|uncertainty|results? sheet)\b",
    re.IGNORECASE,
)
"""Words of the practicals, which are taught with them; each is read as one short word."""


def reading_age(text: str) -> float:
    """Return the age at which *text* is read with ease: the Flesch-Kincaid grade, in years."""
    return float(textstat.flesch_kincaid_grade(text)) + SCHOOL_STARTS


def plain(template: str) -> str:
    """Return a sentence with a short word in each slot and for each technical word, and with a stop at its end."""
    said = TECHNICAL.sub("word", re.sub(r"\{\w+\}", "this", template)).strip()
    return said if said.endswith((".", "?", "!")) else f"{said}."


def usual_causes(rubric: Rubric) -> list[str]:
    """Return what the sheet says of a result that is off, where the rubric has a result."""
    return [why for why in (rubric.result.too_high, rubric.result.too_low) if why] if rubric.result else []


def sets_of_sentences() -> Mapping[str, list[str]]:
    """Return all that can be said, by what it is said about."""
    told = {
        f"{name}: {key}": [plain(sentence) for sentence in sentences_below(node) if sentence]
        for name in ("reasons", "causes", "sheet", "tasks", "results_sheet")
        for key, node in wording(name).items()
    }
    for name, entry in wording("extensions").items():
        told[f"extension: {name}"] = [plain(entry["ask"])]
    for rubric in load_catalogue().values():
        told[f"practical: {rubric.id}"] = [
            plain(sentence) for sentence in (rubric.purpose, *rubric.cautions, *usual_causes(rubric))
        ]
    return {name: sentences for name, sentences in told.items() if sentences}


SETS = sets_of_sentences()


@pytest.mark.parametrize("name", SETS)
def test_each_set_of_sentences_can_be_read_at_twelve(name: str) -> None:
    """What is said about any one thing needs no older reader than twelve."""
    assert reading_age(" ".join(SETS[name])) <= OLDEST


def test_the_sheets_can_be_read_at_eleven() -> None:
    """On average the sentences need no older reader than eleven."""
    assert statistics.fmean(reading_age(" ".join(sentences)) for sentences in SETS.values()) <= ON_AVERAGE


@pytest.mark.parametrize(
    "sentence",
    sorted(
        {
            part
            for sentences in SETS.values()
            for sentence in sentences
            for part in re.split(r"(?<=[.?:;])\s", sentence)
            if len(part.split()) >= WHOLE
        }
    ),
)
def test_no_single_sentence_is_harder(sentence: str) -> None:
    """A hard sentence does not hide among easy ones."""
    assert reading_age(sentence) <= OLDEST


def test_the_measure_tells_hard_from_easy() -> None:
    """A sentence that no student should meet is measured as such."""
    hard = (
        "Discrepancies attributable to systematic instrumentation irregularities necessitate methodological revision."
    )
    assert reading_age(hard) > OLDEST > reading_age("Read the unit off the scale.")
