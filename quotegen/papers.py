"""The papers there are: what makes each, what it is made from, and which others it carries.

A new paper of an enquiry is a member of `Paper` and a line of `KINDS`; one for a customer with
several roofs is a member of `CustomerPaper` and a line of `CUSTOMER_KINDS`.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from enum import StrEnum
from typing import Any, Generic, TypeVar

from quotegen.documents.day_sheet_paper import DAY_SHEET
from quotegen.documents.design import Maker
from quotegen.documents.method_paper import METHOD
from quotegen.documents.phase_plan_paper import PHASE_PLAN
from quotegen.documents.quote_paper import QUOTE
from quotegen.model.issue import Issue, IssuedPaper
from quotegen.model.quote import Quote
from quotegen.model.safety import ConstructionPlan, MethodStatement
from quotegen.safety.construction_plan import make_plan


class Paper(StrEnum):
    """The papers of an enquiry, in the order of making; the value names the file."""

    QUOTE = "quote"
    METHOD = "method-statement"
    PHASE_PLAN = "construction-phase-plan"
    DAY_SHEET = "day-sheet"


@dataclass(frozen=True, slots=True)
class Ready:
    """An enquiry that nothing stops; `carried` are papers of it that another one needs."""

    ref: str
    quote: Quote
    statement: MethodStatement
    carried: Mapping[Paper, IssuedPaper] = field(default_factory=dict)


Work = TypeVar("Work")


@dataclass(frozen=True, slots=True)
class PaperKind(Generic[Work]):
    """What makes one paper, its subject as of a revision, and its total for the register.

    `wanted` says whether the enquiry has a use for it, `carries` which papers have to be in place
    before it.
    """

    maker: Maker
    subject: Callable[[Work, Issue], Any]
    total: Callable[[Work], str] = lambda _work: ""
    wanted: Callable[[Work], bool] = lambda _work: True
    carries: Callable[[Work], tuple[Paper, ...]] = lambda _work: ()


@dataclass(frozen=True, slots=True)
class Draft:
    """One paper about to be made: its marks but for the revision, its maker, and its subject."""

    ref: str
    paper: str
    since: date
    maker: Maker
    subject: Callable[[Issue], Any]
    total: str

    @property
    def undated(self) -> Issue:
        """Marks that are the same whatever the revision and the day."""
        return Issue(self.ref, 0, self.since)


def draft_of(ready: Ready, paper: Paper) -> Draft:
    """A paper of an enquiry, ready to be made."""
    kind = KINDS[paper]
    return Draft(
        ref=ready.ref,
        paper=paper,
        since=ready.quote.enquiry.dated,
        maker=kind.maker,
        subject=lambda issue: kind.subject(ready, issue),
        total=kind.total(ready),
    )


def _quote(ready: Ready, issue: Issue) -> Quote:
    """The quote as of the day of its revision."""
    validity = ready.quote.valid_until - ready.quote.dated
    return replace(ready.quote, dated=issue.issued, valid_until=issue.issued + validity)


def _statement(ready: Ready, issue: Issue) -> MethodStatement:
    return replace(ready.statement, dated=issue.issued)


def _phase_plan(ready: Ready, issue: Issue) -> ConstructionPlan:
    return make_plan(_statement(ready, issue))


def _totals(ready: Ready) -> str:
    return "; ".join(f"{o.build_up} {o.totals.total.money}" for o in ready.quote.options)


KINDS: Mapping[Paper, PaperKind[Ready]] = {
    Paper.QUOTE: PaperKind(QUOTE, _quote, _totals),
    Paper.METHOD: PaperKind(METHOD, _statement),
    Paper.PHASE_PLAN: PaperKind(PHASE_PLAN, _phase_plan),
    Paper.DAY_SHEET: PaperKind(DAY_SHEET, _statement),
}
