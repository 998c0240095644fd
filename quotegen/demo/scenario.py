"""The demo workbook and the demo price lists, made from the scenario beside this module."""

from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

from msgspec import field

from quotegen.demo.past_quotes import past_quotes
from quotegen.demo.past_year import PastYear, done_rows
from quotegen.model.own.invoiced import PayStage
from quotegen.model.own.quoted import EnquiryNote, IssuedQuote
from quotegen.problems import Problem
from quotegen.reference import house_rules
from quotegen.tables import Made, Number, Table, content, made
from quotegen.workbook.sheets.declaration import (
    DETAILS,
    DONE_SHEET,
    FORECAST_SHEET,
    JOB_SHEETS,
    STOCK_SHEET,
)
from quotegen.workbook.writing.blank import starting_rows
from quotegen.workbook.writing.writing import RowsIn, write_price_list, write_workbook

DEMO_FOLDER = Path(__file__).parent
WORKBOOK_NAME = "demo-jobs.xlsx"
FieldsIn = dict[str, Any]
_DETAILS = tuple(sheet.field for sheet in DETAILS)


class Price(Table, kw_only=True, frozen=True):
    """A price of a list; `dated` only where it differs from the date of its list."""

    item: str
    words: str
    size: Number
    price: Number
    dated: date | None = None


class PriceList(Table, kw_only=True, frozen=True):
    """One supplier's prices, and the file they are written to."""

    file: str
    supplier: str
    dated: date
    price: tuple[Price, ...]


class PriceFile(Table, frozen=True):
    """The contents of the prices file."""

    lists: tuple[PriceList, ...] = field(name="list")


class DemoInvoice(Table, frozen=True):
    """An invoice that the demo issues, and the day of it."""

    ref: str
    stage: PayStage
    on: date


class Jobs(Table, frozen=True):
    """The contents of the jobs file: rows by field, checked when they are written."""

    firm: FieldsIn
    invoice: tuple[DemoInvoice, ...]
    van_stock: tuple[FieldsIn, ...]
    enquiry: tuple[FieldsIn, ...]


class ForecastFile(Table, frozen=True):
    """The contents of the forecast file: rows by field."""

    row: tuple[FieldsIn, ...]


def write_demo(folder: Path) -> Path | Problem:
    """Write the demo workbook into a folder unless it is already there.

    Returns its path, or the problem if it could not be written.
    """
    path = folder / WORKBOOK_NAME
    if path.exists():
        return path
    return write_workbook(path, workbook_rows()) or path


def demo_date() -> date:
    """The date of the demo: that of its last enquiry, so that its prices never look old."""
    dated: date = max(job["dated"] for job in _read("jobs.toml", Jobs).enquiry)
    return dated


def demo_invoices() -> tuple[DemoInvoice, ...]:
    """The invoices of the demo, in the order in which they are issued."""
    invoices: tuple[DemoInvoice, ...] = _read("jobs.toml", Jobs).invoice
    return invoices


def demo_past_quotes() -> tuple[list[IssuedQuote], list[EnquiryNote]]:
    """The quotes of the firm's past year, issued before the demo's register began."""
    return past_quotes(_read("past_year.toml", PastYear))


def write_demo_price_lists(folder: Path) -> tuple[Path, ...] | Problem:
    """Write the demo price lists into a folder; return their paths, or a problem."""
    paths = []
    for name, rows in price_list_rows().items():
        failed = write_price_list(folder / name, rows)
        if failed:
            return failed
        paths.append(folder / name)
    return tuple(paths)


def workbook_rows() -> dict[str, RowsIn]:
    """The rows of every sheet of the demo workbook, by sheet and field."""
    scenario = _read("jobs.toml", Jobs)
    rows = starting_rows(scenario.firm)
    rows[STOCK_SHEET] = scenario.van_stock
    rows[FORECAST_SHEET] = _read("forecast.toml", ForecastFile).row
    rows[DONE_SHEET] = done_rows(_read("past_year.toml", PastYear))
    rows[JOB_SHEETS[0]] = [
        {field: _cell(value) for field, value in job.items() if field not in _DETAILS}
        for job in scenario.enquiry
    ]
    for sheet, key in zip(JOB_SHEETS[1:], _DETAILS, strict=True):
        rows[sheet] = [
            {"ref": job["ref"], **detail} for job in scenario.enquiry for detail in job.get(key, ())
        ]
    return rows


def price_list_rows() -> dict[str, RowsIn]:
    """The rows of each demo price list, by file name."""
    return {
        listed.file: [_price_row(listed, price) for price in listed.price]
        for listed in _read("prices.toml", PriceFile).lists
    }


def _price_row(listed: PriceList, price: Price) -> FieldsIn:
    return {
        "item": price.item,
        "words": price.words,
        "unit": house_rules.items()[price.item].unit,
        "pack_size": price.size,
        "pack_price": price.price,
        "supplier": listed.supplier,
        "dated": price.dated or listed.dated,
    }


def _cell(value: Any) -> Any:
    return tuple(value) if isinstance(value, list) else value


@cache
def _read(name: str, kind: type[Made]) -> Made:
    return made(content(DEMO_FOLDER / name), kind, name)
