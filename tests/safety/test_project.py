"""When HSE must be notified of a project: CDM 2015 (SI 2015/51), regulation 6(1)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from quotegen.model.choices import Access, CustomerKind
from quotegen.model.enquiry import Customer
from quotegen.model.safety import Known
from quotegen.safety.facts.project import is_notifiable, notice_of, person_days, project_facts
from tests import builders
from tests.safety import jobs

LIMITS = (30.0, 20.0, 500.0)
DAYS = st.integers(0, 400)
PEOPLE = st.integers(1, 60)


@pytest.mark.parametrize(
    ("days", "people", "due"),
    [
        # Longer than 30 working days and more than 20 at once: both have to be exceeded.
        (31, 21, True),
        (30, 21, True),  # 630 person-days, over 500 by the second limb
        (31, 20, True),  # 620 person-days
        (31, 16, False),  # 496 person-days, and not more than 20 people
        (24, 21, True),  # 504 person-days
        (23, 21, False),  # 483 person-days, and not longer than 30 days
        # Exceeding 500 person-days; 500 itself does not exceed.
        (250, 2, False),
        (251, 2, True),
        # The check of the notes: three people for five days are 15 person-days.
        (5, 3, False),
    ],
)
def test_a_project_is_notified_by_either_limb(days: float, people: float, due: bool) -> None:
    assert is_notifiable(days, people, days * people, *LIMITS) is due


def test_the_first_limb_stands_alone() -> None:
    # Few person-days over a long time, but once more than 20 at work together.
    assert is_notifiable(31, 21, 100, *LIMITS)
    assert not is_notifiable(30, 21, 100, *LIMITS)
    assert not is_notifiable(31, 20, 100, *LIMITS)


@given(DAYS, PEOPLE, st.integers(0, 30), st.integers(0, 10))
def test_a_longer_or_more_crowded_project_never_stops_being_notified(
    days: int, people: int, more_days: int, more_people: int
) -> None:
    before = is_notifiable(days, people, person_days(days, people), *LIMITS)
    longer, more = days + more_days, people + more_people
    assert is_notifiable(longer, more, person_days(longer, more), *LIMITS) >= before


@given(st.floats(0.25, 60), PEOPLE)
def test_a_day_begun_counts_as_one(days: float, people: int) -> None:
    counted = person_days(days, people)
    assert counted >= days * people - 1e-6
    assert counted == int(counted)


def test_the_limits_and_the_size_come_from_the_references_and_the_take_off() -> None:
    option = jobs.take_off(jobs.plain_enquiry()).options[0]
    notice = notice_of(option)
    limits = (notice.days_limit, notice.people_limit, notice.person_days_limit)
    assert tuple(limit.number for limit in limits) == LIMITS
    hours = option.programme.person_hours.number
    assert notice.person_days.number * jobs.SETTINGS.number("day_hours") >= hours
    assert not notice.due


def test_a_take_off_of_many_days_is_notified() -> None:
    option = jobs.take_off(jobs.plain_enquiry()).options[0]
    programme = replace(option.programme, days=builders.given("working days", 251.0, "days"))
    large = replace(option, programme=programme)
    assert notice_of(large).due
    enquiry = jobs.plain_enquiry()
    assert project_facts(enquiry, large)["notice_due"][0] is Known.YES
    assert project_facts(enquiry, option)["notice_due"][0] is Known.NO


@pytest.mark.parametrize("kind", list(CustomerKind))
@pytest.mark.parametrize("access", [Access.TOWER, Access.SCAFFOLD])
def test_every_customer_is_one_kind_of_client_and_we_have_one_standing(
    kind: CustomerKind, access: Access
) -> None:
    enquiry = jobs.plain_enquiry(customer=Customer("Somebody", kind, "9 Gull Row"))
    option = jobs.take_off(enquiry).options[0]
    chosen = replace(option, access=replace(option.access, chosen=access))
    known = {key: yes is Known.YES for key, (yes, _) in project_facts(enquiry, chosen).items()}
    clients = ("home_client", "business_client", "trade_client")
    assert sum(known[key] for key in clients) == 1
    standing = ("sole_contractor", "leading_contractor", "trade_client")
    assert sum(known[key] for key in standing) == 1
    assert known["leading_contractor"] == (
        access is Access.SCAFFOLD and kind is not CustomerKind.TRADE
    )
