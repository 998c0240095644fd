"""The book of quotes: as lines for a screen, as a page with charts, and as a workbook of tables."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import Any

import pandas as pd
from markupsafe import Markup
from msgspec import Struct

from quotegen import wording
from quotegen.documents.printing import templates
from quotegen.documents.printing.paper import PaperFrame
from quotegen.documents.printing.pdf import Rendered, render
from quotegen.learning.quotes_book import QuotesBook, Won
from quotegen.model.own.quoted import Standing
from quotegen.phrases import capital
from quotegen.units import PENCE_IN_POUND
from quotegen.workbook.sheets.columns import CellKind
from quotegen.workbook.writing.tables import BookPage, TableColumn, WrittenValue, tables_as_workbook

_TITLE = "Our quotes"
_CHART_MM = 180.0
_MONTHS_MM = 58.0
_ROW_MM = 8.0
_AXIS_MM = 16.0


class QuoteLine(Struct, frozen=True):
    """One quote in words."""

    reference: str
    customer: str
    what: str
    price: str
    until: str


class OwedLine(Struct, frozen=True):
    """One unpaid invoice in words; `late` is blank until it is overdue."""

    number: str
    reference: str
    customer: str
    owed: str
    due: str
    late: str


class WonLine(Struct, frozen=True):
    """One group in words."""

    group: str
    quotes: str
    won: str
    lost: str
    waiting: str
    share: str
    net: str
    margin: str


class QuotesView(Struct, frozen=True):
    """Everything the page shows."""

    title: str
    lead: str
    unpaid: tuple[OwedLine, ...]
    waiting: tuple[QuoteLine, ...]
    running_out: tuple[QuoteLine, ...]
    tables: tuple[tuple[str, tuple[WonLine, ...]], ...]
    months: Markup | str
    kinds: Markup | str
    reasons: str


def quotes_lines(book: QuotesBook) -> Iterator[str]:
    """The book as lines of text."""
    yield _lead(book)
    if len(book.unpaid):
        yield "\nOwed:"
    for one in _owed(book):
        yield (
            f"   invoice {one.number:6}{one.reference:12}{one.customer:26}{one.owed:>11}  "
            f"due {one.due}  {one.late}".rstrip()
        )
    for words, frame in (
        ("Run out this week", book.running_out),
        ("Wait for an answer", book.waiting),
    ):
        if len(frame):
            yield f"\n{words}:"
        for line in _quotes(frame):
            yield f"   {line.reference:12}{line.customer:26}{line.price:>11}  until {line.until}"
    for title, rows in _tables(book):
        yield f"\n{title}:"
        for row in rows:
            yield (
                f"   {row.group:22}{row.quotes:>4} quoted {row.won:>4} yes {row.lost:>4} lost "
                f"{row.net:>12}  margin {row.margin:>11}  {row.share}"
            )
    if book.reasons:
        yield f"\nWhy not: {_reasons(book)}."


def quotes_pdf(book: QuotesBook, firm: str) -> Rendered:
    """The book as a page with its charts."""
    frame = PaperFrame(
        language=wording.LANGUAGE,
        kind=_TITLE,
        title=f"{_TITLE}, {firm}" if firm else _TITLE,
        description="What waits, what was won and what was lost",
        author=firm,
        dated=book.on.isoformat(),
        mark=" · ".join(part for part in (firm, _TITLE, wording.date(book.on)) if part),
    )
    return render(templates.fill("owner/quotes.html", None, sheet=frame, book=quotes_view(book)))


def quotes_view(book: QuotesBook) -> QuotesView:
    """The page in ready words, with its charts."""
    from quotegen.documents.owner.quotes_charts import (  # noqa: PLC0415 - heavy, for this page alone
        months_chart,
        shares_chart,
    )

    answered = [one for one in (*book.by_kind, *book.by_margin) if one.share]
    return QuotesView(
        title=_TITLE,
        lead=_lead(book),
        unpaid=tuple(_owed(book)),
        waiting=tuple(_quotes(book.waiting)),
        running_out=tuple(_quotes(book.running_out)),
        tables=tuple(_tables(book)),
        months=months_chart(book.by_month, _CHART_MM, _MONTHS_MM) if book.by_month else "",
        kinds=shares_chart(answered, _CHART_MM, _AXIS_MM + _ROW_MM * len(answered))
        if answered
        else "",
        reasons=_reasons(book),
    )


def quotes_workbook(book: QuotesBook, firm: str) -> bytes:
    """The book as a workbook: a table of all quotes, and one for each way of counting."""
    pages = [_all_quotes(book), *(_counted(title, groups) for title, groups in _counts(book))]
    if len(book.invoices):
        pages.append(_all_invoices(book))
    return tables_as_workbook(
        pages, title=_TITLE, author=firm, mark=f"{_TITLE} · {wording.date(book.on)}"
    )


def _lead(book: QuotesBook) -> str:
    counts = book.frame["standing"].value_counts()
    parts = [f"{counts[str(one)]} {one}" for one in Standing if counts.get(str(one))]
    quotes = wording.count(len(book.frame), "quote", "quotes")
    won, owed, late = map(wording.money, (book.net_won, book.owed, book.overdue))
    unpaid = f" Owed: {owed}, of it overdue: {late}." if len(book.unpaid) else ""
    told = f"{quotes} by {wording.date(book.on)}: {', '.join(parts)}. Won, without VAT: {won}."
    return f"{told}{unpaid}"


def _owed(book: QuotesBook) -> Iterator[OwedLine]:
    for row in book.unpaid.to_dict("records"):
        late = wording.count(row["days_late"], "day", "days")
        yield OwedLine(
            number=str(row["number"]),
            reference=row["reference"],
            customer=row["customer"],
            owed=wording.money(_pounds(row["owed_pence"])),
            due=wording.date(row["due"].date()),
            late=f"{late} late" if row["days_late"] else "",
        )


def _quotes(frame: pd.DataFrame) -> Iterator[QuoteLine]:
    for row in frame.to_dict("records"):
        yield QuoteLine(
            reference=row["reference"],
            customer=row["customer"],
            what=capital(f"{row['roof']}, {row['build_up']}"),
            price=wording.money(_pounds(row["total_pence"])),
            until=wording.date(row["valid_until"].date()),
        )


def _tables(book: QuotesBook) -> Iterator[tuple[str, tuple[WonLine, ...]]]:
    for title, groups in _counts(book):
        yield title, tuple(map(_won, groups))


def _counts(book: QuotesBook) -> tuple[tuple[str, Sequence[Won]], ...]:
    return (
        ("By kind of roof", book.by_kind),
        ("By month quoted", book.by_month),
        ("By margin", book.by_margin),
    )


def _won(one: Won) -> WonLine:
    return WonLine(
        group=capital(one.group),
        quotes=str(one.quotes),
        won=str(one.won),
        lost=str(one.lost),
        waiting=str(one.waiting),
        share=_share(one),
        net=wording.money(one.net),
        margin=wording.money(one.margin),
    )


def _share(one: Won) -> str:
    """The share won, and what it may really be."""
    if one.share is None:
        return "none answered"
    share, low, high = (wording.percent(round(100 * value)) for value in one.share)
    return f"{share} won ({low} to {high})"


def _reasons(book: QuotesBook) -> str:
    return "; ".join(f"{words} ({many})" for words, many in book.reasons)


_QUOTES = (
    TableColumn("Reference", 13),
    TableColumn("Revision", 9, CellKind.NUMBER),
    TableColumn("Customer", 26),
    TableColumn("Kind of customer", 16),
    TableColumn("Roof", 12),
    TableColumn("Issued", 12, CellKind.DATE),
    TableColumn("Valid until", 12, CellKind.DATE),
    TableColumn("Standing", 20),
    TableColumn("Build-up", 24),
    TableColumn("Price without VAT", 14, CellKind.MONEY),
    TableColumn("To pay", 14, CellKind.MONEY),
    TableColumn("Cost", 14, CellKind.MONEY),
    TableColumn("Answered on", 12, CellKind.DATE),
    TableColumn("Why not", 30),
    TableColumn("Done on", 12, CellKind.DATE),
)
_INVOICES = (
    TableColumn("Number", 9, CellKind.NUMBER),
    TableColumn("Reference", 13),
    TableColumn("Customer", 26),
    TableColumn("Stage", 12),
    TableColumn("Issued", 12, CellKind.DATE),
    TableColumn("Due", 12, CellKind.DATE),
    TableColumn("To pay", 14, CellKind.MONEY),
    TableColumn("Paid", 14, CellKind.MONEY),
    TableColumn("Owed", 14, CellKind.MONEY),
    TableColumn("Days late", 10, CellKind.NUMBER),
    TableColumn("Cancelled", 12),
)
_COUNTED = (
    TableColumn("Group", 24),
    TableColumn("Quoted", 9, CellKind.NUMBER),
    TableColumn("Yes", 9, CellKind.NUMBER),
    TableColumn("No or ran out", 9, CellKind.NUMBER),
    TableColumn("Waiting", 9, CellKind.NUMBER),
    TableColumn("Won without VAT", 15, CellKind.MONEY),
    TableColumn("Margin of that", 15, CellKind.MONEY),
)


def _all_quotes(book: QuotesBook) -> BookPage:
    rows = _rows(book.frame)
    return BookPage("All quotes", _TITLE, (), _QUOTES, rows, landscape=True, table="Quotes")


def _all_invoices(book: QuotesBook) -> BookPage:
    rows = _rows(book.invoices)
    title = "Invoices and credit notes"
    return BookPage("Invoices", title, (), _INVOICES, rows, landscape=True, table="Invoices")


def _rows(frame: pd.DataFrame) -> tuple[tuple[WrittenValue, ...], ...]:
    return tuple(tuple(map(_value, frame.columns, row)) for row in frame.to_numpy())


def _value(name: str, value: Any) -> WrittenValue:
    """A cell of the workbook: pence as pounds, a day as a day, a blank as none."""
    if pd.isna(value):
        return None
    if name.endswith("_pence"):
        return _pounds(value)
    if isinstance(value, pd.Timestamp):
        return value.date()
    return int(value) if name in ("revision", "number", "days_late") else str(value)


def _counted(title: str, groups: Sequence[Won]) -> BookPage:
    rows = tuple(
        (capital(one.group), one.quotes, one.won, one.lost, one.waiting, one.net, one.margin)
        for one in groups
    )
    return BookPage(title, title, (), _COUNTED, rows, table=title.replace(" ", ""))


def _pounds(whole_pence: Any) -> Decimal:
    return Decimal(int(whole_pence)) / PENCE_IN_POUND
