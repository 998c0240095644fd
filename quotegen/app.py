"""The conductor: read, measure, price, make safe, draw up, issue.

Nothing is printed here; what went well and what did not comes back as records. Which papers there
are stands in `papers`, how one is put in place and entered in `issuing`.
"""

from collections import deque
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import partial
from itertools import chain, islice
from pathlib import Path

from quotegen.documents.wording import check_wording
from quotegen.issuing import Issuer, Outcome, State, filed_under, incomplete, read_back
from quotegen.made_from import MadeFrom, together
from quotegen.model.enquiry import Enquiry
from quotegen.model.issue import IssuedPaper
from quotegen.model.quote import Quote
from quotegen.model.safety import MethodStatement
from quotegen.model.settings import PriceBook, Settings
from quotegen.model.together import Together
from quotegen.papers import (
    KINDS,
    AnyPaper,
    CustomerPaper,
    Paper,
    Ready,
    SeveralRoofs,
    maker_of,
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
from quotegen.workers import Workers

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
    workers: Workers | None = None,
) -> Iterator[Outcome]:
    """Make the papers of every enquiry that nothing stops and enter them; the outcomes in order.

    Those for customers with several roofs follow; they need the quotes of this run. Without
    `workers` one paper is drawn after another.
    """
    workers = workers or Workers(1)
    return _Run(batch, out, on, workers).outcomes(papers, for_customers)


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
        shifts=partial(sensitivity, quote, batch.settings, batch.prices, quote.dated),
    )


def _wanted(ready: Ready | None, papers: Sequence[Paper]) -> list[Paper]:
    """The papers an enquiry has a use for; all of them where that cannot be told."""
    return [paper for paper in papers if ready is None or KINDS[paper].wanted(ready)]


def _several_roofs(worked: Sequence[Worked]) -> Iterator[list[tuple[Enquiry, Worked]]]:
    """The enquiries of each customer who has two or more that nothing stops."""
    groups: dict[tuple[str, str], list[tuple[Enquiry, Worked]]] = {}
    for one in worked:
        if one.enquiry:
            groups.setdefault(same_customer(one.enquiry.customer), []).append((one.enquiry, one))
    for group in groups.values():
        if sum(one.quote is not None for _, one in group) > 1:
            yield group


Step = Callable[[], Outcome]


class _Run:
    """One run over the papers of a batch; `_made` is what has become of them so far."""

    def __init__(self, batch: Batch, out: Path, on: date, workers: Workers) -> None:
        self._batch = batch
        self._out = out
        self._issuer = Issuer(batch.folder, out, on, workers)
        self._ahead = workers.ahead
        self._made_from = MadeFrom(batch.folder, batch.settings, batch.prices, on)
        self._made: dict[tuple[str, AnyPaper], Outcome] = {}

    def outcomes(
        self, papers: Sequence[Paper], for_customers: Sequence[CustomerPaper]
    ) -> Iterator[Outcome]:
        """Every outcome in order, the first papers begun at once."""
        of_enquiries = self._in_order(
            self._begin(worked, ready, paper)
            for worked in self._batch.worked
            for ready in (_ready(self._batch, worked),)
            for paper in _wanted(ready, papers)
        )
        return chain(of_enquiries, self._of_customers(for_customers))

    def _of_customers(self, papers: Sequence[CustomerPaper]) -> Iterator[Outcome]:
        """The papers of customers, begun once those of the enquiries are in place."""
        yield from self._in_order(
            self._begin_for_customer(group, paper)
            for group in _several_roofs(self._batch.worked)
            for paper in papers
        )

    def _in_order(self, steps: Iterator[Step]) -> Iterator[Outcome]:
        """What becomes of each paper; some are begun before the first is waited for."""
        begun = deque(islice(steps, self._ahead))

        def finish() -> Iterator[Outcome]:
            while begun:
                step = begun.popleft()
                begun.extend(islice(steps, 1))
                outcome = step()
                self._made[outcome.ref, outcome.paper] = outcome
                yield outcome

        return finish()

    def _begin(self, worked: Worked, ready: Ready | None, paper: Paper) -> Step:
        """One paper of an enquiry, not made where something stops it."""
        if ready is None or worked.enquiry is None:
            return partial(Outcome, worked.ref, paper, State.BLOCKED)
        made_from = self._made_from.enquiry(worked.enquiry, worked.problems)
        if KINDS[paper].carries(ready):
            return partial(self._with_carried, ready, paper, made_from)
        return self._issuer.begin(ready, paper, made_from)

    def _with_carried(self, ready: Ready, paper: Paper, made_from: str) -> Outcome:
        """A paper that carries others, made when their turn is over."""
        carried: dict[Paper, IssuedPaper] = {}
        for needed in KINDS[paper].carries(ready):
            found = self._read_back(ready.ref, needed)
            if found is None:
                return incomplete(ready.ref, paper, needed, self._out)
            carried[needed] = found
        carrying = replace(ready, carried=carried)
        return self._issuer.begin(carrying, paper, together([made_from], carried.values()))()

    def _begin_for_customer(
        self, group: Sequence[tuple[Enquiry, Worked]], paper: CustomerPaper
    ) -> Step:
        """One paper for all roofs of a customer, with the quotes as they went out."""
        ref, blocked = filed_under(group[0][0].customer, self._out)
        if blocked:
            return partial(Outcome, ref, paper, State.BLOCKED, problems=(blocked,))
        roofs, unpriced, digests = [], [], []
        for enquiry, one in group:
            digests.append(self._made_from.enquiry(enquiry, one.problems))
            if one.quote is None or one.statement is None:
                unpriced.append(enquiry)
                continue
            quote = self._read_back(one.ref, Paper.QUOTE)
            if quote is None:
                needed = f"{Paper.QUOTE} {one.ref}"
                return partial(incomplete, ref, paper, needed, self._out)
            roofs.append(Ready(one.ref, one.quote, one.statement, {Paper.QUOTE: quote}))
        several = SeveralRoofs(ref, tuple(roofs), tuple(unpriced))
        carried = [roof.carried[Paper.QUOTE] for roof in roofs]
        return self._issuer.begin(several, paper, together(digests, carried))

    def _read_back(self, ref: str, paper: Paper) -> IssuedPaper | None:
        return read_back(self._made.get((ref, paper)), maker_of(paper).title)


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
