"""What one visit to several roofs saves: worked out by hand, and never where it cannot be known."""

import math
from collections.abc import Sequence
from decimal import Decimal
from typing import Any

import pandas as pd
import pytest
from msgspec.structs import replace

from quotegen.documents.customer.schedule_answers import (
    ASK,
    answers_view,
    together_view,
)
from quotegen.documents.shared.remark_words import said
from quotegen.model.choices import Access, Answer, BuildUp, PriceBasis
from quotegen.model.enquiry import Enquiry, Finding
from quotegen.model.quote import Advice, Quote
from quotegen.model.several import DoneTogether, QuotedRoof, Schedule, TogetherKey
from quotegen.pricing.quote import make_quote
from quotegen.pricing.schedule import ADVISED, FULLEST, make_schedule
from quotegen.takeoff.measure import measure
from quotegen.working import Figure, Scalar
from tests.builders import TODAY, canted_bay, enquiry, given, prices, settings

HERE, THERE = "4 Kittiwake Street, Mizzlehaven ZZ1 4AA", "9 Gull Row, Mizzlehaven ZZ2 2AB"
DELIVERED = prices(without=())
UPLIFT = Decimal("1.15") * Decimal("1.20")
"""Overhead of 15 % and profit of 20 %, as the defaults of the firm in these tests have it."""


def quote_of(asked: Enquiry, build_up: BuildUp | None = None, **firm: Scalar | None) -> Quote:
    """A quote whose advice is a build-up, the first one priced unless given."""
    own = settings(overhead_pct=15, profit_pct=20, **firm)
    take_off, _ = measure(asked, own, DELIVERED, TODAY)
    assert take_off is not None
    quote, _ = make_quote(take_off, own, DELIVERED, TODAY)
    return replace(quote, advised=Advice(build_up or quote.options[0].build_up))


def pair(
    addresses: Sequence[str] = (HERE, THERE),
    access: Sequence[Access] = (Access.TOWER, Access.TOWER),
    firm: dict[str, Scalar | None] | None = None,
    **changes: Any,
) -> Schedule:
    quotes = [
        quote_of(
            enquiry(
                canted_bay(),
                ref=f"T-0{number}",
                site_address=address,
                access=way,
                build_ups=(BuildUp.NEW_DECK,),
                **changes,
            ),
            None,
            **(firm or {}),
        )
        for number, (address, way) in enumerate(zip(addresses, access, strict=True), start=1)
    ]
    return make_schedule([QuotedRoof(quote, 0) for quote in quotes])


def together(schedule: Schedule) -> DoneTogether:
    assert schedule.together is not None
    return schedule.together


def amounts(schedule: Schedule) -> dict[str, Decimal | None]:
    return {
        one.said.key.value: one.amount.money if one.amount else None
        for one in together(schedule).savings
    }


def test_one_delivery_and_one_tower_by_hand() -> None:
    """The shop of these tests asks 20.00 for a delivery and for a week of tower.

    Two deliveries become one: 20.00 x 1.15 x 1.20 = 27.60. Each roof has its tower for a week; in a
    row they stand 4 days, in one week of 5: one week fewer, 27.60 again.
    """
    schedule = pair()
    for roof in schedule.roofs:
        (option,) = roof.quote.options
        assert option.take_off.programme.stands.number == 2
        assert option.take_off.order.deliveries.money == Decimal("20.00")
    assert amounts(schedule) == {
        "one-delivery": Decimal("27.60"),
        "one-tower": Decimal("27.60"),
        "way-between": None,
    }
    saved = together(schedule).totals
    assert saved is not None
    assert saved.vat is not None
    assert saved.net.money == Decimal("55.20")
    assert (saved.vat.money, saved.total.money) == (Decimal("11.04"), Decimal("66.24"))


def test_a_long_row_of_days_needs_more_than_one_week() -> None:
    """Three roofs of 2 days in a row: 6 days, 2 weeks of 5, one week fewer than three apart."""
    schedule = pair((HERE, THERE, "1 Far Lane"), (Access.TOWER,) * 3)
    (tower,) = [s for s in together(schedule).savings if s.said.key is TogetherKey.ONE_TOWER]
    assert tower.amount is not None
    assert tower.amount.money == Decimal("27.60")
    assert "2 in a row, 1 fewer" in said(tower.said)


def hours_of(visits: Figure) -> list[float]:
    assert isinstance(visits.value, tuple)
    return [float(hours) for hours in visits.value if isinstance(hours, float)]


def test_one_drive_a_day_to_one_address() -> None:
    """90 minutes each way where 30 are allowed: 2 h a day for each person, at 28.00 an hour.

    Two people for two days: 2 x 2 x 2 x 28.00 = 224.00 for each roof. The hours of both roofs fit
    into the days that one visit takes, so what is saved is the days fewer at 112.00 each.
    """
    firm: dict[str, Scalar | None] = {"travel_allowed_min": 30}
    schedule = pair((HERE, HERE.upper()), firm=firm, travel_min=given("way", 90.0, "min"))
    options = [roof.quote.options[0].take_off for roof in schedule.roofs]
    hours = sum(sum(hours_of(option.programme.visit_h)) for option in options)
    days = max(2, math.ceil(hours / 8))
    assert days < 4
    (drive,) = [s for s in together(schedule).savings if s.said.key is TogetherKey.FEWER_DAYS]
    assert drive.amount is not None
    assert drive.amount.money == (4 - Decimal(days)) * 112 * UPLIFT


def test_what_cannot_be_known_is_asked_for() -> None:
    apart = together(pair())
    assert [s.amount for s in apart.savings if s.said.key is TogetherKey.WAY_BETWEEN] == [None]
    one_site = amounts(pair((HERE, HERE), (Access.SCAFFOLD, Access.SCAFFOLD)))
    assert one_site["scaffold-shared"] is None
    assert "way-between" not in one_site
    two_sites = amounts(pair((HERE, THERE), (Access.SCAFFOLD, Access.SCAFFOLD)))
    assert two_sites["scaffold-each"] == 0
    mixed = amounts(pair((HERE, THERE), (Access.TOWER, Access.SCAFFOLD)))
    assert mixed["reached-otherwise"] == 0
    assert [row.amount for row in together_view(apart).savings].count(ASK) == 1


def test_what_is_told_as_saved_comes_off_and_what_the_firm_keeps_is_not_told() -> None:
    schedule = pair()
    found = together(schedule)
    view, answers = together_view(found), answers_view(schedule)
    advised = next(one for one in schedule.sums if one.words == ADVISED)
    assert view.saved == "Saved in all: £55.20 before VAT."
    assert found.price is not None
    assert found.price.vat is not None
    assert found.price.total.money == advised.total.money - Decimal("66.24")
    assert found.price.net.money + found.price.vat.money == found.price.total.money
    assert "T-01 and T-02 are done in one visit" in view.condition
    assert answers.together is not None
    assert answers.together.amount == view.lower == f"£{found.price.total.money:,.2f}"
    kept = pair(firm={"together_passed_on": False})
    assert (kept.together, answers_view(kept).together) == (None, None)


def test_one_roof_or_none_advised_saves_nothing_together() -> None:
    one = quote_of(enquiry(build_ups=(BuildUp.NEW_DECK,)))
    none = replace(one, advised=Advice(None), enquiry=replace(one.enquiry, ref="T-02"))
    schedule = make_schedule([QuotedRoof(one, 0), QuotedRoof(none, 0)])
    assert schedule.together is None
    advised = next(s for s in schedule.sums if s.words == ADVISED)
    assert advised.refs == (one.enquiry.ref,)


def test_an_accepted_option_is_what_is_done_whatever_was_advised() -> None:
    asked = enquiry(build_ups=(BuildUp.CAP_OVER, BuildUp.NEW_DECK), accepted=BuildUp.CAP_OVER)
    quote = quote_of(asked, BuildUp.NEW_DECK)
    (roof,) = make_schedule([QuotedRoof(quote, 0)]).roofs
    assert roof.advised is quote.option(BuildUp.CAP_OVER)


def test_the_sums_by_pandas() -> None:
    """The totals of what is advised and of the fullest, added up by pandas from the options."""
    quotes = [
        quote_of(enquiry(ref="T-01", build_ups=(BuildUp.CAP_OVER, BuildUp.NEW_DECK))),
        quote_of(
            enquiry(ref="T-02", build_ups=(BuildUp.CAP_OVER, BuildUp.NEW_DECK)), BuildUp.NEW_DECK
        ),
        quote_of(enquiry(ref="T-03", build_ups=(BuildUp.CAP_OVER,))),
    ]
    schedule = make_schedule([QuotedRoof(quote, 0) for quote in quotes])
    rows = pd.DataFrame(
        [
            {
                "ref": quote.enquiry.ref,
                "advised": quote.advised is not None and option.build_up is quote.advised.build_up,
                "rank": list(BuildUp).index(option.build_up),
                "net": int(option.totals.net.money * 100),
                "total": int(option.totals.total.money * 100),
            }
            for quote in quotes
            for option in quote.options
        ]
    )
    by_words = {one.words: one for one in schedule.sums}
    advised = rows[rows["advised"]]
    fullest = rows.loc[rows.groupby("ref")["rank"].idxmax()]
    for words, frame in ((ADVISED, advised), (FULLEST, fullest)):
        assert int(by_words[words].total.money * 100) == frame["total"].sum()
        assert int(by_words[words].net.money * 100) == frame["net"].sum()


@pytest.mark.parametrize("answer", [None, Answer.DO_IT])
def test_the_fullest_holds_the_structural_work_that_is_advised(answer: Answer | None) -> None:
    """Two metres of joist at 60.00 a metre: 120.00 x 1.20 of VAT is 144.00 more."""
    asked = enquiry(build_ups=(BuildUp.NEW_DECK,))
    joists = Finding(
        asked.place, "Two joists soft", "It drops", "Renew them", PriceBasis.FIXED, None,
        given("price", Decimal("120.00"), "GBP"), answer, structural=True,
    )  # fmt: skip

    def fullest(*findings: Finding) -> Decimal:
        schedule = make_schedule([QuotedRoof(quote_of(replace(asked, findings=findings)), 0)])
        return next(one for one in schedule.sums if one.words == FULLEST).total.money

    assert fullest(joists) - fullest() == Decimal("144.00")
    assert fullest(replace(joists, answer=Answer.DECLINED)) == fullest()


def test_the_acceptance_has_every_option_and_every_finding_still_to_answer() -> None:
    asked = enquiry(build_ups=(BuildUp.CAP_OVER, BuildUp.NEW_DECK))
    price = given("price", Decimal("50.00"), "GBP")
    guard = Finding(
        asked.place, "No guard", "It blocks", "Fit a guard.", PriceBasis.FIXED, None, price, None
    )
    said_no = replace(guard, advised="Point the wall", answer=Answer.DECLINED)
    quote = quote_of(replace(asked, findings=(guard, said_no)))
    (row,) = answers_view(make_schedule([QuotedRoof(quote, 0)])).rows
    assert [box.words for box in row.options] == ["Option A: Cap over", "Option B: New deck"]
    assert [box.amount for box in row.options] == [
        f"£{option.totals.total.money:,.2f}" for option in quote.options
    ]
    assert [(box.number, box.words) for box in row.findings] == [
        ("1", "Fit a guard: £60.00."),
        ("2", "Point the wall: £60.00."),
    ]
