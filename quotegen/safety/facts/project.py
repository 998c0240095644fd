"""The project under the CDM Regulations: client, other contractors, notification of HSE.

A domestic client has the work done on their own home, not in the course of business, and the
client's duties pass to others by law; every other client keeps them (regulation 7). A second
contractor on the project requires a principal contractor and a principal designer (regulation 5).
"""

from collections.abc import Mapping

from quotegen import wording
from quotegen.model.choices import Access, CustomerKind, Occupier
from quotegen.model.enquiry import Enquiry
from quotegen.model.safety import Known, Notice
from quotegen.model.takeoff import OptionTakeOff
from quotegen.reference.loader import figure
from quotegen.units import Unit, round_up
from quotegen.working import derive

NOT_A_HOME = frozenset({Occupier.TENANT, Occupier.BUSINESS})


def project_facts(enquiry: Enquiry, option: OptionTakeOff) -> Mapping[str, tuple[Known, str]]:
    """The facts of the project with their evidence; they are always known."""
    kind = enquiry.customer.kind
    own_home = kind is CustomerKind.HOME_OWNER and enquiry.occupier not in NOT_A_HOME
    under_another = kind is CustomerKind.TRADE
    scaffolder = option.access.chosen is Access.SCAFFOLD
    client = f"customer: {kind}; who lives there: {enquiry.occupier or 'blank'}"
    others = f"customer: {kind}; access chosen: {option.access.chosen}"
    notice = notice_of(option)
    size = f"take-off: {wording.exact(notice.person_days.number)} {notice.person_days.unit}"
    answers = {
        "home_client": (own_home, client),
        "business_client": (not own_home and not under_another, client),
        "agent_client": (kind is CustomerKind.AGENT, client),
        "trade_client": (under_another, client),
        "sole_contractor": (not under_another and not scaffolder, others),
        "leading_contractor": (not under_another and scaffolder, others),
        "notice_due": (notice.due, size),
    }
    return {key: (Known.YES if yes else Known.NO, seen) for key, (yes, seen) in answers.items()}


def notice_of(option: OptionTakeOff) -> Notice:
    """Whether our part alone makes the project notifiable, with the figures behind it."""
    programme = option.programme
    days_limit = figure("construction_plan.notice_days")
    people_limit = figure("construction_plan.notice_people")
    person_days_limit = figure("construction_plan.notice_person_days")
    counted = derive(
        "person-days", Unit.PERSON_DAYS, person_days, days=programme.days, crew=programme.crew
    )
    return Notice(
        days=programme.days,
        people=programme.crew,
        person_days=counted,
        days_limit=days_limit,
        people_limit=people_limit,
        person_days_limit=person_days_limit,
        due=is_notifiable(
            programme.days.number,
            programme.crew.number,
            counted.number,
            days_limit.number,
            people_limit.number,
            person_days_limit.number,
        ),
    )


def person_days(days: float, crew: float) -> float:
    """Days of work over all people: each day begun x the people on it.

    The days come from the take-off's person-hours and part of a day counts as one, so this is never
    less than those hours. Inputs [days, people], result [person-days].

    >>> person_days(1.5, 2)
    4.0
    """
    return float(round_up(days, 1.0) * crew)


def is_notifiable(
    days: float,
    people: float,
    person_days: float,
    days_limit: float,
    people_limit: float,
    person_days_limit: float,
) -> bool:
    """Whether HSE must be notified: too long with too many people at once, or too many person-days.

    Formula: (days > limit and people > limit) or person-days > limit. Inputs [working days, people,
    person-days], result [yes or no]. Source: CDM Regulations 2015, regulation 6(1).

    >>> is_notifiable(31, 21, 400, 30, 20, 500), is_notifiable(60, 6, 360, 30, 20, 500)
    (True, False)
    """
    long_and_many = days > days_limit and people > people_limit
    return long_and_many or person_days > person_days_limit
