"""The cost sheet: its lines add up to the quote's totals, and none of it reaches the customer."""

import re
from collections.abc import Iterable
from decimal import Decimal
from io import BytesIO

import pytest
from msgspec.structs import replace
from pypdf import PdfReader

from quotegen import wording
from quotegen.documents.customer.side_by_side import LineRow
from quotegen.documents.data.explanation import explained
from quotegen.documents.owner.cause_words import cause_words
from quotegen.documents.owner.cost_detail import CostDetail, cost_detail
from quotegen.documents.owner.cost_sheet import (
    COST_SHEET,
    MOST_WORKING_LINES,
    CostSheetView,
    CostSubject,
    cost_sheet_view,
)
from quotegen.documents.printing.pdf import Rendered
from quotegen.documents.shared.remark_words import said
from quotegen.learning.compared import learned_from
from quotegen.learning.holding import holdings
from quotegen.model.choices import Access, BuildUp, Size
from quotegen.model.enquiry import SiteFacts
from quotegen.model.quote import Quote
from quotegen.pricing.margin import margin_of
from quotegen.pricing.quote import make_quote
from quotegen.reference.remark_keys import Task
from quotegen.takeoff.measure import measure
from quotegen.units import pence
from quotegen.working_out import Batch
from tests.builders import TODAY, enquiry, given, prices, roof, settings
from tests.documents.conftest import ISSUE, bay_enquiry, text_of

MONEY = re.compile(r"-?£[\d,]+\.\d\d")


def amount(cell: str) -> Decimal:
    """The amount a cell shows; a dash is nothing."""
    found = MONEY.findall(cell)
    return Decimal(found[0].replace("£", "").replace(",", "")) if found else Decimal(0)


def added(rows: Iterable[LineRow], column: int) -> Decimal:
    return sum((amount(row.cells[column]) for row in rows), Decimal(0))


@pytest.fixture(scope="module")
def view(bay_costs: CostSubject) -> CostSheetView:
    return cost_sheet_view(bay_costs, ISSUE)


@pytest.fixture(scope="module")
def detail(view: CostSheetView) -> CostDetail:
    return view.detail


def test_the_stages_add_up_to_the_cost_of_each_option(
    detail: CostDetail, bay_quote: Quote, cost_sheet_paper: Rendered
) -> None:
    text = text_of(cost_sheet_paper)
    for tables, option in zip(detail.options, bay_quote.options, strict=True):
        for column in range(4):
            assert added(tables.stages, column) == amount(tables.stage_total.cells[column])
        assert amount(tables.stage_total.cells[-1]) == option.cost.money
        assert f"Cost of the job {' '.join(tables.stage_total.cells)}" in text


def test_cost_overheads_and_profit_add_up_to_the_price(
    view: CostSheetView, bay_quote: Quote
) -> None:
    rows = {row.words: row for row in view.result}
    cost, overheads, profit = view.result[:3]
    for column, option in enumerate(bay_quote.options):
        parts = [amount(row.cells[column]) for row in (cost, overheads, profit)]
        assert (
            sum(parts) == option.totals.net.money == amount(rows["Price without VAT"].cells[column])
        )
        assert amount(rows["Margin over cost"].cells[column]) == parts[1] + parts[2]
        # The firm's own overheads: 15 % of cost (house default).
        assert parts[1] == pence(option.cost.money * Decimal("0.15"))
        assert (
            f"{100 * parts[2] / option.totals.net.money:.1f}".rstrip("0").rstrip(".")
            in (rows["Profit, of the price"].cells[column])
        )


def test_the_lines_of_the_price_add_up_to_what_the_customer_pays(
    view: CostSheetView, bay_quote: Quote
) -> None:
    net, vat, to_pay = view.price_totals
    for column, option in enumerate(bay_quote.options):
        assert added(view.prices, column) == amount(net.cells[column]) == option.totals.net.money
        total = amount(net.cells[column]) + amount(vat.cells[column])
        assert total == amount(to_pay.cells[column]) == option.totals.total.money


def test_packs_and_deliveries_add_up_to_the_order(detail: CostDetail, bay_quote: Quote) -> None:
    for column, option in enumerate(bay_quote.options):
        together = Decimal(0)
        for one in detail.suppliers:
            totals = {row.words: row for row in one.totals}
            packs = added(one.packs, column)
            delivery = amount(totals["Delivery"].cells[column]) if "Delivery" in totals else 0
            assert packs == amount(totals["Packs"].cells[column])
            assert packs + delivery == amount(totals["Together"].cells[column])
            together += packs + delivery
        assert together == option.take_off.order.total.money
        orders = {row.words: row for row in detail.orders}
        assert amount(orders["The whole order"].cells[column]) == together


def test_from_packs_to_what_the_job_is_charged(detail: CostDetail, bay_quote: Quote) -> None:
    for column, option in enumerate(bay_quote.options):
        *parts, charged = detail.bridge
        assert added(parts, column) == amount(charged.cells[column])
        assert amount(charged.cells[column]) == sum(x.material.money for x in option.cost_lines)
        *parts, charges = detail.charges
        assert added(parts, column) == amount(charges.cells[column])
        assert amount(charges.cells[column]) == sum(x.charges.money for x in option.cost_lines)


def test_the_tasks_add_up_to_the_labour(detail: CostDetail, bay_quote: Quote) -> None:
    for number, option in enumerate(bay_quote.options):
        cost = added(detail.tasks, 2 * number + 1)
        assert cost == amount(detail.task_total.cells[2 * number + 1])
        assert cost == sum(line.labour.money for line in option.cost_lines)
        lines = option.take_off.labour
        hours = sum(line.hours.number for line in lines)
        shown = detail.task_total.cells[2 * number]
        assert float(shown) == pytest.approx(hours, abs=0.005 * len(lines))
        tasks = [Decimal(row.cells[2 * number].replace("–", "0")) for row in detail.tasks]
        assert sum(tasks) == Decimal(shown)
        by_phase = detail.options[number].hours
        assert by_phase[-1].cells[-1] == shown
        for row in by_phase:
            *parts, together = [Decimal(cell.replace("–", "0")) for cell in row.cells]
            assert sum(parts) == together


def test_what_is_left_over_and_off_the_van_is_listed(detail: CostDetail, bay_quote: Quote) -> None:
    for column, option in enumerate(bay_quote.options):
        shown = [row for row in detail.left_over if row.cells[column] != "–"]
        assert len(shown) == len(option.take_off.order.leftovers)
    assert not detail.off_van
    on_van = {"catalyst": given("catalyst", 1000.0, "ml", "Van stock!B2")}
    firm = replace(settings(), van_stock=on_van)
    taken, _ = measure(bay_enquiry(build_ups=(BuildUp.NEW_DECK,)), firm, prices(), TODAY)
    assert taken is not None
    quote, _ = make_quote(taken, firm, prices(), TODAY)
    need = next(need for need in taken.options[0].needs if need.item == "catalyst")
    assert need.from_stock is not None
    (row,) = cost_detail(("New deck",), quote.options, firm).off_van
    # 500 ml at 20 pounds, the one pack of the invented list: 4 pence a millilitre.
    worth = pence(Decimal("0.04") * Decimal(repr(need.from_stock.number)))
    assert row.cells == (f"{wording.plain(need.from_stock.number)} ml for £{worth}",)


def test_every_page_and_the_title_say_private(cost_sheet_paper: Rendered) -> None:
    reader = PdfReader(BytesIO(cost_sheet_paper.content))
    assert reader.metadata is not None
    assert str(reader.metadata.title).startswith("PRIVATE")
    for page in reader.pages:
        assert "PRIVATE: for the owner alone" in page.extract_text()
    assert 3 <= cost_sheet_paper.pages <= 6


def test_no_cost_or_margin_reaches_the_quote_of_the_customer(
    view: CostSheetView, bay_quote: Quote, quote_paper: Rendered
) -> None:
    text = text_of(quote_paper)
    for_the_customer = {
        cell for row in (*view.prices, *view.price_totals) for cell in MONEY.findall(str(row.cells))
    }
    rates = bay_quote.provisional_rates
    for_the_customer |= {wording.money(rate.totals.total.money) for rate in rates}
    found = [one.totals for one in bay_quote.findings if one.totals]
    for_the_customer |= {wording.money(totals.total.money) for totals in found}
    detail = view.detail
    tables = [row for one in detail.options for row in (*one.stages, one.stage_total)]
    rows = (*view.result[:3], *view.result[4:6], *tables, *detail.bridge, *detail.tasks)
    private = {found for row in rows for cell in row.cells for found in MONEY.findall(cell)}
    private -= for_the_customer
    assert {wording.money(option.cost.money) for option in bay_quote.options} <= private
    assert not private & set(MONEY.findall(text))
    assert not re.search(r"margin|overhead|profit|PRIVATE", text)


def test_a_little_more_on_each_size_and_the_warnings_are_there(
    bay_costs: CostSubject, cost_sheet_paper: Rendered
) -> None:
    text = text_of(cost_sheet_paper)
    assert "If a size is 25 mm more than measured" in text
    for shift in bay_costs.shifts:
        assert wording.change(shift.cost) in text
        assert wording.change(shift.net) in text
    for warned in bay_costs.problems:
        assert warned.cure in text


def test_prices_nobody_gave_a_cost_for_are_named(view: CostSheetView, bay_quote: Quote) -> None:
    """Two findings of 96 pounds each are to be done; the extra is only offered."""
    assert view.uncosted == "£192.00"
    outline = bay_quote.take_off.outline
    margin = margin_of(bay_quote.options[0], bay_quote.enquiry, outline, bay_quote.settings)
    assert margin.uncosted.money == Decimal("192.00")
    # 1.08 m2: the bay of the worked example.
    net = bay_quote.options[0].totals.net.money
    assert margin.per_m2.money == pence(net / Decimal("1.08"))


def test_every_price_line_has_its_working_cut_at_a_depth(
    view: CostSheetView, bay_quote: Quote, cost_sheet_paper: Rendered
) -> None:
    for (_, lines), option in zip(view.workings, bay_quote.options, strict=True):
        tops = [line.words for line in lines if line.depth == 0]
        assert len(tops) == len(option.lines)
        for top, line in zip(tops, option.lines, strict=True):
            assert top == f"{line.words} = £{line.amount.money:,}"
    all_lines = [line for _, lines in view.workings for line in lines]
    assert len(all_lines) <= MOST_WORKING_LINES
    deepest = max(line.depth for line in all_lines)
    assert all(line.depth == deepest for line in all_lines if line.cut)
    assert any(line.cut for line in all_lines)
    assert "quotegen explain BOOK --ref T-01 --line price" in text_of(cost_sheet_paper)


def test_the_ways_of_guarding_the_edge_stand_side_by_side_with_their_costs() -> None:
    """By hand, at 20 a week or a metre and 28 an hour: 20 + (1.5 + 8 x 0.5) x 28; 8 x 20."""
    porch = roof(sizes={Size.WIDTH: 1800, Size.PROJECTION: 1200})
    site = SiteFacts(room_for_tower=True, overhead_cables=False)
    job = enquiry(porch, access=Access.TOWER, site=site)
    take_off, _ = measure(job, settings(), prices(), TODAY)
    assert take_off
    quote, _ = make_quote(take_off, settings(), prices(), TODAY)
    one, towers, scaffold = cost_detail(("New deck",), quote.options, settings()).edge_ways
    assert (one.words, one.cells) == ("One tower, moved along", ("£174.00, taken",))
    assert towers.words.startswith("Towers along every edge. Not safe here: ")
    assert "would take 3 towers" in towers.words
    assert (scaffold.words, scaffold.cells) == ("Scaffold", ("£160.00",))
    found = {line.code: line.figure for _, lines in explained(quote) for line in lines}
    assert found["access:one-tower"].money == Decimal("174.00")
    assert found["access:scaffold"].money == Decimal("160.00")
    assert "access:towers" not in found
    assert found["platform:height"].number == pytest.approx(1.7)
    (line,) = [said(one) for one in quote.options[0].includes if one.key.startswith("access")]
    assert "moved along the edges: all of the roof can be reached from it" in line


def test_resin_stands_both_ways_with_what_is_ordered_and_what_is_mixed(
    detail: CostDetail, bay_quote: Quote, cost_sheet_paper: Rendered
) -> None:
    """In litres as the take-off has them, in kg at 1.1 kg to a litre (house default)."""
    guide, mixed, ordered, packs = detail.resin
    for column, option in enumerate(bay_quote.options):
        plan = option.take_off.resin
        for row, litres in (
            (guide, plan.guide_l.number),
            (mixed, plan.mixed_l.number),
            (ordered, plan.ordered_l.number),
        ):
            kilograms, volume = row.cells[2 * column : 2 * column + 2]
            assert (kilograms, volume) == (f"{litres * 1.1:.2f}", f"{litres:.2f}")
        to_have = next(need for need in option.take_off.needs if need.item == "resin")
        assert ordered.cells[2 * column] == f"{to_have.gross.number:.2f}"
        assert to_have.purchase is not None
        bought = sum(one.count * one.pack.pack_size for one in to_have.purchase.packs)
        from_van = to_have.from_stock.number if to_have.from_stock else 0.0
        assert packs.cells[2 * column] == f"{bought + from_van:.2f}"
    assert "mixed" in mixed.words
    assert "mixed" not in ordered.words + packs.words
    text = text_of(cost_sheet_paper)
    for row in detail.resin:
        assert f"{row.words} {' '.join(row.cells)}" in text
    assert (
        "You order by the all-in guide, never less than you mix, with at least 5% to spare" in text
    )


def test_how_far_the_price_holds_is_told_in_whole_pounds(
    view: CostSheetView, bay_costs: CostSubject, cost_sheet_paper: Rendered
) -> None:
    """Chances, then the cost with overheads, then the price: each option's own, in order."""
    loss, below, likely, price = view.holds
    for number, held in enumerate(bay_costs.held):
        assert loss.cells[number] == f"{round(held.loss_pct)}%"
        assert likely.cells[number] == f"£{held.likely:,.0f}"
        assert price.cells[number] == f"£{held.price:,.0f}"
    text = text_of(cost_sheet_paper)
    for words in (
        loss.words,
        below.words,
        likely.words,
        price.words,
        "None of it is from your own jobs",
    ):
        assert words in text
    assert len(view.drivers) == 3


def test_a_chance_that_is_nearly_nothing_is_not_called_nothing(bay_costs: CostSubject) -> None:
    sure = [replace(one, loss_pct=99.9, below_cost_pct=0.2) for one in bay_costs.held]
    found = cost_sheet_view(replace(bay_costs, held=tuple(sure), own_tasks=1), ISSUE)
    assert set(found.holds[0].cells) == {"more than 99%"}
    assert set(found.holds[1].cells) == {"less than 1%"}
    assert found.own_tasks == "1 task"


def test_every_cause_has_words(bay_costs: CostSubject) -> None:
    """A task by what the Done jobs sheet calls it, so that the owner finds it there again."""
    causes = [*(f"task:{task}" for task in Task), "job", "materials", "size", "rot", "weather"]
    words = [cause_words(cause) for cause in causes]
    assert len(set(words)) == len(words)
    assert cause_words("task:trim") == "hours: trims"
    assert {d.cause for one in bay_costs.held for d in one.drivers} <= set(causes)


def test_the_packs_of_each_supplier_stand_on_one_page(demo_batch: Batch) -> None:
    """Where one or two options are priced: with more, the tables are too long for it."""
    worked = next(one for one in demo_batch.worked if one.ref == "MH-104")
    assert worked.quote is not None
    held = holdings(worked.quote, learned_from(None, worked.quote.settings))
    paper = COST_SHEET.make(CostSubject(worked.quote, (), (), held), ISSUE, None)
    pages = [page.extract_text() for page in PdfReader(BytesIO(paper.content)).pages]
    for option in worked.quote.options:
        for supplier in option.take_off.order.suppliers:
            words = {pack.pack.words for pack in supplier.packs}
            assert any(all(one in " ".join(p.split()) for one in words) for p in pages)
