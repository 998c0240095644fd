"""The conductor: read, measure, price, make safe, draw up, issue.

Nothing is printed here; what went well and what did not comes back as records.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from quotegen.documents.wording import check_wording
from quotegen.issuing import Outcome, State, issue_paper
from quotegen.model.enquiry import Enquiry
from quotegen.model.quote import Quote
from quotegen.model.safety import MethodStatement
from quotegen.model.settings import PriceBook, Settings
from quotegen.model.together import Together
from quotegen.papers import KINDS, Paper, Ready, draft_of
from quotegen.pricing.quote import make_quote
from quotegen.pricing.sensitivity import Shift, sensitivity
from quotegen.problems import Place, Problem, problem, stopping
from quotegen.safety.days import check_days
from quotegen.safety.statement import make_statement
from quotegen.safety.stored import check_stored
from quotegen.takeoff.checks import check_settings
from quotegen.takeoff.measure import measure
from quotegen.takeoff.together import buy_together
from quotegen.workbook.price_lists import read_price_lists
from quotegen.workbook.reader import read_workbook

PRICES_FOLDER = "prices"
"""Price lists lie in this folder beside the workbook unless others are named."""

LIST_ENDINGS = (".xlsx", ".xlsm", ".xls", ".ods", ".csv")
"""What a price list in that folder may be; those that cannot be read are told of."""


@dataclass(frozen=True, slots=True)
class Worked:
    """One enquiry worked out: its quote and statement, None where something stops them."""

    ref: str
    quote: Quote | None
    statement: MethodStatement | None
    problems: tuple[Problem, ...]


@dataclass(frozen=True, slots=True)
class Batch:
    """A workbook worked out: the enquiries chosen, in order, and every problem of the run."""

    folder: Path
    worked: tuple[Worked, ...]
    problems: tuple[Problem, ...]
    settings: Settings
    prices: PriceBook

    @property
    def stops(self) -> bool:
        """Whether anything at all is stopped."""
        return any(p.stops for p in self.problems)


def work_out(book: Path, price_lists: Sequence[Path], on: date, refs: Sequence[str] = ()) -> Batch:
    """Read a workbook and price lists and work out its enquiries, all or those named.

    A fault in a price list stops only the enquiries that need the item; a fault of the whole
    workbook stops all.
    """
    read = read_workbook(book)
    priced = read_price_lists(price_lists or prices_beside(book))
    whole_book = [
        *read.problems,
        *check_wording(read.settings, book.name),
        *check_settings(read.settings, book.name),
    ]
    problems = [*whole_book, *priced.problems]
    if not priced.book.packs:
        problems.append(problem("price-list-none", Place(book.name)))
    spelt = {ref.casefold(): ref for ref in read.refs}
    refs = tuple(dict.fromkeys(spelt.get(ref.casefold(), ref) for ref in refs))
    problems += [
        problem("reference-unknown", Place(book.name, "Enquiries"), seen=ref, ref=ref)
        for ref in refs
        if ref not in read.refs
    ]
    sound = {enquiry.ref: enquiry for enquiry in read.enquiries}
    worked = []
    for ref in read.refs:
        if ref not in refs if refs else ref in read.left_out:
            continue
        before = [p for p in whole_book if p.ref in ("", ref)]
        one = _work_out_one(ref, sound.get(ref), read.settings, priced.book, on, before)
        problems += [p for p in one.problems if p not in problems]
        worked.append(one)
    shown = [p for p in problems if not refs or p.ref in ("", *refs) or p.ref not in read.refs]
    return Batch(book.parent, tuple(worked), tuple(shown), read.settings, priced.book)


def shifts_of(batch: Batch, quote: Quote) -> tuple[Shift, ...]:
    """What a little more on each measured size would change in cost and price."""
    return sensitivity(quote, batch.settings, batch.prices, quote.dated)


def order_together(batch: Batch) -> Together | None:
    """One order for every enquiry that nothing stops; None for fewer than two of them."""
    take_offs = [worked.quote.take_off for worked in batch.worked if worked.quote]
    return buy_together(take_offs, batch.settings, batch.prices)


def prices_beside(book: Path) -> list[Path]:
    """The price lists in the `prices` folder beside a workbook, in order of name.

    Files that a spreadsheet program keeps while a list is open are passed over.
    """
    return sorted(
        path
        for path in (book.parent / PRICES_FOLDER).glob("*")
        if path.suffix.lower() in LIST_ENDINGS and not path.name.startswith(("~$", "."))
    )


def make_papers(batch: Batch, papers: Sequence[Paper], out: Path, on: date) -> Iterator[Outcome]:
    """Make the papers of every enquiry that nothing stops, one by one, and enter them."""
    for worked in batch.worked:
        for paper in papers:
            if worked.quote is None or worked.statement is None:
                yield Outcome(worked.ref, paper, State.BLOCKED)
                continue
            ready = Ready(worked.ref, worked.quote, worked.statement)
            if KINDS[paper].wanted(ready):
                yield issue_paper(draft_of(ready, paper), batch.folder, out, on)


def _work_out_one(
    ref: str,
    enquiry: Enquiry | None,
    settings: Settings,
    prices: PriceBook,
    on: date,
    before: Sequence[Problem],
) -> Worked:
    if enquiry is None:
        return Worked(ref, None, None, tuple(before))
    take_off, found = measure(enquiry, settings, prices, on)
    if not prices.packs:
        found = [p for p in found if p.code != "price-missing"]
    mine = [*before, *found]
    if take_off is None or not prices.packs or stopping(mine, ref):
        return Worked(ref, None, None, tuple(mine))
    quote, found = make_quote(take_off, settings, prices, on)
    mine += [p for p in found if p not in mine]
    if stopping(mine, ref):
        return Worked(ref, None, None, tuple(mine))
    statement = make_statement(take_off, settings, on)
    mine += check_stored(enquiry, statement.option, settings)
    mine += check_days(statement.days, enquiry, statement.option.programme.days.number)
    return Worked(ref, quote, statement, tuple(mine))
