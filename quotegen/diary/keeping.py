"""Keeping the diary: the jobs of a workbook, planned again on the days that are free."""

from collections.abc import Sequence
from datetime import date
from functools import partial
from typing import NamedTuple

from msgspec.structs import replace

from quotegen.days.days import plan_days
from quotegen.days.days_off import bank_holiday
from quotegen.diary.laying import lay_diary
from quotegen.diary.records import DiarySubject, JobToLay
from quotegen.diary.sites import site_of
from quotegen.model.days import WorkPlan
from quotegen.model.enquiry import Enquiry
from quotegen.model.settings import Settings
from quotegen.model.takeoff import OptionTakeOff
from quotegen.safety.statement.laying_out import planned_deck_c

DIARY_REF = "All jobs, all crews"
"""What the papers of the diary are filed under; with its comma no enquiry can be called so."""


class OrderedJob(NamedTuple):
    """A job that nothing stops: its enquiry, the build-up written for, whether accepted.

    `earliest` is the first day it can
    start.
    """

    enquiry: Enquiry
    option: OptionTakeOff
    accepted: bool
    earliest: date


def keep_diary(jobs: Sequence[OrderedJob], settings: Settings, on: date) -> DiarySubject:
    """Plan one or more jobs for the firm's crews from a day on."""
    settings = replace(settings, taken=())
    crews = int(settings.number("crews"))
    to_lay = [
        JobToLay(
            ref=enquiry.ref,
            dated=enquiry.dated or on,
            accepted=accepted,
            start_on=enquiry.start_on,
            earliest=earliest,
            replan=partial(_from_day, option, settings, planned_deck_c(enquiry, settings)),
        )
        for enquiry, option, accepted, earliest in jobs
    ]
    return DiarySubject(
        ref=DIARY_REF,
        diary=lay_diary(to_lay, crews, on, bank_holiday),
        sites={one.enquiry.ref: site_of(one.enquiry, one.option) for one in jobs},
        settings=settings,
        first=jobs[0].enquiry,
    )


def _from_day(option: OptionTakeOff, settings: Settings, deck_c: float, day: date) -> WorkPlan:
    """The plan of a job that starts on a day or later."""
    return plan_days(option, settings, day, day, deck_c)
