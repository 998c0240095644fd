"""The page of what jobs took: what it says, and what its charts show."""

from datetime import date

import pytest

from quotegen.demo.scenario import workbook_rows
from quotegen.documents.owner.own_chart import JobDot, TaskBar, task_chart, year_chart
from quotegen.documents.owner.own_numbers import (
    own_numbers_lines,
    own_numbers_pdf,
    own_numbers_view,
)
from quotegen.learning.stock_taken import StockTaken
from quotegen.making.taking_stock import take_stock
from quotegen.working_out import Batch
from tests.builders import TODAY
from tests.pdfs import page_texts


@pytest.fixture(scope="module")
def stock(demo_batch: Batch) -> StockTaken:
    found = take_stock(demo_batch, (), TODAY)
    assert found is not None
    return found


def test_the_page_is_one_and_says_what_the_lines_say(stock: StockTaken) -> None:
    pages = page_texts(own_numbers_pdf(stock, TODAY).content)
    assert len(pages) == 1
    view, flat = own_numbers_view(stock), " ".join(pages[0].split())
    for words in (view.trend, view.again, view.unmoved, view.wrong, "PRIVATE"):
        assert words in flat
    lines = " ".join(own_numbers_lines(stock))
    assert view.trend in lines
    assert view.again in lines
    for rate in stock.rates:
        assert rate.what in lines


def test_a_bar_lies_right_of_the_line_where_more_is_taken_than_allowed() -> None:
    """The middle of the dot by its ratio: equal steps of logs, and 1 where all is as allowed."""
    bars = [TaskBar("x", 5, r, r, r / 1.1, r * 1.1, tells=True) for r in (0.8, 1.0, 1.25, 9.0)]
    drawing = str(task_chart(bars))
    at = [float(part.split('"')[0]) for part in drawing.split('cx="')[1:]][::2]
    assert at[0] < at[1] < at[2] < at[3]
    assert at[2] - at[1] == pytest.approx(at[1] - at[0], abs=0.01)


def test_jobs_lie_in_order_of_their_days() -> None:
    jobs = [JobDot(date(2026, month, 3), 1 + month / 20) for month in range(1, 9)]
    drawing = str(year_chart(jobs, 0.001))
    across = [float(part.split('"')[0]) for part in drawing.split('cx="')[1:]]
    down = [float(part.split('"')[0]) for part in drawing.split('cy="')[1:]]
    assert across == sorted(across)
    assert down == sorted(down, reverse=True), "a slower job lies higher"
    assert "stroke-dasharray" in drawing
    assert "stroke-dasharray" not in str(year_chart(jobs, None))


def test_the_year_behind_the_demo_firm_is_the_same_each_time() -> None:
    """And every row of it is on a sheet that the reader reads without a word."""
    rows = workbook_rows()["Done jobs"]
    assert rows == workbook_rows()["Done jobs"]
    assert len({row["ref"] for row in rows}) > 20
    days = [row["done_on"] for row in rows]
    assert max(days) <= TODAY  # type: ignore[type-var, operator]  # a cell of that column is a day
