"""The order: everything to buy, for which job, where and when, and not one price."""

from collections import Counter
from dataclasses import replace
from datetime import date
from io import BytesIO

import pytest
from openpyxl import load_workbook

from quotegen.documents.cutting_paper import CUTTING_LIST
from quotegen.documents.order_paper import ORDER, ORDER_BOOK
from quotegen.documents.order_view import NOTHING, order_tables, order_view, wanted_on
from quotegen.documents.pdf import Rendered
from quotegen.documents.wording import Wording
from quotegen.model.safety import MethodStatement
from quotegen.model.takeoff import PackCount, Phase
from tests.documents.conftest import ISSUE, squeezed, text_of

WORDING = Wording("en_GB", "GBP")


def all_packs(statement: MethodStatement) -> list[PackCount]:
    return [count for one in statement.option.order.suppliers for count in one.packs]


def with_order(statement: MethodStatement, **changes: object) -> MethodStatement:
    order = replace(statement.option.order, **changes)  # type: ignore[arg-type]
    return replace(statement, option=replace(statement.option, order=order))


def test_every_pack_of_the_take_off_is_on_it_and_no_other(
    bay_statement: MethodStatement, order_paper: Rendered
) -> None:
    view = order_view(bay_statement, ISSUE, WORDING)
    listed = [line for one in view.suppliers for line in one.lines]
    bought = all_packs(bay_statement)
    assert [(line.item, line.packs) for line in listed] == [
        (count.pack.words, f"{count.count}") for count in bought
    ]
    text = squeezed(text_of(order_paper))
    for line in listed:
        row = line.number + line.item + line.wanted + line.packs + line.pack + line.in_all
        assert squeezed(row) in text


def test_what_is_ordered_covers_what_the_job_has_to_buy(bay_statement: MethodStatement) -> None:
    ordered: Counter[str] = Counter()
    for count in all_packs(bay_statement):
        ordered[count.pack.item] += count.count * count.pack.pack_size
    for need in bay_statement.option.needs:
        if need.purchase is not None:
            assert ordered[need.item] >= need.purchase.needed.number


def test_no_price_is_on_it(bay_statement: MethodStatement, order_paper: Rendered) -> None:
    text = text_of(order_paper)
    book = ORDER_BOOK.said(bay_statement, ISSUE, None)  # type: ignore[arg-type]
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
    assert wanted_on(replace(bay_statement, days=days)) is None


def test_the_length_of_the_screws_stands_beside_the_merchants_words(
    bay_statement: MethodStatement,
) -> None:
    """Which length the job needs only the take-off says."""
    asked = next(need.words for need in bay_statement.option.needs if need.item == "long_screw")
    view = order_view(bay_statement, ISSUE, WORDING)
    assert [line.wanted for one in view.suppliers for line in one.lines].count(asked) == 1


def test_each_merchant_has_a_page_and_a_sheet(bay_statement: MethodStatement) -> None:
    one = bay_statement.option.order.suppliers[0]
    two = with_order(bay_statement, suppliers=(one, replace(one, supplier="=Fulmar: Counter")))
    assert ORDER.make(two, ISSUE, None).pages == 2 * ORDER.make(bay_statement, ISSUE, None).pages
    book = load_workbook(BytesIO(ORDER_BOOK.make(two, ISSUE, None).content))
    assert book.sheetnames == [one.supplier, "=Fulmar  Counter"]


def test_the_workbook_says_the_same_as_the_take_off(bay_statement: MethodStatement) -> None:
    content = ORDER_BOOK.make(bay_statement, ISSUE, None).content
    assert content == ORDER_BOOK.make(bay_statement, ISSUE, None).content
    page = load_workbook(BytesIO(content)).worksheets[0]
    head = next(row[0].row for row in page.iter_rows() if row[0].value == "No.")
    rows = [[cell.value for cell in row] for row in page.iter_rows(min_row=head + 1)]
    assert [(row[1], row[3], row[4], row[7]) for row in rows] == [
        (count.pack.words, count.count, count.pack.pack_size, "T-01")
        for count in bay_statement.option.order.suppliers[0].packs
    ]
    assert all(row[6] == pytest.approx(row[3] * row[4]) for row in rows)


def test_a_merchants_words_cannot_run_as_a_formula(bay_statement: MethodStatement) -> None:
    one = bay_statement.option.order.suppliers[0]
    evil = replace(one.packs[0], pack=replace(one.packs[0].pack, words="=1+1"))
    statement = with_order(bay_statement, suppliers=(replace(one, packs=(evil,)),))
    page = load_workbook(BytesIO(ORDER_BOOK.make(statement, ISSUE, None).content)).worksheets[0]
    cell = next(cell for row in page.iter_rows() for cell in row if cell.value == "=1+1")
    assert (cell.data_type, cell.quotePrefix) == ("s", True)


def test_the_same_order_gives_the_same_bytes(
    bay_statement: MethodStatement, order_paper: Rendered, cutting_list_paper: Rendered
) -> None:
    assert ORDER.make(bay_statement, ISSUE, None).content == order_paper.content
    assert CUTTING_LIST.make(bay_statement, ISSUE, None).content == cutting_list_paper.content


def test_nothing_to_buy_is_said(bay_statement: MethodStatement) -> None:
    nothing = with_order(bay_statement, suppliers=())
    assert NOTHING in text_of(ORDER.make(nothing, ISSUE, None))
    (table,) = order_tables(nothing, ISSUE, WORDING)
    assert (table.title, table.rows) == (NOTHING, ())
