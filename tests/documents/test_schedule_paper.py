"""The landlord's schedule as printed and as a workbook: its amounts are those of the quotes."""

from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

import pytest
from msgspec.structs import replace
from openpyxl import load_workbook
from openpyxl.worksheet.worksheet import Worksheet
from PIL import Image
from pypdf import PdfReader

from quotegen.documents.customer.schedule import SCHEDULE
from quotegen.documents.customer.schedule_book import SCHEDULE_BOOK
from quotegen.documents.printing.pdf import Rendered
from quotegen.model.choices import CustomerKind
from quotegen.model.enquiry import Customer
from quotegen.model.quote import Advice
from quotegen.model.several import QuotedRoof, Schedule
from quotegen.pricing.schedule import make_schedule
from tests.documents.conftest import ISSUE, bay_enquiry, finding, priced, text_of
from tests.spreadsheets import converted

HOSTILE = "=HYPERLINK(0)<b>&"


def cells(page: Worksheet) -> Iterator[object]:
    for row in page.iter_rows():
        for cell in row:
            if cell.value is not None:
                yield cell.value


def test_every_total_of_every_quote_and_every_sum_is_in_it(
    schedule_paper: Rendered, roofs: Schedule
) -> None:
    text = text_of(schedule_paper)
    for roof in roofs.roofs:
        assert roof.quote.enquiry.ref in text
        for option in roof.quote.options:
            assert option.totals.vat is not None
            for figure in (option.totals.net, option.totals.vat, option.totals.total):
                assert f"£{figure.money:,.2f}" in text
    for one in roofs.sums:
        assert f"£{one.total.money:,.2f}" in text


def test_it_says_what_is_not_in_the_sums(schedule_paper: Rendered) -> None:
    text = text_of(schedule_paper)
    assert "8 Kittiwake Street" in text[text.index("Not priced yet") :]
    assert "Roofs with no quotation yet are in none of them" in text
    assert "Work priced separately is in none of them: see the quotations T-02 and T-01" in text


def test_it_names_revision_start_urgency_and_what_was_turned_down(
    schedule_paper: Rendered,
) -> None:
    text = text_of(schedule_paper)
    assert "revision 2" in text
    assert "Start: We start on Thursday 3 December 2026." in " ".join(text.split())
    assert "Start: Not agreed yet." in text
    assert text.index("T-02 ·") < text.index("T-01 ·"), "the rotten deck comes first"
    assert "(declined)" in text


def test_no_cost_nor_profit_is_in_it(schedule_paper: Rendered, roofs: Schedule) -> None:
    text = text_of(schedule_paper)
    for roof in roofs.roofs:
        for option in roof.quote.options:
            assert f"{option.cost.money:,.2f}" not in text
    assert "profit" not in text


def test_it_lies_across_the_sheet(schedule_paper: Rendered) -> None:
    for page in PdfReader(BytesIO(schedule_paper.content)).pages:
        assert page.mediabox.width > page.mediabox.height


def test_twenty_roofs_break_between_roofs_under_a_repeated_head() -> None:
    quote = priced(bay_enquiry())
    quoted = [
        QuotedRoof(replace(quote, enquiry=replace(quote.enquiry, ref=f"T-{n:02}")), 0)
        for n in range(20)
    ]
    paper = SCHEDULE.make(make_schedule(quoted), ISSUE, None)
    assert paper.warnings == ()
    assert paper.pages > 3
    pages = [page.extract_text() for page in PdfReader(BytesIO(paper.content)).pages]
    with_roofs = [text for text in pages if "Start:" in text]
    assert len(with_roofs) > 2
    assert all("How urgent" in text for text in with_roofs)
    assert all(text.count("Start:") == text.count("cheapest") for text in with_roofs[1:])


def test_photos_are_shown_under_their_roof_and_a_missing_one_names_its_enquiry(
    tmp_path: Path,
) -> None:
    Image.new("RGB", (90, 60), "grey").save(tmp_path / "fascia.png")
    shown = bay_enquiry(findings=(finding("Renew it", None, photo="fascia.png"),))
    missing = bay_enquiry(ref="T-02", findings=(finding("Renew it", None, photo="gone.png"),))
    schedule = make_schedule([QuotedRoof(priced(one), 0) for one in (shown, missing)])
    paper = SCHEDULE.make(schedule, ISSUE, tmp_path)
    assert [(p.code, p.ref, p.seen) for p in paper.problems] == [
        ("photo-missing", "T-02", "gone.png")
    ]
    text = text_of(paper)
    assert "T-01, 4 Kittiwake Street" in text[text.index("Photographs") :]


def test_what_people_typed_is_only_words() -> None:
    asked = bay_enquiry(
        customer=Customer(HOSTILE, CustomerKind.LANDLORD, HOSTILE),
        site_address=HOSTILE,
        findings=(finding("Renew it", None, seen=HOSTILE),),
    )
    schedule = make_schedule([QuotedRoof(priced(asked), 0)])
    assert HOSTILE in text_of(SCHEDULE.make(schedule, ISSUE, None))
    book = load_workbook(BytesIO(SCHEDULE_BOOK.make(schedule, ISSUE, None).content))
    found = [cell for page in book for row in page.iter_rows() for cell in row if cell.value]
    assert [cell.coordinate for cell in found if cell.data_type == "f"] == []
    assert any(HOSTILE in str(cell.value) for cell in found)


def test_the_workbook_holds_the_amounts_as_numbers(roofs: Schedule) -> None:
    book = load_workbook(BytesIO(SCHEDULE_BOOK.make(roofs, ISSUE, None).content))
    on_roofs, on_prices, on_sums = (set(cells(book[n])) for n in ("Roofs", "Prices", "Sums"))
    for roof in roofs.roofs:
        assert roof.quote.enquiry.ref in on_roofs & on_prices
        for option in roof.quote.options:
            assert float(option.totals.total.money) in on_prices
    assert "no quote yet" in on_roofs
    for one in roofs.sums:
        assert float(one.total.money) in on_sums


@pytest.mark.usefixtures("drawn_anew")
def test_the_same_facts_give_the_same_bytes(roofs: Schedule, schedule_paper: Rendered) -> None:
    assert SCHEDULE.make(roofs, ISSUE, None).content == schedule_paper.content
    again = [SCHEDULE_BOOK.make(roofs, ISSUE, None).content for _ in range(2)]
    assert again[0] == again[1]


@pytest.fixture(scope="module")
def many_roofs(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The workbook of as many roofs as take several pages, whatever type they are printed in."""
    quote = priced(bay_enquiry())
    quoted = [
        QuotedRoof(replace(quote, enquiry=replace(quote.enquiry, ref=f"T-{n:02}")), 0)
        for n in range(24)
    ]
    file = tmp_path_factory.mktemp("many") / "schedule.xlsx"
    file.write_bytes(SCHEDULE_BOOK.make(make_schedule(quoted), ISSUE, None).content)
    return file


def test_a_spreadsheet_program_opens_the_workbook_and_repeats_the_head(many_roofs: Path) -> None:
    pages = PdfReader(converted(many_roofs, "pdf")).pages
    texts = [page.extract_text() for page in pages]
    assert all(f"T-{n:02}" in "".join(texts) for n in range(24))
    assert "Err:" not in "".join(texts)
    assert "##" not in "".join(texts)
    assert all(page.mediabox.width > page.mediabox.height for page in pages)
    with_roofs = [text for text in texts if "Fascia soft" in text]
    assert len(with_roofs) > 1
    assert all("What was found" in text for text in with_roofs), "the head is repeated"


A4_LONG_SIDE_POINTS = 297 / 25.4 * 72
DIGIT_OF_ARIAL = 0.556
"""Width of a digit over the size of the type: Adobe's metrics of Helvetica, which Arial keeps to.

Columns are counted in digits of the type of the book: ECMA-376 part 1, 18.3.1.13.
"""


def test_the_workbook_prints_across_a4_in_type_that_can_be_read(many_roofs: Path) -> None:
    """Worked out from the file: what a machine without Arial prints depends on its own fonts."""
    book = load_workbook(many_roofs)
    # The hints of openpyxl leave the styles of a book out.
    normal = book._named_styles["Normal"].font  # type: ignore[attr-defined]
    for page in book:
        widths = [column.width for column in page.column_dimensions.values()]
        assert len(widths) == page.max_column
        body = page.cell(page.max_row, 1).font
        assert body.name == normal.name == "Arial"
        across = sum(widths) * DIGIT_OF_ARIAL * normal.size
        margins = 72 * (page.page_margins.left + page.page_margins.right)
        assert page.page_setup.orientation == "landscape"
        assert (page.page_setup.paperSize, page.page_setup.fitToWidth) == (9, 1)
        assert page.sheet_properties.pageSetUpPr is not None
        assert page.sheet_properties.pageSetUpPr.fitToPage
        assert body.size * min(1, (A4_LONG_SIDE_POINTS - margins) / across) >= 9, page.title


def test_a_firm_that_charges_no_vat_says_so_beneath_the_sums() -> None:
    """VAT Notice 700, from memory: who is not registered may show none."""
    none = "No VAT is charged: the firm is not registered for VAT."
    for registered in (True, False):
        quote = priced(bay_enquiry(), vat_registered=registered)
        said = SCHEDULE.html(make_schedule([QuotedRoof(quote, 0)]), ISSUE)
        assert (none in said) is not registered


def test_it_says_what_we_advise_what_one_visit_saves_and_has_an_acceptance() -> None:
    first, second = (priced(bay_enquiry(ref=ref)) for ref in ("T-01", "T-02"))
    advice = Advice(first.options[-1].build_up, own_words="The joists want seeing")
    quoted = [
        QuotedRoof(replace(first, advised=advice), 0),
        QuotedRoof(replace(second, advised=Advice(None)), 0),
    ]
    text = " ".join(text_of(SCHEDULE.make(make_schedule(quoted), ISSUE, None)).split())
    assert text.count("we advise this") == 1
    assert "We advise D: new deck with insulation. The joists want seeing." in text
    assert "We advise none of these." in text
    assert "T-01 only" in text, "the total of what is advised names the roofs it covers"
    form = text[text.index("Acceptance: tick, sign and send back") :]
    for words in ("My total", "Order number", "Signed", "Name", "Date", "Not this roof", "Send it"):
        assert words in form
    for quote in (first, second):
        for option in quote.options:
            assert f"£{option.totals.total.money:,.2f}" in form


def test_a_price_for_one_visit_is_one_line_with_its_total_and_condition(roofs: Schedule) -> None:
    chosen = [replace(roof.quote, advised=Advice(roof.cheapest.build_up)) for roof in roofs.roofs]
    schedule = make_schedule([QuotedRoof(one, 0) for one in chosen])
    assert schedule.together is not None
    assert schedule.together.price is not None
    text = " ".join(text_of(SCHEDULE.make(schedule, ISSUE, None)).split())
    lower = f"£{schedule.together.price.total.money:,.2f}"
    assert text.count(lower) == 2, "once where it is worked out, once to tick"
    assert text.count("are done in one visit") == 2
    firm = roofs.settings
    kept = replace(firm.figures["together_passed_on"], value=False)
    firm = replace(firm, figures={**firm.figures, "together_passed_on": kept})
    schedule = make_schedule([QuotedRoof(replace(one, settings=firm), 0) for one in chosen])
    assert "one visit" not in text_of(SCHEDULE.make(schedule, ISSUE, None)), "what is kept"
