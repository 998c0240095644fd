"""The variation slip: the rates of the quote, room to write, signed before the work."""

import re
from typing import Any

import pytest

from quotegen.documents.customer.variation_slip import VARIATION_SLIP
from quotegen.documents.printing.pdf import Rendered
from quotegen.documents.shared.remark_words import said
from quotegen.model.choices import CustomerKind
from quotegen.model.enquiry import Customer
from quotegen.model.quote import Quote
from tests.documents.conftest import HOSTILE, ISSUE, bay_enquiry, priced, text_of

KINDS = [Customer("Ms R. Petrel", kind, "9 Gull Row, Mizzlehaven ZZ1 2AB") for kind in CustomerKind]


def slip(kind: CustomerKind, **changes: Any) -> str:
    customer = Customer("Ms R. Petrel", kind, "9 Gull Row")
    return VARIATION_SLIP.html(priced(bay_enquiry(customer=customer), **changes), ISSUE)


@pytest.fixture(scope="module")
def paper(bay_quote: Quote) -> Rendered:
    return VARIATION_SLIP.make(bay_quote, ISSUE, None)


def test_every_rate_stands_on_it_as_it_stands_in_the_quote(
    bay_quote: Quote, paper: Rendered, quote_paper: Rendered
) -> None:
    text, quote = text_of(paper), text_of(quote_paper)
    assert bay_quote.provisional_rates
    for rate in bay_quote.provisional_rates:
        amount = f"£{rate.totals.total.money:,.2f}"
        called = said(rate.said)
        words = called[:1].lower() + called[1:]
        assert f"{words[:1].upper()}{words[1:]} {rate.unit} {amount}" in text
        by = "each" if rate.unit == "each" else f"a {rate.unit}"
        assert f"{words}, {amount} {by}" in quote


def test_no_other_money_is_printed_on_it(bay_quote: Quote, paper: Rendered) -> None:
    printed = re.findall(r"£[\d,.]+\d", text_of(paper))
    assert printed == [f"£{r.totals.total.money:,.2f}" for r in bay_quote.provisional_rates]


@pytest.mark.parametrize("customer", KINDS, ids=lambda c: str(c.kind))
@pytest.mark.parametrize("registered", [True, False])
def test_it_is_one_page_for_every_customer(customer: Customer, registered: bool) -> None:
    quote = priced(bay_enquiry(customer=customer), vat_registered=registered)
    paper = VARIATION_SLIP.make(quote, ISSUE, None)
    assert (paper.pages, paper.warnings) == (1, ())


def test_it_is_read_from_what_was_found_to_the_signatures(paper: Rendered) -> None:
    text = text_of(paper)
    parts = [
        "Variation slip", "before the work is done", "Photo no.", "Where, and what", "How many",
        "Total on this slip", "How it changes the days", "Your answer, before the work",
        "Do it, at the sum above", "Leave it", "Customer", "For the firm",
    ]  # fmt: skip
    places = [text.index(part) for part in parts]
    assert places == sorted(places)


def test_vat_is_said_as_the_firm_charges_it() -> None:
    landlord = CustomerKind.LANDLORD
    assert "Every price and total here includes VAT at 20%." in slip(landlord)
    without = slip(landlord, vat_registered=False)
    assert "No VAT is charged: the firm is not registered for VAT." in without
    assert "with VAT" not in without


def test_only_the_trade_is_reminded_of_the_reverse_charge() -> None:
    assert "domestic reverse charge" in slip(CustomerKind.TRADE)
    assert "domestic reverse charge" not in slip(CustomerKind.TRADE, vat_registered=False)
    assert "domestic reverse charge" not in slip(CustomerKind.LANDLORD)


def test_only_a_consumer_is_asked_to_let_it_begin_at_once() -> None:
    # Consumer Contracts Regulations 2013, regulation 36: begun while it may be cancelled only on
    # request.
    assert "I can still cancel within 14 days of our agreeing it" in slip(CustomerKind.HOME_OWNER)
    for kind in (CustomerKind.LANDLORD, CustomerKind.AGENT, CustomerKind.TRADE):
        assert "can still cancel" not in slip(kind)


def test_nothing_typed_into_the_workbook_is_taken_for_html() -> None:
    customer = Customer(HOSTILE, CustomerKind.LANDLORD, HOSTILE)
    quote = priced(bay_enquiry(customer=customer, site_address=HOSTILE))
    assert "<script>" not in VARIATION_SLIP.html(quote, ISSUE)
    paper = VARIATION_SLIP.make(quote, ISSUE, None)
    assert HOSTILE in text_of(paper)
    assert paper.warnings == ()
