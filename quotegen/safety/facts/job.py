"""The job that facts are read from, and the answers its cells give.

A blank cell means "not known", which counts as the answer that needs more care.
"""

from collections.abc import Callable
from typing import TypeAlias

from msgspec import Struct

from quotegen import wording
from quotegen.model.days import WorkPlan
from quotegen.model.enquiry import Enquiry
from quotegen.model.roof import Outline
from quotegen.model.safety import Known
from quotegen.model.settings import Settings
from quotegen.model.takeoff import Need, OptionTakeOff
from quotegen.working import Figure

BLANK = "blank"


class PlannedJob(Struct, frozen=True):
    """The job that facts are read from: the enquiry, one build-up of it, and its days."""

    enquiry: Enquiry
    outline: Outline
    option: OptionTakeOff
    settings: Settings
    plan: WorkPlan

    def need(self, item: str) -> Need | None:
        """The take-off's need for an item, None where the job takes none of it."""
        return next((need for need in self.option.needs if need.item == item), None)


Evidence: TypeAlias = tuple[Known, str]
"""The answer to a fact, and the evidence for it."""

Read: TypeAlias = Callable[[PlannedJob], Evidence]


def known(yes: bool) -> Known:
    """The answer to something that has been looked at.

    >>> known(True)
    <Known.YES: 'yes'>
    """
    return Known.YES if yes else Known.NO


def left_blank(heading: str) -> Evidence:
    """The answer given by an empty cell.

    >>> left_blank("year built")
    (<Known.UNKNOWN: 'not known'>, 'year built: blank')
    """
    return Known.UNKNOWN, f"{heading}: {BLANK}"


def yes_or_no(value: bool | None, heading: str) -> Evidence:
    """The answer given by a yes/no cell."""
    if value is None:
        return left_blank(heading)
    return known(value), f"{heading}: {'yes' if value else 'no'}"


def one_of(value: object | None, heading: str, *careful: object) -> Evidence:
    """The answer given by a cell with a choice: yes for a choice that needs care."""
    if value is None:
        return left_blank(heading)
    return known(value in careful), f"{heading}: {value}"


def measured(figure: Figure | None, heading: str, careful: Callable[[float], bool]) -> Evidence:
    """The answer given by a number: yes for one that needs care."""
    if figure is None:
        return left_blank(heading)
    return known(
        careful(figure.number)
    ), f"{heading}: {wording.exact(figure.number)} {figure.unit}".rstrip()


def taken_off(yes: bool, what: str) -> Evidence:
    """The answer given by the take-off, which is always known."""
    return known(yes), f"take-off: {'' if yes else 'not: '}{what}"
