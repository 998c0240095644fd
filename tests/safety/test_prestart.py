"""What a job waits for before it may begin: from its facts, ticked off by rows, and the days.

A contract agreed on 23 November may be cancelled until 7 December: Consumer Contracts (Information,
Cancellation and Additional Charges) Regulations 2013, regulation 30 (2), fourteen days counted from
the day after. The other waits are house figures of the Business sheet; days added by hand.
"""

import calendar
from collections import Counter
from datetime import date, timedelta
from typing import Any

import pytest
from holidays import country_holidays
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from quotegen.model.choices import Access, Below, BuildUp, CustomerKind
from quotegen.model.enquiry import Enquiry
from quotegen.model.prestart.record import BeforeItem, BeforeStart, Gate, Payer
from quotegen.model.prestart.row import IN_A_CELL, BeforeRow
from quotegen.model.settings import Settings
from quotegen.prestart.items import before_start
from quotegen.problems import Place
from quotegen.reference import rules
from quotegen.reference.rule_keys import BeforeKey
from quotegen.safety.statement.laying_out import LaidOut, check_start, lay_out
from tests import builders
from tests.safety import jobs
from tests.safety.forecasts import FAIR, forecast
from tests.safety.test_growing import enquiries

TODAY = builders.TODAY
PLACE = Place("jobs.xlsx", "Before the start", "C2", "Done on")
CERTIFIED = builders.settings(
    **jobs.NAMED, building_work_scheme="an invented scheme", deposit_pct_home_owner=0.0
)


def row(key: BeforeKey, done: date | None = None, expected: date | None = None) -> BeforeRow:
    return BeforeRow(PLACE, key, done_on=done, expected_on=expected)


def asked(**changes: Any) -> Enquiry:
    """The plain job, accepted by a landlord, with nothing to wait for."""
    plain = jobs.plain_enquiry(build_ups=(BuildUp.NEW_DECK,), accepted=BuildUp.NEW_DECK)
    customer = replace(plain.customer, kind=CustomerKind.LANDLORD)
    low = replace(jobs.SHALLOW, height_mm=jobs.number(1800.0, "mm"))
    settled: dict[str, Any] = {"colour": "dark grey", "access": Access.GROUND, "roof": low}
    return replace(plain, customer=customer, **{**settled, **changes})


def of_home_owner(**changes: Any) -> Enquiry:
    made = asked(**changes)
    return replace(made, customer=replace(made.customer, kind=CustomerKind.HOME_OWNER))


def laid(enquiry: Enquiry, firm: Settings = CERTIFIED, on: date = TODAY) -> LaidOut:
    return lay_out(jobs.take_off(enquiry, firm), firm, on)


def before(enquiry: Enquiry, firm: Settings = CERTIFIED, on: date = TODAY) -> BeforeStart:
    measured = jobs.take_off(enquiry, firm)
    return before_start(measured, measured.options[0], firm, on)


def open_keys(found: BeforeStart) -> list[BeforeKey]:
    return [item.key for item in found.open_items]


def item(found: BeforeStart, key: BeforeKey) -> BeforeItem:
    (one,) = [item for item in found.items if item.key is key]
    return one


def test_a_job_with_nothing_to_wait_for_may_begin_at_once() -> None:
    found = before(asked())
    assert found.items == ()
    assert found.settled
    assert found.earliest == TODAY


OPEN: dict[BeforeKey, tuple[Enquiry, Settings]] = {
    BeforeKey.ACCEPTANCE: (asked(accepted=None), CERTIFIED),
    BeforeKey.CANCELLATION: (of_home_owner(), CERTIFIED),
    BeforeKey.DEPOSIT: (asked(), replace(CERTIFIED, figures={
        **CERTIFIED.figures, "deposit_pct_business": builders.given("deposit", 25.0, "%")})),
    BeforeKey.COLOUR: (asked(colour="to be agreed"), CERTIFIED),
    BeforeKey.SURVEY: (
        asked(year_built=jobs.number(1974.0),
              site=replace(jobs.NOTHING_NEAR, asbestos_surveyed=False)), CERTIFIED),
    BeforeKey.STRUCTURE: (asked(), builders.settings(
        **jobs.NAMED, building_work_scheme="an invented scheme", weight_change_pct=-99.0)),
    BeforeKey.CONTROL: (
        asked(site=replace(jobs.NOTHING_NEAR, heated_below=True)), jobs.SETTINGS),
    BeforeKey.LICENCE: (
        asked(below=(Below.PAVEMENT,), access=Access.TOWER,
              roof=builders.roof(height_mm=jobs.number(2600.0, "mm"))), CERTIFIED),
    BeforeKey.CABLES: (asked(site=replace(jobs.NOTHING_NEAR, overhead_cables=True)), CERTIFIED),
    BeforeKey.NEIGHBOUR: (asked(below=(Below.ROOF_BESIDE,)), CERTIFIED),
    BeforeKey.SCAFFOLDER: (
        asked(access=Access.SCAFFOLD,
              roof=builders.roof(height_mm=jobs.number(2600.0, "mm"))), CERTIFIED),
}  # fmt: skip
"""For each thing a job that waits for it, with the firm."""


def test_every_thing_is_brought_in_by_a_job() -> None:
    assert set(OPEN) == set(BeforeKey) == {BeforeKey(rule.key) for rule in rules.before()}


@pytest.mark.parametrize("key", BeforeKey)
def test_a_thing_is_open_until_its_row_or_its_cell_says_it_is_done(key: BeforeKey) -> None:
    enquiry, firm = OPEN[key]
    found = before(enquiry, firm)
    assert key in open_keys(found)
    assert item(found, key).sure
    ticked = before(replace(enquiry, before=(row(key, done=TODAY),)), firm)
    if key in IN_A_CELL:
        assert key in open_keys(ticked), "only the cell answers it"
    else:
        assert key not in open_keys(ticked)
        assert item(ticked, key).done_at == PLACE


@pytest.mark.parametrize("key", [k for k in BeforeKey if k not in IN_A_CELL])
def test_a_row_adds_what_no_fact_brings_in(key: BeforeKey) -> None:
    found = before(asked(before=(row(key),)))
    assert key in open_keys(found)
    assert item(found, key).sure


def test_what_is_not_known_is_waited_for_and_said_not_to_be_sure() -> None:
    """The cautious answer: nobody looked for cables, nobody knows the age of the house."""
    blank = replace(jobs.NOTHING_NEAR, overhead_cables=None, asbestos_surveyed=None)
    found = before(asked(site=blank, year_built=None))
    assert open_keys(found) == [BeforeKey.SURVEY, BeforeKey.CABLES]
    assert not any(one.sure for one in found.open_items)
    old = before(asked(site=blank, year_built=jobs.number(1974.0)))
    assert item(old, BeforeKey.SURVEY).sure, "an old house needs one, whoever knows of it or not"


@pytest.mark.parametrize(
    ("agreed", "today", "earliest"),
    [
        (None, date(2026, 11, 23), date(2026, 12, 8)),  # taken to be agreed today
        (date(2026, 11, 23), date(2026, 11, 23), date(2026, 12, 8)),
        (date(2026, 11, 23), date(2026, 12, 7), date(2026, 12, 8)),
        (date(2026, 11, 23), date(2026, 12, 8), date(2026, 12, 8)),  # over: nothing is open
        (None, date(2026, 12, 8), date(2026, 12, 23)),
    ],
)
def test_a_consumer_may_cancel_until_the_fourteenth_day_is_over(
    agreed: date | None, today: date, earliest: date
) -> None:
    rows = (row(BeforeKey.ACCEPTANCE, done=agreed),) if agreed else ()
    found = before(of_home_owner(before=rows), on=today)
    assert found.earliest == earliest
    assert found.settled is (today == earliest)


def test_the_fourteen_days_run_through_weekends_and_bank_holidays_in_three_calendars() -> None:
    """Every day of 2026 to 2028, a leap year, by the calendars of Python's library: the last day is
    fourteen leaves on. Consumer Contracts Regulations 2013, regulation 30: days, not working days.
    Bank holidays of England as the library `holidays` has them.
    """
    weeks = calendar.Calendar()
    leaves = sorted(
        {
            day
            for year in (2026, 2027, 2028, 2029)
            for month in (range(1, 13) if year < 2029 else (1,))
            for day in weeks.itermonthdates(year, month)
        }
    )
    first, last = leaves.index(date(2026, 1, 1)), leaves.index(date(2028, 12, 31))
    assert last - first + 1 == 365 + 365 + 366
    bank = country_holidays("GB", subdiv="ENG", years=(2026, 2027, 2028))
    measured, ends = jobs.take_off(of_home_owner(), CERTIFIED), Counter[str]()
    for at in range(first, last + 1):
        agreed, end = leaves[at], leaves[at + 14]
        rows = (row(BeforeKey.ACCEPTANCE, done=agreed),)
        job = replace(measured, enquiry=replace(measured.enquiry, before=rows))
        found = before_start(job, job.options[0], CERTIFIED, agreed)
        assert item(found, BeforeKey.CANCELLATION).until == end, agreed
        ends["bank holiday" if end in bank else "weekend" if end.weekday() > 4 else "other"] += 1
    assert min(ends["bank holiday"], ends["weekend"]) > 20


@pytest.mark.parametrize("kind", [k for k in CustomerKind if k is not CustomerKind.HOME_OWNER])
def test_a_business_may_not_cancel(kind: CustomerKind) -> None:
    made = asked()
    enquiry = replace(made, customer=replace(made.customer, kind=kind))
    assert before(enquiry).items == ()


def test_a_start_asked_for_in_writing_ends_the_wait_for_the_cancellation() -> None:
    assert before(of_home_owner(before=(row(BeforeKey.CANCELLATION, done=TODAY),))).settled


CABLES, CABLE_FIRM = OPEN[BeforeKey.CABLES]


@pytest.mark.parametrize(
    ("done", "expected", "clear_in_days"),
    [
        (None, None, 14),  # the firm's usual wait, from today
        (None, 5, 6),  # the day after it is expected
        (None, 0, 1),
        (None, -1, 14),  # it was promised for yesterday and has not come
        (3, None, 4),  # a day that has not come yet is not done
        (0, None, None),
        (-9, 5, None),
    ],
)
def test_when_a_thing_forbids_nothing_more(
    done: int | None, expected: int | None, clear_in_days: int | None
) -> None:
    days = [None if n is None else TODAY + timedelta(days=n) for n in (done, expected)]
    enquiry = replace(CABLES, before=(row(BeforeKey.CABLES, *days),))
    found = before(enquiry)
    assert found.settled is (clear_in_days is None)
    assert found.earliest == TODAY + timedelta(days=clear_in_days or 0)


def test_the_latest_of_what_is_open_holds_the_start() -> None:
    """Licence three weeks, scaffolder one, from the same day: three weeks."""
    enquiry = asked(
        below=(Below.PAVEMENT,),
        access=Access.SCAFFOLD,
        roof=builders.roof(height_mm=jobs.number(2600.0, "mm")),
    )
    found = before(enquiry)
    assert open_keys(found) == [BeforeKey.LICENCE, BeforeKey.SCAFFOLDER]
    assert found.earliest == TODAY + timedelta(days=21)


def test_a_licence_of_three_weeks_moves_a_start_wanted_next_week() -> None:
    enquiry, firm = OPEN[BeforeKey.LICENCE]
    wanted = TODAY + timedelta(days=7)
    made = laid(replace(enquiry, start_on=wanted), firm)
    first = made.days.worked[0].day
    assert first is not None
    assert first >= TODAY + timedelta(days=21)
    (found,) = check_start(made, replace(enquiry, start_on=wanted))
    assert found.code == "start-too-soon"
    assert "licence" in found.message
    late = replace(enquiry, start_on=TODAY + timedelta(days=30))
    assert check_start(laid(late, firm), late) == []


def test_a_licence_nobody_charged_for_is_not_in_the_price() -> None:
    """Nobody has said what lies underneath: nothing is priced, and the quote must not say it is."""
    enquiry, firm = OPEN[BeforeKey.LICENCE]
    assert item(before(enquiry, firm), BeforeKey.LICENCE).pays is Payer.IN_PRICE
    blind = item(before(replace(enquiry, below=()), firm), BeforeKey.LICENCE)
    assert (blind.pays, blind.sure) == (Payer.DIRECT, False)


def test_a_cost_told_by_whoever_does_it_counts_before_the_usual_one() -> None:
    enquiry, firm = OPEN[BeforeKey.SURVEY]
    usual = item(before(enquiry, firm), BeforeKey.SURVEY).cost
    assert usual == firm["cost_survey"]
    told = builders.given("cost", 240.0, "GBP")
    listed = replace(enquiry, before=(replace(row(BeforeKey.SURVEY), cost=told),))
    assert item(before(listed, firm), BeforeKey.SURVEY).cost == told


def test_a_forecast_too_short_to_hold_the_job_says_nothing_of_it() -> None:
    """Two fair days, and the job may begin on the second: no room, yet no reason to refuse it."""
    expected = TODAY + timedelta(days=1)
    enquiry = replace(CABLES, before=(row(BeforeKey.CABLES, expected=expected),))
    days = forecast([*FAIR], [*FAIR], first=TODAY)
    firm = replace(CERTIFIED, forecast=days)
    made = laid(enquiry, firm)
    assert made.days.refused is None
    assert not made.days.forecast


def test_no_condition_rests_on_the_days_that_are_laid_out_after_it() -> None:
    assert not any("hot_day" in rule.when.facts for rule in rules.before())


@st.composite
def waiting_jobs(draw: st.DrawFn) -> tuple[Enquiry, Settings]:
    """Jobs that wait for this and that, with rows that tick some of it off."""
    enquiry = draw(enquiries())
    near = st.integers(-30, 40).map(lambda days: TODAY + timedelta(days=days))
    keys = draw(st.lists(st.sampled_from(list(BeforeKey)), max_size=5, unique=True))
    rows = [row(key, draw(st.none() | near), draw(st.none() | near)) for key in keys]
    accepted = draw(st.sampled_from([None, *enquiry.build_ups]))
    enquiry = replace(
        enquiry,
        customer=replace(enquiry.customer, kind=draw(st.sampled_from(list(CustomerKind)))),
        accepted=accepted,
        colour=draw(st.sampled_from(["dark grey", "to be agreed"])),
        start_on=draw(st.none() | near),
        before=tuple(one for one in rows if accepted or one.key is not BeforeKey.ACCEPTANCE),
    )
    scheme = draw(st.sampled_from([None, "an invented scheme"]))
    return enquiry, builders.settings(**jobs.NAMED, building_work_scheme=scheme)


@settings(max_examples=40)
@given(waiting_jobs())
def test_nothing_starts_before_what_it_waits_for(job: tuple[Enquiry, Settings]) -> None:
    enquiry, firm = job
    made = laid(enquiry, firm)
    worked = [day.day for day in made.days.worked if day.day is not None]
    for one in made.before.open_items:
        assert one.clear_on <= made.before.earliest
        assert all(day >= one.clear_on for day in worked), one.key
        assert one.gates in Gate
    assert all(day >= TODAY for day in worked)


@settings(max_examples=25)
@given(waiting_jobs())
def test_not_knowing_any_one_thing_opens_more_and_brings_no_start_forward(
    job: tuple[Enquiry, Settings],
) -> None:
    enquiry, firm = job
    known = before(enquiry, firm)
    blind = replace(
        enquiry,
        site=replace(enquiry.site, overhead_cables=None, asbestos_surveyed=None, heated_below=None),
        year_built=None,
    )
    found = before(blind, firm)
    assert set(open_keys(known)) <= set(open_keys(found))
    assert known.earliest <= found.earliest
