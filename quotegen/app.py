"""The conductor: read, measure, price, make safe, draw up, issue.

Nothing is printed here; what went well and what did not comes back as records. Which papers there
are stands in `papers`, how one is put in place and entered in `issuing`.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from quotegen.documents.belongings import check_belongings
from quotegen.documents.wording import check_wording
from quotegen.issuing import Outcome, State, filed_under, incomplete, issue_paper, read_back
from quotegen.model.enquiry import Enquiry
from quotegen.model.issue import IssuedPaper
from quotegen.model.quote import Quote
from quotegen.model.safety import MethodStatement
from quotegen.model.settings import PriceBook, Settings
from quotegen.model.together import Together
from quotegen.papers import (
    KINDS,
    CustomerPaper,
    Paper,
    Ready,
    SeveralRoofs,
    customer_draft,
    draft_of,
)
from quotegen.pricing.cancelling import check_cancelling
from quotegen.pricing.quote import make_quote
from quotegen.pricing.sensitivity import Shift, sensitivity
from quotegen.problems import Place, Problem, problem, stopping
from quotegen.register.filing import same_customer
from quotegen.safety.days import check_days
from quotegen.safety.first_day import first_day_of
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
    """One enquiry worked out: its quote and statement, None where something stops them.

    `enquiry` is None where the row itself could not be read.
    """

    ref: str
    quote: Quote | None
    statement: MethodStatement | None
    problems: tuple[Problem, ...]
    enquiry: Enquiry | None


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
    problems += check_belongings(book, read.settings, [w.enquiry for w in worked if w.enquiry])
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


def make_papers(
    batch: Batch,
    papers: Sequence[Paper],
    out: Path,
    on: date,
    for_customers: Sequence[CustomerPaper] = (),
) -> Iterator[Outcome]:
    """Make the papers of every enquiry that nothing stops, one by one, and enter them.

    Those for customers with several roofs follow; they need the quotes of this run.
    """
    made: dict[tuple[str, Paper], Outcome] = {}
    for worked in batch.worked:
        ready = _ready(batch, worked)
        for paper in _wanted(ready, papers):
            outcome = _make_paper(batch.folder, worked.ref, ready, paper, made, out, on)
            made[worked.ref, paper] = outcome
            yield outcome
    for group in _several_roofs(batch.worked):
        for customer_paper in for_customers:
            yield _make_customer_paper(group, customer_paper, made, batch.folder, out, on)


def papers_due(
    batch: Batch, papers: Sequence[Paper], for_customers: Sequence[CustomerPaper] = ()
) -> int:
    """How many papers `make_papers` will tell the outcome of."""
    of_enquiries = sum(len(_wanted(_ready(batch, worked), papers)) for worked in batch.worked)
    return of_enquiries + len(list(_several_roofs(batch.worked))) * len(for_customers)


def _ready(batch: Batch, worked: Worked) -> Ready | None:
    """An enquiry to make papers of; None where something stops it."""
    quote = worked.quote
    if quote is None or worked.statement is None:
        return None
    return Ready(
        worked.ref,
        quote,
        worked.statement,
        problems=worked.problems,
        shifts=lambda: shifts_of(batch, quote),
    )


def _wanted(ready: Ready | None, papers: Sequence[Paper]) -> list[Paper]:
    """The papers an enquiry has a use for; all of them where that cannot be told."""
    return [paper for paper in papers if ready is None or KINDS[paper].wanted(ready)]


def _make_paper(
    folder: Path,
    ref: str,
    ready: Ready | None,
    paper: Paper,
    made: Mapping[tuple[str, Paper], Outcome],
    out: Path,
    on: date,
) -> Outcome:
    """One paper of an enquiry, not made where something stops it."""
    if ready is None:
        return Outcome(ref, paper, State.BLOCKED)
    carried: dict[Paper, IssuedPaper] = {}
    for needed in KINDS[paper].carries(ready):
        found = read_back(made.get((ref, needed)), KINDS[needed].maker.title)
        if found is None:
            return incomplete(ref, paper, needed, out)
        carried[needed] = found
    return issue_paper(draft_of(replace(ready, carried=carried), paper), folder, out, on)


def _several_roofs(worked: Sequence[Worked]) -> Iterator[list[tuple[Enquiry, Worked]]]:
    """The enquiries of each customer who has two or more that nothing stops."""
    groups: dict[tuple[str, str], list[tuple[Enquiry, Worked]]] = {}
    for one in worked:
        if one.enquiry:
            groups.setdefault(same_customer(one.enquiry.customer), []).append((one.enquiry, one))
    for group in groups.values():
        if sum(one.quote is not None for _, one in group) > 1:
            yield group


def _make_customer_paper(
    group: Sequence[tuple[Enquiry, Worked]],
    paper: CustomerPaper,
    made: Mapping[tuple[str, Paper], Outcome],
    folder: Path,
    out: Path,
    on: date,
) -> Outcome:
    """One paper for all roofs of a customer, with the quotes as they went out."""
    ref, blocked = filed_under(group[0][0].customer, out)
    if blocked:
        return Outcome(ref, paper, State.BLOCKED, problems=(blocked,))
    roofs, unpriced = [], []
    for enquiry, one in group:
        if one.quote is None or one.statement is None:
            unpriced.append(enquiry)
            continue
        quote = read_back(made.get((one.ref, Paper.QUOTE)), KINDS[Paper.QUOTE].maker.title)
        if quote is None:
            return incomplete(ref, paper, f"{Paper.QUOTE} {one.ref}", out)
        roofs.append(Ready(one.ref, one.quote, one.statement, {Paper.QUOTE: quote}))
    several = SeveralRoofs(ref, tuple(roofs), tuple(unpriced))
    return issue_paper(customer_draft(several, paper), folder, out, on)


def _work_out_one(
    ref: str,
    enquiry: Enquiry | None,
    settings: Settings,
    prices: PriceBook,
    on: date,
    before: Sequence[Problem],
) -> Worked:
    if enquiry is None:
        return Worked(ref, None, None, tuple(before), None)
    take_off, found = measure(enquiry, settings, prices, on)
    if not prices.packs:
        found = [p for p in found if p.code != "price-missing"]
    mine = [*before, *found]
    if take_off is None or not prices.packs or stopping(mine, ref):
        return Worked(ref, None, None, tuple(mine), enquiry)
    quote, found = make_quote(take_off, settings, prices, on)
    mine += [p for p in found if p not in mine]
    if stopping(mine, ref):
        return Worked(ref, None, None, tuple(mine), enquiry)
    statement = make_statement(take_off, settings, on)
    mine += check_stored(enquiry, statement.option, settings)
    mine += check_days(statement.days, enquiry, statement.option.programme.days.number)
    mine += check_cancelling(enquiry, first_day_of(statement).day, on)
    return Worked(ref, quote, statement, tuple(mine), enquiry)
