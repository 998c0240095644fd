"""When each paper is due: the moment a row of the workbook has come to, and the papers of each.

A row comes to its moment by what it says: the build-up accepted, the start agreed, the days of the
work. What an earlier moment called for stays in place; some of it as it was issued.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date, timedelta
from enum import StrEnum
from textwrap import wrap

from msgspec import Struct

from quotegen import wording
from quotegen.days.days_off import is_working_day
from quotegen.days.first_day import first_day_of
from quotegen.documents.shared.before_words import waits_for
from quotegen.making.issuing import Outcome
from quotegen.making.papers import PAPER_KINDS, Paper, Ready, ready_for
from quotegen.model.safety import MethodStatement
from quotegen.model.settings import Settings
from quotegen.working_out import Batch, Worked

OTHER_PAPERS = (
    "Any other paper: add --paper NAME, or --every-paper for all, and --ref R for one job."
)
NO_CERTIFICATE = "No proof of insurance goes with the e-mails: name its file on the Business sheet."
_LINE_WIDTH = 98


class JobMoment(StrEnum):
    """The moments of a job, in their order, as the console names them."""

    QUOTE = "with the quote"
    ACCEPTED = "on acceptance"
    AGREED = "once the start is agreed"
    EVE = "the day before"
    END = "at the end"


PAPERS_OF: Mapping[JobMoment, tuple[Paper, ...]] = {
    JobMoment.QUOTE: (
        Paper.QUOTE,
        Paper.CANCELLATION,
        Paper.SURVEY_SHEET,
        Paper.EMAIL,
        Paper.COST_SHEET,
    ),
    JobMoment.ACCEPTED: (
        Paper.METHOD,
        Paper.PHASE_PLAN,
        Paper.ACCEPTED_EMAIL,
        Paper.ORDER,
        Paper.ORDER_BOOK,
        Paper.CUTTING_LIST,
    ),
    JobMoment.AGREED: (Paper.TENANT_NOTICE, Paper.START_EMAIL),
    JobMoment.EVE: (Paper.VAN_LIST, Paper.DAY_SHEET, Paper.SITE_CARD),
    JobMoment.END: (Paper.HAND_OVER, Paper.VARIATION_SLIP),
}
"""The moment each paper is due at."""

STAYS_FROM: Mapping[Paper, JobMoment] = {
    Paper.QUOTE: JobMoment.ACCEPTED,
    Paper.CANCELLATION: JobMoment.ACCEPTED,
    Paper.EMAIL: JobMoment.ACCEPTED,
    Paper.COST_SHEET: JobMoment.ACCEPTED,
    Paper.ACCEPTED_EMAIL: JobMoment.AGREED,
}
"""Papers that stay as they were issued from a moment on; all others do so once the work is begun.

A quote that was accepted is what was agreed, and a letter that was sent cannot be sent otherwise.
"""

_ORDER = tuple(JobMoment)


class RowPapers(Struct, frozen=True):
    """What is due for one row, and why: its moment, the papers, and those that stay as issued."""

    ref: str
    moment: JobMoment
    because: str
    papers: tuple[Paper, ...]
    stay: frozenset[Paper] = frozenset()


def moment_of(statement: MethodStatement, on: date, *, done: bool = False) -> tuple[JobMoment, str]:
    """The moment a job has come to on a day, and why; `done` is what the Done jobs sheet says."""
    if not statement.accepted:
        return JobMoment.QUOTE, "no build-up is accepted"
    if done:
        return JobMoment.END, "it is on the Done jobs sheet"
    start, waiting = statement.enquiry.start_on, waits_for(statement)
    if start is not None and not waiting:
        return _dated(statement, start, on)
    still = f"still waiting for {waiting}" if waiting else "Start is blank"
    return JobMoment.ACCEPTED, f"{statement.build_up} is accepted; {still}"


def _dated(statement: MethodStatement, start: date, on: date) -> tuple[JobMoment, str]:
    """The moment of a job that waits for nothing but its start."""
    day = wording.long_day(start)
    if on > start:
        return JobMoment.END, f"the work began on {day}"
    if not first_day_of(statement).agreed:
        return (
            JobMoment.ACCEPTED,
            f"{statement.build_up} is accepted; the work does not fit on {day}",
        )
    if on == start and len(statement.days.worked) == 1:
        return JobMoment.END, f"the work is done in a day, {day}"
    moment = JobMoment.EVE if on >= _eve(statement, start) else JobMoment.AGREED
    return moment, f"the work begins on {day}"


def _eve(statement: MethodStatement, start: date) -> date:
    """The last working day before the start."""
    weekends, day = statement.settings.yes("weekend_work"), start - timedelta(days=1)
    while not is_working_day(day, weekends, ()):
        day -= timedelta(days=1)
    return day


def papers_at(
    ready: Ready, moment: JobMoment, because: str, issued: Callable[[Paper], bool]
) -> RowPapers:
    """The papers of a job up to its moment, in the order they are made.

    One that stays as it was issued is not made any more if it never was; but the quote is, as the
    papers for all roofs of a customer are made from it.
    """
    due, stay = [], set()
    for at in _ORDER[: _ORDER.index(moment) + 1]:
        for paper in PAPERS_OF[at]:
            if at is not moment and moment_reached(STAYS_FROM.get(paper, JobMoment.END), moment):
                if issued(paper):
                    stay.add(paper)
                elif paper is not Paper.QUOTE:
                    continue
            elif not PAPER_KINDS[paper].wanted(ready):
                continue
            due.append(paper)
    in_order = sorted(due, key=list(Paper).index)
    return RowPapers(ready.ref, moment, because, tuple(in_order), frozenset(stay))


def moment_reached(one: JobMoment, by: JobMoment) -> bool:
    """Whether a moment has come, or is past, at another."""
    return _ORDER.index(one) <= _ORDER.index(by)


def due_by_row(
    batch: Batch, on: date, issued: Callable[[str, Paper], bool]
) -> Mapping[str, RowPapers]:
    """What is due for each row; where something stops it, what its cells let expect."""
    done = {row.ref for row in batch.read.done}
    return {one.ref: _due(one, batch, on, one.ref in done, issued) for one in batch.worked}


def _due(
    worked: Worked, batch: Batch, on: date, done: bool, issued: Callable[[str, Paper], bool]
) -> RowPapers:
    ready = ready_for(worked, batch.prices)
    if ready is None:
        accepted = worked.enquiry is not None and worked.enquiry.accepted is not None
        moment = JobMoment.ACCEPTED if accepted else JobMoment.QUOTE
        papers = tuple(p for p in PAPERS_OF[moment] if p is not Paper.SURVEY_SHEET)
        return RowPapers(worked.ref, moment, "something stops it", papers)
    moment, because = moment_of(ready.statement, on, done=done)
    return papers_at(ready, moment, because, lambda paper: issued(worked.ref, paper))


def named_papers(ready: Ready, papers: Sequence[Paper]) -> tuple[Paper, ...]:
    """The papers of those named that a job needs, with those they carry, in the order made.

    Where too little is known for a statement, the survey sheet comes in place of what follows.
    """
    follows = not set(papers) <= set(PAPERS_OF[JobMoment.QUOTE])
    asked = (Paper.SURVEY_SHEET, *papers) if follows else papers
    wanted = [paper for paper in asked if PAPER_KINDS[paper].wanted(ready)]
    with_carried = ((*PAPER_KINDS[paper].carries(ready), paper) for paper in wanted)
    return tuple(dict.fromkeys(one for papers in with_carried for one in papers))


def moment_lines(rows: Sequence[RowPapers], settings: Settings | None) -> list[str]:
    """Which papers are due when, and where each row stands, as lines to print."""
    lines = ["What goes when:"]
    for moment in JobMoment:
        lines += _wrapped(f"{moment}: {', '.join(_for_whom(PAPERS_OF[moment]))}")
    lines.append("Where each job stands:")
    for row in rows:
        lines += _wrapped(f"{row.ref}: {row.moment}, because {row.because}.")
    lines.append(OTHER_PAPERS)
    if settings and not settings.text("insurance_file"):
        lines.append(NO_CERTIFICATE)
    return lines


def not_made(batch: Batch, named: Sequence[Paper], outcomes: Sequence[Outcome]) -> list[str]:
    """A line for each job and each paper asked for by name that it does not need, or not yet."""
    tried = {(one.ref, one.paper) for one in outcomes}
    return [
        f"{one.ref}: no {paper}: the job has not come to it, or needs none."
        for one in batch.worked
        if one.quote is not None
        for paper in named
        if (one.ref, paper) not in tried
    ]


def _for_whom(papers: Sequence[Paper]) -> Iterator[str]:
    """The papers by name, saying of the firm's own that it goes to nobody else."""
    for paper in papers:
        yield f"for you alone: {paper}" if paper is Paper.COST_SHEET else str(paper)


def _wrapped(words: str) -> list[str]:
    return wrap(words, _LINE_WIDTH, initial_indent="  ", subsequent_indent="      ",
                break_on_hyphens=False)  # fmt: skip
