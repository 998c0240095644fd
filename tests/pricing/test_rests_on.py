"""Findings that the roof rests on: in the total of an option, or the option is not offered."""

from decimal import Decimal

import pytest

from quotegen.documents.shared.remark_words import said, said_lines
from quotegen.model.choices import OVER_OLD_DECK, Answer, BuildUp, PriceBasis
from quotegen.model.enquiry import Enquiry, Extra, Finding
from quotegen.model.quote import Quote, QuotedOption
from quotegen.pricing.quote import make_quote
from quotegen.reference.remark_keys import Included, Task
from quotegen.takeoff.measure import measure
from quotegen.units import Unit
from tests import builders

given = builders.given
PLACE = builders.enquiry().place


def found(
    answer: Answer | None,
    basis: PriceBasis | None = PriceBasis.FIXED,
    structural: bool | None = None,
    number: float = 2.0,
) -> Finding:
    fixed = basis is PriceBasis.FIXED
    return Finding(
        place=PLACE,
        seen="It is soft",
        if_left="It gives way",
        advised="Mend what is soft.",
        basis=basis,
        quantity=None if fixed or basis is None else given("quantity", number, "each"),
        fixed_price=given("fixed price", Decimal("685.00"), "GBP") if fixed else None,
        answer=answer,
        structural=structural,
    )


def quoted(*findings: Finding, extras: tuple[Extra, ...] = ()) -> Quote:
    return _priced(
        builders.enquiry(
            build_ups=tuple(BuildUp),
            insulation_mm=given("insulation", 130.0, "mm"),
            findings=findings,
            extras=extras,
        )
    )


def _priced(enquiry: Enquiry) -> Quote:
    firm, prices = builders.settings(vat_registered=False), builders.prices()
    take_off, _ = measure(enquiry, firm, prices, builders.TODAY)
    assert take_off is not None
    return make_quote(take_off, firm, prices, builders.TODAY)[0]


def work_found(option: QuotedOption) -> list[Decimal]:
    return [line.amount.money for line in option.lines if line.key.startswith("finding-")]


@pytest.mark.parametrize("answer", [None, Answer.PRICE_APART, Answer.DO_IT])
def test_a_leaking_rooflight_the_roof_rests_on_is_in_every_total_until_it_is_declined(
    answer: Answer | None,
) -> None:
    """By hand: each total is that without the finding and 685.00 more."""
    without = quoted(found(Answer.DECLINED))
    quote = quoted(found(answer, structural=True))
    for build_up in BuildUp:
        more = (
            quote.option(build_up).totals.total.money - without.option(build_up).totals.total.money
        )
        assert more == Decimal("685.00")
    assert quote.findings[0].done_in == tuple(BuildUp)
    assert not quote.findings[0].apart


def test_the_same_priced_apart_is_in_no_total_where_the_roof_does_not_rest_on_it() -> None:
    quote = quoted(found(Answer.PRICE_APART))
    assert [work_found(option) for option in quote.options] == [[]] * 4
    assert (quote.findings[0].done_in, quote.findings[0].apart) == ((), True)


def test_soft_joists_are_priced_and_bought_and_have_their_hours_unless_the_row_says_no() -> None:
    """The rate of a joist is agreed for one; two come to twice that."""
    quote = quoted(found(None, PriceBasis.JOIST))
    each = next(r for r in quote.provisional_rates if "joist" in said(r.said).lower())
    for option in quote.options:
        assert work_found(option) == [2 * each.totals.net.money]
        assert [need.net.number for need in option.take_off.needs if need.item == "joist"] == [2]
        assert [line.key for line in option.take_off.labour].count(Task.FOUND) == 1
    aside = quoted(found(None, PriceBasis.JOIST, structural=False))
    assert [work_found(option) for option in aside.options] == [[]] * 4
    assert aside.findings[0].apart


@pytest.mark.parametrize("answer", [None, Answer.DO_IT])
def test_old_boards_are_paid_for_only_where_they_stay(answer: Answer | None) -> None:
    quote = quoted(found(answer, PriceBasis.BOARD))
    assert quote.findings[0].done_in == OVER_OLD_DECK
    assert not quote.findings[0].apart
    for option in quote.options:
        stays = option.build_up in OVER_OLD_DECK
        assert len(work_found(option)) == int(stays)
        assert [line.key for line in option.take_off.labour].count(Task.FOUND) == int(stays)
        bought = any(need.item == "repair_board" for need in option.take_off.needs)
        assert bought is stays


def test_everything_paid_for_stands_under_includes() -> None:
    extras = (
        Extra(PLACE, "Boards over the patio.", given("quantity", 1.0, "job"), Unit.JOB,
              given("each", Decimal("45.00"), "GBP"), included=True),
        Extra(PLACE, "Leaf guard", given("quantity", 3.0, "m"), Unit.M,
              given("each", Decimal("6.50"), "GBP"), included=False),
    )  # fmt: skip
    quote = quoted(
        found(Answer.DO_IT), found(None, structural=True), found(Answer.DECLINED), extras=extras
    )
    for option in quote.options:
        besides = (Included.FOUND, Included.RESTED_ON, Included.EXTRA)
        words = [line.words for line in said_lines(option.includes) if line.key in besides]
        assert words == [
            "Mend what is soft",
            "Mend what is soft (in the price because the new roof rests on it)",
            "Boards over the patio",
        ]
        paid = [line for line in option.lines if line.key.startswith(("finding-", "extra-"))]
        assert len(paid) == len(words)


def test_a_gutter_is_named_in_the_length_that_was_measured() -> None:
    """2850 mm are 2.85 m, not 2.9 m."""
    quote = _priced(builders.enquiry(gutter_mm=given("gutter", 2850.0, "mm")))
    words = [line.words for line in said_lines(quote.options[0].includes)]
    assert "2.85 m of gutter taken off and refitted" in words
