"""The build-up a statement is written for, and its work laid out into days.

It stands apart from the statement, of which `check` needs no more than this.
"""

from datetime import date

from msgspec import Struct

from quotegen.days.days import plan_days
from quotegen.model.choices import BuildUp
from quotegen.model.days import WorkPlan
from quotegen.model.enquiry import Enquiry
from quotegen.model.settings import Settings
from quotegen.model.takeoff import OptionTakeOff, TakeOff

_FULLEST = tuple(BuildUp)


class LaidOut(Struct, frozen=True):
    """The build-up a statement is for, whether the customer has accepted it, and its days."""

    option: OptionTakeOff
    accepted: bool
    days: WorkPlan


def lay_out(take_off: TakeOff, settings: Settings, dated: date) -> LaidOut:
    """The accepted build-up, or else the fullest one, laid out into days from a date on."""
    option, accepted = choose_option(take_off)
    enquiry = take_off.enquiry
    deck_c = planned_deck_c(enquiry, settings)
    plan = plan_days(option, settings, enquiry.start_on, dated, deck_c)
    return LaidOut(option, accepted, plan)


def planned_deck_c(enquiry: Enquiry, settings: Settings) -> float:
    """The deck temperature [C] planned with: as the row expects it, or else the coldest planned."""
    return (enquiry.deck_c or settings["planned_least_c"]).number


def choose_option(take_off: TakeOff) -> tuple[OptionTakeOff, bool]:
    """The build-up to write for, and whether the customer has accepted it.

    Until one is accepted it is the one that lays most, whatever the day and the hours, so that
    the weather never decides what the statement is about.
    """
    for option in take_off.options:
        if option.build_up is take_off.enquiry.accepted:
            return option, True
    fullest = max(take_off.options, key=lambda option: _FULLEST.index(option.build_up))
    return fullest, False
