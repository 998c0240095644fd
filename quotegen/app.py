"""Draw up and issue the papers of a batch worked out by `working_out`.

Nothing is printed; results and problems come back as records. `papers` lists the kinds of paper,
`issuing` puts them in place and enters them.
"""

from collections import deque
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from datetime import date
from functools import cached_property, partial
from itertools import chain, islice
from pathlib import Path
from typing import TypeAlias

from msgspec.structs import replace

from quotegen.making.issuing import Issuer, Outcome, State, filed_under, incomplete, read_back
from quotegen.making.made_from import MadeFrom, together, with_learned, with_sheet
from quotegen.making.moments import RowPapers, due_by_row, named_papers
from quotegen.making.papers import (
    PAPER_KINDS,
    AnyPaper,
    CustomerPaper,
    DiaryPaper,
    FirmPaper,
    Paper,
    Ready,
    SeveralRoofs,
    diary_of,
    maker_of,
    ready_for,
    sheet_of,
)
from quotegen.making.workers import Workers
from quotegen.model.enquiry import Enquiry
from quotegen.model.issue import IssuedPaper
from quotegen.model.own.learned import Learned
from quotegen.reference.life import on_day
from quotegen.register.filing import same_customer
from quotegen.working_out import Batch, Worked

PapersAsked: TypeAlias = Sequence[Paper] | Mapping[str, RowPapers]
"""The papers named for every row, or those due for each row by its reference."""


def make_papers(
    batch: Batch,
    papers: PapersAsked,
    out: Path,
    on: date,
    for_customers: Sequence[CustomerPaper] = (),
    workers: Workers | None = None,
    renew: bool = False,
) -> Iterator[Outcome]:
    """Make and enter the papers of every enquiry that nothing stops; yield the outcomes in order.

    The standing sheet comes first where a paper names it. A paper that is named brings those it
    carries, and one that stays as it was issued is told, not made. Papers for customers with
    several roofs come last, because they need the quotes of this run.
    Without `workers`, papers are drawn one at a time. With `renew`, quotes that have run out or
    soon will are issued anew.
    """
    workers = workers or Workers(1)
    return _Run(batch, out, on, workers, renew).outcomes(papers, for_customers)


def make_diary(batch: Batch, out: Path, on: date) -> list[Outcome]:
    """Make and enter the papers of the diary; none where something stops every enquiry."""
    ready = [one for one in (ready_for(w, batch.prices) for w in batch.worked) if one]
    if not ready:
        return []
    subject = diary_of(ready, on)
    issuer = Issuer(batch.folder, out, on, Workers(1))
    made_from = MadeFrom(batch.folder, subject.settings, batch.prices, on).diary(subject)
    return [issuer.begin(subject, paper, made_from)() for paper in DiaryPaper]


def rows_due(batch: Batch, out: Path, on: date) -> Mapping[str, RowPapers]:
    """What is due for each row on a day, by its moment and by what was issued into the folder."""
    issuer = Issuer(batch.folder, out, on, Workers(1))
    return due_by_row(batch, on, lambda ref, paper: issuer.issued(ref, paper) is not None)


def papers_due(
    batch: Batch, papers: PapersAsked, for_customers: Sequence[CustomerPaper] = ()
) -> int:
    """The number of outcomes `make_papers` will yield."""
    ready = [(worked.ref, ready_for(worked, batch.prices)) for worked in batch.worked]
    wanted = [_wanted(ref, one, papers) for ref, one in ready]
    sheet = any(map(_names_sheet, wanted))
    several = len(list(_several_roofs(batch.worked))) * len(for_customers)
    return sheet + sum(map(len, wanted)) + several


def _names_sheet(papers: Sequence[Paper]) -> bool:
    return any(PAPER_KINDS[paper].names_sheet for paper in papers)


def _wanted(ref: str, ready: Ready | None, papers: PapersAsked) -> Sequence[Paper]:
    """The papers an enquiry needs; all that are named where that cannot be told."""
    if isinstance(papers, Mapping):
        return papers[ref].papers
    return papers if ready is None else named_papers(ready, papers)


def _stay(ref: str, papers: PapersAsked) -> Collection[Paper]:
    """The papers of an enquiry that stay as they were issued; those that are named never do."""
    return papers[ref].stay if isinstance(papers, Mapping) else ()


def _several_roofs(worked: Sequence[Worked]) -> Iterator[list[tuple[Enquiry, Worked]]]:
    """Enquiries grouped by customer, for customers with at least two that nothing stops."""
    groups: dict[tuple[str, str], list[tuple[Enquiry, Worked]]] = {}
    for one in worked:
        if one.enquiry:
            groups.setdefault(same_customer(one.enquiry.customer), []).append((one.enquiry, one))
    for group in groups.values():
        if sum(one.quote is not None for _, one in group) > 1:
            yield group


_Step = Callable[[], Outcome]


class _Run:
    """One run over the papers of a batch; `_made` holds the outcomes so far."""

    def __init__(
        self, batch: Batch, out: Path, on: date, workers: Workers, renew: bool = False
    ) -> None:
        self._batch = batch
        self._out = out
        self._issuer = Issuer(batch.folder, out, on, workers, batch.prices, renew)
        self._ahead = workers.ahead
        self._on = on
        self._made: dict[tuple[str, AnyPaper], Outcome] = {}

    def outcomes(
        self, papers: PapersAsked, for_customers: Sequence[CustomerPaper]
    ) -> Iterator[Outcome]:
        """Yield every outcome in order; the first papers are started at once."""
        of_enquiries = self._in_order(
            self._begin(worked, ready, paper, stays=paper in _stay(worked.ref, papers))
            for worked in self._batch.worked
            for ready in (ready_for(worked, self._batch.prices, self._learned(papers)),)
            for paper in _wanted(worked.ref, ready, papers)
        )
        sheet = self._sheet if self._is_named(papers) else None
        first = (sheet,) if sheet else ()
        return chain(first, of_enquiries, self._of_customers(for_customers))

    def _of_customers(self, papers: Sequence[CustomerPaper]) -> Iterator[Outcome]:
        """Yield the outcomes of customers' papers, started once the enquiries' own are in place."""
        yield from self._in_order(
            self._begin_for_customer(group, paper)
            for group in _several_roofs(self._batch.worked)
            for paper in papers
        )

    @cached_property
    def _made_from(self) -> MadeFrom:
        """The digests of this run; all enquiries share the firm's settings."""
        batch = self._batch
        settings = next(worked.quote.settings for worked in batch.worked if worked.quote)
        return MadeFrom(batch.folder, settings, batch.prices, self._on)

    def _is_named(self, papers: PapersAsked) -> bool:
        """Whether any paper asked for names the standing sheet."""
        return any(
            _names_sheet(_wanted(one.ref, ready_for(one, self._batch.prices), papers))
            for one in self._batch.worked
        )

    @cached_property
    def _sheet(self) -> Outcome | None:
        """The standing sheet, issued before the first paper that names it; None without a job."""
        ready = (ready_for(worked, self._batch.prices) for worked in self._batch.worked)
        first = next((one for one in ready if one), None)
        if first is None:
            return None
        with on_day(self._on):
            sheet = sheet_of(first)
        return self._issuer.begin(sheet, FirmPaper.STANDING_SHEET, self._made_from.firm())()

    def _learned(self, papers: PapersAsked) -> Learned | None:
        """What done jobs say of the rates, for the owner's own paper alone."""
        rows = [row.papers for row in papers.values()] if isinstance(papers, Mapping) else [papers]
        return self._from_done_jobs if any(Paper.COST_SHEET in row for row in rows) else None

    @cached_property
    def _from_done_jobs(self) -> Learned | None:
        if not self._batch.read.done:
            return None
        from quotegen.making.taking_stock import learned_of  # noqa: PLC0415 - heavy, where jobs are recorded

        return learned_of(self._batch, self._on)

    def _in_order(self, steps: Iterator[_Step]) -> Iterator[Outcome]:
        """Yield the outcome of each paper, with several already started ahead of the one we wait
        for.
        """
        begun = deque(islice(steps, self._ahead))

        def finish() -> Iterator[Outcome]:
            while begun:
                step = begun.popleft()
                begun.extend(islice(steps, 1))
                outcome = step()
                self._made[outcome.ref, outcome.paper] = outcome
                yield outcome

        return finish()

    def _begin(self, worked: Worked, ready: Ready | None, paper: Paper, *, stays: bool) -> _Step:
        """Begin one paper of an enquiry, or report it blocked, or as it was issued."""
        if ready is None or worked.enquiry is None:
            return partial(Outcome, worked.ref, paper, State.BLOCKED)
        as_issued = self._issuer.issued(ready.ref, paper) if stays else None
        if as_issued:
            return lambda: as_issued
        made_from = self._made_from.enquiry(worked.enquiry, worked.problems)
        if paper is Paper.COST_SHEET:
            made_from = with_learned(made_from, ready.learned)
        if PAPER_KINDS[paper].names_sheet:
            sheet = self._sheet
            if sheet is None or sheet.issue is None:
                return partial(incomplete, ready.ref, paper, FirmPaper.STANDING_SHEET, self._out)
            ready = replace(ready, sheet=sheet.issue)
            made_from = with_sheet(made_from, sheet.issue)
        if PAPER_KINDS[paper].carries(ready):
            return partial(self._with_carried, ready, paper, made_from)
        return self._issuer.begin(ready, paper, made_from)

    def _with_carried(self, ready: Ready, paper: Paper, made_from: str) -> Outcome:
        """Make a paper that carries others, after those others."""
        carried: dict[Paper, IssuedPaper] = {}
        for needed in PAPER_KINDS[paper].carries(ready):
            found = self._read_back(ready.ref, needed)
            if found is None:
                return incomplete(ready.ref, paper, needed, self._out)
            carried[needed] = found
        carrying = replace(ready, carried=carried)
        return self._issuer.begin(carrying, paper, together([made_from], carried.values()))()

    def _begin_for_customer(
        self, group: Sequence[tuple[Enquiry, Worked]], paper: CustomerPaper
    ) -> _Step:
        """Start one paper covering all a customer's roofs, with the quotes as issued."""
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
