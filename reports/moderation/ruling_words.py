"""Proposals, rulings, effects and signatures in words."""

from __future__ import annotations

from marking.decided import ModerationRuled
from marking.moderation.decisions import Effect, Proposal, Ruling, SigningRole, Standing
from marking.moderation.joint import SECOND_STAGE, Adjustment
from reports.moderation.agreement_words import places
from reports.wording import fill, wording
from rubrics.formulas import listed

_MOST_STUDENTS = 12


def change_words(adjustment: Adjustment) -> str:
    """Return an adjustment as people say it: '+1 mark', or the line."""
    words = wording("moderation")["proposals"]
    constant = places(adjustment.constant, 2 if adjustment.is_line else 0, signed=True)
    if not adjustment.is_line:
        return fill([words["constant"][abs(adjustment.constant) != 1]], {"constant": constant})
    return fill([words["line"]], {"slope": places(adjustment.slope), "constant": constant})


def proposal_sentence(one: Proposal) -> str:
    """Return what the figures suggest for a marker."""
    words = wording("moderation")["proposals"]
    slots = {
        "marker": one.marker,
        "criterion": one.criterion,
        "scripts": listed(list(one.scripts), most=6),
        "count": str(SECOND_STAGE),
        "shift": "" if one.shift is None else places(one.shift, signed=True),
        "change": change_words(one.adjustment) if one.adjustment else "",
    }
    for_all = one.ruling is Ruling.REMARK_CRITERION and not one.marker
    return fill([words["re-mark-criterion-all" if for_all else one.ruling.value]], slots)


def ruling_words(one: ModerationRuled) -> str:
    """Return what was ruled, without who and why."""
    adjustment = Adjustment(
        marker=one.marker, slope=one.slope, constant=one.constant, out_of=one.out_of, pairs=one.pairs
    )
    return asked_ruling_words(Ruling(one.ruling), one.marker, one.point, adjustment)


def asked_ruling_words(ruling: Ruling, marker: str, criterion: str, adjustment: Adjustment | None) -> str:
    """Return a ruling in words, before or after it was taken."""
    words = wording("moderation")["rulings"]
    slots = {
        "marker": marker or words["everybody"],
        "point": criterion or " ",
        "change": change_words(adjustment) if adjustment is not None else " ",
    }
    return fill([words[ruling.value]], slots)


def ruling_sentences(state: Standing) -> list[str]:
    """Return the rulings that stand, each with who, when and why."""
    words = wording("moderation")["rulings"]
    if not state.rulings:
        return [words["nothing"]]
    return [
        fill(
            [words["line"]],
            {
                "number": str(one.number),
                "what": ruling_words(one),
                "who": one.who,
                "when": one.when[:10],
                "why": one.why,
            },
        )
        for one in state.rulings
    ]


def signature_sentences(state: Standing) -> list[str]:
    """Return one line for each first marker and each later role, in the order of signing; then what counts no more."""
    words = wording("moderation")["signatures"]
    places = [(SigningRole.FIRST_MARKER, name) for name in state.first_markers]
    places += [(SigningRole.SECOND_MARKER, ""), (SigningRole.HEAD, "")]
    lines = []
    for role, name in places:
        one = next((each for each in state.signatures if each.role == role.value and name in ("", each.who)), None)
        slots = {"role": words[role.value], "who": name}
        if one is not None:
            lines.append(
                fill([words["line" if one.account else "typed"]], {**slots, "who": one.who, "when": one.when[:10]})
            )
        else:
            lines.append(fill([words["missing_of"], words["missing"]], slots))
    if state.outdated:
        who = listed(list(dict.fromkeys(one.who for one in state.outdated)), most=9)
        lines.append(fill([words["outdated"]], {"who": who}))
    return lines


def effect_sentences(effect: Effect) -> list[str]:
    """Return what an adjustment would change: how many, whether the order holds, who crosses a boundary."""
    words = wording("moderation")["effect"]
    if not effect.changes:
        return [words["none"]]
    slots = {
        "changed": str(len(effect.changes)),
        "students": str(effect.students),
        "order": words["kept" if effect.keeps_order else "broken"],
        "capped": str(effect.capped),
    }
    lines = [fill([words["changes"]], slots)]
    if effect.crossing:
        named = [
            fill(
                [words["one"]],
                {
                    "student": one.student,
                    "class_name": one.class_name,
                    "before": str(one.before),
                    "after": str(one.after),
                },
            )
            for one in effect.crossing
        ]
        lines.append(fill([words["crossing"]], {"students": listed(named, most=_MOST_STUDENTS)}))
    return lines
