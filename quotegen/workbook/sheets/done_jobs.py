"""The sheet of what jobs really took."""

from datetime import date

from quotegen.model.choices import RoofKind
from quotegen.model.own.done import Recorded
from quotegen.workbook.sheets.columns import Group, Sheet

_JOB = Group("The job")
_TOOK = Group("What it took")
_ALLOWED = Group("Against the quote")


class DoneJobs(Sheet):
    """What jobs really took, a row for each thing written down."""

    ref = _JOB.text(
        "Reference",
        "As on Enquiries; leave that row there when the job is done.",
        40,
        required=True,
        example="TR-001",
        width=13,
    )
    done_on = _JOB.day(
        "Day done", "Day, month, year.", required=True, example=date(2026, 6, 12), width=12
    )
    kind = _JOB.choice("Kind of roof", "Blank: as on Enquiries.", RoofKind, width=13)
    what = _TOOK.choice(
        "What",
        "A task, kilograms of resin or topcoat, or days on site. Only what you know.",
        Recorded,
        required=True,
        example="laminate",
        width=20,
    )
    amount = _TOOK.number(
        "How much",
        "For a task, the hours from start to finish; otherwise kilograms, or days. Several rows "
        "for one job add up.",
        (0.05, 2000),
        required=True,
        example=2.5,
        width=10,
    )
    people = _TOOK.number(
        "People",
        "How many people worked those hours. Blank: one.",
        (1, 20),
        whole=True,
        example=2,
        width=9,
    )
    who = _TOOK.text("Who", "Who did most of it.", 60, example="Wren", width=13)
    allowed = _ALLOWED.number(
        "Allowed by the quote",
        "Person-hours, kilograms or days, at today's rates. Blank: worked out from the row on "
        "Enquiries. Needed only if that row is gone.",
        (0.05, 4000),
        width=12,
    )
    wrong = _ALLOWED.text(
        "What went wrong",
        "A few words; use the same ones each time.",
        300,
        example="rain",
        width=30,
    )


DONE_JOBS = DoneJobs(
    "Done jobs",
    "What jobs really took, so that you can set your own rates. Can be left empty; with five jobs"
    " it starts to tell you something.",
)
