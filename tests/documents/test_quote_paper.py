"""The quote as printed: what it says agrees with the record it was drawn from."""

import re
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from msgspec.structs import replace
from PIL import Image

from quotegen.documents.customer.quote import QUOTE, quote_view
from quotegen.documents.customer.quote_notes import building_control_note, term_sentences
from quotegen.documents.printing.pdf import Rendered
from quotegen.model.choices import Answer, BuildUp, CustomerKind, Nation, PriceBasis
from quotegen.model.enquiry import Customer, SiteFacts
from quotegen.model.quote import Quote
from quotegen.model.settings import Term, TermKind
from quotegen.working import Scalar
from tests.builders import given
from tests.documents.conftest import (
    HOSTILE,
    ISSUE,
    bay_enquiry,
    finding,
    priced,
    squeezed,
    text_of,
)
from tests.pdfs import page_texts

MONEY = re.compile(r"£([\d,]+\.\d\d)")


def row(text: str, label: str, count: int) -> list[Decimal]:
    """The amounts that follow a label, a dash counting as nothing."""
    after = text[text.index(label) + len(label) :]
    found = re.match(rf"(?:\s*(?:£[\d,]+\.\d\d|–)){{{count}}}", after)
    assert found, f"{label}: {after[:80]}"
    amounts = found.group().replace("–", "£0.00")
    return [Decimal(amount.replace(",", "")) for amount in MONEY.findall(amounts)]


def side_by_side(paper: Rendered) -> str:
    """The text of the table of prices alone."""
    text = text_of(paper)
    return text[text.index("The options side by side") : text.index("Where they differ")]


def test_four_options_take_three_pages(quote_paper: Rendered) -> None:
    assert quote_paper.pages == 3


def test_the_options_and_their_totals_are_on_the_first_page_before_all_else(
    quote_paper: Rendered, bay_quote: Quote
) -> None:
    text = text_of(quote_paper)
    box = text[text.index("What it costs") : text.index("What we found")]
    for option in bay_quote.options:
        assert f"£{option.totals.total.money:,.2f}" in box


def test_the_lines_printed_add_up_to_the_totals_printed(
    quote_paper: Rendered, bay_quote: Quote
) -> None:
    text = side_by_side(quote_paper)
    count = len(bay_quote.options)
    sums = [Decimal(0)] * count
    for words in dict.fromkeys(
        line.key.replace("finding-", "Finding ") if line.key.startswith("finding-") else line.words
        for o in bay_quote.options
        for line in o.lines
    ):
        for _ in range(text.count(f"{words} £") or text.count(f"{words} –")):
            sums = [a + b for a, b in zip(sums, row(text, words, count), strict=True)]
    assert sums == row(text, "Total before VAT", count)
    assert sums == [option.totals.net.money for option in bay_quote.options]
    vat, total = row(text, "VAT at 20%, insulation too", count), row(text, "Total to pay", count)
    assert [a + b for a, b in zip(sums, vat, strict=True)] == total


def test_two_findings_with_the_same_advice_stay_two_lines(bay_quote: Quote) -> None:
    html = QUOTE.html(bay_quote, ISSUE)
    for number in (2, 3):
        assert html.count(f'<th scope="row" class="light">Finding {number}</th>') == 1
    assert html.count("<td>Renew the joint</td>") == 2


def test_cost_overheads_profit_and_hours_are_not_in_it(
    quote_paper: Rendered, bay_quote: Quote
) -> None:
    text = text_of(quote_paper)
    assert not re.search(r"overhead|profit|person-hour|labour|mark-up", text, re.IGNORECASE)
    for option in bay_quote.options:
        assert f"{option.cost.money:,.2f}" not in text


def answers(quote: Quote) -> list[tuple[str, str, bool]]:
    """The findings of the acceptance: price, where it stands, whether there are boxes to tick."""
    rows = quote_view(quote, ISSUE).accept.findings
    return [(row.price, row.standing, row.ask) for row in rows]


def test_each_answer_lands_in_its_place(quote_paper: Rendered, bay_quote: Quote) -> None:
    assert answers(bay_quote) == [
        ("£115.20", "You said no so far", True),
        ("£115.20", "In every total", False),
        ("£115.20", "In every total", False),
        ("£115.20", "", True),
    ]
    text = text_of(quote_paper)
    acceptance = text[text.index("Acceptance of") :]
    assert "and also leaf guard" in acceptance
    assert acceptance.count(" yes ") == 2
    assert "No: I know what may follow, and that it is not guaranteed." in acceptance


def test_headings_are_in_the_order_a_reader_needs(quote_paper: Rendered) -> None:
    text = text_of(quote_paper)
    headings = [
        "What it costs",
        "When, and how long",
        "How to accept",
        "Building control",
        "What we found",
        "Every option includes",
        "The options side by side",
        "Where they differ",
        "If we find more",
        "Guarantee Once paid",
        "Payment",
        "Not included",
        "Also",
        "Acceptance of",
    ]
    places = [text.index(heading) for heading in headings]
    assert places == sorted(places)


def test_the_terms_stand_on_the_page_that_is_signed(quote_paper: Rendered) -> None:
    last = page_texts(quote_paper.content)[-1]
    for heading in ("Not included", "Payment", "Also", "Guarantee", "Acceptance", "Signed"):
        assert heading in last


def test_only_a_home_owner_is_told_of_the_right_to_cancel(bay_quote: Quote) -> None:
    at_home = Customer("Ms R. Petrel", CustomerKind.HOME_OWNER, "9 Gull Row")
    told = QUOTE.html(priced(bay_enquiry(customer=at_home)), ISSUE)
    assert "within 14 days of our agreeing it" in told
    assert "right to cancel" not in QUOTE.html(bay_quote, ISSUE)


def test_a_firm_that_is_not_registered_charges_no_vat_and_says_so() -> None:
    quote = priced(bay_enquiry(build_ups=(BuildUp.NEW_DECK,)), vat_registered=False)
    paper = QUOTE.make(quote, ISSUE, None)
    text = text_of(paper)
    assert paper.warnings == ()
    assert "No VAT is charged: the firm is not registered for VAT." in text
    assert "Without VAT" not in text
    assert f"£{quote.options[0].totals.net.money:,.2f}" in text


def trade_quote(**changes: Scalar | None) -> Quote:
    builder = Customer("Knot & Plover Builders", CustomerKind.TRADE, "Unit 3, Ropewalk Yard")
    return priced(bay_enquiry(customer=builder), **changes)


def test_only_a_trade_customer_of_a_registered_firm_is_told_of_the_reverse_charge(
    bay_quote: Quote,
) -> None:
    told = QUOTE.html(trade_quote(), ISSUE)
    assert "domestic reverse charge may apply" in told
    assert "tell us your status in writing" in told
    assert "VAT at 20%" in told
    for other in (bay_quote, trade_quote(vat_registered=False)):
        assert "reverse charge" not in QUOTE.html(other, ISSUE)


def control_note(heated: bool | None, **changes: Scalar | None) -> str:
    quote = priced(bay_enquiry(site=SiteFacts(heated_below=heated)), **changes)
    return building_control_note(quote)


def test_what_building_control_asks_stands_there_unless_the_room_has_no_heating() -> None:
    # 50 %, 25 %, 0.35 and 0.16 W/m2K: Approved Document L, volume 1 (England), 2021, 11.3 and
    # table 4.3; 0.15 made new, table 4.2; 15 years to pay back, appendix C.
    heated, unknown = control_note(True), control_note(None)
    for words in (heated, unknown):
        assert "more than 50% of its roof" in words
        for figure in ("25% of the outside", "0.35 W/m²K", "0.16 W/m²K", "0.15", "15 years"):
            assert figure in words
        assert "may ask" not in words
        # Approved Document L, volume 1 (Wales), 2022, on an adviser's page.
        assert "In Wales the three are 0.35, 0.16 and 0.13" in words
    plain = "Building control may require insulation: ask us or them before you accept. "
    assert heated.startswith(f"{plain}The room below is heated")
    assert unknown.startswith(f"{plain}If the room below is heated")
    assert control_note(False) == ""


@pytest.mark.parametrize(
    ("nation", "there", "not_there"),
    [
        # Approved Document L, volume 1: England, 2021, table 4.2, and Wales, 2022.
        (Nation.ENGLAND, ("in England renewing", "0.15 W/m²K (the lower"), ("Wales", "Scotland")),
        (Nation.WALES, ("so in Wales renewing", "0.13 W/m²K (the lower"), ("England", "0.15")),
        (Nation.SCOTLAND, ("Scotland has rules of its own",), ("England", "0.35", "worse than")),
        (Nation.NORTHERN_IRELAND, ("Northern Ireland has rules",), ("England", "50%")),
    ],
)
def test_building_control_is_that_of_the_nation(
    nation: Nation, there: tuple[str, ...], not_there: tuple[str, ...]
) -> None:
    words = building_control_note(
        priced(bay_enquiry(site=SiteFacts(heated_below=True), nation=nation))
    )
    assert words.startswith("Building control may require insulation: ask us or them")
    assert [one for one in there if one not in words] == []
    assert [one for one in not_there if one in words] == []


def test_what_the_insulation_comes_to_is_the_take_off_of_that_option() -> None:
    site = SiteFacts(heated_below=True)
    insulated = priced(bay_enquiry(site=site))
    u_value = insulated.option(BuildUp.NEW_DECK_INSULATED).take_off.u_value
    assert u_value is not None
    words = building_control_note(insulated)
    assert f"new deck with insulation comes to about {u_value.number:.2f} W/m²K" in words
    assert ("which is worse than 0.16 W/m²K" in words) is (0.16 < u_value.number <= 0.35)
    plain = priced(bay_enquiry(site=site, build_ups=(BuildUp.NEW_DECK,)))
    assert "adds insulation" in building_control_note(plain)


@pytest.mark.parametrize(("thickness_mm", "short_of"), [(50.0, "0.35"), (100.0, "0.16")])
def test_an_option_that_is_not_warm_enough_says_so(thickness_mm: float, short_of: str) -> None:
    """1 / (0.14 + 0.05 / 0.022 + 0.036 / 0.13) is 0.372 W/m2K; with 0.1 m it is 0.201."""
    site = SiteFacts(heated_below=True)
    insulation = given("insulation", thickness_mm, "mm")
    quote = priced(bay_enquiry(site=site, insulation_mm=insulation))
    assert f"which is worse than {short_of} W/m²K" in building_control_note(quote)


def test_from_the_day_of_the_new_edition_the_note_says_that_it_was_not_read() -> None:
    """Approved Document L, 2026 edition: in force on 24 March 2027."""
    quote = priced(bay_enquiry(site=SiteFacts(heated_below=True)))
    eve, day = (
        building_control_note(replace(quote, dated=on))
        for on in (date(2027, 3, 23), date(2027, 3, 24))
    )
    assert "applies from 24 March 2027" in eve
    assert "has applied since 24 March 2027 and was not read" in day


def test_a_firm_in_a_scheme_tells_building_control_itself() -> None:
    words = control_note(True, building_work_scheme="the Gannet Scheme, no. 7.")
    assert "we tell building control and certify it, under the Gannet Scheme, no. 7. A" in words
    assert "certify" not in control_note(True)


def test_a_single_option_has_no_letter() -> None:
    text = text_of(QUOTE.make(priced(bay_enquiry(build_ups=(BuildUp.NEW_DECK,))), ISSUE, None))
    assert "Option" not in text
    assert "What the price includes" in text
    assert "New deck £" in text[text.index("Acceptance of") :]


def test_no_sentence_ends_twice_whatever_was_typed() -> None:
    findings = tuple(finding("Replace the fascia.", answer) for answer in (*Answer, None))
    quote = priced(bay_enquiry(findings=findings), insurance="Liability, Invented Mutual.")
    text = text_of(QUOTE.make(quote, ISSUE, None))
    assert ".." not in text
    assert ".)" not in text
    assert "Replace the fascia." in text


def test_prices_with_vat_are_marked_as_such_and_only_where_vat_is_charged(
    quote_paper: Rendered,
) -> None:
    text = text_of(quote_paper)
    assert text.count("To pay, with VAT") == 3
    plain = QUOTE.make(priced(bay_enquiry(), vat_registered=False), ISSUE, None)
    assert "with VAT" not in text_of(plain)


def test_deposit_and_balance_are_shown_only_where_a_deposit_is_asked(bay_quote: Quote) -> None:
    at_home = Customer("Mr D. Dunlin", CustomerKind.HOME_OWNER, "31 Saltmarsh Close")
    assert "Deposit, on acceptance" in QUOTE.html(priced(bay_enquiry(customer=at_home)), ISSUE)
    assert "Deposit, on acceptance" not in QUOTE.html(bay_quote, ISSUE)
    assert "No deposit." in QUOTE.html(bay_quote, ISSUE)


def test_what_the_customer_typed_cannot_become_markup_or_break_the_page() -> None:
    long_words = "Wasserundurchlässigkeitsbescheinigung" * 6
    asked = bay_enquiry(
        customer=Customer(HOSTILE, CustomerKind.LANDLORD, f"{HOSTILE}\n{long_words}"),
        customer_notes=f"{HOSTILE} {'word ' * 900}",
        findings=(finding(f"{HOSTILE} {long_words}", Answer.DECLINED, seen=long_words),),
    )
    paper = QUOTE.make(priced(asked), ISSUE, None)
    assert paper.warnings == ()
    assert HOSTILE in text_of(paper)
    assert "<script>" not in QUOTE.html(priced(asked), ISSUE)


@pytest.mark.parametrize("broken", [True, False])
def test_a_logo_that_cannot_be_had_is_a_warning_and_no_more(tmp_path: Path, broken: bool) -> None:
    if broken:
        (tmp_path / "logo.png").write_bytes(b"\x89PNG\r\n\x1a\nnot really")
    paper = QUOTE.make(priced(bay_enquiry(), logo="logo.png"), ISSUE, tmp_path)
    assert paper.warnings == ()
    (missing,) = paper.problems
    code = "photo-damaged" if broken else "photo-missing"
    assert (missing.code, missing.place.sheet, missing.seen) == (code, "Business", "logo.png")
    assert not missing.stops


def test_logo_and_photos_are_shown_with_their_words(tmp_path: Path) -> None:
    Image.new("RGB", (600, 200), "navy").save(tmp_path / "logo.png")
    Image.new("RGB", (800, 600), "grey").save(tmp_path / "fascia.jpg")
    findings = (
        finding("Replace it", Answer.DECLINED, photo="fascia.jpg"),
        finding("Replace it", Answer.DECLINED, photo="gone.jpg"),
    )
    quote = priced(bay_enquiry(findings=findings), logo="logo.png")
    paper = QUOTE.make(quote, ISSUE, tmp_path)
    assert paper.warnings == ()
    assert [(p.code, p.place.cell, p.seen) for p in paper.problems] == [
        ("photo-missing", "A2", "gone.jpg")
    ]
    text = text_of(paper)
    assert text.count("Finding 1") == 1
    assert "Finding 2" not in text


@pytest.mark.parametrize("lines", range(1, 26, 4))
@pytest.mark.parametrize("kind", [CustomerKind.LANDLORD, CustomerKind.HOME_OWNER])
def test_the_terms_are_printed_once_wherever_the_page_ends(lines: int, kind: CustomerKind) -> None:
    notes = "\n".join("One more line." for _ in range(lines))
    customer = Customer("Ms R. Petrel", kind, "9 Gull Row")
    quote = priced(bay_enquiry(customer=customer, customer_notes=notes))
    paper = QUOTE.make(quote, ISSUE, None)
    assert paper.warnings == ()
    text = squeezed(text_of(paper))
    for term in (*quote.guarantee_terms, *quote.general_terms):
        assert text.count(squeezed(term.text)) == 1, term.text


def test_a_declined_work_may_still_be_bought_where_an_option_leaves_it() -> None:
    boards = replace(
        finding("Replace three boards", Answer.DECLINED),
        basis=PriceBasis.BOARD,
        quantity=given("quantity", 3.0, "each"),
        fixed_price=None,
    )
    ((_, some, asked),) = answers(priced(bay_enquiry(findings=(boards,))))
    assert asked
    assert some == ("Comes with the new deck of C and D; extra with A and B; you said no so far")
    only_new = bay_enquiry(findings=(boards,), build_ups=(BuildUp.NEW_DECK,))
    ((_, none, asked),) = answers(priced(only_new))
    assert (none, asked) == ("Comes with the new deck", False)
    fascia = finding("Replace the fascia", Answer.DECLINED)
    ((price, said, asked),) = answers(priced(bay_enquiry(findings=(fascia,))))
    assert (price, said, asked) == ("£115.20", "You said no so far", True)


def test_what_the_roof_rests_on_is_in_the_total_and_has_no_box() -> None:
    joists = replace(
        finding("Fix two joists", None),
        basis=PriceBasis.JOIST,
        quantity=given("quantity", 2.0, "each"),
        fixed_price=None,
    )
    ((_, said, asked),) = answers(priced(bay_enquiry(findings=(joists,))))
    assert (said, asked) == ("In every total: the roof rests on it", False)
    unpriced = replace(finding("Ask a roofer", None), basis=None, fixed_price=None)
    assert answers(priced(bay_enquiry(findings=(unpriced,)))) == [
        ("–", "Yes: please price it", True)
    ]


def test_a_term_is_said_once_with_all_the_build_ups_it_is_for() -> None:
    terms = [
        Term(TermKind.EXCLUSION, "new deck", "Better falls."),
        Term(TermKind.EXCLUSION, "", "Ceilings."),
        Term(TermKind.EXCLUSION, "new deck with insulation", "Better falls."),
        Term(TermKind.EXCLUSION, "new deck", "Ceilings."),
    ]
    assert term_sentences(terms) == (
        "New deck and new deck with insulation: better falls.",
        "Ceilings.",
    )
