"""Drawing up one paper: its content, whether that is new, and if so the paper itself.

Nothing is written or entered here, and all inputs and results can be pickled, so the work can be
done in another process (`workers`).
"""

import hashlib
from datetime import date
from pathlib import Path

from msgspec import Struct

from quotegen.documents.printing.paper import PictureBox
from quotegen.documents.printing.pdf import Rendered
from quotegen.documents.printing.templates import OwnTemplateError
from quotegen.making.papers import AnyPaper, Draft, Work, draft_of
from quotegen.model.issue import Issue, Memory, next_issue
from quotegen.problems import Place, Problem, problem
from quotegen.reference.life import on_day


class LastIssue(Struct, frozen=True):
    """The last revision of a paper: its marks, its content, and whether its file is still there.

    `fingerprint` is a digest of everything that revision says and shows, `memory` what it was made
    from, None where that is not remembered.
    """

    issue: Issue
    fingerprint: str
    in_place: bool
    memory: Memory | None = None


class PaperTask(Struct, frozen=True):
    """One paper to draw up.

    `folder` holds the workbook, its pictures and the owner's templates; `on` is the date of a new
    revision, `made_of` what it is made from. `anew` asks for a new revision whether or not it says
    anything else.
    """

    work: Work
    paper: AnyPaper
    folder: Path
    on: date
    last: LastIssue | None
    made_of: Memory = Memory()
    anew: bool = False


class Drawn(Struct, frozen=True):
    """One paper drawn up; not `rendered` where the last revision says the same and is in place."""

    issue: Issue
    fingerprint: str
    total: str
    rendered: Rendered | None
    problems: tuple[Problem, ...]


def draw_up(task: PaperTask) -> Drawn | Problem:
    """Draw up one paper, or report a fault in the owner's template for it.

    If, filled in under the marks of the last revision, it says the same, it is that revision,
    whatever the day.
    """
    draft = draft_of(task.work, task.paper)
    last = task.last
    try:
        if last and not task.anew:
            now = _Saying(draft, last.issue, task.folder)
            if now.fingerprint == last.fingerprint:
                return now.drawn(again=not last.in_place)
        marks, before = (last.issue, last.memory) if last else (None, None)
        issue = next_issue(task.work.ref, marks, task.on, before, task.made_of)
        return _Saying(draft, issue, task.folder).drawn()
    except OwnTemplateError as error:
        return not_usable(error, draft.ref)


def not_usable(error: OwnTemplateError, ref: str) -> Problem:
    """The problem of an owner's template that cannot be used for a paper of this reference."""
    return problem(error.code, Place(str(error.file)), error.seen, ref, line=error.line)


class _Saying:
    """The content of a paper as of one revision."""

    def __init__(self, draft: Draft, issue: Issue, folder: Path) -> None:
        self._draft = draft
        self._issue = issue
        self._box = PictureBox(folder, draft.ref)
        with on_day(draft.in_force_on(issue)):
            self._subject = draft.subject(issue)
            self._said = draft.maker.said(self._subject, issue, self._box)
        digest = hashlib.sha256(self._said.encode())
        for picture in self._box.pictures.values():
            digest.update(picture.content)
        self.fingerprint = digest.hexdigest()

    def drawn(self, again: bool = True) -> Drawn:
        """The paper; without `again` it is not rendered."""
        draft, box = self._draft, self._box
        rendered = None
        if again:
            with on_day(draft.in_force_on(self._issue)):
                rendered = draft.maker.drawn(self._said, self._subject, self._issue, box)
        problems = rendered.problems if rendered else tuple(box.problems)
        return Drawn(self._issue, self.fingerprint, draft.total, rendered, problems)
