"""Prices: lines that add up to the penny, VAT by hand, deposits, findings, extras, rates."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given as over
from hypothesis import settings as tuned
from hypothesis import strategies as st

from quotegen.model.enquiry import (
    Answer,
    BuildUp,
    Customer,
    CustomerKind,
    DeckCondition,
    Enquiry,
    Existing,
    Extra,
    Finding,
    PriceBasis,
    SiteFacts,
    WallJoint,
)
from quotegen.model.quote import Quote
from quotegen.pricing.money import percentage_of, selling_price, totals
from quotegen.pricing.quote import make_quote
from quotegen.problems import Problem
from quotegen.reference import loader as reference
from quotegen.takeoff.measure import measure
from tests import builders

given = builders.given
PLACE = builders.enquiry().place


def quoted(enquiry: Enquiry, **settings: object) -> tuple[Quote, list[Problem]]:
    firm, prices = builders.settings(**settings), builders.prices()
    take_off, _ = measure(enquiry, firm, prices, builders.TODAY)
    assert take_off is not None
    return make_quote(take_off, firm, prices, builders.TODAY)


def all_three() -> Enquiry:
    return builders.enquiry(
        build_ups=tuple(BuildUp), insulation_mm=given("insulation", 130.0, "mm")
    )


def finding(answer: Answer | None, price: str = "85.00") -> Finding:
    return Finding(
        place=PLACE,
        seen="Fascia soft at the corner",
        if_left="The gutter brackets will pull out",
        advised="Replace the fascia",
        basis=PriceBasis.FIXED,
        quantity=None,
        fixed_price=given("price", Decimal(price), "GBP"),
        answer=answer,
    )


def test_lines_add_up_to_the_penny() -> None:
    quote, problems = quoted(all_three())
    assert problems == []
    assert [option.build_up for option in quote.options] == list(BuildUp)
    for option in quote.options:
        net = sum(line.amount.money for line in option.lines)
        assert option.totals.net.money == net
        assert option.totals.vat is not None
        assert option.totals.total.money == net + option.totals.vat.money
        assert option.deposit.money + option.balance.money == option.totals.total.money
        for line in option.lines:
            assert line.amount.money == line.amount.money.quantize(Decimal("0.01"))


@over(st.decimals(5, 80, places=2), st.integers(0, 60), st.integers(0, 60))
@tuned(max_examples=20, deadline=None)
def test_lines_add_up_whatever_the_rates(hour: Decimal, overhead_pct: int, profit_pct: int) -> None:
    quote, _ = quoted(
        builders.enquiry(),
        labour_cost_per_hour=hour,
        overhead_pct=overhead_pct,
        profit_pct=profit_pct,
    )
    option = quote.options[0]
    assert sum(line.amount.money for line in option.lines) == option.totals.net.money
    assert option.totals.net.money >= option.cost.money - Decimal("0.10")


def test_vat_worked_by_hand() -> None:
    """20 % of 2,500.00 is 500.00; of 1,234.56 it is 246.912, in pence 246.91."""
    assert percentage_of(Decimal("2500.00"), 20) == Decimal("500.00")
    assert percentage_of(Decimal("1234.56"), 20) == Decimal("246.91")
    assert percentage_of(Decimal("1234.58"), 20) == Decimal("246.92")


def test_selling_price_worked_by_hand() -> None:
    """827.53 with 15 % and then 15 % is 827.53 x 1.3225 = 1094.408."""
    assert selling_price(Decimal("827.53"), 15, 15) == Decimal("1094.41")


def test_the_vat_rate_is_the_one_in_force() -> None:
    """17.5 % until 3 January 2011, 20 % from the 4th (VAT Act 1994 s.2). From memory."""
    assert reference.entry("vat.standard_rate_pct", date(2011, 1, 3)).value == 17.5
    assert reference.entry("vat.standard_rate_pct", date(2011, 1, 4)).value == 20
    with pytest.raises(reference.ReferenceFileError, match="depends on the date"):
        reference.entry("vat.standard_rate_pct")
    amount = given("net", Decimal("100.00"), "GBP")
    made = totals([amount], builders.settings(), date(2011, 1, 3))
    assert made.vat is not None
    assert made.vat.money == Decimal("17.50")


def test_a_firm_not_registered_charges_no_vat_and_shows_none() -> None:
    quote, _ = quoted(builders.enquiry(), vat_registered=False)
    made = quote.options[0].totals
    assert (made.vat, made.vat_rate) == (None, None)
    assert made.total.money == made.net.money


def test_a_home_owner_pays_a_deposit_and_a_landlord_does_not() -> None:
    owner = Customer("Mr Fulmar", CustomerKind.HOME_OWNER, "2 Gull Row")
    option = quoted(builders.enquiry(customer=owner))[0].options[0]
    assert option.deposit.money == percentage_of(option.totals.total.money, 25)
    assert quoted(builders.enquiry())[0].options[0].deposit.money == 0


def test_work_to_be_done_is_in_every_option_and_the_rest_is_apart() -> None:
    plain, _ = quoted(all_three())
    for answer in (Answer.PRICE_APART, Answer.DECLINED, None):
        apart, _ = quoted(replace(all_three(), findings=(finding(answer),)))
        for before, after in zip(plain.options, apart.options, strict=True):
            assert after.totals.total.money == before.totals.total.money
        assert apart.findings[0].totals is not None
        assert apart.findings[0].totals.net.money == Decimal("85.00")
    done, _ = quoted(replace(all_three(), findings=(finding(Answer.DO_IT),)))
    for before, after in zip(plain.options, done.options, strict=True):
        assert after.totals.net.money == before.totals.net.money + Decimal("85.00")


def test_what_was_declined_stands_under_what_is_left_undone() -> None:
    quote, _ = quoted(builders.enquiry(findings=(finding(Answer.DECLINED),)))
    assert "Declined: replace the fascia" in quote.options[0].leaves_undone


def test_a_finding_by_the_metre_is_priced_at_the_agreed_rate() -> None:
    """0.5 h at 28.00 and a metre at 20.00 is 34.00, x 1.3225 = 44.97; three metres 134.91."""
    by_metre = replace(
        finding(Answer.PRICE_APART),
        basis=PriceBasis.FASCIA,
        quantity=given("metres", 3.0, "m"),
        fixed_price=None,
    )
    quote, _ = quoted(builders.enquiry(findings=(by_metre,)))
    fascia = quote.provisional_rates[0]
    assert (fascia.unit, fascia.totals.net.money) == ("metre", Decimal("44.97"))
    assert quote.findings[0].totals is not None
    assert quote.findings[0].totals.net.money == Decimal("134.91")


def test_extras_included_and_offered() -> None:
    def extra(included: bool) -> Extra:
        price = given("price", Decimal("12.50"), "GBP")
        return Extra(PLACE, "Leaf guard", given("metres", 3.0, "m"), "m", price, included)

    plain, _ = quoted(builders.enquiry())
    included, _ = quoted(builders.enquiry(extras=(extra(True),)))
    offered, _ = quoted(builders.enquiry(extras=(extra(False),)))
    net = plain.options[0].totals.net.money
    assert included.options[0].totals.net.money == net + Decimal("37.50")
    assert offered.options[0].totals.net.money == net
    assert offered.extras[0].totals.net.money == Decimal("37.50")


def test_a_small_job_is_lifted_to_the_smallest_price() -> None:
    quote, _ = quoted(builders.enquiry(builders.canted_bay()), smallest_job=Decimal(2000))
    assert quote.options[0].totals.net.money == Decimal("2000.00")
    assert quote.options[0].lines[-1].words == "Small-job charge"


def test_a_missing_price_for_an_agreed_rate_is_a_problem() -> None:
    firm = builders.settings()
    prices = builders.prices(without=("joist",))
    take_off, problems = measure(builders.enquiry(), firm, prices, builders.TODAY)
    assert take_off is not None
    assert problems == []
    _, problems = make_quote(take_off, firm, prices, builders.TODAY)
    assert [(p.code, p.seen, p.stops) for p in problems] == [("price-missing", "joist", True)]


def test_a_trade_customer_brings_the_reverse_charge_to_mind() -> None:
    trade = Customer("Skua Builders", CustomerKind.TRADE, "Unit 1")
    _, problems = quoted(builders.enquiry(customer=trade))
    assert [(p.code, p.stops) for p in problems] == [("reverse-charge-possible", False)]


def test_packs_that_keep_are_charged_as_used_unless_the_firm_says_whole() -> None:
    used = quoted(builders.enquiry())[0].options[0].cost.money
    whole = quoted(builders.enquiry(), part_packs="the whole pack")[0].options[0].cost.money
    assert whole > used


def test_each_option_says_what_it_leaves() -> None:
    quote, _ = quoted(
        replace(
            all_three(),
            wall_joint=WallJoint.KEEP_LEAD,
            site=SiteFacts(heated_below=True),
            existing=Existing(
                builders.enquiry().existing.covering,
                None,
                builders.enquiry().existing.deck,
                DeckCondition.SOUND,
            ),
        )
    )
    left = {option.build_up: " / ".join(option.leaves_undone) for option in quote.options}
    assert "old deck stays" in left[BuildUp.CAP_OVER]
    assert "old deck stays" not in left[BuildUp.NEW_DECK]
    assert "0.16" in left[BuildUp.NEW_DECK]
    assert "insulation" not in left[BuildUp.NEW_DECK_INSULATED].lower()
    assert "old lead flashing stays" in left[BuildUp.NEW_DECK]


def test_an_unheated_garage_is_not_told_about_insulation() -> None:
    quote, _ = quoted(builders.enquiry(site=SiteFacts(heated_below=False)))
    assert "building control" not in " ".join(quote.options[0].leaves_undone)


def test_validity_and_terms() -> None:
    quote, _ = quoted(builders.enquiry())
    assert (quote.valid_until - quote.dated).days == 30
    assert quote.exclusions
    assert all(term.applies_to in ("", "new deck") for term in quote.exclusions)
