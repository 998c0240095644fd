"""Doing what a command asks, with progress, and telling what came of it."""

import json
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

import click

from quotegen.cli.asking import CLEAN, DATA_PROBLEMS, INTERRUPTED, asked_day
from quotegen.problem_kinds import Severity
from quotegen.problems import Problem

if TYPE_CHECKING:
    from quotegen.making.issuing import Outcome
    from quotegen.working_out import Batch

EVERY_PAPER: tuple[str, ...] = ("every paper",)
DUE_PAPERS: tuple[str, ...] = ()
"""In place of the names of papers: all there are, or those that are due."""
NO_DONE_JOBS = "The Done jobs sheet is empty: write down what your jobs really took."
NO_ENQUIRY = "No row on Enquiries is filled in and marked for papers."


def worked_out_of(
    book: Path, price_lists: Sequence[Path], refs: Sequence[str], on: datetime | None
) -> "Batch":
    from quotegen.working_out import work_out

    return work_out(book, price_lists, asked_day(on), refs)


def make_all(
    book: Path,
    price_lists: Sequence[Path],
    refs: Sequence[str],
    out: Path,
    on: date,
    names: Sequence[str],
    at_once: int | None,
    renew: bool = False,
    afterwards: Callable[["Batch"], list[str]] = lambda _batch: [],
) -> None:
    """Make the papers and tell what came of it; `afterwards` does the rest, and gives its lines."""
    from quotegen.app import make_diary, make_papers, papers_due, rows_due
    from quotegen.making.moments import moment_lines, not_made
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
    said += [] if whole_job else not_made(batch, named, outcomes)
    said += afterwards(batch)
    report_outcomes([*batch.problems, *noted], outcomes, book, said)


def report_outcomes(
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
    list_problems(found, book)
    for outcome in outcomes:
        for warning in outcome.layout_warnings:
            click.echo(f"LAYOUT [{outcome.ref}] {outcome.path}: {warning}", err=True)
    for line in (*summary(outcomes), *said):
        click.echo(line)
    if not outcomes and not said and not any(p.stops for p in problems):
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


def list_problems(problems: Iterable[Problem], book: Path | None = None) -> None:
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


def finish(problems: Sequence[Problem], book: Path | None = None, nothing: str = "") -> NoReturn:
    """List the problems, print `nothing` if none of them stops anything, and exit."""
    list_problems(problems, book)
    stops = any(p.stops for p in problems)
    if nothing and not stops:
        click.echo(nothing)
    sys.exit(DATA_PROBLEMS if stops else CLEAN)


def print_json(data: Any) -> None:
    click.echo(json.dumps(data, ensure_ascii=False, indent=2))
