"""The conductor: read, measure, price, make safe, draw up, issue.

Nothing is printed here; what went well and what did not comes back as records.
"""

import hashlib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum
from pathlib import Path
from typing import Any

from quotegen.documents.day_sheet_paper import DAY_SHEET
from quotegen.documents.design import Maker
from quotegen.documents.method_paper import METHOD
from quotegen.documents.paper import PictureBox
from quotegen.documents.phase_plan_paper import PHASE_PLAN
from quotegen.documents.quote_paper import QUOTE
from quotegen.documents.wording import check_wording
from quotegen.files import replace_file
from quotegen.model.enquiry import Enquiry
from quotegen.model.issue import Issue
from quotegen.model.quote import Quote
from quotegen.model.safety import ConstructionPlan, MethodStatement
from quotegen.model.settings import PriceBook, Settings
from quotegen.model.together import Together
from quotegen.pricing.quote import make_quote
from quotegen.pricing.sensitivity import Shift, sensitivity
from quotegen.problems import Place, Problem, problem, stopping
from quotegen.register.store import FILE_NAME, Issuing, Register, RegisterError
from quotegen.safety.construction_plan import make_plan
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


class Paper(StrEnum):
    """The papers that can be made; the value names the file."""

    QUOTE = "quote"
    METHOD = "method-statement"
    PHASE_PLAN = "construction-phase-plan"
    DAY_SHEET = "day-sheet"


class State(StrEnum):
    """What became of a paper."""

    MADE = "made"
    UNCHANGED = "unchanged"
    BLOCKED = "not made"


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


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of one paper of one enquiry."""

    ref: str
    paper: Paper
    state: State
    path: Path | None = None
    issue: Issue | None = None
    layout_warnings: tuple[str, ...] = ()
    problems: tuple[Problem, ...] = ()


@dataclass(frozen=True, slots=True)
class _Ready:
    """An enquiry that nothing stops."""

    ref: str
    quote: Quote
    statement: MethodStatement


@dataclass(frozen=True, slots=True)
class _PaperKind:
    """What makes one paper, its subject as of a revision, and its total for the register."""

    maker: Maker
    subject: Callable[[_Ready, Issue], Any]
    total: Callable[[_Ready], str] = lambda _ready: ""


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
            else:
                ready = _Ready(worked.ref, worked.quote, worked.statement)
                yield _make_paper(ready, paper, batch.folder, out, on)


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


def _make_paper(ready: _Ready, paper: Paper, folder: Path, out: Path, on: date) -> Outcome:
    """Make a paper and enter it; one that cannot be entered is not left lying about as if sent."""
    pictures = PictureBox(folder, ready.ref)
    fingerprint = _fingerprint(ready, paper, pictures)
    new: Path | None = None
    try:
        with Register(out).issuing(ready.ref, paper, fingerprint, on) as issuing:
            path = (
                out
                / ready.ref
                / f"{ready.ref}-{paper}-r{issuing.issue.revision}{_KINDS[paper].maker.suffix}"
            )
            new = None if path.is_file() else path
            return _issue(ready, paper, issuing, pictures, folder, path)
    except RegisterError as error:
        if new:
            new.unlink(missing_ok=True)
        place = Place(str(out / FILE_NAME))
        blocked = problem("register-blocked", place, str(error), ready.ref)
        return Outcome(ready.ref, paper, State.BLOCKED, problems=(blocked,))


def _issue(
    ready: _Ready, paper: Paper, issuing: Issuing, pictures: PictureBox, folder: Path, path: Path
) -> Outcome:
    """Put a paper in place and enter it, unless it says nothing new or something is in the way."""
    kind, issue = _KINDS[paper], issuing.issue
    if issuing.before is not None and path.is_file():
        missing = tuple(pictures.problems)
        return Outcome(ready.ref, paper, State.UNCHANGED, path, issue, problems=missing)
    rendered = kind.maker.make(kind.subject(ready, issue), issue, folder)
    try:
        if issuing.before is None and path.is_file() and path.read_bytes() != rendered.content:
            stray = problem("paper-not-entered", Place(str(path)), ref=ready.ref)
            return Outcome(ready.ref, paper, State.BLOCKED, problems=(stray,))
        replace_file(path, rendered.content)
    except OSError as error:
        blocked = problem("output-blocked", Place(str(path)), str(error.strerror), ready.ref)
        return Outcome(ready.ref, paper, State.BLOCKED, problems=(blocked,))
    issuing.record(f"{ready.ref}/{path.name}", kind.total(ready))
    return Outcome(ready.ref, paper, State.MADE, path, issue, rendered.warnings, rendered.problems)


def _fingerprint(ready: _Ready, paper: Paper, pictures: PictureBox) -> str:
    """What a paper says and shows, whatever its revision and the day it is made on."""
    undated = Issue(ready.ref, 0, ready.quote.enquiry.dated)
    kind = _KINDS[paper]
    words = kind.maker.said(kind.subject(ready, undated), undated, pictures)
    said = hashlib.sha256(words.encode())
    for picture in pictures.pictures.values():
        said.update(picture.content)
    return said.hexdigest()


def _quote(ready: _Ready, issue: Issue) -> Quote:
    """The quote as of the day of its revision."""
    validity = ready.quote.valid_until - ready.quote.dated
    return replace(ready.quote, dated=issue.issued, valid_until=issue.issued + validity)


def _statement(ready: _Ready, issue: Issue) -> MethodStatement:
    return replace(ready.statement, dated=issue.issued)


def _phase_plan(ready: _Ready, issue: Issue) -> ConstructionPlan:
    return make_plan(_statement(ready, issue))


def _totals(ready: _Ready) -> str:
    return "; ".join(f"{o.build_up} {o.totals.total.money}" for o in ready.quote.options)


_KINDS: dict[Paper, _PaperKind] = {
    Paper.QUOTE: _PaperKind(QUOTE, _quote, _totals),
    Paper.METHOD: _PaperKind(METHOD, _statement),
    Paper.PHASE_PLAN: _PaperKind(PHASE_PLAN, _phase_plan),
    Paper.DAY_SHEET: _PaperKind(DAY_SHEET, _statement),
}
