"""The design of a kind of paper: from its subject by a template to HTML, then to a PDF."""

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, ClassVar, Generic, Protocol, TypeVar

from msgspec import Struct

from quotegen.documents.printing import templates
from quotegen.documents.printing.paper import PaperFrame, PictureBox, letterhead, one_line, sheet
from quotegen.documents.printing.pdf import (
    Attachment,
    Rendered,
    ResourceRefusedError,
    render,
)
from quotegen.model.enquiry import Enquiry
from quotegen.model.issue import Issue
from quotegen.model.settings import Settings

_Subject = TypeVar("_Subject")


class Maker(Protocol):
    """The maker of one kind of paper."""

    @property
    def title(self) -> str:
        """The title of this kind of paper."""

    @property
    def suffix(self) -> str:
        """The file suffix."""

    @property
    def template(self) -> str:
        """The template it is made from, empty if none."""

    def said(self, subject: Any, issue: Issue, box: PictureBox) -> str:
        """The content of a paper, which tells a new revision from the last."""

    def drawn(self, said: str, subject: Any, issue: Issue, box: PictureBox) -> Rendered:
        """The paper itself, from the result of `said` for the same subject, issue and box."""


class Making:
    """Both steps at once, for callers with no earlier revision to compare."""

    __slots__ = ()

    def make(self: Maker, subject: Any, issue: Issue, folder: Path | None) -> Rendered:
        """Make the paper; logo, photos and the owner's templates come from the folder."""
        box = PictureBox(folder, issue.reference)
        return self.drawn(self.said(subject, issue, box), subject, issue, box)


class Design(Struct, Making, Generic[_Subject], frozen=True):
    """One kind of paper that is a PDF.

    `title` is its name; `about` gives the enquiry and settings it is made from; `fill` gives what
    its template shows apart from the frame and the firm's head; `attach` gives the files carried
    inside the PDF; `line` gives the words after the reference in its title; `accepted` tells
    whether the customer has said yes to what it offers, and `named` gives its name where that is
    not always the title.
    """

    title: str
    template: str
    about: Callable[[_Subject], tuple[Enquiry, Settings]]
    fill: Callable[[_Subject, Issue, PictureBox], Mapping[str, Any]]
    attach: Callable[[_Subject, Issue], tuple[Attachment, ...]] = lambda _subject, _issue: ()
    line: Callable[[_Subject], str] | None = None
    accepted: Callable[[_Subject], bool] = lambda _subject: False
    named: Callable[[_Subject], str] | None = None

    suffix: ClassVar[str] = ".pdf"

    def said(self, subject: _Subject, issue: Issue, box: PictureBox) -> str:
        """The content of the paper, which tells a new revision from the last."""
        return self.html(subject, issue, box)

    def html(
        self,
        subject: _Subject,
        issue: Issue,
        box: PictureBox | None = None,
        *,
        closer: frozenset[str] = frozenset(),
    ) -> str:
        """The HTML of the paper; without a picture box it has neither logo nor photos.

        `closer` tells the template which parts meant for one page ran on to another.
        """
        enquiry, settings = self.about(subject)
        box = box or PictureBox(None, enquiry.ref)
        return templates.fill(
            self.template,
            box.templates,
            sheet=self.framed(subject, issue),
            head=letterhead(settings, enquiry, box),
            closer=closer,
            **self.fill(subject, issue, box),
        )

    def framed(self, subject: _Subject, issue: Issue) -> PaperFrame:
        """The title and marks of the paper."""
        enquiry, settings = self.about(subject)
        one_roof = f"{enquiry.roof.kind} roof, {one_line(enquiry.site_address)}"
        line = self.line(subject) if self.line else one_roof
        name = self.named(subject) if self.named else self.title
        return sheet(name, line, issue, settings, accepted=self.accepted(subject))

    def drawn(self, said: str, subject: _Subject, issue: Issue, box: PictureBox) -> Rendered:
        """The paper as a PDF, set closer where that is asked for to keep a part on one page."""
        try:
            return render(
                said,
                box.pictures,
                folders=(box.templates,) if box.templates else (),
                problems=tuple(box.problems),
                attachments=self.attach(subject, issue),
                closer=lambda parts: self.html(subject, issue, box.anew(), closer=parts),
            )
        except ResourceRefusedError as refused:
            asker = templates.asked_for(self.template, box.templates, refused.address, refused.why)
            if asker is None:
                raise
            raise asker from refused
