"""The commands for the jobs of a workbook: check, take off, explain, and make their papers."""

import sys
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from typing import Any

import click

from quotegen.cli.asking import (
    CLEAN,
    DATA_PROBLEMS,
    FILE_PATH,
    asked_day,
    at_once_option,
    book_argument,
    json_option,
    on_option,
    out_option,
    prices_option,
    ref_option,
    renew_option,
)
from quotegen.cli.group import cli
from quotegen.cli.telling import (
    DUE_PAPERS,
    EVERY_PAPER,
    NO_ENQUIRY,
    finish,
    make_all,
    print_json,
    worked_out_of,
)
from quotegen.problems import Problem


@cli.command()
@click.option(
    "--out", type=FILE_PATH, default=Path("out/demo"), metavar="FOLDER", show_default=True
)
@at_once_option
def demo(out: Path, at_once: int | None) -> None:
    """Make the papers of an invented firm's enquiries."""
    from quotegen.demo.scenario import demo_date, demo_invoices, demo_past_quotes, write_demo
    from quotegen.invoicing import invoice_demo
    from quotegen.machine.resources import price_lists_folder
    from quotegen.making.noting import remember_past

    book = write_demo(out)
    if isinstance(book, Problem):
        finish([book])
    lists = sorted(price_lists_folder().glob("*.xlsx"))
    remember_past(out / "papers", *demo_past_quotes())
    click.echo(f"Workbook: {book}")
    for path in lists:
        click.echo(f"Prices:   {path}")
    papers = out / "papers"
    make_all(
        book,
        lists,
        (),
        papers,
        demo_date(),
        EVERY_PAPER,
        at_once,
        afterwards=lambda batch: invoice_demo(batch, demo_invoices(), papers),
    )


@cli.command()
@book_argument
@prices_option
@on_option
@click.option(
    "--mark", is_flag=True, help="Also write NAME-marked.xlsx, a copy with the faulty cells marked."
)
@json_option
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

        batch = work_out(book, price_lists, asked_day(on))
        found = [*batch.problems, *try_own_templates(batch)]
    else:
        found = list(check_workbook(book, price_lists, asked_day(on)))
    if mark:
        from quotegen.workbook.copies.marked import write_marked

        marked = write_marked(book, found)
        if isinstance(marked, Problem):
            found.append(marked)
        elif not as_json:
            click.echo(f"Marked copy: {marked}")
    if as_json:
        print_json([p.to_data() for p in found])
        sys.exit(DATA_PROBLEMS if any(p.stops for p in found) else CLEAN)
    told = "only the warnings above, nothing stops" if found else "nothing to put right"
    finish(found, book, f"{book}: {told}.")


@cli.command()
@book_argument
@ref_option
@prices_option
@on_option
@click.option(
    "--together", is_flag=True, help="Buy for all of them in one order, and see what that saves."
)
@json_option
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

    batch = worked_out_of(book, price_lists, refs, on)
    one_order = order_together(batch) if together else None
    if as_json:
        data = [
            takeoff_data(w.quote, w.problems, sensitivity(w.quote, batch.prices))
            for w in batch.worked
            if w.quote
        ]
        problems = [p.to_data() for p in batch.problems]
        found = {"format": TAKEOFF_FORMAT, "enquiries": data, "problems": problems}
        print_json(found | ({"together": together_data(one_order)} if one_order else {}))
        sys.exit(DATA_PROBLEMS if batch.stops else CLEAN)
    for quote in (worked.quote for worked in batch.worked if worked.quote):
        for line in takeoff_lines(quote, sensitivity(quote, batch.prices)):
            click.echo(line)
    if one_order:
        click.echo("\n" + "\n".join(together_lines(one_order)))
    elif together:
        click.echo("\nIt takes at least two jobs to buy for them together.")
    finish(batch.problems, book, "" if batch.worked else NO_ENQUIRY)


@cli.command()
@book_argument
@ref_option
@prices_option
@on_option
@click.option(
    "--line", "code", metavar="CODE", help="Only the figures whose code begins with CODE."
)
@json_option
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

    batch = worked_out_of(book, price_lists, refs, on)
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
        print_json(data)
        sys.exit(DATA_PROBLEMS if batch.stops else CLEAN)
    if code is not None and not data and not batch.stops:
        raise click.BadParameter(
            f"no figure has a code that begins with {code}", param_hint="--line"
        )
    finish(batch.problems, book, "" if batch.worked else NO_ENQUIRY)


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
        make_all(book, price_lists, refs, folder, asked_day(on), names, at_once, renew)

    asked: Any = command
    for option in reversed(
        (
            book_argument,
            ref_option,
            prices_option,
            out_option,
            on_option,
            renew_option,
            at_once_option,
            *options,
        )
    ):
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
