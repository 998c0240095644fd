"""The kinds of paper: what makes each, what it is made from, and which others it carries.

To add a paper of an enquiry, add a member of `Paper` and a line of `PAPER_KINDS`; for a customer
with several roofs, a member of `CustomerPaper` and a line of `CUSTOMER_MAKERS`; for the whole
workbook, a member of `DiaryPaper` and a line of `DIARY_MAKERS`; for the firm, whatever its jobs, a
member of `FirmPaper` and a line of `FIRM_MAKERS`; for what a job owes, a member of `PayPaper` and a
line of `PAY_MAKERS`. Invoices have numbers instead of revisions: see `invoicing.py`.
"""

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from enum import StrEnum
from functools import partial
from typing import Any, TypeAlias

from msgspec import Struct, field
from msgspec.structs import replace

from quotegen.days.first_day import day_of_work, first_day_of
from quotegen.diary.keeping import OrderedJob, keep_diary
from quotegen.diary.records import DiarySubject
from quotegen.documents.crew.cutting_list import CUTTING_LIST
from quotegen.documents.crew.day_sheet import DAY_SHEET
from quotegen.documents.crew.order import ORDER
from quotegen.documents.crew.order_book import ORDER_BOOK
from quotegen.documents.crew.van_list import VAN_LIST
from quotegen.documents.customer.cancellation import CANCELLATION, may_cancel
from quotegen.documents.customer.email import ACCEPTED_EMAIL, EMAIL, START_EMAIL, Letter
from quotegen.documents.customer.hand_over import HAND_OVER, HandOver
from quotegen.documents.customer.quote import QUOTE
from quotegen.documents.customer.quote_notes import offer_name
from quotegen.documents.customer.schedule import SCHEDULE
from quotegen.documents.customer.schedule_book import SCHEDULE_BOOK
from quotegen.documents.customer.variation_slip import VARIATION_SLIP
from quotegen.documents.owner.cost_sheet import COST_SHEET, CostSubject
from quotegen.documents.owner.diary import DIARY
from quotegen.documents.owner.diary_calendar import DIARY_CALENDAR
from quotegen.documents.paying.account import ACCOUNT
from quotegen.documents.printing.design import Maker
from quotegen.documents.safety.method import METHOD
from quotegen.documents.safety.phase_plan import PHASE_PLAN
from quotegen.documents.safety.site_card import SITE_CARD
from quotegen.documents.safety.standing_sheet import STANDING_SHEET
from quotegen.documents.safety.survey_sheet import SURVEY_SHEET
from quotegen.documents.safety.tenant_notice import TENANT_NOTICE
from quotegen.model.choices import CustomerKind
from quotegen.model.enquiry import Enquiry
from quotegen.model.issue import Issue, IssuedPaper
from quotegen.model.own.learned import Learned
from quotegen.model.quote import Quote
from quotegen.model.safety import ConstructionPlan, MethodStatement, StandingSheet
from quotegen.model.settings import PriceBook
from quotegen.model.several import QuotedRoof
from quotegen.paying.account import Account
from quotegen.pricing.schedule import make_schedule
from quotegen.pricing.sensitivity import Shift, sensitivity
from quotegen.problems import Problem
from quotegen.safety.statement.construction_plan import make_plan
from quotegen.safety.statement.standing import make_sheet
from quotegen.safety.statement.survey import survey_first
from quotegen.working_out import Worked


class Paper(StrEnum):
    """The papers of an enquiry, in the order they are made; the value names the file.

    A paper comes after those it carries.
    """

    QUOTE = "quote"
    CANCELLATION = "cancellation-form"
    SURVEY_SHEET = "survey-sheet"
    METHOD = "method-statement"
    PHASE_PLAN = "construction-phase-plan"
    TENANT_NOTICE = "tenant-notice"
    EMAIL = "e-mail"
    ACCEPTED_EMAIL = "e-mail-accepted"
    START_EMAIL = "e-mail-start"
    VAN_LIST = "van-list"
    DAY_SHEET = "day-sheet"
    SITE_CARD = "site-card"
    ORDER = "order"
    ORDER_BOOK = "order-book"
    CUTTING_LIST = "cutting-list"
    VARIATION_SLIP = "variation-slip"
    HAND_OVER = "hand-over"
    COST_SHEET = "cost-sheet"


OF_THE_OFFER = frozenset({Paper.QUOTE, Paper.EMAIL, Paper.VARIATION_SLIP, Paper.COST_SHEET})
"""The papers that go by what is in force when they are made; the others go by the day of work."""


class CustomerPaper(StrEnum):
    """The papers for all roofs of one customer; the value names the file."""

    SCHEDULE = "schedule"
    SCHEDULE_BOOK = "schedule-book"


class DiaryPaper(StrEnum):
    """The papers of the firm's diary; the value names the file."""

    DIARY = "diary"
    CALENDAR = "calendar"


class FirmPaper(StrEnum):
    """The papers of the firm that no enquiry changes; the value names the file."""

    STANDING_SHEET = "standing-sheet"


class PayPaper(StrEnum):
    """The papers of what a job owes, beside its invoices; the value names the file."""

    ACCOUNT = "statement-of-account"


class Ready(Struct, frozen=True):
    """An enquiry that nothing stops; `carried` are its papers that another one needs.

    `sheet` are the marks of the standing sheet that its method statement names.

    For the owner's own paper it also has the warnings, the function giving the price change for
    a little more of each size, and what done jobs say of the rates, if there are any.
    """

    ref: str
    quote: Quote
    statement: MethodStatement
    carried: Mapping[Paper, IssuedPaper] = field(default_factory=dict)
    problems: tuple[Problem, ...] = ()
    shifts: Callable[[], tuple[Shift, ...]] = tuple
    learned: Learned | None = None
    sheet: Issue | None = None


class SeveralRoofs(Struct, frozen=True):
    """A customer with two or more enquiries that nothing stops, each carrying its quote.

    `ref` is the reference of the papers for all of them; `unpriced` are the customer's further
    enquiries that something stops.
    """

    ref: str
    roofs: tuple[Ready, ...]
    unpriced: tuple[Enquiry, ...]


def ready_for(worked: Worked, prices: PriceBook, learned: Learned | None = None) -> Ready | None:
    """An enquiry ready for its papers; None where something stops it."""
    quote = worked.quote
    if quote is None or worked.statement is None:
        return None
    return Ready(
        worked.ref,
        quote,
        worked.statement,
        problems=worked.problems,
        shifts=partial(sensitivity, quote, prices),
        learned=learned,
    )


def diary_of(ready: Sequence[Ready], on: date) -> DiarySubject:
    """The diary of one or more enquiries from a day on."""
    jobs = [
        OrderedJob(
            made.enquiry,
            made.option,
            made.accepted,
            made.before.earliest,
        )
        for made in (one.statement for one in ready)
    ]
    return keep_diary(jobs, ready[0].quote.settings, on)


def sheet_of(ready: Ready) -> StandingSheet:
    """The standing sheet of the firm, from any of its enquiries."""
    return make_sheet(ready.quote.settings, ready.quote.enquiry)


AnyPaper: TypeAlias = Paper | CustomerPaper | DiaryPaper | FirmPaper | PayPaper
Work: TypeAlias = Ready | SeveralRoofs | DiarySubject | StandingSheet | Account


class PaperKind(Struct, frozen=True):
    """A kind of paper: its maker, its subject as of a revision, its total for the register.

    `wanted` tells whether the enquiry needs it, `carries` which papers must be in place first, and
    `names_sheet` whether it names paragraphs of the standing sheet, which then comes before it.
    """

    maker: Maker
    subject: Callable[[Ready, Issue], Any]
    total: Callable[[Ready], str] = lambda _work: ""
    wanted: Callable[[Ready], bool] = lambda _work: True
    carries: Callable[[Ready], tuple[Paper, ...]] = lambda _work: ()
    names_sheet: bool = False


def _day_of_paper(issue: Issue) -> date:
    return issue.issued


class Draft(Struct, frozen=True):
    """One paper about to be made: its maker, its subject as of a revision, its total.

    `in_force_on` gives the day whose values and rules it goes by.
    """

    ref: str
    paper: AnyPaper
    maker: Maker
    subject: Callable[[Issue], Any]
    total: str
    in_force_on: Callable[[Issue], date] = _day_of_paper


def maker_of(paper: AnyPaper) -> Maker:
    """The maker of a kind of paper."""
    if isinstance(paper, Paper):
        return PAPER_KINDS[paper].maker
    if isinstance(paper, CustomerPaper):
        return CUSTOMER_MAKERS[paper]
    if isinstance(paper, PayPaper):
        return PAY_MAKERS[paper]
    return FIRM_MAKERS[paper] if isinstance(paper, FirmPaper) else DIARY_MAKERS[paper]


def draft_of(work: Work, paper: AnyPaper) -> Draft:
    """The draft of a paper of an enquiry, a customer, the diary, the firm or an account."""
    if isinstance(work, DiarySubject | StandingSheet | Account):
        return Draft(work.ref, paper, maker_of(paper), lambda _issue: work, "")
    if isinstance(work, SeveralRoofs):
        return _customer_draft(work, paper)
    kind = PAPER_KINDS[Paper(paper)]
    return Draft(
        ref=work.ref,
        paper=paper,
        maker=kind.maker,
        subject=lambda issue: kind.subject(work, issue),
        total=kind.total(work),
        in_force_on=_day_of_paper if paper in OF_THE_OFFER else partial(_day_of_work, work),
    )


def _day_of_work(ready: Ready, issue: Issue) -> date:
    return day_of_work(ready.statement.days, issue.issued)


def _customer_draft(several: SeveralRoofs, paper: AnyPaper) -> Draft:
    schedule = make_schedule([_as_issued(ready) for ready in several.roofs], several.unpriced)
    return Draft(
        ref=several.ref,
        paper=paper,
        maker=maker_of(paper),
        subject=lambda _issue: schedule,
        total="; ".join(f"{one.words} {one.total.money}" for one in schedule.sums),
    )


def _as_issued(ready: Ready) -> QuotedRoof:
    issue = ready.carried[Paper.QUOTE].issue
    return QuotedRoof(_quote(ready, issue), issue.revision)


def _letter(ready: Ready, _issue: Issue) -> Letter:
    quote = ready.carried.get(Paper.QUOTE)
    carried = dict(ready.carried)
    if quote:
        carried[Paper.QUOTE] = replace(quote, title=offer_name(ready.quote))
    return Letter(
        quote=_quote(ready, quote.issue) if quote else ready.quote,
        quote_issue=quote.issue if quote else None,
        statement=ready.statement,
        papers=tuple(carried.values()),
        notice=ready.carried.get(Paper.TENANT_NOTICE),
    )


def _sent_with_quote(ready: Ready) -> tuple[Paper, ...]:
    """The papers that go to the customer with the quote: these and never any others."""
    return (Paper.QUOTE, Paper.CANCELLATION) if _may_cancel(ready) else (Paper.QUOTE,)


def _sent_on_acceptance(ready: Ready) -> tuple[Paper, ...]:
    """The papers that go to a customer who has said yes: what a business has to keep."""
    if ready.quote.enquiry.customer.kind is CustomerKind.HOME_OWNER:
        return ()
    return (Paper.METHOD, Paper.PHASE_PLAN)


def _sent_with_start(ready: Ready) -> tuple[Paper, ...]:
    """The papers that go to the customer once the days are agreed, and name them."""
    notice = (Paper.TENANT_NOTICE,) if _is_lived_in(ready) else ()
    return (*_sent_on_acceptance(ready), *notice)


def _quote(ready: Ready, issue: Issue) -> Quote:
    """The quote as of the day of its revision."""
    validity = ready.quote.valid_until - ready.quote.dated
    return replace(ready.quote, dated=issue.issued, valid_until=issue.issued + validity)


def _statement(ready: Ready, issue: Issue) -> MethodStatement:
    return replace(ready.statement, dated=issue.issued, sheet=ready.sheet)


def _phase_plan(ready: Ready, issue: Issue) -> ConstructionPlan:
    return make_plan(_statement(ready, issue))


def _hand_over(ready: Ready, issue: Issue) -> HandOver:
    return HandOver(_quote(ready, issue), _statement(ready, issue))


def _may_cancel(ready: Ready) -> bool:
    return may_cancel(ready.quote)


def _to_survey(ready: Ready) -> bool:
    """Whether too much is not known for a statement, or for any paper that follows from one."""
    return survey_first(ready.statement.facts, ready.statement.settings)


def _is_known(ready: Ready) -> bool:
    return not _to_survey(ready)


def _is_lived_in(ready: Ready) -> bool:
    return _is_known(ready) and ready.statement.facts["occupied"].present


def _is_open(ready: Ready) -> bool:
    return not ready.statement.accepted


def _is_accepted(ready: Ready) -> bool:
    return _is_known(ready) and ready.statement.accepted


def _is_agreed(ready: Ready) -> bool:
    return _is_known(ready) and first_day_of(ready.statement).agreed


def _cost(ready: Ready, _issue: Issue) -> CostSubject:
    from quotegen.learning.compared import learned_from  # noqa: PLC0415 - heavy, for this paper alone
    from quotegen.learning.holding import holdings  # noqa: PLC0415 - as above

    learned = ready.learned or learned_from(None, ready.quote.settings)
    held = holdings(ready.quote, learned)
    own = sum(recorded.task is not None for recorded in learned.own)
    return CostSubject(ready.quote, ready.shifts(), ready.problems, held, own)


def _totals(ready: Ready) -> str:
    return "; ".join(f"{o.build_up} {o.totals.total.money}" for o in ready.quote.options)


PAPER_KINDS: Mapping[Paper, PaperKind] = {
    Paper.QUOTE: PaperKind(QUOTE, _quote, _totals),
    Paper.CANCELLATION: PaperKind(CANCELLATION, _quote, wanted=_may_cancel),
    Paper.SURVEY_SHEET: PaperKind(SURVEY_SHEET, _statement, wanted=_to_survey),
    Paper.METHOD: PaperKind(METHOD, _statement, wanted=_is_known, names_sheet=True),
    Paper.PHASE_PLAN: PaperKind(PHASE_PLAN, _phase_plan, wanted=_is_known),
    Paper.TENANT_NOTICE: PaperKind(TENANT_NOTICE, _statement, wanted=_is_lived_in),
    Paper.EMAIL: PaperKind(EMAIL, _letter, wanted=_is_open, carries=_sent_with_quote),
    Paper.ACCEPTED_EMAIL: PaperKind(
        ACCEPTED_EMAIL, _letter, wanted=_is_accepted, carries=_sent_on_acceptance
    ),
    Paper.START_EMAIL: PaperKind(START_EMAIL, _letter, wanted=_is_agreed, carries=_sent_with_start),
    Paper.VAN_LIST: PaperKind(VAN_LIST, _statement, wanted=_is_known),
    Paper.DAY_SHEET: PaperKind(DAY_SHEET, _statement, wanted=_is_known),
    Paper.SITE_CARD: PaperKind(SITE_CARD, _statement, wanted=_is_known),
    Paper.ORDER: PaperKind(ORDER, _statement, wanted=_is_known),
    Paper.ORDER_BOOK: PaperKind(ORDER_BOOK, _statement, wanted=_is_known),
    Paper.CUTTING_LIST: PaperKind(CUTTING_LIST, _statement, wanted=_is_known),
    Paper.VARIATION_SLIP: PaperKind(VARIATION_SLIP, _quote),
    Paper.HAND_OVER: PaperKind(HAND_OVER, _hand_over, wanted=_is_known),
    Paper.COST_SHEET: PaperKind(COST_SHEET, _cost),
}

CUSTOMER_MAKERS: Mapping[CustomerPaper, Maker] = {
    CustomerPaper.SCHEDULE: SCHEDULE,
    CustomerPaper.SCHEDULE_BOOK: SCHEDULE_BOOK,
}

PAY_MAKERS: Mapping[PayPaper, Maker] = {PayPaper.ACCOUNT: ACCOUNT}

FIRM_MAKERS: Mapping[FirmPaper, Maker] = {FirmPaper.STANDING_SHEET: STANDING_SHEET}

DIARY_MAKERS: Mapping[DiaryPaper, Maker] = {
    DiaryPaper.DIARY: DIARY,
    DiaryPaper.CALENDAR: DIARY_CALENDAR,
}
