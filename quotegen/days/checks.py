"""What is wrong with the plan of a job's days: no room, or more days than were priced."""

from quotegen import wording
from quotegen.model.days import WorkPlan
from quotegen.model.enquiry import Enquiry
from quotegen.problems import Place, Problem, problem
from quotegen.units import round_up
from quotegen.workbook.sheets.declaration import FORECAST_SHEET


def check_days(plan: WorkPlan, enquiry: Enquiry, priced_days: float) -> list[Problem]:
    """Problems of a plan: no room in its days, or more days on site than the quote says.

    They stop the papers, which would disagree, until the owner says who pays for them; then the
    quote goes by the plan's days.
    """
    if plan.refused is not None:
        place = Place(enquiry.place.book, FORECAST_SHEET)
        return [problem("no-window", place, str(plan.refused), enquiry.ref)]
    on_site = len(plan.worked)
    if on_site > round_up(priced_days):
        return [
            problem(
                "plan-longer",
                enquiry.longer_at or enquiry.place,
                str(on_site),
                enquiry.ref,
                priced=wording.exact(priced_days),
            )
        ]
    return []
