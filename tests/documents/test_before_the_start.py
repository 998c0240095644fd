"""What a job waits for is said alike on the quote, the order, the statement and the day sheet.

Read from the filled templates: what the customer, the merchant and the crew see.
"""

import html
import re
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from msgspec.structs import replace

from quotegen.documents.crew.day_sheet import DAY_SHEET
from quotegen.documents.crew.order import NOT_YET, ORDER, STANDS, order_view
from quotegen.documents.customer.quote import QUOTE, quote_view
from quotegen.documents.customer.quote_start import WHO_PAYS_EXTRA
from quotegen.documents.customer.schedule import SCHEDULE
from quotegen.documents.safety.method import METHOD, method_view
from quotegen.documents.safety.phase_plan import PHASE_PLAN, phase_plan_view
from quotegen.documents.safety.site_card import site_card_view
from quotegen.documents.safety.tenant_notice import tenant_notice_view
from quotegen.documents.shared.before_words import days_words, hold_lines, open_words
from quotegen.model.choices import BuildUp
from quotegen.model.enquiry import Enquiry
from quotegen.model.prestart.row import BeforeRow
from quotegen.model.quote import Quote
from quotegen.model.safety import MethodStatement
from quotegen.model.settings import Settings
from quotegen.model.several import QuotedRoof
from quotegen.pricing.quote import make_quote
from quotegen.pricing.schedule import make_schedule
from quotegen.problems import stopping
from quotegen.reference import rules
from quotegen.reference.rule_keys import BeforeKey
from quotegen.safety.statement.construction_plan import make_plan
from quotegen.safety.statement.laying_out import lay_out, offered_start
from quotegen.safety.statement.statement import make_statement
from quotegen.takeoff.measure import measure
from tests import builders
from tests.documents.conftest import ISSUE
from tests.safety.test_prestart import (
    CERTIFIED,
    OPEN,
    TODAY,
    asked,
    of_home_owner,
    row,
    waiting_jobs,
)


def worked(
    enquiry: Enquiry, firm: Settings = CERTIFIED, on: date = TODAY
) -> tuple[Quote, MethodStatement] | None:
    """The quote and the statement of a job, as a run makes them; None where a stop is found."""
    prices = builders.prices()
    take_off, found = measure(enquiry, firm, prices, on)
    if take_off is None or stopping(found, enquiry.ref):
        return None
    quote, _ = make_quote(take_off, firm, prices, on)
    laid = lay_out(take_off, firm, on)
    start = offered_start(take_off, firm, laid)
    return replace(quote, start=start), make_statement(take_off, firm, on, laid)


def made(
    enquiry: Enquiry, firm: Settings = CERTIFIED, on: date = TODAY
) -> tuple[Quote, MethodStatement]:
    found = worked(enquiry, firm, on)
    assert found is not None
    return found


def text(page: str) -> str:
    """The words of a filled template, without its tags."""
    return " ".join(html.unescape(re.sub(r"<[^>]*>", " ", page)).split())


def told_on_quote(quote: Quote) -> str:
    view = quote_view(quote, ISSUE).start
    return " ".join([*(one.what for one in view.rows), view.perhaps]).lower()


@pytest.mark.parametrize("key", BeforeKey)
def test_every_open_thing_stands_on_every_paper(key: BeforeKey) -> None:
    """The survey that the statement asks for is on the quote, with who, how much and how long."""
    quote, statement = made(*OPEN[key])
    (rule,) = [rule for rule in rules.before() if rule.key == key]
    quoted = text(QUOTE.html(quote, ISSUE))
    stated, ordered, day = (
        text(paper.html(statement, ISSUE)) for paper in (METHOD, ORDER, DAY_SHEET)
    )
    waits = rule.waits.partition("{")[0].strip()
    assert waits in ordered
    assert NOT_YET in ordered
    assert STANDS not in ordered
    assert waits in day
    assert (rule.hold or waits) in stated
    assert (rule.hold or waits) in text(PHASE_PLAN.html(make_plan(statement), ISSUE))
    if key is not BeforeKey.ACCEPTANCE:  # that is what the quote itself asks for
        page_one = quoted.partition("What we found")[0]
        assert rule.what.partition("{")[0].strip() in page_one
        assert rule.who in page_one


@settings(max_examples=15)
@given(waiting_jobs())
def test_each_open_thing_stands_on_quote_order_and_statement_alike(
    job: tuple[Enquiry, Settings],
) -> None:
    pair = worked(*job)
    if pair is None:
        return
    quote, statement = pair
    before = statement.before
    order, method = order_view(statement, ISSUE), method_view(statement, ISSUE)
    plan = phase_plan_view(make_plan(statement), ISSUE)
    for words in open_words(before):
        assert words in order.hold
    holds = hold_lines(before)
    front = (*site_card_view(statement, ISSUE).holds, *method.cautions)
    assert [line for line in holds if front.count(line) != 1] == []
    assert plan.no_start == holds
    assert bool(order.hold) is bool(holds) is not before.settled
    said = told_on_quote(quote)
    for rule in rules.before():
        what = rule.what.partition("{")[0].strip().lower()
        is_open = any(item.key == rule.key for item in before.open_items)
        if is_open and rule.key != BeforeKey.ACCEPTANCE:
            assert what in said
    assert before.settled or not tenant_notice_view(statement, ISSUE).dated


def test_an_order_does_not_stand_while_the_customer_may_cancel() -> None:
    agreed = row(BeforeKey.ACCEPTANCE, done=TODAY)
    until = TODAY + timedelta(days=14)
    for on, stands in ((TODAY, False), (until, False), (until + timedelta(days=1), True)):
        _, statement = made(of_home_owner(before=(agreed,)), on=on)
        view = order_view(statement, ISSUE)
        assert (view.hold == "") is stands
        assert "14 days to cancel" in view.hold or stands


def test_a_job_with_nothing_open_is_ordered_and_says_nothing_of_waiting() -> None:
    quote, statement = made(asked())
    assert order_view(statement, ISSUE).hold == ""
    assert hold_lines(statement.before) == ()
    assert "No start yet" not in text(DAY_SHEET.html(statement, ISSUE)).partition("The days")[0]
    view = quote_view(quote, ISSUE).start
    assert (view.rows, view.perhaps, view.extra) == ((), "", "")
    assert view.words.startswith("We agree the first day with you")


def test_a_cost_nobody_knows_is_not_asserted_and_one_not_in_the_price_says_who_pays() -> None:
    quote, _ = made(*OPEN[BeforeKey.CONTROL])
    (control,) = quote_view(quote, ISSUE).start.rows
    assert control.cost == "extra"
    assert quote_view(quote, ISSUE).start.extra == WHO_PAYS_EXTRA
    quote, _ = made(*OPEN[BeforeKey.SURVEY])
    (survey,) = quote_view(quote, ISSUE).start.rows
    assert survey.cost == "extra, about £300.00"
    assert survey.takes == "2 weeks"
    quote, _ = made(*OPEN[BeforeKey.LICENCE])
    (licence, *_) = quote_view(quote, ISSUE).start.rows
    assert (licence.cost, licence.takes) == ("in the price", "3 weeks")


WANTED = date(2026, 12, 29)


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"accepted": None}, "We agree the first day with you when you say yes."),
        (
            {"accepted": None, "start_on": WANTED},
            "We agree the first day with you when you say yes.",
        ),
        ({"start_on": WANTED}, "We start on Tuesday 29 December 2026."),
        ({}, "We agree the first day with you."),
        (
            {"accepted": None, "before": (row(BeforeKey.CABLES),)},
            "We can start about 2 weeks after you say yes, once this is settled.",
        ),
        (
            {"before": (row(BeforeKey.CABLES),)},
            "We agree the first day with you, once this is settled.",
        ),
        (  # wanted for a day, which is not agreed while the licence is open
            {"start_on": WANTED, "before": (row(BeforeKey.LICENCE),)},
            "We agree the first day with you, once this is settled.",
        ),
    ],
)
def test_the_start_is_named_in_the_quote_with_the_days_it_takes(
    changes: dict[str, object], says: str
) -> None:
    quote, _ = made(asked(**changes))
    words = quote_view(quote, ISSUE).start.words
    assert words.startswith(says)
    days = quote.options[0].take_off.programme.days.number
    assert f"about {days:g} day" in words


DAY = re.compile(r"\b\d{1,2} (?:Nov|Dec|Jan)")
"""A day as any paper names it, in the months of these jobs."""


@pytest.mark.parametrize("before", [(), (row(BeforeKey.CABLES),)])
@pytest.mark.parametrize("accepted", [None, BuildUp.NEW_DECK])
def test_the_schedule_says_of_the_start_what_the_quote_says(
    before: tuple[BeforeRow, ...], accepted: BuildUp | None
) -> None:
    """A day is named only where it is agreed: chosen, asked for, and nothing open any more."""
    quote, _ = made(asked(accepted=accepted, before=before, start_on=WANTED))
    when = quote_view(quote, ISSUE).start.when
    assert bool(DAY.search(when)) is (accepted is not None and not before)
    said = text(SCHEDULE.html(make_schedule([QuotedRoof(quote, 0)]), ISSUE))
    assert f"Start: {when}" in said
    assert "provisional" not in said


def test_the_schedule_names_what_its_totals_leave_out() -> None:
    quote, _ = made(*OPEN[BeforeKey.SURVEY])
    (survey,) = quote_view(quote, ISSUE).start.rows
    said = text(SCHEDULE.html(make_schedule([QuotedRoof(quote, 0)]), ISSUE))
    assert f"Not in these totals: asbestos {survey.what.partition(' ')[2]} ({survey.cost};" in said
    assert WHO_PAYS_EXTRA in said


def test_the_quote_says_what_happens_when_rain_catches_the_roof_open() -> None:
    quote, _ = made(asked())
    assert "if rain catches it open, we stay" in text(QUOTE.html(quote, ISSUE))


def test_what_only_one_option_needs_names_its_letter() -> None:
    enquiry, firm = OPEN[BeforeKey.STRUCTURE]
    ups = (BuildUp.NEW_DECK, BuildUp.NEW_DECK_INSULATED)
    offered = replace(
        enquiry, accepted=None, build_ups=ups, insulation_mm=builders.given("i", 100.0, "mm")
    )
    quote, _ = made(offered, firm)
    changes = [option.take_off.weight_change_pct for option in quote.options]
    assert all(changes)
    between = sum(change.number for change in changes if change) / 2
    limit = builders.given("limit", between, "%")
    firm = replace(firm, figures={**firm.figures, "weight_change_pct": limit})
    quote, _ = made(offered, firm)
    (structure,) = quote_view(quote, ISSUE).start.rows
    assert structure.what.endswith("(option B)")


def test_days_are_told_in_weeks_where_they_are_some() -> None:
    assert [days_words(n) for n in (1, 7, 10, 21)] == ["1 day", "1 week", "10 days", "3 weeks"]
