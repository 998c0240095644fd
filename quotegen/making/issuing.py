"""Issuing a paper: having it drawn up, putting it whole into its folder, and entering it."""

from collections.abc import Callable, Sequence
from datetime import date
from enum import StrEnum
from pathlib import Path
from textwrap import wrap

from msgspec import Struct
from msgspec.structs import replace

from quotegen.making.drawing_up import Drawn, LastIssue, PaperTask
from quotegen.making.offered import issued_quote, price_moved, renewal
from quotegen.making.papers import AnyPaper, Work, maker_of
from quotegen.making.remembered import memory_of
from quotegen.making.workers import DrawingFailedError, Workers
from quotegen.model.enquiry import Customer
from quotegen.model.issue import Issue, IssuedPaper
from quotegen.model.settings import PriceBook
from quotegen.problems import Place, Problem, problem
from quotegen.register.filing import customer_references, same_customer
from quotegen.register.placing import Entry
from quotegen.register.store import FILE_NAME, Issuing, Register, RegisterError

_LINE_WIDTH = 98


class State(StrEnum):
    """The result of making a paper."""

    MADE = "made"
    UNCHANGED = "unchanged"
    BLOCKED = "not made"


class Outcome(Struct, frozen=True):
    """The result for one paper of an enquiry, or of a customer's roofs."""

    ref: str
    paper: AnyPaper
    state: State
    path: Path | None = None
    issue: Issue | None = None
    layout_warnings: tuple[str, ...] = ()
    problems: tuple[Problem, ...] = ()


class Issuer:
    """Issues the papers of one run into one folder and enters them in its register.

    `folder` holds the workbook, its pictures and the owner's templates; `out` all the papers. With
    `renew`, a quote that has run out or soon will is issued anew, from this day.
    """

    def __init__(
        self,
        folder: Path,
        out: Path,
        on: date,
        workers: Workers,
        prices: PriceBook | None = None,
        renew: bool = False,
    ) -> None:
        self._folder = folder
        self._out = out
        self._on = on
        self._workers = workers
        self._prices = prices or PriceBook({})
        self._renew = renew

    def begin(self, work: Work, paper: AnyPaper, made_from: str) -> Callable[[], Outcome]:
        """Begin a paper and return a function that waits for it, enters it and gives the outcome.

        `made_from` is the digest of everything the paper is made from; if the last revision has the
        same digest, nothing is drawn.
        """
        try:
            register = Register(self._out)
            last = register.last(work.ref, paper)
            known = bool(last) and register.made_from(work.ref, paper) == made_from
            task = self._task(register, work, paper, last)
        except RegisterError as error:
            blocked = _register_blocked(error, self._out, work.ref)
            outcome = Outcome(work.ref, paper, State.BLOCKED, problems=(blocked,))
            return lambda: outcome
        if task.last and task.last.in_place and not task.anew:
            issue = task.last.issue
            moved = price_moved(work, paper, issue, task.last.memory)
            if known or moved:
                path, problems = self._path(paper, issue), (moved,) if moved else ()
                same = Outcome(work.ref, paper, State.UNCHANGED, path, issue, problems=problems)
                return lambda: self._dated(same, work)
        pending = self._workers.draw(task)
        return lambda: self._dated(self._enter(task, pending(), made_from), work)

    def issued(self, ref: str, paper: AnyPaper) -> Outcome | None:
        """The last revision of a paper, where it was issued and its file is still in place."""
        try:
            last = Register(self._out).last(ref, paper)
        except RegisterError:
            return None
        path = self._path(paper, last.issue) if last else None
        if last is None or path is None or not path.is_file():
            return None
        return Outcome(ref, paper, State.UNCHANGED, path, last.issue)

    def _task(
        self, register: Register, work: Work, paper: AnyPaper, last: Entry | None
    ) -> PaperTask:
        before = None
        if last:
            in_place = self._path(paper, last.issue).is_file()
            before = LastIssue(last.issue, last.fingerprint, in_place, register.memory(last))
        made_of = memory_of(work, paper, self._prices)
        runs_out = renewal(work, paper, last.issue if last else None, self._on)
        anew = self._renew and runs_out is not None
        return PaperTask(work, paper, self._folder, self._on, before, made_of, anew)

    def _dated(self, outcome: Outcome, work: Work) -> Outcome:
        """The outcome, which says so where the price in the paper has run out or soon will."""
        found = renewal(work, outcome.paper, outcome.issue, self._on)
        return replace(outcome, problems=(*outcome.problems, found)) if found else outcome

    def _path(self, paper: AnyPaper, issue: Issue) -> Path:
        name = f"{issue.reference}-{paper}-r{issue.revision}{maker_of(paper).suffix}"
        return self._out / issue.reference / name

    def _enter(self, task: PaperTask, drawn: Drawn | Problem, made_from: str) -> Outcome:
        """Enter a paper; one that cannot be entered is removed, so that it does not look issued."""
        ref, paper = task.work.ref, task.paper
        if isinstance(drawn, Problem):
            return Outcome(ref, paper, State.BLOCKED, problems=(drawn,))
        path = self._path(paper, drawn.issue)
        new = None if path.is_file() else path
        try:
            register = Register(self._out)
            with register.issuing(ref, paper, drawn.fingerprint, self._on, task.made_of) as issuing:
                if issuing.issue == drawn.issue:
                    outcome = _put(task, drawn, path, issuing)
                    if not outcome.problems:
                        issuing.remember(made_from)
                    return outcome
            # Another run has issued this paper since, so draw it up again after that revision.
            since = self._task(register, task.work, paper, register.last(ref, paper))
            if since.last == task.last:
                raise DrawingFailedError(f"{ref}, {paper}: drawn as another revision than is due")
            task = since
        except RegisterError as error:
            if new:
                new.unlink(missing_ok=True)
            blocked = _register_blocked(error, self._out, ref)
            return Outcome(ref, paper, State.BLOCKED, problems=(blocked,))
        return self._enter(task, self._workers.draw(task)(), made_from)


def filed_under(customer: Customer, out: Path) -> tuple[str, Problem | None]:
    """The reference for all of a customer's roofs, the same from run to run.

    Where the register cannot be used, it is the reference a new customer would get, with the
    problem.
    """
    wanted = customer_references(customer)
    try:
        return Register(out).customer_reference(same_customer(customer), wanted), None
    except RegisterError as error:
        ref = next(customer_references(customer))
        return ref, _register_blocked(error, out, ref)


def read_back(outcome: Outcome | None, title: str) -> IssuedPaper | None:
    """A paper read back from its folder; None where it is missing or unreadable."""
    if outcome is None or outcome.path is None or outcome.issue is None:
        return None
    try:
        content = outcome.path.read_bytes()
    except OSError:
        return None
    return IssuedPaper(title, outcome.issue, outcome.path.name, content)


def incomplete(ref: str, paper: AnyPaper, needed: str, out: Path) -> Outcome:
    """The outcome of a paper that cannot be made because one it needs is missing."""
    found = problem("paper-incomplete", Place(str(out / ref)), paper, ref, needed=needed)
    return Outcome(ref, paper, State.BLOCKED, problems=(found,))


def summary(outcomes: Sequence[Outcome]) -> list[str]:
    """The outcomes as lines to print: by state, then by reference.

    >>> from quotegen.making.papers import Paper
    >>> print(*summary([Outcome("R-1", Paper.QUOTE, State.BLOCKED)]), sep="\\n")
    1 not made:
      R-1
        quote
    """
    lines: list[str] = []
    for state in State:
        of_state = [outcome for outcome in outcomes if outcome.state is state]
        if of_state:
            lines.append(f"{len(of_state)} {state}:")
        for ref in dict.fromkeys(outcome.ref for outcome in of_state):
            alike = [outcome for outcome in of_state if outcome.ref == ref]
            folder = f" in {alike[0].path.parent}" if alike[0].path else ""
            lines.append(f"  {ref}{folder}")
            names = ", ".join(_marked(outcome) for outcome in alike)
            lines += wrap(names, _LINE_WIDTH, initial_indent="    ", subsequent_indent="    ",
                          break_on_hyphens=False)  # fmt: skip
    return lines


def _marked(outcome: Outcome) -> str:
    """A paper's name with its revision, if it has one."""
    return f"{outcome.paper} r{outcome.issue.revision}" if outcome.issue else str(outcome.paper)


def _register_blocked(error: RegisterError, out: Path, ref: str) -> Problem:
    return problem("register-blocked", Place(str(out / FILE_NAME)), str(error), ref)


def _put(task: PaperTask, drawn: Drawn, path: Path, issuing: Issuing) -> Outcome:
    """Put a paper in place and enter it, unless it says nothing new or a file is in the way."""
    ref, paper, issue = task.work.ref, task.paper, drawn.issue
    if drawn.rendered is None:
        return Outcome(ref, paper, State.UNCHANGED, path, issue, problems=drawn.problems)
    content = drawn.rendered.content
    try:
        if issuing.before is None and path.is_file() and path.read_bytes() != content:
            stray = problem("paper-not-entered", Place(str(path)), ref=ref)
            return Outcome(ref, paper, State.BLOCKED, problems=(stray,))
        quote = issued_quote(task.work, paper, issue)
        issuing.record(f"{ref}/{path.name}", content, drawn.total, quote)
    except OSError as error:
        blocked = problem("output-blocked", Place(str(path)), str(error.strerror), ref)
        return Outcome(ref, paper, State.BLOCKED, problems=(blocked,))
    return Outcome(ref, paper, State.MADE, path, issue, drawn.rendered.warnings, drawn.problems)
