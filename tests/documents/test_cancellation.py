"""The model cancellation form: in the words of the law, for consumers only, on its own page."""

from functools import cache

import pytest

from quotegen.documents.customer.quote import QUOTE
from quotegen.documents.printing.pdf import Rendered
from quotegen.model.choices import BuildUp, CustomerKind
from quotegen.model.enquiry import Customer
from quotegen.working import Scalar
from tests.documents.conftest import HOSTILE, ISSUE, bay_enquiry, priced, squeezed
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


def quote_for(kind: CustomerKind, **changes: Scalar | None) -> Rendered:
    changes.setdefault("firm_email", "roofs@example.com")
    return QUOTE.make(priced(bay_enquiry(customer=customer(kind)), **changes), ISSUE, None)


@cache
def one_option(kind: CustomerKind) -> Rendered:
    """The quote of a roof as most are: one build-up."""
    asked = bay_enquiry(customer=customer(kind), build_ups=(BuildUp.NEW_DECK,))
    return QUOTE.make(priced(asked), ISSUE, None)


def pages(paper: Rendered) -> tuple[str, ...]:
    """The text of each page with single spaces."""
    return page_texts(paper.content)


@pytest.fixture(scope="module")
def consumer() -> Rendered:
    return quote_for(CustomerKind.HOME_OWNER)


def test_the_form_is_worded_as_the_law_words_it(consumer: Rendered) -> None:
    form = squeezed(pages(consumer)[-1])
    for part in (BEFORE_THE_FIRM, AFTER_THE_FIRM, TO_FILL_IN):
        assert squeezed(part) in form
    assert form.index(squeezed(AFTER_THE_FIRM)) < form.index(squeezed(TO_FILL_IN))


def test_it_goes_to_the_firm_at_its_address_and_e_mail(consumer: Rendered) -> None:
    form = pages(consumer)[-1]
    to = form[form.index("withdraw from the contract) To") : form.index("I/We [*] hereby")]
    assert to.endswith("Tern & Daughter Roofing 1 Quay Lane Mizzlehaven ZZ1 1ZZ roofs@example.com ")
    bare = pages(quote_for(CustomerKind.HOME_OWNER, firm_email=None))[-1]
    assert "ZZ1 1ZZ I/We [*] hereby" in bare


def test_it_names_the_quotation_it_would_cancel(consumer: Rendered) -> None:
    assert "Quotation T-01: bay roof, 4 Kittiwake Street, Mizzlehaven" in pages(consumer)[-1]


def test_it_stands_on_a_page_of_its_own_behind_the_acceptance(consumer: Rendered) -> None:
    *before, accepted, form = pages(consumer)
    assert "Signed" in accepted
    assert form.startswith("Model cancellation form")
    assert "Acceptance" not in form
    assert all("Model cancellation form" not in page for page in (*before, accepted))
    assert "the form on the last page may be used" in accepted
    assert consumer.warnings == ()


def test_how_long_and_what_is_paid_back_is_said(consumer: Rendered) -> None:
    # 14 days each: regulations 30 and 34 of SI 2013/3134.
    form = pages(consumer)[-1]
    assert "within 14 days of our agreeing it" in form
    assert "pay back what you have paid within 14 days" in form


@pytest.mark.parametrize("kind", OTHERS)
def test_no_other_customer_has_it_and_their_quote_is_shorter(kind: CustomerKind) -> None:
    paper, consumer = (one_option(one) for one in (kind, CustomerKind.HOME_OWNER))
    assert paper.pages == 3 < consumer.pages
    assert "cancellation form" not in " ".join(pages(paper))


def test_nothing_typed_into_the_workbook_is_taken_for_html() -> None:
    asked = customer(CustomerKind.HOME_OWNER)
    quote = priced(bay_enquiry(customer=asked, site_address=HOSTILE), firm_email=HOSTILE)
    html = QUOTE.html(quote, ISSUE)
    assert "<script>" not in html
    assert "<b>" not in html


def test_the_longer_right_is_given_alike_on_quote_and_form(consumer: Rendered) -> None:
    """A council's trading standards: with goods, 14 days after the last of them has come.

    Herefordshire, “Selling away from premises”: services involving the supply of goods, such as
    home improvement, may be cancelled up to 14 days after receiving the last of the goods.
    """
    longer = "14 days of our agreeing it or, if later, of the last of its materials reaching you"
    assert " ".join(pages(consumer)).replace("\n", " ").count(longer) == 2
