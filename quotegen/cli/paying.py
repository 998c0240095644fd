"""The commands for getting paid: invoices, credit notes and statements of account."""

import sys
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import click

from quotegen.cli.asking import (
    CLEAN,
    DATA_PROBLEMS,
    asked_day,
    book_argument,
    on_option,
    out_option,
    prices_option,
    ref_option,
)
from quotegen.cli.group import cli
from quotegen.cli.telling import list_problems, report_outcomes, worked_out_of
from quotegen.problems import Problem

if TYPE_CHECKING:
    from quotegen.invoicing import Billed

NO_INVOICE = "No invoice of these jobs has been issued."


@cli.command()
@book_argument
@click.argument("stage", type=click.Choice(["deposit", "balance"]))
@click.option("--ref", metavar="R", required=True, help="The accepted job.")
@prices_option
@out_option
@on_option
def invoice(
    book: Path,
    stage: str,
    ref: str,
    price_lists: tuple[Path, ...],
    out: Path | None,
    on: datetime | None,
) -> None:
    """Issue the invoice for the deposit or the balance of an accepted job.

    It goes by the quote as issued into the same folder, and has the next number of its register.
    """
    from quotegen.invoicing import issue_invoice
    from quotegen.model.own.invoiced import PayStage

    batch = worked_out_of(book, price_lists, (ref,), on)
    chosen = next(iter(one.ref for one in batch.worked), ref)
    folder = out or book.parent / "papers"
    billed = issue_invoice(batch, chosen, PayStage(stage), folder, asked_day(on))
    _told(batch.problems, billed, book)


@cli.command()
@book_argument
@click.argument("number", type=click.IntRange(1))
@click.option("--because", metavar="WORDS", required=True, help="Why, in words for the customer.")
@out_option
@on_option
def credit(book: Path, number: int, because: str, out: Path | None, on: datetime | None) -> None:
    """Cancel invoice NUMBER with a credit note; its stage can then be invoiced again."""
    from quotegen.invoicing import cancel_invoice

    batch = worked_out_of(book, (), (), on)
    folder = out or book.parent / "papers"
    _told((), cancel_invoice(batch, number, because, folder, asked_day(on)), book)


@cli.command()
@book_argument
@ref_option
@prices_option
@out_option
@on_option
def account(
    book: Path,
    refs: tuple[str, ...],
    price_lists: tuple[Path, ...],
    out: Path | None,
    on: datetime | None,
) -> None:
    """Make the statement of account of each job that has been invoiced."""
    from quotegen.invoicing import make_accounts

    batch = worked_out_of(book, price_lists, refs, on)
    outcomes = make_accounts(batch, out or book.parent / "papers", asked_day(on))
    if not outcomes:
        click.echo(NO_INVOICE)
    report_outcomes([p for p in batch.problems if p.stops], outcomes, book)


def _told(problems: tuple[Problem, ...], billed: "Billed", book: Path) -> NoReturn:
    """List the problems, say what was issued, and exit."""
    from quotegen.documents.paying.invoice import bill_title, billed_words

    if billed.invoice is None:
        list_problems([*problems, *billed.problems], book)
        sys.exit(DATA_PROBLEMS)
    list_problems(billed.problems, book)
    for warning in billed.layout_warnings:
        click.echo(f"LAYOUT {bill_title(billed.invoice)}: {warning}", err=True)
    click.echo(f"{billed_words(billed.invoice)}\n  {billed.path}")
    sys.exit(CLEAN)
