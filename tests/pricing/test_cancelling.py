"""A home-owner may cancel for 14 days, counted from the day after the contract is agreed.

Consumer Contracts (Information, Cancellation and Additional Charges) Regulations 2013, regulation
30 (2) for a service: for a contract agreed on 23 November, the last day is 7 December.
"""

from datetime import date

import pytest
from msgspec.structs import replace

from quotegen.model.choices import CustomerKind
from quotegen.pricing.cancelling import check_cancelling
from tests import builders

AGREED = date(2026, 11, 23)


def codes(kind: CustomerKind, begins: date | None) -> list[str]:
    enquiry = builders.enquiry()
    enquiry = replace(enquiry, customer=replace(enquiry.customer, kind=kind))
    return [found.code for found in check_cancelling(enquiry, begins, AGREED)]


@pytest.mark.parametrize(
    ("begins", "warned"),
    [(date(2026, 12, 2), 1), (date(2026, 12, 7), 1), (date(2026, 12, 8), 0), (None, 0)],
)
def test_a_home_owner_may_cancel_until_the_fourteenth_day_is_over(
    begins: date | None, warned: int
) -> None:
    assert codes(CustomerKind.HOME_OWNER, begins) == ["cancelling-possible"] * warned


@pytest.mark.parametrize("kind", [k for k in CustomerKind if k is not CustomerKind.HOME_OWNER])
def test_a_business_may_not(kind: CustomerKind) -> None:
    assert codes(kind, date(2026, 12, 2)) == []


def test_it_says_until_when() -> None:
    enquiry = builders.enquiry()
    enquiry = replace(enquiry, customer=replace(enquiry.customer, kind=CustomerKind.HOME_OWNER))
    (found,) = check_cancelling(enquiry, date(2026, 12, 2), AGREED)
    assert not found.stops
    assert "7 December 2026" in found.message
