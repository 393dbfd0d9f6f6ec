"""The map of the house: every room, from the ground up. A room may use what stands below it, never above."""

from __future__ import annotations

FLOORS = (
    "rubrics.faults",
    "rubrics.units",
    "rubrics.formulas",
    "rubrics.model",
    "rubrics.documents",
    "rubrics.soundness",
    "rubrics",
    "marking",
    "marking.intake.grids",
    "marking.intake.numbers",
    "marking.intake.remarks",
    "marking.intake.files",
    "marking.intake.people",
    "marking.intake.entries",
    "marking.intake.forms",
    "marking.intake.blank",
    "marking.intake.ours",
    "marking.intake",
    "marking.intake.parts",
    "marking.checking.fits",
    "marking.checking.curves",
    "marking.checking.short_answers",
    "marking.checking.answers.written",
    "marking.checking.answers.worked",
    "marking.checking.answers.chains",
    "marking.checking.answers",
    "marking.checking.uncertainty",
    "marking.checking.case",
    "marking.checking.causes.wrong",
    "marking.checking.causes.slips",
    "marking.checking.causes",
    "marking.checking.checks",
    "marking.checking",
    "marking.cohort.evidence",
    "marking.cohort.benches",
    "marking.cohort.leads",
    "marking.cohort.lesson",
    "marking.cohort.picture",
    "marking.cohort",
    "marking.compared",
    "marking.record.migrations.versions",
    "marking.record.migrations",
    "marking.record",
    "marking.moderation.statistics",
    "marking.moderation.joint",
    "marking.moderation.sampling",
    "marking.moderation.packs",
    "marking.moderation.comparing",
    "marking.moderation.decisions",
    "marking.moderation.department",
    "reports.wording",
    "reports.next_step",
    "reports.page",
    "reports.charts",
    "reports.tables",
    "reports.student",
    "reports.teacher",
    "reports.lesson",
    "reports.moderation",
    "marking.outputs",
    "marking.many",
    "marking.terminal",
    "marking.desk.shelf",
    "marking.desk.pages",
    "marking.desk",
    "marking.commands",
    "marking.commands.department",
)
"""Rooms by their dotted name. ``marking`` stands for the records directly in it, which every room above shares."""

OPEN_ROOMS = frozenset({"rubrics", "marking", "marking.commands"})
"""Their files are doors of their own: nothing heavy is loaded by whoever needs one of them alone."""

MOST_FILES = 14
"""Files of one folder that can still be taken in at a glance."""

SAME_KIND = frozenset({"__init__.py"})
"""Names that may stand in more than one room, because they are the same kind of thing there."""
