"""Whether a home-owner may still cancel when the work is to begin."""

from datetime import date, timedelta

from quotegen import wording
from quotegen.model.choices import CustomerKind
from quotegen.model.enquiry import Enquiry
from quotegen.problems import Problem, problem
from quotegen.reference.loader import entry


def check_cancelling(enquiry: Enquiry, begins: date | None, on: date) -> list[Problem]:
    """Whether the first day of work lies within the days a home-owner has to cancel.

    They count from the day after the contract is agreed, which is taken to be the day the papers
    are made: agreed later they only end later. None is found while the first day is not known.
    Source: `reference/consumer_contracts.toml`.
    """
    if enquiry.customer.kind is not CustomerKind.HOME_OWNER or begins is None:
        return []
    days = entry("consumer_contracts.cancellation_days", on).value
    until = on + timedelta(days=days)
    if begins > until:
        return []
    return [
        problem(
            "cancelling-possible",
            enquiry.place,
            wording.date(begins),
            enquiry.ref,
            days=wording.exact(days),
            until=wording.date(until),
        )
    ]
