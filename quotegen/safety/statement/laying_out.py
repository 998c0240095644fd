"""The build-up a statement is written for, and its work laid out into days.

It is separate from the statement because `check` needs only this part.
"""

from datetime import date

from msgspec import Struct
from msgspec.structs import replace

from quotegen import wording
from quotegen.days.days import plan_days
from quotegen.days.first_day import first_day
from quotegen.model.choices import BuildUp
from quotegen.model.days import WorkPlan
from quotegen.model.enquiry import Enquiry, PlannedDays
from quotegen.model.prestart.record import BeforeStart, OfferedStart
from quotegen.model.settings import Settings
from quotegen.model.takeoff import OptionTakeOff, TakeOff
from quotegen.problems import Problem, problem

_FULLEST = tuple(BuildUp)


class LaidOut(Struct, frozen=True):
    """The build-up a statement is for, whether the customer has accepted it, and its days.

    `before` is what it waits for; no day of the plan is before everything is settled.
    """

    option: OptionTakeOff
    accepted: bool
    days: WorkPlan
    before: BeforeStart


def lay_out(take_off: TakeOff, settings: Settings, dated: date) -> LaidOut:
    """The accepted build-up, or else the fullest one, laid out into days from a date on."""
    option, accepted = choose_option(take_off)
    return LaidOut(option, accepted, *_planned(take_off, option, settings, dated))


def _before(
    take_off: TakeOff, option: OptionTakeOff, settings: Settings, dated: date
) -> BeforeStart:
    from quotegen.prestart.items import before_start  # noqa: PLC0415 - rules of safety, not for a start-up

    return before_start(take_off, option, settings, dated)


def _planned(
    take_off: TakeOff, option: OptionTakeOff, settings: Settings, dated: date
) -> tuple[WorkPlan, BeforeStart]:
    """What a build-up waits for, and its days from the first it can start.

    A forecast too short for the job even in fine weather says nothing about it, and is left out.
    """
    enquiry, before = take_off.enquiry, _before(take_off, option, settings, dated)
    earliest = before.earliest
    wanted = enquiry.start_on and max(enquiry.start_on, earliest)
    deck_c = planned_deck_c(enquiry, settings)
    plan = plan_days(option, settings, wanted, earliest, deck_c)
    if plan.refused is None or earliest == before.on:
        return plan, before
    clock = replace(settings, forecast=())
    fine = plan_days(option, clock, wanted or earliest, earliest, deck_c).worked
    done = fine[-1].day if fine else None
    if done is None or done <= settings.forecast[-1].day:
        return plan, before
    return plan_days(option, clock, wanted, earliest, deck_c), before


def planned_days(take_off: TakeOff, settings: Settings, dated: date) -> dict[BuildUp, PlannedDays]:
    """The days of each build-up on the calendar, leaving out those with no room."""
    found = {}
    for option in take_off.options:
        plan, _ = _planned(take_off, option, settings, dated)
        if plan.worked:
            found[option.build_up] = PlannedDays(len(plan.worked), plan.stands)
    return found


def offered_start(take_off: TakeOff, settings: Settings, laid: LaidOut) -> OfferedStart:
    """What the quote says about the start of the accepted build-up, or of each one offered."""
    offered = (laid.option,) if laid.accepted else take_off.options
    settled = laid.accepted and laid.before.settled
    first = first_day(laid.days, settled, take_off.enquiry.start_on)
    before = {
        option.build_up: laid.before
        if option is laid.option
        else _before(take_off, option, settings, laid.before.on)
        for option in offered
    }
    return OfferedStart(before, first.day if first.agreed else None)


def check_start(laid: LaidOut, enquiry: Enquiry) -> list[Problem]:
    """Whether the day the row asks for is before the first day the job can start."""
    wanted = enquiry.start_on
    if wanted is None or laid.before.settled or wanted >= laid.before.earliest:
        return []
    earliest = laid.before.earliest
    waiting = {item.key: item for item in laid.before.open_items if item.clear_on > wanted}
    return [
        problem(
            "start-too-soon",
            enquiry.place,
            wording.date(wanted),
            enquiry.ref,
            earliest=wording.date(earliest),
            waiting=", ".join(waiting),
        )
    ]


def planned_deck_c(enquiry: Enquiry, settings: Settings) -> float:
    """The deck temperature [C] planned with: as the row expects it, or else the coldest planned."""
    return (enquiry.deck_c or settings["planned_least_c"]).number


def choose_option(take_off: TakeOff) -> tuple[OptionTakeOff, bool]:
    """The build-up to write for, and whether the customer has accepted it.

    Until one is accepted it is the one that lays most, whatever the day and the hours, so that the
    weather never decides what the statement is about.
    """
    for option in take_off.options:
        if option.build_up is take_off.enquiry.accepted:
            return option, True
    fullest = max(take_off.options, key=lambda option: _FULLEST.index(option.build_up))
    return fullest, False
