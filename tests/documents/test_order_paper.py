"""The order: everything to buy, for which job, where and when, and not a single price."""

import re
from collections import Counter, defaultdict
from datetime import date
from io import BytesIO
from typing import Any

import pytest
from msgspec.structs import replace
from openpyxl import load_workbook
from pypdf import PdfReader

from quotegen.documents.crew.cutting_list import CUTTING_LIST
from quotegen.documents.crew.order import (
    NOTHING_TO_BUY,
    ORDER,
    ROOMY_LINES,
    STANDS,
    is_hired,
    needed_by_words,
    order_view,
    quantity_words,
)
from quotegen.documents.crew.order_book import ONE_PAGE_LINES, ORDER_BOOK, order_tables
from quotegen.documents.printing.paper import PictureBox
from quotegen.documents.printing.pdf import Rendered, render
from quotegen.documents.safety.access_view import access_rows
from quotegen.model.prestart.record import BeforeStart
from quotegen.model.safety import MethodStatement
from quotegen.model.takeoff import PackCount, Phase
from quotegen.reference import house_rules
from tests.builders import TODAY
from tests.documents.conftest import ISSUE, squeezed, text_of

NO_FOLDER = PictureBox(None, ISSUE.reference)


def all_packs(statement: MethodStatement) -> list[PackCount]:
    return [count for one in statement.option.order.suppliers for count in one.packs]


def with_order(statement: MethodStatement, **changes: Any) -> MethodStatement:
    order = replace(statement.option.order, **changes)
    return replace(statement, option=replace(statement.option, order=order))


def test_every_pack_of_the_take_off_is_on_it_and_no_other(
    bay_statement: MethodStatement, order_paper: Rendered
) -> None:
    view = order_view(bay_statement, ISSUE)
    listed = [line for one in view.suppliers for line in one.lines]
    bought = [count for count in all_packs(bay_statement) if not is_hired(count)]
    assert [(line.item, line.packs) for line in listed] == [
        (count.pack.words, f"{count.count}") for count in bought
    ]
    text = squeezed(text_of(order_paper))
    for line in listed:
        row = line.number + line.item + line.wanted + line.packs + line.pack + line.in_all
        assert squeezed(row) in text


def test_what_is_ordered_covers_what_the_job_has_to_buy(bay_statement: MethodStatement) -> None:
    ordered: dict[str, float] = defaultdict(float)
    for count in all_packs(bay_statement):
        ordered[count.pack.item] += count.count * count.pack.pack_size
    for need in bay_statement.option.needs:
        if need.purchase is not None:
            assert ordered[need.item] >= need.purchase.needed.number


def test_no_price_is_on_it(bay_statement: MethodStatement, order_paper: Rendered) -> None:
    text = text_of(order_paper)
    book = ORDER_BOOK.said(bay_statement, ISSUE, NO_FOLDER)
    order = bay_statement.option.order
    sums = {count.pack.pack_price for count in all_packs(bay_statement)}
    sums |= {order.total.money, *(one.cost.money for one in order.suppliers)}
    for said in (text, book):
        assert "£" not in said
        assert not any(f"{amount:.2f}" in said for amount in sums)


def test_it_says_where_when_for_which_job_and_in_which_colour(
    bay_statement: MethodStatement,
) -> None:
    day = date(2026, 12, 3)
    first = replace(bay_statement.days.worked[0], day=day)
    days = replace(bay_statement.days, days=(first,), refused=None)
    text = text_of(ORDER.make(replace(bay_statement, days=days), ISSUE, None))
    assert "Thursday 3 December 2026" in text
    assert "T-01" in text
    assert " ".join(bay_statement.enquiry.site_address.split()) in text
    assert f"Colour: {bay_statement.enquiry.colour}" in text


def test_no_day_is_named_that_the_forecast_refuses(bay_statement: MethodStatement) -> None:
    first = replace(bay_statement.days.worked[0], day=date(2026, 12, 3))
    days = replace(bay_statement.days, days=(first,), refused=Phase.LAY)
    view = order_view(replace(bay_statement, days=days), ISSUE)
    assert {(one.needed_by, one.hire_from) for one in view.suppliers} == {("", "")}
    assert view.to_day == ""


def test_what_is_hired_is_hired_from_the_first_day_to_the_last(
    bay_statement: MethodStatement,
) -> None:
    """Weeks of a tower, not packs of it; nothing of it says that we fetch it ourselves."""
    one = bay_statement.days.worked[0]
    worked = (replace(one, day=date(2026, 12, 3)), replace(one, day=date(2026, 12, 4)))
    days = replace(bay_statement.days, days=worked, refused=None)
    statement = replace(bay_statement, days=days)
    view = order_view(statement, ISSUE)
    (hirer,) = [one for one in view.suppliers if one.hires]
    assert (hirer.hire_from, view.to_day) == ("Thursday 3 December 2026", "Friday 4 December 2026")
    (tower,) = [line for one in view.suppliers for line in one.hires if "Tower" in line.item]
    assert (tower.how_many, tower.how_long) == ("1", "1 week")
    assert "2.6 m up" in tower.wanted  # the height of the edge in tests.builders
    text = text_of(ORDER.make(statement, ISSUE, None))
    assert "from Thursday 3 December 2026 to Friday 4 December 2026" in text
    assert "You bring and collect the tower" in text


def test_a_scaffold_is_up_the_working_day_before_the_first(
    demo_statements: list[MethodStatement],
) -> None:
    """The statement has it handed over before the first day, so it is on hire from the day before.

    Common practice, no source: the scaffolder works Monday to Friday. Goods come on the first day.
    """
    (large,) = [made for made in demo_statements if made.enquiry.ref == "MH-104"]
    assert large.days.worked[0].day == date(2026, 12, 2)
    (stands,) = [row.words for row in access_rows(large) if row.name == "It stands"]
    assert stands.startswith("Up and handed over before Wed 2 Dec")
    (hirer,) = [one for one in order_view(large, ISSUE).suppliers if one.hires]
    days = ("Tuesday 1 December 2026", "Wednesday 2 December 2026")
    assert (hirer.hire_from, hirer.needed_by) == days
    assert "from Tuesday 1 December 2026 to" in ORDER_BOOK.said(large, ISSUE, NO_FOLDER)
    scaffold = [count for count in all_packs(large) if count.pack.item == "scaffold_hire"]
    (only,) = large.option.order.suppliers[-1:]
    alone = replace(only, packs=tuple(scaffold))
    assert needed_by_words(alone, large) == days[0]


def test_it_says_whether_it_stands(bay_statement: MethodStatement, order_paper: Rendered) -> None:
    assert not bay_statement.accepted
    fullest = f"For the fullest option, {bay_statement.build_up}."
    hold = "Do not order yet: waiting for the customer’s yes in writing, the notice to building"
    assert hold in text_of(order_paper)
    assert fullest in text_of(order_paper)
    assert STANDS not in text_of(order_paper)
    chosen = replace(bay_statement, accepted=True, before=BeforeStart(TODAY, ()))
    standing = text_of(ORDER.make(chosen, ISSUE, None))
    assert STANDS in standing
    assert "not order yet" not in standing
    for statement, words in ((bay_statement, "Do not order yet"), (chosen, STANDS)):
        assert words in ORDER_BOOK.said(statement, ISSUE, NO_FOLDER)


def test_the_length_of_the_screws_stands_beside_the_merchants_words(
    bay_statement: MethodStatement,
) -> None:
    """100 of insulation, two boards of 18 and 40 mm into the joist are 176 mm: the one of 180."""
    view = order_view(bay_statement, ISSUE)
    wanted = [line.wanted for one in view.suppliers for line in one.lines]
    assert wanted.count("At least 180 mm long, under 200 mm.") == 1


def test_masks_and_gloves_are_those_of_the_method_statement(
    bay_statement: MethodStatement,
) -> None:
    """One source: the marks asked of the merchant stand on the paper the crew goes by."""
    asked = bay_statement.asked
    worn = " ".join(f"{task.hands} {task.breathing}" for task in bay_statement.protection)
    worn += " ".join(note.text for note in bay_statement.marks)
    mask, glove = asked["filters"].split()[0], asked["gloves"].split(", ")[0]
    assert mask == "A2P3"
    assert mask in worn
    assert "BS EN 14387" in asked["filters"]
    assert "BS EN 14387" in worn
    assert glove in worn
    assert "BS EN ISO 374-1" in asked["gloves"]
    assert "BS EN ISO 374-1" in worn
    view = order_view(bay_statement, ISSUE)
    wanted = [line.wanted for one in view.suppliers for line in one.lines]
    assert {asked["filters"], asked["gloves"]} <= set(wanted)


def two_merchants(statement: MethodStatement) -> MethodStatement:
    """The chemicals from one merchant, everything else from another."""
    one = statement.option.order.suppliers[0]
    resins = ("resin", "topcoat", "catalyst")
    here = tuple(count for count in one.packs if count.pack.item not in resins)
    there = tuple(count for count in one.packs if count.pack.item in resins)
    other = replace(one, supplier="=Fulmar: Counter", packs=there)
    return with_order(statement, suppliers=(replace(one, packs=here), other))


def test_each_merchant_has_pages_and_a_sheet_with_nothing_of_the_others(
    bay_statement: MethodStatement,
) -> None:
    two = two_merchants(bay_statement)
    names = [one.supplier for one in two.option.order.suppliers]
    made = ORDER.make(two, ISSUE, None)
    assert made.warnings == ()
    pages = [page.extract_text() for page in PdfReader(BytesIO(made.content)).pages]
    by_name = [[page for page in pages if name in page] for name in names]
    assert sum(len(mine) for mine in by_name) == len(pages)
    for mine, other in zip(by_name, reversed(two.option.order.suppliers), strict=True):
        assert "Sole trader" in mine[0]  # the head of the firm stands on each
        for number, page in enumerate(mine, 1):
            assert f"Page {number} of {len(mine)}" in page
            assert other.supplier not in page
            assert not any(count.pack.words in page for count in other.packs)
    book = load_workbook(BytesIO(ORDER_BOOK.make(two, ISSUE, None).content))
    assert book.sheetnames == [names[0], "=Fulmar  Counter"]


def test_each_merchant_is_asked_for_what_goes_with_his_own_goods(
    bay_statement: MethodStatement,
) -> None:
    rest, chemicals = (
        " ".join(one.notes) for one in order_view(two_merchants(bay_statement), ISSUE).suppliers
    )
    assert "safety data sheet of laminating resin, topcoat and catalyst (MEKP)" in chemicals
    assert "use-by date" in chemicals
    assert "use-by date" not in rest
    assert "resin" not in rest.replace("the resin is worked out from it", "")
    assert "tower" in rest
    assert "tower" not in chemicals
    assert "Trims whole" in rest
    assert "Trims whole" not in chemicals


def test_a_sheet_is_set_up_for_a4(bay_statement: MethodStatement) -> None:
    page = load_workbook(BytesIO(ORDER_BOOK.make(bay_statement, ISSUE, None).content)).worksheets[0]
    head = next(row[0].row for row in page.iter_rows() if row[0].value == "No.")
    assert page.page_setup.paperSize == int(page.PAPERSIZE_A4)
    lines = sum(isinstance(row[0].value, int) for row in page.iter_rows())
    on_one_page = int(lines <= ONE_PAGE_LINES)
    assert (page.page_setup.fitToWidth, page.page_setup.fitToHeight) == (1, on_one_page)
    assert page.print_title_rows == f"${head}:${head}"
    said = [str(cell.value) for row in page.iter_rows() for cell in row if cell.value]
    view = order_view(bay_statement, ISSUE)
    assert set(view.suppliers[0].notes) <= set(said)


def test_the_workbook_says_the_same_as_the_take_off(bay_statement: MethodStatement) -> None:
    content = ORDER_BOOK.make(bay_statement, ISSUE, None).content
    assert content == ORDER_BOOK.make(bay_statement, ISSUE, None).content
    page = load_workbook(BytesIO(content)).worksheets[0]
    head = next(row[0].row for row in page.iter_rows() if row[0].value == "No.")
    below = page.iter_rows(min_row=head + 1, values_only=True)
    rows: list[Any] = [row for row in below if isinstance(row[0], int)]
    assert Counter((row[1], row[3], row[4], row[7]) for row in rows) == Counter(
        (count.pack.words, count.count, count.pack.pack_size, "T-01")
        for count in bay_statement.option.order.suppliers[0].packs
    )
    assert [row[0] for row in rows] == list(range(1, len(rows) + 1))
    assert all(row[6] == pytest.approx(row[3] * row[4]) for row in rows)


def test_a_merchants_words_cannot_run_as_a_formula(bay_statement: MethodStatement) -> None:
    one = bay_statement.option.order.suppliers[0]
    evil = replace(one.packs[0], pack=replace(one.packs[0].pack, words="=1+1"))
    statement = with_order(bay_statement, suppliers=(replace(one, packs=(evil,)),))
    page = load_workbook(BytesIO(ORDER_BOOK.make(statement, ISSUE, None).content)).worksheets[0]
    cell = next(cell for row in page.iter_rows() for cell in row if cell.value == "=1+1")
    assert (cell.data_type, cell.quotePrefix) == ("s", True)


@pytest.mark.usefixtures("drawn_anew")
def test_the_same_order_gives_the_same_bytes(
    bay_statement: MethodStatement, order_paper: Rendered, cutting_list_paper: Rendered
) -> None:
    assert ORDER.make(bay_statement, ISSUE, None).content == order_paper.content
    assert CUTTING_LIST.make(bay_statement, ISSUE, None).content == cutting_list_paper.content


def test_nothing_to_buy_is_said(bay_statement: MethodStatement) -> None:
    nothing = with_order(bay_statement, suppliers=())
    assert NOTHING_TO_BUY in text_of(ORDER.make(nothing, ISSUE, None))
    (table,) = order_tables(nothing, ISSUE)
    assert (table.title, table.rows) == (NOTHING_TO_BUY, ())


def test_an_order_of_few_lines_is_printed_on_one_page(bay_statement: MethodStatement) -> None:
    """A page more that held two notes under the repeated head would be lost at the counter."""
    long = order_tables(bay_statement, ISSUE)
    one = bay_statement.option.order.suppliers[0]
    few = replace(one, packs=one.packs[:ONE_PAGE_LINES])
    order = replace(bay_statement.option.order, suppliers=(few,))
    option = replace(bay_statement.option, order=order)
    (short,) = order_tables(replace(bay_statement, option=option), ISSUE)
    assert short.one_page
    assert [table.one_page for table in long] == [
        len(table.rows) <= ONE_PAGE_LINES for table in long
    ]


def test_the_timber_round_the_insulation_is_as_deep_as_it(
    demo_statements: list[MethodStatement],
) -> None:
    for statement in demo_statements:
        if "edge_timber" in {need.item for need in statement.option.needs}:
            thick = statement.enquiry.insulation_mm
            assert thick is not None
            assert statement.asked["edge_timber"].startswith(f"{thick.number:g} mm deep")


def test_each_merchant_has_one_page_set_closer_only_where_it_has_to_be(
    demo_statements: list[MethodStatement],
) -> None:
    closer = []
    for statement in demo_statements:
        paper = ORDER.make(statement, ISSUE, None)
        merchants = len(statement.option.order.suppliers)
        assert paper.pages == merchants, statement.enquiry.ref
        first = render(ORDER.html(statement, ISSUE))
        if first.pages > merchants:
            closer.append(statement.enquiry.ref)
        else:
            assert paper.content == first.content, statement.enquiry.ref
    assert 0 < len(closer) < len(demo_statements)


def test_a_short_order_of_long_words_is_set_no_larger_than_its_page(
    bay_statement: MethodStatement,
) -> None:
    """Nine lines are set larger; with words of four lines each they would run on."""
    few = bay_statement.option.order.suppliers[0].packs[:1] * ROOMY_LINES
    long = [
        replace(pack, pack=replace(pack.pack, words="a thing of several words " * 4))
        for pack in few
    ]
    one = replace(bay_statement.option.order.suppliers[0], packs=tuple(long))
    statement = with_order(bay_statement, suppliers=(one,))
    assert 'merchant roomy"' in ORDER.html(statement, ISSUE)
    assert render(ORDER.html(statement, ISSUE)).pages == 2
    assert ORDER.make(statement, ISSUE, None).pages == 1


def test_the_size_of_a_pack_is_printed_as_it_is_sold() -> None:
    """A pack of 1.125 m2 is not one of 1.12: arithmetic of the packs would not come out."""
    assert quantity_words(1.125, "m2") == "1.125 m²"
    assert quantity_words(3 * 0.1, "l") == "0.3 l"


def test_flammable_liquids_are_wanted_by_day_where_all_at_once_is_too_much(
    demo_statements: list[MethodStatement],
) -> None:
    """23 m2 in 600 g mat: 78 l at once, 50 l is the guide; on no other order is a day named."""
    for statement in demo_statements:
        view = order_view(statement, ISSUE)
        named = [part for one in view.suppliers for part in one.by_day]
        if statement.enquiry.ref != "MH-104":
            assert named == []
            continue
        assert [(part.day, part.what.split()[0]) for part in named] == [
            ("Mon 7 Dec", "Laminating"),
            ("Tue 8 Dec", "Topcoat"),
        ]
        written = [words for page in order_tables(statement, ISSUE) for _, words in page.lines]
        for part in named:
            assert part.what in ORDER.html(statement, ISSUE)
            assert f"{part.day}: {part.what}" in written


def test_no_sentence_of_a_note_begins_in_lower_case(bay_statement: MethodStatement) -> None:
    """Each note is tried with a thing whose name begins in lower case inside a sentence."""
    filled = [
        f"{note.text[:1].upper()}{note.text[1:]}".format(things="laminating resin and topcoat")
        if not note.text.startswith("{things}")
        else note.text.format(things="Laminating resin and topcoat")
        for note in house_rules.order_notes()
    ]
    printed = [note for one in order_view(bay_statement, ISSUE).suppliers for note in one.notes]
    for note in (*filled, *printed):
        sentences = [part for part in re.split(r"[.!?]\s+", note) if part]
        assert [part for part in sentences if part[0].islower()] == [], note
