"""Draw up and issue the papers of a batch worked out by `working_out`.

Nothing is printed; results and problems come back as records. `papers` lists the kinds of paper,
`issuing` puts them in place and enters them.
"""

from collections import deque
from collections.abc import Callable, Iterator, Sequence
from datetime import date
from functools import cached_property, partial
from itertools import chain, islice
from pathlib import Path

from msgspec.structs import replace

from quotegen.making.issuing import Issuer, Outcome, State, filed_under, incomplete, read_back
from quotegen.making.made_from import MadeFrom, together, with_learned
from quotegen.making.papers import (
    PAPER_KINDS,
    AnyPaper,
    CustomerPaper,
    DiaryPaper,
    Paper,
    Ready,
    SeveralRoofs,
    diary_of,
    maker_of,
    ready_for,
)
from quotegen.making.workers import Workers
from quotegen.model.enquiry import Enquiry
from quotegen.model.issue import IssuedPaper
from quotegen.model.own.learned import Learned
from quotegen.register.filing import same_customer
from quotegen.working_out import Batch, Worked


def make_papers(
    batch: Batch,
    papers: Sequence[Paper],
    out: Path,
    on: date,
    for_customers: Sequence[CustomerPaper] = (),
    workers: Workers | None = None,
    renew: bool = False,
) -> Iterator[Outcome]:
    """Make and enter the papers of every enquiry that nothing stops; yield the outcomes in order.

    Papers for customers with several roofs come last, because they need the quotes of this run.
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


def papers_due(
    batch: Batch, papers: Sequence[Paper], for_customers: Sequence[CustomerPaper] = ()
) -> int:
    """The number of outcomes `make_papers` will yield."""
    ready = (ready_for(worked, batch.prices) for worked in batch.worked)
    of_enquiries = sum(len(_wanted(one, papers)) for one in ready)
    return of_enquiries + len(list(_several_roofs(batch.worked))) * len(for_customers)


def _wanted(ready: Ready | None, papers: Sequence[Paper]) -> list[Paper]:
    """The papers an enquiry needs; all of them where that cannot be told."""
    return [paper for paper in papers if ready is None or PAPER_KINDS[paper].wanted(ready)]


def _several_roofs(worked: Sequence[Worked]) -> Iterator[list[tuple[Enquiry, Worked]]]:
    """Groups of enquiries by customer, for customers with at least two that nothing stops."""
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
        self, papers: Sequence[Paper], for_customers: Sequence[CustomerPaper]
    ) -> Iterator[Outcome]:
        """Yield every outcome in order; the first papers are begun at once."""
        of_enquiries = self._in_order(
            self._begin(worked, ready, paper)
            for worked in self._batch.worked
            for ready in (ready_for(worked, self._batch.prices, self._learned(papers)),)
            for paper in _wanted(ready, papers)
        )
        return chain(of_enquiries, self._of_customers(for_customers))

    def _of_customers(self, papers: Sequence[CustomerPaper]) -> Iterator[Outcome]:
        """Yield the outcomes of customers' papers, begun once the enquiries' own are in place."""
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

    def _learned(self, papers: Sequence[Paper]) -> Learned | None:
        """What done jobs say of the rates, for the owner's own paper alone."""
        return self._from_done_jobs if Paper.COST_SHEET in papers else None

    @cached_property
    def _from_done_jobs(self) -> Learned | None:
        if not self._batch.read.done:
            return None
        from quotegen.making.taking_stock import learned_of  # noqa: PLC0415 - heavy, where jobs are recorded

        return learned_of(self._batch, self._on)

    def _in_order(self, steps: Iterator[_Step]) -> Iterator[Outcome]:
        """Yield the outcome of each paper, keeping several begun ahead of the one waited for."""
        begun = deque(islice(steps, self._ahead))

        def finish() -> Iterator[Outcome]:
            while begun:
                step = begun.popleft()
                begun.extend(islice(steps, 1))
                outcome = step()
                self._made[outcome.ref, outcome.paper] = outcome
                yield outcome

        return finish()

    def _begin(self, worked: Worked, ready: Ready | None, paper: Paper) -> _Step:
        """Begin one paper of an enquiry, or report it blocked."""
        if ready is None or worked.enquiry is None:
            return partial(Outcome, worked.ref, paper, State.BLOCKED)
        made_from = self._made_from.enquiry(worked.enquiry, worked.problems)
        if paper is Paper.COST_SHEET:
            made_from = with_learned(made_from, ready.learned)
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
        """Begin one paper covering all a customer's roofs, with the quotes as issued."""
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
