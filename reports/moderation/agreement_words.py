"""Agreement in sentences, in the order in which they are to be read: severity first."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import ROUND_HALF_UP, Decimal

from marking.moderation.comparing import Comparison, GroupAgreement
from marking.moderation.joint import FEWEST_MARKERS
from marking.moderation.statistics import Agreement, Closeness
from reports.wording import fill, wording
from rubrics.formulas import listed

_MOST_NAMED = 3


def places(value: float, count: int = 2, *, signed: bool = False) -> str:
    """Return *value* with so many decimal places, halves away from zero, with a proper minus sign."""
    # A float that ends on a five, as worked out by hand, may lie a hair below it.
    number = Decimal(repr(round(value, 12))).quantize(Decimal(1).scaleb(-count), rounding=ROUND_HALF_UP)
    text = f"{number + 0:+f}" if signed and number else f"{number if number else abs(number):f}"
    return text.replace("-", "−")


def agreement_sentences(group: GroupAgreement) -> list[str]:
    """Return what a group shows: severity, then counts, limits and trend, then kappa and correlation."""
    words = wording("moderation")["figures"]
    found = group.drawn
    return [
        *_severity(found),
        counts_sentence(group.looked_at),
        *_limits(found),
        *_trend(found),
        *_supporting(found),
        *([] if found.severity else [words["few"]]),
    ]


def counts_sentence(counts: Closeness) -> str:
    """Return how many pairs are close."""
    slots = {name: str(getattr(counts, name)) for name in ("pairs", "within", "tolerance", "exact", "adjacent")}
    return fill([wording("moderation")["figures"]["counts"]], slots)


def _severity(found: Agreement) -> Iterator[str]:
    if found.severity is None:
        return
    words = wording("moderation")["figures"]
    one = found.severity
    reading = words["none"] if not one.is_shown else words["generous" if one.mean > 0 else "severe"]
    slots = {
        "mean": places(one.mean, signed=True),
        "low": places(one.low, signed=True),
        "high": places(one.high, signed=True),
        "reading": reading,
    }
    yield fill([words["severity"]], slots)


def _limits(found: Agreement) -> Iterator[str]:
    if found.limits is None:
        return
    lower, upper = found.limits.lower, found.limits.upper
    slots = {
        "lower": places(lower.at, signed=True),
        "lower_low": places(lower.low, signed=True),
        "lower_high": places(lower.high, signed=True),
        "upper": places(upper.at, signed=True),
        "upper_low": places(upper.low, signed=True),
        "upper_high": places(upper.high, signed=True),
    }
    yield fill([wording("moderation")["figures"]["limits"]], slots)


def _trend(found: Agreement) -> Iterator[str]:
    if found.trend is None:
        return
    words = wording("moderation")["figures"]
    one = found.trend
    reading = words["trend_none"] if not one.is_shown else words["trend_up" if one.slope > 0 else "trend_down"]
    slots = {
        "slope": places(one.slope, signed=True),
        "low": places(one.low, signed=True),
        "high": places(one.high, signed=True),
        "reading": reading,
    }
    yield fill([words["trend"]], slots)


def _supporting(found: Agreement) -> Iterator[str]:
    for name, one, pairs in (
        ("kappa", found.kappa, found.pairs),
        ("icc", found.intraclass, found.pairs),
    ):
        if one is not None:
            slots = {"value": places(one.value), "low": places(one.low), "high": places(one.high)}
            yield fill([wording("moderation")["figures"][name]], {**slots, "pairs": str(pairs)})


def joint_sentence(found: Comparison) -> str:
    """Return what the one test over everybody says."""
    words = wording("moderation")["figures"]
    if len(found.table.markers) < FEWEST_MARKERS:
        said = words["joint_two"]
    elif found.named:
        chance = max(one.strongest.chance for one in found.named)
        facts = {"names": listed([one.marker for one in found.named], most=_MOST_NAMED), "chance": places(chance, 3)}
        said = fill([words["joint_named"]], facts)
    elif found.doubts:
        said = fill([words["joint_doubt"]], {"names": listed([one.marker for one in found.doubts], most=_MOST_NAMED)})
    else:
        said = words["joint_nobody"]
    slots = {"markers": str(len(found.table.markers)), "criteria": str(len(found.table.criteria)), "said": said}
    return fill([words["joint"]], slots)


def computed_sentence(found: Comparison) -> str:
    """Return what is to be said of marks that the program works out."""
    words = wording("moderation")["figures"]
    counts = found.computed
    if not counts.pairs:
        return str(words["no_computed"])
    return fill([words["computed"]], {"exact": str(counts.exact), "pairs": str(counts.pairs)})


def criterion_sentence(group: GroupAgreement, point: str) -> str:
    """Return how closely one criterion was marked."""
    counts = group.looked_at
    slots = {"code": group.name, "exact": str(counts.exact), "pairs": str(counts.pairs)}
    return fill(
        [wording("moderation")["figures"]["criterion"]], {**slots, "adjacent": str(counts.adjacent), "point": point}
    )
