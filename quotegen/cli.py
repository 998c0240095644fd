"""The commands: arguments, progress, summary and exit code.

0: clean. 1: the user's data has problems that stop something. 2: wrong usage or our own fault. 130:
stopped by Ctrl-C. The conductor is imported only by the commands that need it, so `--help` answers
at once.
"""

import json
import sys
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

import click
from msgspec import structs

from quotegen.machine.process import set_process
from quotegen.problem_kinds import Severity
from quotegen.problems import Place, Problem, problem

if TYPE_CHECKING:
    from quotegen.making.issuing import Outcome
    from quotegen.working_out import Batch

CLEAN, DATA_PROBLEMS, FAULT, INTERRUPTED = 0, 1, 2, 130
EVERY_PAPER: tuple[str, ...] = ("every paper",)
DUE_PAPERS: tuple[str, ...] = ()
"""In place of the names of papers: all there are, or those that are due."""
NO_DONE_JOBS = "The Done jobs sheet is empty: write down what your jobs really took."
NO_ENQUIRY = "No row on Enquiries is filled in and marked for papers."
_FILE = click.Path(path_type=Path)

_book = click.argument("book", type=_FILE)
_ref = click.option("--ref", "refs", multiple=True, metavar="R", help="Only this enquiry.")
_prices = click.option(
    "--prices",
    "price_lists",
    multiple=True,
    type=_FILE,
    metavar="LIST",
    help="A price list. Without one, all those in the folder `prices` beside BOOK.",
)
_out = click.option(
    "--out",
    type=_FILE,
    metavar="FOLDER",
    help="Where the papers go. If not given, `papers` beside BOOK.",
)
_on = click.option(
    "--on",
    type=click.DateTime(["%Y-%m-%d"]),
    metavar="YYYY-MM-DD",
    help="The date on the papers. If not given, today.",
)
_renew = click.option(
    "--renew",
    is_flag=True,
    help="Issue again, from this day, the quotes that have run out or soon will.",
)
_at_once = click.option(
    "--at-once",
    type=click.IntRange(1),
    metavar="N",
    envvar="QUOTEGEN_AT_ONCE",
    help="How many papers to draw at once. If not given, one for each core.",
)
_json = click.option("--json", "as_json", is_flag=True, help="Print data instead of words.")


@click.group()
@click.version_option(package_name="quotegen")
def cli() -> None:
    """From a workbook row to a quote and a safe method for a fibreglass flat roof."""


def main() -> None:
    """Run a command; report a fault of the program in one line, without a traceback."""
    set_process()
    try:
        cli()
    except Exception as error:
        click.echo(f"quotegen has failed: {type(error).__name__}: {error}", err=True)
        click.echo("No half-written file was left behind. Please report this.", err=True)
        sys.exit(FAULT)


@cli.command()
@click.option("--out", type=_FILE, default=Path("out/demo"), metavar="FOLDER", show_default=True)
@_at_once
def demo(out: Path, at_once: int | None) -> None:
    """Make the papers of an invented firm's enquiries."""
    from quotegen.demo.scenario import demo_date, demo_past_quotes, write_demo
    from quotegen.machine.resources import price_lists_folder
    from quotegen.making.noting import remember_past

    book = write_demo(out)
    if isinstance(book, Problem):
        _finish([book])
    lists = sorted(price_lists_folder().glob("*.xlsx"))
    remember_past(out / "papers", *demo_past_quotes())
    click.echo(f"Workbook: {book}")
    for path in lists:
        click.echo(f"Prices:   {path}")
    _make(book, lists, (), out / "papers", demo_date(), EVERY_PAPER, at_once)


@cli.command()
@_book
@click.option(
    "--from",
    "old",
    type=_FILE,
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
            _finish([carried])
        click.echo("\n".join([f"Made {book} from {old}, which is as it was.", *report(carried)]))
        return
    found = write_blank(book)
    if found:
        _finish([found])
    click.echo(f"Made {book}. Fill in Business first, then a row of Enquiries for each roof.")


@cli.command()
@click.argument("sheet", type=_FILE)
def visit(sheet: Path) -> None:
    """Write the visit sheet to print for the clipboard; SHEET is its name, ending in .pdf."""
    from quotegen.documents.owner.visit_sheet import visit_sheet
    from quotegen.machine.files import replace_file

    if sheet.suffix.lower() != ".pdf":
        raise click.BadParameter(f"{sheet.name} does not end in .pdf", param_hint="SHEET")
    try:
        replace_file(sheet, visit_sheet().content)
    except OSError as error:
        _finish([problem("output-blocked", Place(sheet.name), error.strerror or str(error))])
    click.echo(f"Made {sheet}. Its boxes are the columns of Enquiries, in the same order.")


@cli.command()
@_book
@_prices
@_on
@click.option(
    "--mark", is_flag=True, help="Also write NAME-marked.xlsx, a copy with the faulty cells marked."
)
@_json
def check(
    book: Path,
    price_lists: tuple[Path, ...],
    on: datetime | None,
    mark: bool,
    as_json: bool,
) -> None:
    """List everything wrong with a workbook, its price lists and the files beside it."""
    from quotegen.documents.printing.belongings import own_templates
    from quotegen.working_out import check_workbook, work_out

    if own_templates(book.parent):
        from quotegen.making.trial import try_own_templates

        batch = work_out(book, price_lists, _day(on))
        found = [*batch.problems, *try_own_templates(batch)]
    else:
        found = list(check_workbook(book, price_lists, _day(on)))
    if mark:
        from quotegen.workbook.copies.marked import write_marked

        marked = write_marked(book, found)
        if isinstance(marked, Problem):
            found.append(marked)
        elif not as_json:
            click.echo(f"Marked copy: {marked}")
    if as_json:
        _print_json([p.to_data() for p in found])
        sys.exit(DATA_PROBLEMS if any(p.stops for p in found) else CLEAN)
    if not found:
        click.echo(f"{book}: nothing to put right.")
    _finish(found, book)


@cli.command()
@_book
@_ref
@_prices
@_on
@click.option(
    "--together", is_flag=True, help="Buy for all of them in one order, and see what that saves."
)
@_json
def takeoff(
    book: Path,
    refs: tuple[str, ...],
    price_lists: tuple[Path, ...],
    on: datetime | None,
    together: bool,
    as_json: bool,
) -> None:
    """Show what each roof takes: materials, hours and the order."""
    from quotegen.documents.data.order_data import together_data
    from quotegen.documents.data.takeoff_data import TAKEOFF_FORMAT, takeoff_data
    from quotegen.documents.data.takeoff_text import takeoff_lines, together_lines
    from quotegen.pricing.sensitivity import sensitivity
    from quotegen.working_out import order_together

    batch = _work_out(book, price_lists, refs, on)
    one_order = order_together(batch) if together else None
    if as_json:
        data = [
            takeoff_data(w.quote, w.problems, sensitivity(w.quote, batch.prices))
            for w in batch.worked
            if w.quote
        ]
        problems = [p.to_data() for p in batch.problems]
        found = {"format": TAKEOFF_FORMAT, "enquiries": data, "problems": problems}
        _print_json(found | ({"together": together_data(one_order)} if one_order else {}))
        sys.exit(DATA_PROBLEMS if batch.stops else CLEAN)
    for quote in (worked.quote for worked in batch.worked if worked.quote):
        for line in takeoff_lines(quote, sensitivity(quote, batch.prices)):
            click.echo(line)
    if one_order:
        click.echo("\n" + "\n".join(together_lines(one_order)))
    elif together:
        click.echo("\nIt takes at least two jobs to buy for them together.")
    _finish(batch.problems, book, "" if batch.worked else NO_ENQUIRY)


@cli.command()
@_book
@_ref
@_prices
@_on
@click.option(
    "--line", "code", metavar="CODE", help="Only the figures whose code begins with CODE."
)
@_json
def explain(
    book: Path,
    refs: tuple[str, ...],
    price_lists: tuple[Path, ...],
    on: datetime | None,
    code: str | None,
    as_json: bool,
) -> None:
    """Show how every figure was worked out, back to its cells and sources."""
    from quotegen.documents.data.explanation import as_text, explained

    batch = _work_out(book, price_lists, refs, on)
    data: list[dict[str, Any]] = []
    for worked in batch.worked:
        if worked.quote is None:
            continue
        for part, figures in explained(worked.quote):
            chosen = [f for f in figures if code is None or f.code.startswith(code)]
            data += [
                {"ref": worked.ref, "part": part, "code": f.code, **f.figure.to_data()}
                for f in chosen
            ]
            if chosen and not as_json:
                click.echo(f"\n{worked.ref}, {part}")
                for figure in chosen:
                    click.echo(f"{figure.code}: {figure.words}")
                    for line in as_text(figure.figure, 1):
                        click.echo(line)
    if as_json:
        _print_json(data)
        sys.exit(DATA_PROBLEMS if batch.stops else CLEAN)
    if code is not None and not data and not batch.stops:
        raise click.BadParameter(
            f"no figure has a code that begins with {code}", param_hint="--line"
        )
    _finish(batch.problems, book, "" if batch.worked else NO_ENQUIRY)


def _papers_command(name: str, papers: tuple[str, ...], text: str, *options: Any) -> None:
    def command(
        book: Path,
        refs: tuple[str, ...],
        price_lists: tuple[Path, ...],
        out: Path | None,
        on: datetime | None,
        renew: bool,
        at_once: int | None,
        every: bool = False,
        named: tuple[str, ...] = (),
    ) -> None:
        names = _names_of(every, named) or papers
        folder = out or book.parent / "papers"
        _make(book, price_lists, refs, folder, _day(on), names, at_once, renew)

    asked: Any = command
    for option in reversed((_book, _ref, _prices, _out, _on, _renew, _at_once, *options)):
        asked = option(asked)
    cli.command(name, help=text)(asked)


def _names_of(every: bool, named: Sequence[str]) -> tuple[str, ...]:
    """The papers asked for by name; a name that no paper has is wrong usage."""
    from quotegen.making.papers import Paper

    if every and named:
        raise click.UsageError("--every-paper and --paper do not go together")
    for name in named:
        if name not in list(Paper):
            known = ", ".join(Paper)
            raise click.BadParameter(f"no paper {name}; there are {known}", param_hint="--paper")
    return EVERY_PAPER if every else tuple(named)


_papers_command("quote", ("quote",), "Make the quotes.")
_papers_command(
    "method",
    ("method-statement", "construction-phase-plan"),
    "Make the method statements, each with its construction phase plan, and the firm's standing "
    "safety sheet; a survey sheet instead where too little is known.",
)
_papers_command(
    "job",
    DUE_PAPERS,
    "Make the papers that each job has come to, from the quote to the hand-over; without --ref "
    "also a schedule for each customer with several, and the diary.",
    click.option("--every-paper", "every", is_flag=True, help="Every paper, due or not."),
    click.option("--paper", "named", multiple=True, metavar="NAME", help="Only this paper."),
)


@cli.command()
@_book
@_prices
@_out
@_on
def diary(book: Path, price_lists: tuple[Path, ...], out: Path | None, on: datetime | None) -> None:
    """Plan all jobs for the firm's crews: a page of weeks and a calendar file."""
    from quotegen.app import make_diary

    batch = _work_out(book, price_lists, (), on)
    outcomes = make_diary(batch, out or book.parent / "papers", _day(on))
    _report(batch.problems, outcomes, book)


@cli.command()
@_book
@_prices
@_out
@_on
@click.option(
    "--done",
    "files",
    multiple=True,
    type=_FILE,
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

    batch = _work_out(book, price_lists, (), on)
    more, wrong = rows_of_files(files)
    found = [p for p in batch.problems if p.place.sheet == DONE_SHEET or (p.stops and not p.ref)]
    found += wrong
    stock = take_stock(batch, more, _day(on))
    if stock is None:
        if not batch.read.done and not more:
            click.echo(NO_DONE_JOBS)
        _finish(found, book)
    for line in own_numbers_lines(stock):
        click.echo(line)
    written = write_own_numbers(stock, out or book.parent / "papers", _day(on))
    if isinstance(written, Problem):
        _finish([*found, written], book)
    click.echo(f"\nAs a page: {written}")
    _finish(found, book)


@cli.command()
@_on
@click.option(
    "--then",
    type=click.DateTime(["%Y-%m-%d"]),
    metavar="YYYY-MM-DD",
    required=True,
    help="The day to hold against it.",
)
@_json
def published(on: datetime | None, then: datetime, as_json: bool) -> None:
    """List the published values and rules that change between two days."""
    from quotegen.reference.between import change_lines, changes_between

    changes = changes_between(_day(on), then.date())
    if as_json:
        _print_json([structs.asdict(one) for one in changes])
        return
    for line in change_lines(changes):
        click.echo(line)


@cli.command()
@click.argument("folder", type=_FILE, default=Path("papers"))
@_on
@click.option("--papers", "every_paper", is_flag=True, help="List every paper issued instead.")
@click.option(
    "--write", is_flag=True, help="Write it beside the papers too: a page and a workbook."
)
@_json
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
            _print_json(papers_as_data(held))
            return
        for line in paper_lines(held) if every_paper else quotes_of(held, _day(on)):
            click.echo(line)
        if write:
            for path in write_quotes(held, folder, _day(on)):
                click.echo(f"Written: {path}")
    except RegisterError as error:
        _finish([problem("register-blocked", Place(str(folder / FILE_NAME)), str(error))])
    except OSError as error:
        _finish([problem("output-blocked", Place(str(folder)), error.strerror or str(error))])


def _day(on: datetime | None) -> date:
    return on.date() if on else date.today()  # noqa: DTZ011 - the roofer's own calendar day


def _work_out(
    book: Path, price_lists: Sequence[Path], refs: Sequence[str], on: datetime | None
) -> "Batch":
    from quotegen.working_out import work_out

    return work_out(book, price_lists, _day(on), refs)


def _make(
    book: Path,
    price_lists: Sequence[Path],
    refs: Sequence[str],
    out: Path,
    on: date,
    names: Sequence[str],
    at_once: int | None,
    renew: bool = False,
) -> None:
    from quotegen.app import make_diary, make_papers, papers_due, rows_due
    from quotegen.making.moments import moment_lines
    from quotegen.making.noting import note_jobs
    from quotegen.making.papers import CustomerPaper, Paper
    from quotegen.making.workers import Workers, cores
    from quotegen.working_out import work_out

    batch = work_out(book, price_lists, on, refs)
    whole_job = names in (EVERY_PAPER, DUE_PAPERS)
    rows = rows_due(batch, out, on) if whole_job else {}
    named = list(Paper) if names == EVERY_PAPER else [Paper(name) for name in names]
    papers = named or rows
    whole_workbook = whole_job and not refs
    for_customers = list(CustomerPaper) if whole_workbook else []
    due = papers_due(batch, papers, for_customers)
    try:
        with Workers(at_once or cores()) as workers:
            making = make_papers(batch, papers, out, on, for_customers, workers, renew)
            outcomes = list(_with_progress(making, due))
        outcomes += make_diary(batch, out, on) if whole_workbook else []
        noted = note_jobs(out, batch.read.enquiries, batch.read.done)
    except KeyboardInterrupt:
        click.echo(
            "Stopped. What was made is in the register; run it again for the rest.", err=True
        )
        sys.exit(INTERRUPTED)
    said = moment_lines(tuple(rows.values()), batch.read.settings) if rows else []
    _report([*batch.problems, *noted], outcomes, book, said)


def _report(
    problems: Sequence[Problem],
    outcomes: Sequence["Outcome"],
    book: Path,
    said: Sequence[str] = (),
) -> NoReturn:
    """List the problems, what was made and what else there is to say, and exit."""
    from quotegen.making.issuing import summary

    found = list(problems)
    for p in (p for o in outcomes for p in o.problems):
        if p not in found:
            found.append(p)
    _list_problems(found, book)
    for outcome in outcomes:
        for warning in outcome.layout_warnings:
            click.echo(f"LAYOUT [{outcome.ref}] {outcome.path}: {warning}", err=True)
    for line in (*summary(outcomes), *said):
        click.echo(line)
    if not outcomes and not any(p.stops for p in problems):
        click.echo(NO_ENQUIRY)
    sys.exit(DATA_PROBLEMS if any(p.stops for p in found) else CLEAN)


def _with_progress(outcomes: Iterator["Outcome"], due: int) -> Iterable["Outcome"]:
    from rich.console import Console
    from rich.progress import track

    console = Console(stderr=True)
    return track(
        outcomes,
        description="Making papers",
        total=due,
        console=console,
        disable=not console.is_terminal,
        transient=True,
    )


def _list_problems(problems: Iterable[Problem], book: Path | None = None) -> None:
    """Print each problem on a line, stops first; merge those shared by several enquiries."""
    alike: dict[tuple[Severity, str, str], list[str]] = {}
    for p in problems:
        said = (p.severity, _place(p, book), f"{p.message}. {p.cure}")
        alike.setdefault(said, []).append(p.ref)
    for wanted in (Severity.STOP, Severity.WARN):
        for (severity, place, words), refs in alike.items():
            if severity is wanted:
                named = ", ".join(ref for ref in dict.fromkeys(refs) if ref)
                shown = " ".join(part for part in (named and f"[{named}]", place) if part)
                click.echo(f"{severity.upper():5}{shown}: {words}", err=True)


def _place(p: Problem, book: Path | None) -> str:
    """Where a problem is, naming the file unless it is the workbook itself.

    Empty for a problem of a whole enquiry, which its reference already names.
    """
    if p.ref and p.place.sheet == "Enquiries" and p.place.heading == "Reference":
        return ""
    elsewhere = book is not None and p.place.sheet and p.place.book != book.name
    return f"{p.place.book}, {p.place}" if elsewhere else str(p.place)


def _finish(problems: Sequence[Problem], book: Path | None = None, nothing: str = "") -> NoReturn:
    """List the problems, print `nothing` if none of them stops anything, and exit."""
    _list_problems(problems, book)
    stops = any(p.stops for p in problems)
    if nothing and not stops:
        click.echo(nothing)
    sys.exit(DATA_PROBLEMS if stops else CLEAN)


def _print_json(data: Any) -> None:
    click.echo(json.dumps(data, ensure_ascii=False, indent=2))
