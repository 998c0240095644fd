"""The model cancellation form: in the words of the law, for consumers only, a paper of its own."""

from functools import cache

import pytest
from msgspec.structs import replace

from quotegen.documents.customer.cancellation import CANCELLATION
from quotegen.documents.customer.quote import QUOTE
from quotegen.documents.printing.pdf import Rendered
from quotegen.making.papers import PAPER_KINDS, Paper
from quotegen.model.choices import BuildUp, CustomerKind
from quotegen.model.enquiry import Customer
from quotegen.working import Scalar
from tests.documents.conftest import HOSTILE, ISSUE, bay_enquiry, priced, squeezed
from tests.documents.said_papers import made_sets
from tests.pdfs import page_texts

OTHERS = [kind for kind in CustomerKind if kind is not CustomerKind.HOME_OWNER]
# SI 2013/3134, schedule 3, part B, as reprinted under Crown copyright on a trader's page.
BEFORE_THE_FIRM = (
    "(Complete and return this form only if you wish to withdraw from the contract) To "
)
AFTER_THE_FIRM = (
    "I/We [*] hereby give notice that I/We [*] cancel my/our [*] contract of sale of the following "
    "goods [*]/for the supply of the following service [*],"
)
TO_FILL_IN = (
    "Ordered on [*]/received on [*], Name of consumer(s), Address of consumer(s), "
    "Signature of consumer(s) (only if this form is notified on paper), Date "
    "[*] Delete as appropriate"
)


def customer(kind: CustomerKind) -> Customer:
    return Customer("Mr D. Dunlin", kind, "31 Saltmarsh Close, Mizzlehaven ZZ2 3QT")


def form_for(**changes: Scalar | None) -> Rendered:
    changes.setdefault("firm_email", "roofs@example.com")
    quote = priced(bay_enquiry(customer=customer(CustomerKind.HOME_OWNER)), **changes)
    return CANCELLATION.make(quote, ISSUE, None)


@cache
def one_option(kind: CustomerKind) -> Rendered:
    """The quote of a roof as most are: one build-up."""
    asked = bay_enquiry(customer=customer(kind), build_ups=(BuildUp.NEW_DECK,))
    return QUOTE.make(priced(asked), ISSUE, None)


def pages(paper: Rendered) -> tuple[str, ...]:
    """The text of each page with single spaces."""
    return page_texts(paper.content)


@pytest.fixture(scope="module")
def form() -> Rendered:
    return form_for()


def test_the_form_is_worded_as_the_law_words_it(form: Rendered) -> None:
    (page,) = pages(form)
    said = squeezed(page)
    for part in (BEFORE_THE_FIRM, AFTER_THE_FIRM, TO_FILL_IN):
        assert squeezed(part) in said
    assert said.index(squeezed(AFTER_THE_FIRM)) < said.index(squeezed(TO_FILL_IN))
    assert form.warnings == ()


def test_it_goes_to_the_firm_at_its_address_and_e_mail(form: Rendered) -> None:
    (page,) = pages(form)
    to = page[page.index("withdraw from the contract) To") : page.index("I/We [*] hereby")]
    assert to.endswith("Tern & Daughter Roofing 1 Quay Lane Mizzlehaven ZZ1 1ZZ roofs@example.com ")
    (bare,) = pages(form_for(firm_email=None))
    assert "ZZ1 1ZZ I/We [*] hereby" in bare


def test_it_names_the_quotation_it_would_cancel(form: Rendered) -> None:
    assert "Quotation T-01: bay roof, 4 Kittiwake Street, Mizzlehaven" in pages(form)[0]


def test_the_quote_names_the_form_and_does_not_hold_it() -> None:
    text = " ".join(pages(one_option(CustomerKind.HOME_OWNER)))
    assert "the cancellation form sent with this quote may be used" in text
    assert "Model cancellation form" not in text


def test_how_long_and_what_is_paid_back_is_said(form: Rendered) -> None:
    # 14 days each: regulations 30 and 34 of SI 2013/3134.
    (page,) = pages(form)
    assert "within 14 days of our agreeing it" in page
    assert "pay back what you have paid within 14 days" in page


@pytest.mark.parametrize("kind", OTHERS)
def test_no_other_customer_is_told_of_it(kind: CustomerKind) -> None:
    paper = one_option(kind)
    assert paper.pages == 2
    assert "cancellation form" not in " ".join(pages(paper))


def test_it_is_sent_with_the_quote_where_the_law_asks_for_it_and_nowhere_else() -> None:
    """Schedule 3, part B of SI 2013/3134 is for consumers."""
    seen = set()
    for one in made_sets():
        ready = replace(
            one.ready,
            quote=replace(
                one.ready.quote,
                enquiry=replace(
                    one.ready.quote.enquiry, customer=customer(CustomerKind.HOME_OWNER)
                ),
            ),
        )
        for made in (one.ready, ready):
            kind = made.quote.enquiry.customer.kind
            wanted = kind is CustomerKind.HOME_OWNER
            seen.add(wanted)
            assert PAPER_KINDS[Paper.CANCELLATION].wanted(made) is wanted
            assert (Paper.CANCELLATION in PAPER_KINDS[Paper.EMAIL].carries(made)) is wanted
    assert seen == {True, False}


def test_nothing_typed_into_the_workbook_is_taken_for_html() -> None:
    asked = customer(CustomerKind.HOME_OWNER)
    quote = priced(bay_enquiry(customer=asked, site_address=HOSTILE), firm_email=HOSTILE)
    for html in (QUOTE.html(quote, ISSUE), CANCELLATION.html(quote, ISSUE)):
        assert "<script>" not in html
        assert "<b>" not in html


def test_the_longer_right_is_given_alike_on_quote_and_form(form: Rendered) -> None:
    """A council's trading standards: with goods, 14 days after the last of them has come.

    Herefordshire, “Selling away from premises”: services involving the supply of goods, such as
    home improvement, may be cancelled up to 14 days after receiving the last of the goods.
    """
    longer = "14 days of our agreeing it or, if later, of the last of its materials reaching you"
    for paper in (form, one_option(CustomerKind.HOME_OWNER)):
        assert " ".join(pages(paper)).replace("\n", " ").count(longer) == 1
