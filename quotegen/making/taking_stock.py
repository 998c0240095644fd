"""The firm's own numbers out of a workbook: its done jobs against what their quotes allowed."""

from collections.abc import Sequence
from datetime import date
from pathlib import Path

from quotegen.documents.owner.own_numbers import own_numbers_pdf
from quotegen.learning.compared import Compared, KnownJob, compare, learned_from
from quotegen.learning.drift import by_job, groups, trend
from quotegen.learning.estimates import allowed_by, build_up_done
from quotegen.learning.proposals import effects, learned_rates, proposals
from quotegen.learning.recorded_files import sheet_of_file
from quotegen.learning.stock_taken import StockTaken
from quotegen.machine.files import replace_file
from quotegen.model.enquiry import Enquiry
from quotegen.model.own.done import DoneRow
from quotegen.model.own.learned import Learned
from quotegen.model.settings import PriceBook, Settings
from quotegen.problems import Place, Problem, problem
from quotegen.takeoff.measure import measure
from quotegen.workbook.reading.done_jobs import read_done_jobs
from quotegen.working_out import Batch

OWN_NUMBERS_FILE = "own-numbers.pdf"


def learned_of(batch: Batch, on: date) -> Learned | None:
    """What the done jobs of a workbook say of its rates; None where there are none to go by."""
    settings = batch.read.settings
    if settings is None or not batch.read.done:
        return None
    return learned_from(_compared(batch, settings, batch.read.done, on), settings)


def take_stock(batch: Batch, more: Sequence[DoneRow], on: date) -> StockTaken | None:
    """What the done jobs of a workbook and of further files tell; None without any or settings."""
    settings, rows = batch.read.settings, (*batch.read.done, *more)
    if settings is None or not rows:
        return None
    compared = _compared(batch, settings, rows, on)
    rates = learned_rates(compared, settings)
    proposed = proposals(rates, settings)
    quotes = [worked.quote for worked in batch.worked if worked.quote]
    jobs = by_job(compared)
    return StockTaken(
        settings=settings,
        compared=compared,
        by_job=jobs,
        rates=rates,
        proposals=proposed,
        effects=tuple(effects(quotes, proposed, batch.prices)),
        trend=trend(jobs),
        groups=tuple(groups(jobs)),
    )


def write_own_numbers(stock: StockTaken, folder: Path, on: date) -> Path | Problem:
    """Write the page of what done jobs tell into a folder; its path, or why it could not be."""
    path = folder / OWN_NUMBERS_FILE
    try:
        replace_file(path, own_numbers_pdf(stock, on).content)
    except OSError as error:
        return problem("output-blocked", Place(path.name), error.strerror or str(error))
    return path


def rows_of_files(paths: Sequence[Path]) -> tuple[tuple[DoneRow, ...], list[Problem]]:
    """The done jobs of files beside the workbook, and everything wrong with them."""
    rows: list[DoneRow] = []
    problems: list[Problem] = []
    for path in paths:
        sheet = sheet_of_file(path)
        if isinstance(sheet, Problem):
            problems.append(sheet)
            continue
        found, wrong = read_done_jobs(path.name, sheet)
        rows += found
        problems += wrong
    return tuple(rows), problems


def _compared(batch: Batch, settings: Settings, rows: Sequence[DoneRow], on: date) -> Compared:
    done = {row.ref.casefold() for row in rows}
    known = {
        enquiry.ref.casefold(): _known(enquiry, settings, batch.prices, on)
        for enquiry in batch.read.enquiries
        if enquiry.ref.casefold() in done
    }
    return compare(rows, known)


def _known(enquiry: Enquiry, settings: Settings, prices: PriceBook, on: date) -> KnownJob:
    """What the workbook knows of a done job; its take-off at the rates of today."""
    if build_up_done(enquiry) is None:
        return KnownJob(enquiry.roof.kind, {})
    take_off, _ = measure(enquiry, settings, prices, on)
    return KnownJob(enquiry.roof.kind, allowed_by(take_off, settings) if take_off else {})
