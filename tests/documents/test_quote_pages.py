"""The quote page by page: page 1 is enough to say yes, the rest is short, and nothing is lost."""

from collections.abc import Iterator
from datetime import date, timedelta
from decimal import Decimal
from functools import cache
from pathlib import Path

import pytest
from msgspec.structs import replace
from PIL import Image

from quotegen.documents.customer.quote import QUOTE, QuoteView, quote_view
from quotegen.documents.customer.quote_notes import building_control_note, term_sentences
from quotegen.documents.customer.side_by_side import FIGURES
from quotegen.documents.shared.remark_words import said
from quotegen.making.papers import Ready, ready_for
from quotegen.model.choices import Answer, BuildUp, PriceBasis
from quotegen.model.quote import Advice, Quote
from quotegen.pricing.advice import advise
from quotegen.pricing.quote import make_quote
from quotegen.reference.remark_keys import Included, Undone
from quotegen.reference.remarks import Remark
from quotegen.reference.rule_keys import Told
from quotegen.units import as_decimal
from quotegen.working_out import Batch
from tests import builders
from tests.builders import TODAY, given
from tests.documents.conftest import ISSUE, bay_enquiry, finding, first_issue, priced, text_of
from tests.documents.said_papers import blocks_of, made_sets
from tests.pdfs import page_texts

WORDS = {"MH-101": 1035, "MH-104": 1450}
"""The most words of a quote; MH-101 had 1,339 and MH-104 1,876 before."""
THREE_PAGES = {"MH-104", "MH-106"}
"""A home-owner with two options, and four options; all others go on two."""


@pytest.fixture(scope="module")
def demo_jobs(demo_batch: Batch) -> list[Ready]:
    found = (ready_for(one, demo_batch.prices) for one in demo_batch.worked)
    return [one for one in found if one]


def words_of(quote: Quote) -> str:
    return " ".join(blocks_of(QUOTE.html(quote, ISSUE)))


@cache
def drawn_pages(at: int) -> tuple[Ready, tuple[str, ...]]:
    """A generated job with the pages of its quote."""
    ready = made_sets()[at].ready
    paper = QUOTE.make(ready.quote, ISSUE, None)
    assert paper.warnings == ()
    return ready, page_texts(paper.content)


def test_the_quotes_of_the_demo_are_short(demo_jobs: list[Ready]) -> None:
    counts = {one.ref: len(words_of(one.quote).split()) for one in demo_jobs}
    assert {ref: counts[ref] for ref, most in WORDS.items() if counts[ref] > most} == {}


def test_the_quotes_of_the_demo_take_two_pages_or_three(demo_jobs: list[Ready]) -> None:
    pages = {}
    for one in demo_jobs:
        paper = QUOTE.make(one.quote, first_issue(one.statement), None)
        assert paper.warnings == (), one.ref
        pages[one.ref] = paper.pages
    assert pages == {one.ref: 3 if one.ref in THREE_PAGES else 2 for one in demo_jobs}


@pytest.mark.parametrize("at", range(0, 50, 7))
def test_generated_quotes_have_three_pages_at_the_most(at: int) -> None:
    _, pages = drawn_pages(at)
    assert 2 <= len(pages) <= 3


def _to_go_on(view: QuoteView) -> tuple[str, ...]:
    """What page 1 asks for next: a visit of an estimate, nothing of what is accepted."""
    if view.provisional:
        return ("Estimate", "How to go on", "Nothing has to be signed yet")
    if view.accept.accepted:
        asked = (view.accept.send,) if view.accept.asks else ("There is nothing to sign.",)
        return (f"Accepted: {view.accept.accepted.words}", *asked)
    return ("How to accept", view.accept.send)


@pytest.mark.parametrize("at", range(0, 50, 7))
def test_page_one_is_enough_to_say_yes(at: int) -> None:
    ready, (first, *_) = drawn_pages(at)
    quote = ready.quote
    view = quote_view(quote, ISSUE)
    wanted = [
        view.customer,
        "" if view.provisional or view.accept.accepted else view.valid_until,
        *(option.totals.total for option in view.options),
        *(option.guarantee for option in view.options),
        *(row.what for row in view.start.rows),
        *(row.cost for row in view.start.rows),
        view.start.perhaps,
        view.advice.choice,
        view.advice.because,
        view.start.words,
        "We sheet the open roof every night, weekends too",
        "if rain catches it open",
        *_to_go_on(view),
        view.accept.ring,
    ]
    flat = "".join(first.split())
    assert [one for one in wanted if "".join(one.split()) not in flat] == []
    assert view.advice.choice


@pytest.mark.parametrize("at", range(0, 50, 7))
def test_what_is_signed_is_whole_on_the_last_page_with_the_terms(at: int) -> None:
    ready, pages = drawn_pages(at)
    last = pages[-1]
    view = quote_view(ready.quote, ISSUE)
    assert "Guarantee" in last
    assert "Not included" in last
    if view.provisional or view.accept.accepted:
        for words in ("Acceptance of", "My total", "Purchase order no.", "due when you accept"):
            assert words not in "".join(pages), "nobody is asked for a signature"
        return
    for words in ("Acceptance of", "My total", "Purchase order no."):
        assert words in last
    assert last.index("Acceptance of") < last.index("Signed") < last.index("Send this page")
    for box in view.accept.options:
        assert box.words in last


def lines(quote: Quote) -> Iterator[str]:
    """Everything that a quote has to tell a customer, as its record holds it."""
    kinds = (
        quote.exclusions,
        quote.payment_terms,
        quote.guarantee_terms,
        quote.general_terms,
    )
    for terms in kinds:
        yield from term_sentences(terms)
    for found in quote.findings:
        yield from (found.seen, found.if_left, found.advised)
    for option in quote.options:
        yield from (f"{line.amount.money:,.2f}" for line in option.lines)
        yield from (f"{option.totals.net.money:,.2f}", f"{option.totals.total.money:,.2f}")
        for remark in (*option.includes, *option.leaves_undone):
            yield from told(remark, alone=len(quote.options) == 1)
    for rate in quote.provisional_rates:
        yield from (said(rate.said)[1:], f"{rate.totals.total.money:,.2f}")
    for extra in quote.extras:
        sums = extra.totals.net if extra.included else extra.totals.total
        yield from (extra.words[1:], f"{sums.money:,.2f}")
    if quote.advised:
        yield from map(said, (*quote.advised.because, *quote.advised.against))
        yield quote.advised.own_words


def told(remark: Remark, *, alone: bool) -> Iterator[str]:
    """A line of an option: in words, or by its figures beside those of the others."""
    if remark.key in (Included.FOUND, Included.RESTED_ON, Included.EXTRA, Undone.DECLINED):
        return  # their words are those of the findings and of the lines of the price
    if alone or remark.key not in FIGURES:
        yield said(remark)
    elif remark.key is Undone.UPSTAND:
        left = remark.figures["left"]
        assert not isinstance(left, str)
        yield f"{left.number:.0f} mm"
    else:
        assert remark.key is Told.HEAVIER
        load = remark.figures["load"]
        assert not isinstance(load, str)
        yield f"{load.number:.2f}"


def test_nothing_that_the_quote_holds_is_lost(demo_jobs: list[Ready]) -> None:
    for one in (*demo_jobs, *(made.ready for made in made_sets())):
        quote = one.quote
        if quote.enquiry.accepted:
            quote = replace(quote, advised=None)  # what was chosen is said in its place
        text = "".join(words_of(quote).split())
        lost = [line for line in lines(quote) if "".join(line.split()) not in text]
        assert lost == [], one.ref
        note = building_control_note(quote)
        settled = "Building control has been told" in words_of(quote)
        assert not note or settled or "".join(note.split()) in text, one.ref


def test_every_finding_has_its_boxes_or_says_where_its_price_is(demo_jobs: list[Ready]) -> None:
    asked = 0
    for one in demo_jobs:
        view = quote_view(one.quote, ISSUE).accept
        assert len(view.findings) == len(one.quote.findings)
        html = QUOTE.html(one.quote, ISSUE)
        boxes = sum(row.ask for row in view.findings)
        assert html.count('<span class="tick"></span> yes') == boxes
        assert html.count('<span class="tick"></span> no') == boxes
        for row, found in zip(view.findings, one.quote.findings, strict=True):
            in_all = len(found.done_in) == len(one.quote.options)
            assert row.ask is not in_all or found.totals is None or not found.left_by
            assert row.ask or row.standing, (one.ref, row)
            asked += row.ask
    assert asked >= 3


def test_my_total_adds_up_from_what_is_on_the_acceptance(demo_jobs: list[Ready]) -> None:
    """An option and what is ticked beside it, each with VAT by hand: 20 % of every net line."""
    for one in demo_jobs:
        quote = one.quote
        view = quote_view(quote, ISSUE).accept
        for box, option in zip(view.options, quote.options, strict=True):
            assert as_pounds(box.amount) == option.totals.total.money
            keys = {line.key for line in option.lines}
            for number, found in enumerate(quote.findings, 1):
                row = view.findings[number - 1]
                bought = option.build_up in found.left_by and found.totals is not None
                assert not (bought and f"finding-{number}" in keys), (one.ref, number)
                assert not bought or row.ask
                if bought and found.totals:
                    net = found.totals.net.money
                    assert as_pounds(row.price) == net + round(net * Decimal("0.20"), 2)
        apart = [extra for extra in quote.extras if not extra.included]
        assert [as_pounds(row.price) for row in view.extras] == [
            extra.totals.total.money for extra in apart
        ]


def as_pounds(words: str) -> Decimal:
    return as_decimal(float(words.replace("£", "").replace(",", "")))


def test_what_an_option_needs_of_the_customer_is_ticked_at_that_option(
    demo_jobs: list[Ready],
) -> None:
    (of_four,) = [one.quote for one in demo_jobs if one.ref == "MH-106"]
    boxes = quote_view(of_four, ISSUE).accept.options
    low = ["136 mm", "79 mm", "147 mm", "79 mm"]  # 150 mm less the boards and the insulation
    for box, left in zip(boxes, low, strict=True):
        assert (
            f"it leaves {left} of upstand at the wall, where 150 mm is advised" in box.consents[0]
        )
    assert ["structure" in " ".join(box.consents) for box in boxes] == [False, True, False, True]
    for one in (*demo_jobs, *(made.ready for made in made_sets())):
        for box, option in zip(
            quote_view(one.quote, ISSUE).accept.options, one.quote.options, strict=True
        ):
            told_low = any(r.key is Undone.UPSTAND for r in option.leaves_undone)
            assert told_low is any("upstand" in words for words in box.consents), one.ref


def test_the_owners_words_come_first_and_the_rules_are_not_silent(demo_jobs: list[Ready]) -> None:
    (quote,) = [one.quote for one in demo_jobs if one.ref == "MH-106"]
    advice = quote_view(quote, ISSUE).advice
    assert advice.choice == "We advise C: new deck."
    assert advice.because.startswith("Three boards are split")
    assert "Building control may ask for insulation" in advice.because
    assert advice.because.endswith("where 150 mm is advised: you have to consent to that.")


def test_what_is_advised_is_said_as_sentences() -> None:
    quote = priced(bay_enquiry(build_ups=(BuildUp.CAP_OVER, BuildUp.NEW_DECK)))
    for own in ("Ask the tenant first", "Ask the tenant first."):
        asked = replace(quote.enquiry, advised=BuildUp.CAP_OVER, advised_because=own)
        mine = replace(quote, enquiry=asked)
        view = quote_view(replace(mine, advised=advise(mine)), ISSUE).advice
        assert view.choice == "We advise A: cap over."
        assert view.because.startswith("Ask the tenant first. ")
    nothing = replace(quote, advised=Advice(None))
    assert quote_view(nothing, ISSUE).advice.choice == "We advise none of these."
    chosen = replace(quote, enquiry=replace(quote.enquiry, accepted=BuildUp.NEW_DECK))
    assert quote_view(chosen, ISSUE).advice.choice == "You have chosen B: new deck."


def test_a_photo_of_the_whole_roof_is_on_page_one_in_place_of_the_plan(tmp_path: Path) -> None:
    Image.new("RGB", (800, 600), "grey").save(tmp_path / "roof.jpg")
    asked = bay_enquiry(build_ups=(BuildUp.NEW_DECK,), photo="roof.jpg")
    paper = QUOTE.make(priced(asked), ISSUE, tmp_path)
    assert (paper.warnings, paper.problems) == ((), ())
    plain = QUOTE.make(priced(replace(asked, photo="")), ISSUE, None)
    assert len(paper.content) != len(plain.content)
    first = page_texts(paper.content)[0]
    assert "Front" not in first.split("What we found")[1].split("includes")[0].replace("front", "")
    missing = QUOTE.make(priced(replace(asked, photo="gone.jpg")), ISSUE, tmp_path)
    assert [problem.code for problem in missing.problems] == ["photo-missing"]
    assert missing.pages == plain.pages


UNTIL = date(2027, 3, 31)


@pytest.mark.parametrize(
    ("named", "until", "words", "codes"),
    [
        ("Public liability, Invented Mutual.", UNTIL, "Mutual, until 31 March 2027.", []),
        ("Public liability, Invented Mutual", None, "Invented Mutual.", ["insurance-no-end"]),
        ("Public liability", TODAY - timedelta(days=1), "", ["insurance-over"]),
        ("Public liability", TODAY, "Public liability, until 25 November 2026.", []),
        (None, UNTIL, "", []),
    ],
)
def test_the_insurance_is_said_with_its_end_and_never_falsely(
    named: str | None, until: date | None, words: str, codes: list[str]
) -> None:
    given_until = until.isoformat() if until else None
    quote = priced(bay_enquiry(), insurance=named, insurance_until=given_until)
    assert quote_view(quote, ISSUE).insurance.endswith(words)
    assert bool(quote_view(quote, ISSUE).insurance) is bool(words)
    _, problems = make_quote(quote.take_off, quote.settings, builders.prices(), TODAY)
    found = [one for one in problems if one.code.startswith("insurance")]
    assert [one.code for one in found] == codes
    assert not any(one.stops or one.ref for one in found)


def test_a_finding_that_only_some_options_hold_says_so() -> None:
    boards = replace(
        finding("Replace three boards", Answer.DO_IT),
        basis=PriceBasis.BOARD,
        quantity=given("quantity", 3.0, "each"),
        fixed_price=None,
    )
    both = (BuildUp.CAP_OVER, BuildUp.NEW_DECK)
    (row,) = quote_view(
        priced(bay_enquiry(findings=(boards,), build_ups=both)), ISSUE
    ).accept.findings
    assert row.standing == "In the total of A; comes with the new deck of B"
    assert not row.ask
    assert "Finding 1" in text_of(
        QUOTE.make(priced(bay_enquiry(findings=(boards,), build_ups=both)), ISSUE, None)
    )
