"""Prices: lines that add up to the penny, VAT by hand, deposits, findings, extras, rates."""

from collections.abc import Iterable
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from math import ceil

import pytest
from hypothesis import given as over
from hypothesis import settings as tuned
from hypothesis import strategies as st
from msgspec.structs import replace

from quotegen import wording
from quotegen.documents.customer.side_by_side import NOTHING, price_rows
from quotegen.documents.shared.remark_words import SaidLine, said, said_lines
from quotegen.model.choices import (
    Access,
    Answer,
    Below,
    BuildUp,
    ComesOff,
    Covering,
    CustomerKind,
    Deck,
    DeckCondition,
    OpeningKind,
    PriceBasis,
    Size,
    WallJoint,
)
from quotegen.model.enquiry import Customer, Enquiry, Existing, Extra, Finding, Opening, SiteFacts
from quotegen.model.quote import Quote
from quotegen.model.settings import PriceBook
from quotegen.model.takeoff import Stage
from quotegen.pricing.costs import line_cost
from quotegen.pricing.money import percentage_of, selling_price, totals
from quotegen.pricing.provisional import finding_price, provisional_rates, rate_figures
from quotegen.pricing.quote import make_quote
from quotegen.problems import Problem
from quotegen.reference import loader as reference
from quotegen.reference.item_kinds import ItemKind
from quotegen.reference.remark_keys import Included, Undone
from quotegen.reference.remarks import Remark
from quotegen.tables import ReferenceFileError
from quotegen.takeoff.hours.agreed import AGREED_WORK
from quotegen.takeoff.measure import measure
from quotegen.units import Unit
from quotegen.working import Scalar
from tests import builders

given = builders.given
PLACE = builders.enquiry().place


def quoted(enquiry: Enquiry, **settings: Scalar | None) -> tuple[Quote, list[Problem]]:
    firm, prices = builders.settings(**settings), builders.prices()
    take_off, _ = measure(enquiry, firm, prices, builders.TODAY)
    assert take_off is not None
    return make_quote(take_off, firm, prices, builders.TODAY)


def in_one(lines: Iterable[Remark]) -> str:
    """The words of lines of an offer in one text."""
    return " / ".join(map(said, lines))


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
@tuned(max_examples=20)
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
    with pytest.raises(ReferenceFileError, match="depends on the date"):
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
    declined = SaidLine(Undone.DECLINED, "Declined: replace the fascia")
    assert declined in said_lines(quote.options[0].leaves_undone)


def fascia(metres: float, answer: Answer = Answer.PRICE_APART) -> Finding:
    return replace(
        finding(answer),
        basis=PriceBasis.FASCIA,
        quantity=given("metres", metres, "m"),
        fixed_price=None,
    )


def with_fascia_of(length_m: float, price: str) -> PriceBook:
    """The invented prices with fascia board by this length."""
    book = builders.prices()
    (pack,) = book.of("fascia_board")
    long = replace(pack, pack_size=length_m, pack_price=Decimal(price))
    return PriceBook({**book.packs, "fascia_board": (long,)})


def test_a_finding_by_the_metre_is_priced_at_the_agreed_rate() -> None:
    """By hand, in whole pounds upwards: 0.5 h at 28.00 is 14.00, x 1.3225 = 18.52, agreed at 19;
    a length of 2 m at 20.00 x 1.3225 = 26.45, agreed at 27; three metres 3 x 19 + 2 x 27 = 111.
    """
    firm, prices = builders.settings(), with_fascia_of(2.0, "20.00")
    asked = builders.enquiry(findings=(fascia(3.0),))
    take_off, _ = measure(asked, firm, prices, builders.TODAY)
    assert take_off is not None
    quote, _ = make_quote(take_off, firm, prices, builders.TODAY)
    work, board = quote.provisional_rates[:2]
    assert (work.unit, work.totals.net.money) == ("metre", Decimal("19.00"))
    assert (said(board.said), board.unit) == (
        "Fascia board, for each length of 2 m started",
        "length",
    )
    assert board.totals.net.money == Decimal("27.00")
    assert quote.findings[0].totals is not None
    assert quote.findings[0].totals.net.money == Decimal("111.00")


def test_what_is_bought_by_the_metre_is_counted_in_metres_begun() -> None:
    """By hand: 0.5 h at 28.00 and a metre at 20.00 is 34.00, x 1.3225 = 44.97, agreed at 45."""
    quote, _ = quoted(builders.enquiry(findings=(fascia(2.2),)))
    rate = quote.provisional_rates[0]
    assert (rate.unit, rate.totals.net.money) == ("metre begun", Decimal("45.00"))
    assert quote.findings[0].totals is not None
    assert quote.findings[0].totals.net.money == Decimal("135.00")


def test_work_by_the_piece_is_agreed_at_one_rate() -> None:
    """By hand: 0.75 h at 28.00 and a joist at 20.00 is 41.00, x 1.3225 = 54.22, agreed at 55."""
    quote, _ = quoted(builders.enquiry())
    joists = [rate for rate in quote.provisional_rates if "joist" in said(rate.said)]
    assert [(rate.unit, rate.totals.net.money) for rate in joists] == [("each", Decimal("55.00"))]


@pytest.mark.parametrize("metres", [0.3, 1.2, 3.6, 3.7, 7.2, 8.0])
def test_agreed_work_bears_the_whole_boards_it_takes(metres: float) -> None:
    """A board of 3.6 m at 23.40 is bought whole, however little of it is used."""
    prices = with_fascia_of(3.6, "23.40")
    firm = builders.settings()
    asked = builders.enquiry(findings=(fascia(metres, Answer.DO_IT),))
    take_off, _ = measure(asked, firm, prices, builders.TODAY)
    assert take_off is not None
    option = make_quote(take_off, firm, prices, builders.TODAY)[0].options[0]
    (cost,) = (line for line in option.cost_lines if line.stage == Stage.FOUND)
    (price,) = (line.amount.money for line in option.lines if line.words == "Replace the fascia")
    boards = ceil(metres / 3.6)
    assert cost.material.money == boards * Decimal("23.40")
    assert price >= selling_price(line_cost(cost).money, 15, 15)


# Whole pounds at 20 % have whole pence of VAT, so nothing is left to round.
@over(st.sampled_from(list(AGREED_WORK)), st.decimals("0.01", 60, places=2))
@tuned(max_examples=30)
def test_so_many_at_a_shown_rate_come_to_the_penny_with_vat(
    basis: PriceBasis, quantity: Decimal
) -> None:
    rates, problems = rate_figures(
        builders.enquiry(), builders.settings(), with_fascia_of(3.6, "9")
    )
    assert problems == []
    shown = provisional_rates({basis: rates[basis]}, builders.settings(), builders.TODAY)
    found = replace(fascia(float(quantity)), basis=basis)
    price = finding_price(found, rates)
    assert price is not None
    made = totals([price], builders.settings(), builders.TODAY).total.money
    each = shown[0].totals.total.money
    if len(shown) > 1:
        worked = each * quantity + shown[1].totals.total.money * ceil(quantity / Decimal("3.6"))
    else:
        worked = each * ceil(quantity)
    assert made == worked.quantize(Decimal("0.01"), rounding=ROUND_HALF_UP)


def test_extras_included_and_offered() -> None:
    def extra(included: bool) -> Extra:
        price = given("price", Decimal("12.50"), "GBP")
        return Extra(PLACE, "Leaf guard", given("metres", 3.0, "m"), Unit.M, price, included)

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
    left = {option.build_up: in_one(option.leaves_undone) for option in quote.options}
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
    return {option.build_up: in_one(option.includes) for option in quote.options}


def test_insulation_goes_over_a_sound_deck_and_its_board_over_the_insulation() -> None:
    words = included(replace(all_three(), existing=existing(DeckCondition.SOUND)))
    insulated = words[BuildUp.CAP_OVER_INSULATED]
    assert "130 mm of insulation over the old deck / 18 mm " in insulated
    assert "board over the insulation" in insulated
    assert "new deck" not in insulated
    assert "Take up" not in insulated
    assert "board over the old deck" in words[BuildUp.CAP_OVER]
    assert "board as the new deck" in words[BuildUp.NEW_DECK]


@pytest.mark.parametrize("condition", [DeckCondition.SOUND, DeckCondition.ROTTEN])
def test_a_new_deck_with_insulation_renews_the_deck_below_it_too(condition: DeckCondition) -> None:
    words = included(replace(all_three(), existing=existing(condition)))
    insulated = words[BuildUp.NEW_DECK_INSULATED]
    assert "Take up the old deck" in insulated
    assert "board as the new deck, screwed to the joists / Vapour" in insulated
    assert "over the new deck / 18 mm " in insulated
    assert "board over the insulation" in insulated


def test_tongued_boards_are_called_so_only_where_they_are_bought() -> None:
    for quoted_option in quoted(all_three())[0].options:
        kinds = {need.kind for need in quoted_option.take_off.needs}
        tongued = ItemKind.TONGUED_BOARD in kinds
        assert ("tongued board" in in_one(quoted_option.includes)) is tongued


def test_old_fibreglass_that_is_capped_stays_and_is_not_stripped() -> None:
    stuck = existing(DeckCondition.SOUND, Covering.OLD_GRP)
    quote, _ = quoted(replace(all_three(), existing=stuck))
    for option in quote.options:
        off = any(strip.key is ComesOff.COVERING for strip in option.take_off.strip)
        assert ("Strip the old fibreglass" in in_one(option.includes)) is off
        assert ("The old covering stays" in in_one(option.leaves_undone)) is not off


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
    words = in_one(quote.options[0].includes)
    for place in ("every rooflight kerb", "round every pipe", "A new outlet"):
        assert place in words
    assert "glazing of a rooflight" in in_one(quote.options[0].leaves_undone)


def test_timber_round_the_kerbs_is_named_where_insulation_raises_them() -> None:
    light = Opening(PLACE, OpeningKind.ROOFLIGHT, given("count", 1.0, "each"),
                    given("length", 900.0, "mm"), given("width", 600.0, "mm"))  # fmt: skip
    raised = "and round every rooflight kerb, which the insulation raises"
    with_light = included(replace(all_three(), openings=(light,)))
    for build_up, words in with_light.items():
        assert (raised in words) is ("insulation" in build_up)
    assert not any(raised in words for words in included(all_three()).values())


def test_firrings_that_are_ordered_do_not_leave_the_fall_as_it_is() -> None:
    def fall_stays(answer: Answer) -> bool:
        firrings = replace(
            finding(answer), basis=PriceBasis.FIRRINGS, quantity=given("metres", 6.0, "m")
        )
        quote, _ = quoted(builders.enquiry(findings=(firrings,)))
        return "The fall stays" in in_one(quote.options[0].leaves_undone)

    assert fall_stays(Answer.DECLINED)
    assert not fall_stays(Answer.DO_IT)


def test_declined_boards_are_not_left_undone_where_the_old_deck_comes_up() -> None:
    boards = replace(
        finding(Answer.DECLINED), basis=PriceBasis.BOARD, quantity=given("boards", 3.0, "each")
    )
    asked = replace(all_three(), existing=existing(DeckCondition.SOUND), findings=(boards,))
    left = {o.build_up: in_one(o.leaves_undone) for o in quoted(asked)[0].options}
    assert "Declined" in left[BuildUp.CAP_OVER]
    assert "Declined" in left[BuildUp.CAP_OVER_INSULATED]
    assert "Declined" not in left[BuildUp.NEW_DECK]
    assert "Declined" not in left[BuildUp.NEW_DECK_INSULATED]


def test_the_guarantee_follows_what_stays_hidden() -> None:
    """The old deck that stays hidden under two of the four has the same years under both."""
    asked = replace(all_three(), existing=existing(DeckCondition.SOUND))
    years = {o.build_up: o.guarantee_years.number for o in quoted(asked)[0].options}
    assert years == {
        BuildUp.CAP_OVER: 10,
        BuildUp.CAP_OVER_INSULATED: 10,
        BuildUp.NEW_DECK: 20,
        BuildUp.NEW_DECK_INSULATED: 20,
    }
    quote, _ = quoted(asked, guarantee_cap_over=7)
    assert quote.option(BuildUp.CAP_OVER_INSULATED).guarantee_years.number == 7
    quote, _ = quoted(asked, guarantee_cap_over_insulated=12)
    assert quote.option(BuildUp.CAP_OVER_INSULATED).guarantee_years.number == 12
    assert quote.option(BuildUp.CAP_OVER).guarantee_years.number == 10


def test_validity_and_terms() -> None:
    quote, _ = quoted(builders.enquiry())
    assert (quote.valid_until - quote.dated).days == 30
    assert quote.exclusions
    assert all(term.applies_to in ("", "new deck") for term in quote.exclusions)


def test_work_that_is_called_as_a_stage_is_stands_in_a_row_of_its_own() -> None:
    """An owner may type anything as what was advised: the amounts are not joined by it."""
    named = replace(finding(Answer.DO_IT), advised=str(Stage.INSULATION))
    quote, _ = quoted(replace(all_three(), findings=(named,)))
    capped, insulated = quote.option(BuildUp.CAP_OVER), quote.option(BuildUp.NEW_DECK_INSULATED)
    assert [line.words for line in capped.lines].count(Stage.INSULATION) == 1
    assert [line.words for line in insulated.lines].count(Stage.INSULATION) == 2
    places = [quote.options.index(option) for option in (capped, insulated)]
    rows = [
        tuple(row.cells[place] for place in places)
        for row in price_rows(quote.options)
        if row.words == Stage.INSULATION
    ]
    stage = next(line for line in insulated.lines if line.key == "insulation")
    assert rows == [(NOTHING, wording.money(stage.amount.money)), ("£85.00", "£85.00")]


def test_what_is_counted_and_bought_in_packs_has_a_line_for_the_pack() -> None:
    """By hand: a pack of two joists at 20.00 x 1.3225 = 26.45, agreed at 27; three take two."""
    book = builders.prices()
    (joist,) = book.of("joist")
    pairs = PriceBook({**book.packs, "joist": (replace(joist, pack_size=2.0),)})
    three = replace(
        finding(Answer.PRICE_APART),
        basis=PriceBasis.JOIST, quantity=given("joists", 3.0, "each"), fixed_price=None,
    )  # fmt: skip
    firm, asked = builders.settings(), builders.enquiry(findings=(three,))
    take_off, _ = measure(asked, firm, pairs, builders.TODAY)
    assert take_off is not None
    quote, _ = make_quote(take_off, firm, pairs, builders.TODAY)
    (work, pack) = [rate for rate in quote.provisional_rates if "joist" in said(rate.said).lower()]
    assert said(pack.said).endswith(", for each pack of 2 started")
    assert (pack.unit, pack.totals.net.money) == ("pack", Decimal("27.00"))
    assert quote.findings[0].totals is not None
    assert quote.findings[0].totals.net.money == 3 * work.totals.net.money + 2 * Decimal("27.00")


def test_a_fixed_price_that_nobody_gave_is_no_price() -> None:
    unpriced = replace(finding(Answer.PRICE_APART), fixed_price=None)
    quote, _ = quoted(builders.enquiry(findings=(unpriced,)))
    assert quote.findings[0].totals is None


def test_the_offer_says_what_is_worked_from() -> None:
    low = builders.canted_bay(height_mm=given("height to edge", 1800.0, "mm"))
    ladder = SaidLine(Included.ACCESS_LADDER, "Ladder access for light, short work")
    ground = SaidLine(Included.ACCESS_GROUND, "Work from the ground")
    for asked, line in (
        (builders.ladder_enquiry(), ladder),
        (builders.enquiry(low, access=Access.GROUND), ground),
    ):
        quote, _ = quoted(asked)
        assert said_lines(quote.options[0].includes)[0] == line


def test_an_expansion_joint_stands_in_the_offer_with_its_length() -> None:
    """20 by 4 m is parted across the long way, so that every joint is 4 m long."""
    sizes = {Size.WIDTH: 20000.0, Size.PROJECTION: 4000.0}
    quote, _ = quoted(builders.enquiry(builders.roof(sizes=sizes)))
    (line,) = [one for one in quote.options[0].includes if one.key is Included.EXPANSION]
    metres, rest = said(line).split(" ", 1)
    assert rest == "m of expansion joint across the roof"
    assert float(metres) > 0
    assert float(metres) % 4.0 == 0
