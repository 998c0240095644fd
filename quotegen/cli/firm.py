"""The commands for the firm: its workbook and visit sheet, its diary, and what it has learnt."""

import sys
from datetime import datetime
from pathlib import Path

import click
from msgspec import structs

from quotegen.cli.asking import (
    DATA_PROBLEMS,
    FILE_PATH,
    asked_day,
    book_argument,
    json_option,
    on_option,
    out_option,
    prices_option,
)
from quotegen.cli.group import cli
from quotegen.cli.telling import (
    NO_DONE_JOBS,
    finish,
    print_json,
    report_outcomes,
    worked_out_of,
)
from quotegen.problems import Place, Problem, problem


@cli.command()
@book_argument
@click.option(
    "--from",
    "old",
    type=FILE_PATH,
    metavar="OLD",
    help="Carry all that is in an older workbook over into the new one; OLD stays as it is.",
)
def blank(book: Path, old: Path | None) -> None:
    """Make an empty workbook to fill in. BOOK is its name, ending in .xlsx."""
    from quotegen.workbook.writing.blank import write_blank

    if book.suffix.lower() != ".xlsx":
        raise click.BadParameter(f"{book.name} does not end in .xlsx", param_hint="BOOK")
    if old:
        from quotegen.workbook.copies.carried import write_carried
        from quotegen.workbook.copies.leftovers import report

        carried = write_carried(old, book)
        if isinstance(carried, Problem):
            finish([carried])
        click.echo("\n".join([f"Made {book} from {old}, which is as it was.", *report(carried)]))
        return
    found = write_blank(book)
    if found:
        finish([found])
    click.echo(f"Made {book}. Fill in Business first, then a row of Enquiries for each roof.")


@cli.command()
@click.argument("sheet", type=FILE_PATH)
def visit(sheet: Path) -> None:
    """Write the visit sheet to print for the clipboard; SHEET is its name, ending in .pdf."""
    from quotegen.documents.owner.visit_sheet import visit_sheet
    from quotegen.machine.files import replace_file

    if sheet.suffix.lower() != ".pdf":
        raise click.BadParameter(f"{sheet.name} does not end in .pdf", param_hint="SHEET")
    try:
        replace_file(sheet, visit_sheet().content)
    except OSError as error:
        finish([problem("output-blocked", Place(sheet.name), error.strerror or str(error))])
    click.echo(f"Made {sheet}. Its boxes are the columns of Enquiries, in the same order.")


@cli.command()
@book_argument
@prices_option
@out_option
@on_option
def diary(book: Path, price_lists: tuple[Path, ...], out: Path | None, on: datetime | None) -> None:
    """Plan all jobs for the firm's crews: a page of weeks and a calendar file."""
    from quotegen.app import make_diary

    batch = worked_out_of(book, price_lists, (), on)
    outcomes = make_diary(batch, out or book.parent / "papers", asked_day(on))
    report_outcomes(batch.problems, outcomes, book)


@cli.command()
@book_argument
@prices_option
@out_option
@on_option
@click.option(
    "--done",
    "files",
    multiple=True,
    type=FILE_PATH,
    metavar="FILE",
    help="More done jobs, in a .csv or .ods file with the headings of that sheet.",
)
def learn(
    book: Path,
    price_lists: tuple[Path, ...],
    out: Path | None,
    on: datetime | None,
    files: tuple[Path, ...],
) -> None:
    """Compare what jobs really took with their quotes, and suggest your own rates."""
    from quotegen.documents.owner.own_numbers import own_numbers_lines
    from quotegen.making.taking_stock import rows_of_files, take_stock, write_own_numbers
    from quotegen.workbook.sheets.declaration import DONE_SHEET

    batch = worked_out_of(book, price_lists, (), on)
    more, wrong = rows_of_files(files)
    found = [p for p in batch.problems if p.place.sheet == DONE_SHEET or (p.stops and not p.ref)]
    found += wrong
    stock = take_stock(batch, more, asked_day(on))
    if stock is None:
        if not batch.read.done and not more:
            click.echo(NO_DONE_JOBS)
        finish(found, book)
    for line in own_numbers_lines(stock):
        click.echo(line)
    written = write_own_numbers(stock, out or book.parent / "papers", asked_day(on))
    if isinstance(written, Problem):
        finish([*found, written], book)
    click.echo(f"\nAs a page: {written}")
    finish(found, book)


@cli.command("published")
@on_option
@click.option(
    "--then",
    type=click.DateTime(["%Y-%m-%d"]),
    metavar="YYYY-MM-DD",
    required=True,
    help="The day to hold against it.",
)
@json_option
def held_against(on: datetime | None, then: datetime, as_json: bool) -> None:
    """List the published values and rules that change between two days."""
    from quotegen.reference.between import change_lines, changes_between

    changes = changes_between(asked_day(on), then.date())
    if as_json:
        print_json([structs.asdict(one) for one in changes])
        return
    for line in change_lines(changes):
        click.echo(line)


@cli.command()
@click.argument("folder", type=FILE_PATH, default=Path("papers"))
@on_option
@click.option("--papers", "every_paper", is_flag=True, help="List every paper issued instead.")
@click.option(
    "--write", is_flag=True, help="Write it beside the papers too: a page and a workbook."
)
@json_option
def register(
    folder: Path, on: datetime | None, every_paper: bool, write: bool, as_json: bool
) -> None:
    """Show what became of the quotes issued into FOLDER: waiting, running out, won, lost."""
    from quotegen.making.looking_back import paper_lines, papers_as_data, quotes_of, write_quotes
    from quotegen.register.store import FILE_NAME, Register, RegisterError

    if not (folder / FILE_NAME).is_file():
        click.echo(f"No papers have been issued in {folder}.", err=True)
        sys.exit(DATA_PROBLEMS)
    try:
        held = Register(folder)
        if as_json:
            print_json(papers_as_data(held))
            return
        for line in paper_lines(held) if every_paper else quotes_of(held, asked_day(on)):
            click.echo(line)
        if write:
            for path in write_quotes(held, folder, asked_day(on)):
                click.echo(f"Written: {path}")
    except RegisterError as error:
        finish([problem("register-blocked", Place(str(folder / FILE_NAME)), str(error))])
    except OSError as error:
        finish([problem("output-blocked", Place(str(folder)), error.strerror or str(error))])
