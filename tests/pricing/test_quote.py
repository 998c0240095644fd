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
    Below,
    BuildUp,
    Covering,
    Customer,
    CustomerKind,
    Deck,
    DeckCondition,
    Enquiry,
    Existing,
    Extra,
    Finding,
    Opening,
    OpeningKind,
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
    assert "No insulation is added" in left[BuildUp.NEW_DECK]
    assert "insulation" not in left[BuildUp.NEW_DECK_INSULATED].lower()
    assert "old lead flashing stays" in left[BuildUp.NEW_DECK]


def existing(condition: DeckCondition, covering: Covering = Covering.FELT) -> Existing:
    return Existing(covering, None, Deck.SHEET, condition)


def included(enquiry: Enquiry) -> dict[BuildUp, str]:
    """What each option includes, in one text each."""
    quote, _ = quoted(enquiry)
    return {option.build_up: " / ".join(option.includes) for option in quote.options}


def test_insulation_goes_over_a_sound_deck_and_its_board_over_the_insulation() -> None:
    words = included(replace(all_three(), existing=existing(DeckCondition.SOUND)))
    insulated = words[BuildUp.NEW_DECK_INSULATED]
    assert "130 mm of insulation over the old deck / 18 mm " in insulated
    assert "board over the insulation" in insulated
    assert "new deck" not in insulated
    assert "Take up" not in insulated
    assert "board over the old deck" in words[BuildUp.CAP_OVER]
    assert "board as the new deck" in words[BuildUp.NEW_DECK]


def test_a_rotten_deck_is_replaced_below_the_insulation_too() -> None:
    words = included(replace(all_three(), existing=existing(DeckCondition.ROTTEN)))
    insulated = words[BuildUp.NEW_DECK_INSULATED]
    assert "board as the new deck, screwed to the joists / Vapour" in insulated
    assert "over the new deck / 18 mm " in insulated
    assert "board over the insulation" in insulated


def test_tongued_boards_are_called_so_only_where_they_are_bought() -> None:
    for quoted_option in quoted(all_three())[0].options:
        items = {need.item for need in quoted_option.take_off.needs}
        tongued = any(item.startswith("tongued_board_") for item in items)
        assert ("tongued board" in " ".join(quoted_option.includes)) is tongued


def test_old_fibreglass_that_is_capped_stays_and_is_not_stripped() -> None:
    stuck = existing(DeckCondition.SOUND, Covering.OLD_GRP)
    quote, _ = quoted(replace(all_three(), existing=stuck))
    for option in quote.options:
        off = any(strip.words == "old fibreglass" for strip in option.take_off.strip)
        assert ("Strip the old fibreglass" in " ".join(option.includes)) is off
        assert ("The old covering stays" in " ".join(option.leaves_undone)) is not off


def test_old_fibreglass_and_a_colour_not_yet_chosen_read_as_english() -> None:
    (words,) = included(
        builders.enquiry(
            colour="To be agreed", existing=existing(DeckCondition.SOFT, Covering.OLD_GRP)
        )
    ).values()
    assert "Strip the old fibreglass and" in words
    assert "topcoat, colour to be agreed" in words


def test_barriers_and_the_licence_are_named_where_they_are_priced() -> None:
    (street,) = included(builders.enquiry(below=(Below.PAVEMENT,))).values()
    (garden,) = included(builders.enquiry(below=(Below.GARDEN,))).values()
    for words in ("Barriers", "highway authority's licence"):
        assert words in street
        assert words not in garden


def test_every_opening_is_named() -> None:
    openings = tuple(
        Opening(PLACE, kind, given("count", 1.0, "each"), given("length", 900.0, "mm"),
                given("width", 600.0, "mm"), given("kerb", 150.0, "mm"))
        for kind in OpeningKind
    )  # fmt: skip
    quote, _ = quoted(builders.enquiry(openings=openings))
    words = " / ".join(quote.options[0].includes)
    for place in ("every rooflight kerb", "round every pipe", "A new outlet"):
        assert place in words
    assert "glazing of the rooflight" in " ".join(quote.options[0].leaves_undone)


def test_firrings_that_are_ordered_do_not_leave_the_fall_as_it_is() -> None:
    def fall_stays(answer: Answer) -> bool:
        firrings = replace(
            finding(answer), basis=PriceBasis.FIRRINGS, quantity=given("metres", 6.0, "m")
        )
        quote, _ = quoted(builders.enquiry(findings=(firrings,)))
        return "The fall of the roof stays" in " ".join(quote.options[0].leaves_undone)

    assert fall_stays(Answer.DECLINED)
    assert not fall_stays(Answer.DO_IT)


def test_declined_boards_are_not_left_undone_where_the_old_deck_comes_up() -> None:
    boards = replace(
        finding(Answer.DECLINED), basis=PriceBasis.BOARD, quantity=given("boards", 3.0, "each")
    )
    asked = replace(all_three(), existing=existing(DeckCondition.SOUND), findings=(boards,))
    left = {o.build_up: " ".join(o.leaves_undone) for o in quoted(asked)[0].options}
    assert "Declined" in left[BuildUp.CAP_OVER]
    assert "Declined" in left[BuildUp.NEW_DECK_INSULATED]
    assert "Declined" not in left[BuildUp.NEW_DECK]


def test_validity_and_terms() -> None:
    quote, _ = quoted(builders.enquiry())
    assert (quote.valid_until - quote.dated).days == 30
    assert quote.exclusions
    assert all(term.applies_to in ("", "new deck") for term in quote.exclusions)
