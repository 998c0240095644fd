"""A quote that asks for a visit first, or that is accepted, asks for no signature."""

from quotegen.documents.customer.email import ACCEPTED_EMAIL, Letter
from quotegen.documents.customer.quote import QUOTE, quote_view
from quotegen.documents.customer.quote_start import WAITS_FOR_VISIT
from quotegen.documents.customer.schedule_answers import answers_view
from quotegen.documents.printing.paper import PictureBox
from quotegen.making.papers import Ready, ready_for
from quotegen.model.several import QuotedRoof
from quotegen.pricing.schedule import make_schedule
from quotegen.working_out import Batch
from tests.documents.conftest import ISSUE, first_issue
from tests.documents.said_papers import blocks_of


def of_demo(ref: str, batch: Batch) -> tuple[Ready, str]:
    """A job of the demo, with the words of its quote."""
    (worked,) = [one for one in batch.worked if one.ref == ref]
    ready = ready_for(worked, batch.prices)
    assert ready is not None
    return ready, " ".join(blocks_of(QUOTE.html(ready.quote, first_issue(ready.statement))))


def test_an_estimate_asks_for_a_visit_and_advises_nothing(demo_batch: Batch) -> None:
    ready, words = of_demo("MH-110", demo_batch)
    assert ready.quote.unknown > 10
    for never in ("How to accept", "Acceptance of", "Deposit, on", "due when you accept", "Signed"):
        assert never not in words
    assert "Ring us for a day to look at the roof" in words
    view = quote_view(ready.quote, ISSUE)
    assert view.advice.choice == WAITS_FOR_VISIT
    assert "looked sound" not in view.advice.because
    (row,) = answers_view(make_schedule([QuotedRoof(ready.quote, 0)])).rows
    assert row.settled.startswith("An estimate")
    assert row.findings == ()


def test_an_accepted_quote_says_so_and_has_boxes_for_open_findings_alone(demo_batch: Batch) -> None:
    ready, words = of_demo("MH-104", demo_batch)
    for never in ("How to accept", "tick one option", "Acceptance of", "Signed"):
        assert never.lower() not in words.lower()
    assert "Accepted: Option B: New deck with insulation, £9,322.44" in words
    assert "Your deposit is paid" in words, "its cell of Before the start says so"
    assert "14 days of our agreeing it (until Tue 1 Dec)" in words, "17 November and 14 days"
    assert "see “Your right to cancel” you nothing until Tue 1 Dec" in words, "one end, one home"
    assert "2 weeks" not in words
    assert "There is nothing to sign. What is open is listed above." in words
    assert "before you accept" not in words and "Building control has been told." in words
    letter = ACCEPTED_EMAIL.said(
        Letter(ready.quote, None, (), statement=ready.statement), ISSUE, PictureBox(None, "MH-104")
    )
    assert "Who: you. Cost: nothing. When: until Tue 1 Dec." in letter.replace("=\n", "")
    assert not any(row.ask for row in quote_view(ready.quote, ISSUE).accept.findings)
