"""The first day of a job, and whether it is agreed; every paper that names a day reads it here."""

from datetime import date
from typing import TYPE_CHECKING

from quotegen.model.days import FirstDay, WorkPlan

if TYPE_CHECKING:
    from quotegen.model.safety import MethodStatement


def first_day_of(statement: "MethodStatement") -> FirstDay:
    """The first working day of a statement; agreed only once everything is settled."""
    settled = statement.accepted and statement.before.settled
    return first_day(statement.days, settled, statement.enquiry.start_on)


def first_day(plan: WorkPlan, accepted: bool, start_on: date | None) -> FirstDay:
    """The first working day of a plan.

    It is agreed when the customer has chosen, the row gives the start, and the work begins on that
    day; otherwise it is provisional. None if no day is known or the forecast has no room.
    """
    if plan.refused is not None or not plan.worked:
        return FirstDay(refused=plan.refused is not None)
    day = plan.worked[0].day
    agreed = accepted and day is not None and day == start_on
    return FirstDay(day, agreed)


def day_of_work(plan: WorkPlan, dated: date) -> date:
    """The day whose rules the work goes by: the first day worked, or that of the paper if unknown.

    A plan made before the paper is dated goes by the day of the paper.
    """
    first = first_day(plan, accepted=False, start_on=None).day
    return max(first, dated) if first else dated
