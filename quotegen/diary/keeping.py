"""Keeping the diary: the jobs are added as they are worked out, and then laid."""

from datetime import date
from functools import partial

from quotegen.days.days import plan_days
from quotegen.diary.days_off import bank_holiday
from quotegen.diary.laying import lay_diary
from quotegen.diary.records import DiarySubject, JobToLay, Site
from quotegen.diary.sites import site_of
from quotegen.model.days import WorkPlan
from quotegen.model.enquiry import Enquiry
from quotegen.model.settings import Settings
from quotegen.model.takeoff import OptionTakeOff
from quotegen.safety.statement.laying_out import LaidOut, planned_deck_c

DIARY_REF = "All jobs, all crews"
"""What the papers of the diary are filed under; with its comma no enquiry can be called so."""


class Keeping:
    """The jobs of a workbook, of which the diary is made once all are added."""

    def __init__(self, settings: Settings | None, on: date) -> None:
        self._settings = settings
        self._on = on
        self._jobs: list[JobToLay] = []
        self._sites: dict[str, Site] = {}
        self._first: Enquiry | None = None

    def add(self, enquiry: Enquiry, laid_out: LaidOut) -> None:
        """Add a job; of its take-off only what the plan of the days needs is kept."""
        if self._settings is None:
            return
        self._first = self._first or enquiry
        self._sites[enquiry.ref] = site_of(enquiry, laid_out.option)
        deck_c = planned_deck_c(enquiry, self._settings)
        self._jobs.append(
            JobToLay(
                ref=enquiry.ref,
                dated=enquiry.dated,
                accepted=laid_out.accepted,
                start_on=enquiry.start_on,
                replan=partial(_from_day, laid_out.option, self._settings, deck_c),
            )
        )

    def subject(self) -> DiarySubject | None:
        """The diary of the jobs added; None without any."""
        if self._settings is None or self._first is None:
            return None
        crews = int(self._settings.number("crews"))
        diary = lay_diary(self._jobs, crews, self._on, bank_holiday)
        return DiarySubject(DIARY_REF, diary, self._sites, self._settings, self._first)


def _from_day(option: OptionTakeOff, settings: Settings, deck_c: float, day: date) -> WorkPlan:
    """The plan of a job that begins on a day or later."""
    return plan_days(option, settings, day, day, deck_c)
