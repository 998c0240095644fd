"""The conductor of the papers: draw up and issue what `working_out` has worked out.

Nothing is printed here; what went well and what did not comes back as records. Which papers there
are stands in `papers`, how one is put in place and entered in `issuing`.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path

from quotegen.issuing import Outcome, State, filed_under, incomplete, issue_paper, read_back
from quotegen.model.enquiry import Enquiry
from quotegen.model.issue import IssuedPaper
from quotegen.papers import (
    KINDS,
    CustomerPaper,
    Paper,
    Ready,
    SeveralRoofs,
    customer_draft,
    draft_of,
)
from quotegen.register.filing import same_customer
from quotegen.working_out import Batch, Worked, shifts_of


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
