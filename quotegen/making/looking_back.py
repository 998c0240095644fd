"""The register looked back on: its papers, and what became of its quotes."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

from quotegen.documents.owner.quotes_page import quotes_lines, quotes_pdf, quotes_workbook
from quotegen.learning.quotes_book import QuotesBook, quotes_book
from quotegen.machine.files import replace_file
from quotegen.model.issue import Change
from quotegen.register.placing import Entry
from quotegen.register.store import Register

PAGE_FILE, BOOK_FILE = "our-quotes.pdf", "our-quotes.xlsx"
NO_QUOTES = "No quote has been issued yet."


def papers_as_data(register: Register) -> list[dict[str, Any]]:
    """Every paper issued, as plain data for JSON, with what it replaced and what had changed."""
    return [
        {
            "ref": entry.issue.reference,
            "paper": entry.paper,
            "revision": entry.issue.revision,
            "issued": entry.issue.issued.isoformat(),
            "file": entry.file,
            "total": entry.total,
            "changed": [
                {"what": one.where, "before": one.before, "now": one.now} for one in _changes(entry)
            ],
        }
        for entry in register.entries()
    ]


def paper_lines(register: Register) -> Iterator[str]:
    """Every paper issued, a line each; below it what had changed since the one before."""
    for entry in register.entries():
        issue = entry.issue
        marks = f"{issue.issued}  {issue.reference:12} {entry.paper:18} r{issue.revision}"
        yield f"{marks}  {entry.file}  {entry.total}".rstrip()
        for one in _changes(entry):
            yield f"{'':14}{one.where}: {one.before or 'blank'} to {one.now or 'blank'}"


def quotes_of(register: Register, on: date) -> Iterator[str]:
    """What became of the quotes by a day, as lines of text."""
    book = _book(register, on)
    yield from quotes_lines(book) if len(book.frame) else (NO_QUOTES,)


def write_quotes(register: Register, folder: Path, on: date) -> tuple[Path, ...]:
    """Write the book of quotes as a page and as a workbook; raises OSError if it cannot be."""
    book = _book(register, on)
    if not len(book.frame):
        return ()
    page, tables = folder / PAGE_FILE, folder / BOOK_FILE
    replace_file(page, quotes_pdf(book, "").content)
    replace_file(tables, quotes_workbook(book, ""))
    return page, tables


def _changes(entry: Entry) -> tuple[Change, ...]:
    replaced = entry.issue.replaces
    return (*replaced.changes, *replaced.own) if replaced else ()


def _book(register: Register, on: date) -> QuotesBook:
    return quotes_book(register.quotes(), register.notes(), on, register.invoices())
