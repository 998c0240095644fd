"""Making a paper, putting it in its folder whole, and entering it in the register."""

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from pathlib import Path
from textwrap import wrap

from quotegen.documents.paper import PictureBox
from quotegen.documents.templates import OwnTemplateError
from quotegen.files import replace_file
from quotegen.model.enquiry import Customer
from quotegen.model.issue import Issue, IssuedPaper
from quotegen.papers import Draft
from quotegen.problems import Place, Problem, problem
from quotegen.register.filing import customer_references, same_customer
from quotegen.register.store import FILE_NAME, Issuing, Register, RegisterError

_LINE_WIDTH = 98


class State(StrEnum):
    """What became of a paper."""

    MADE = "made"
    UNCHANGED = "unchanged"
    BLOCKED = "not made"


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of one paper of one enquiry, or of one customer's roofs."""

    ref: str
    paper: str
    state: State
    path: Path | None = None
    issue: Issue | None = None
    layout_warnings: tuple[str, ...] = ()
    problems: tuple[Problem, ...] = ()


def issue_paper(draft: Draft, folder: Path, out: Path, on: date) -> Outcome:
    """One paper made and entered; not made where one of the owner's own templates is broken.

    `folder` holds the workbook, its pictures and the owner's templates; `out` all the papers.
    """
    try:
        return _enter(draft, folder, out, on)
    except OwnTemplateError as error:
        broken = not_usable(error, draft.ref)
        return Outcome(draft.ref, draft.paper, State.BLOCKED, problems=(broken,))


def not_usable(error: OwnTemplateError, ref: str) -> Problem:
    """What to say of an own template that a paper of this reference cannot be made from."""
    return problem(error.code, Place(str(error.file)), error.seen, ref, line=error.line)


def filed_under(customer: Customer, out: Path) -> tuple[str, Problem | None]:
    """The reference of the papers for all roofs of a customer, the same from run to run.

    Where the register cannot be used it is only the one a customer would have, with the problem.
    """
    wanted = customer_references(customer)
    try:
        return Register(out).customer_reference(same_customer(customer), wanted), None
    except RegisterError as error:
        ref = next(customer_references(customer))
        return ref, _register_blocked(error, out, ref)


def read_back(outcome: Outcome | None, title: str) -> IssuedPaper | None:
    """A paper as it lies in its folder; None where it is not there or cannot be read."""
    if outcome is None or outcome.path is None or outcome.issue is None:
        return None
    try:
        content = outcome.path.read_bytes()
    except OSError:
        return None
    return IssuedPaper(title, outcome.issue, outcome.path.name, content)


def incomplete(ref: str, paper: str, needed: str, out: Path) -> Outcome:
    """A paper that cannot be made because one it needs is not there."""
    found = problem("paper-incomplete", Place(str(out / ref)), paper, ref, needed=needed)
    return Outcome(ref, paper, State.BLOCKED, problems=(found,))


def summary(outcomes: Sequence[Outcome]) -> list[str]:
    """What became of the papers in lines to print: by state, then by what they are filed under.

    >>> print(*summary([Outcome("R-1", "quote", State.BLOCKED)]), sep="\\n")
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
    """A paper with the revision it has, where it has one."""
    return f"{outcome.paper} r{outcome.issue.revision}" if outcome.issue else str(outcome.paper)


def _enter(draft: Draft, folder: Path, out: Path, on: date) -> Outcome:
    """Make a paper and enter it; one that cannot be entered is not left lying about as if sent."""
    pictures = PictureBox(folder, draft.ref)
    fingerprint = _fingerprint(draft, pictures)
    new: Path | None = None
    try:
        with Register(out).issuing(draft.ref, draft.paper, fingerprint, on) as issuing:
            revision = issuing.issue.revision
            name = f"{draft.ref}-{draft.paper}-r{revision}{draft.maker.suffix}"
            path = out / draft.ref / name
            new = None if path.is_file() else path
            return _issue(draft, issuing, pictures, folder, path)
    except RegisterError as error:
        if new:
            new.unlink(missing_ok=True)
        blocked = _register_blocked(error, out, draft.ref)
        return Outcome(draft.ref, draft.paper, State.BLOCKED, problems=(blocked,))


def _register_blocked(error: RegisterError, out: Path, ref: str) -> Problem:
    return problem("register-blocked", Place(str(out / FILE_NAME)), str(error), ref)


def _issue(
    draft: Draft, issuing: Issuing, pictures: PictureBox, folder: Path, path: Path
) -> Outcome:
    """Put a paper in place and enter it, unless it says nothing new or something is in the way."""
    ref, paper, issue = draft.ref, draft.paper, issuing.issue
    if issuing.before is not None and path.is_file():
        missing = tuple(pictures.problems)
        return Outcome(ref, paper, State.UNCHANGED, path, issue, problems=missing)
    rendered = draft.maker.make(draft.subject(issue), issue, folder)
    try:
        if issuing.before is None and path.is_file() and path.read_bytes() != rendered.content:
            stray = problem("paper-not-entered", Place(str(path)), ref=ref)
            return Outcome(ref, paper, State.BLOCKED, problems=(stray,))
        replace_file(path, rendered.content)
    except OSError as error:
        blocked = problem("output-blocked", Place(str(path)), str(error.strerror), ref)
        return Outcome(ref, paper, State.BLOCKED, problems=(blocked,))
    issuing.record(f"{ref}/{path.name}", draft.total)
    return Outcome(ref, paper, State.MADE, path, issue, rendered.warnings, rendered.problems)


def _fingerprint(draft: Draft, pictures: PictureBox) -> str:
    """What a paper says and shows, whatever its revision and the day it is made on."""
    undated = draft.undated
    said = hashlib.sha256(draft.maker.said(draft.subject(undated), undated, pictures).encode())
    for picture in pictures.pictures.values():
        said.update(picture.content)
    return said.hexdigest()
