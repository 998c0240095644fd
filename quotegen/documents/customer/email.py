"""The e-mail that carries the papers to the customer, as a draft for the owner's mail program.

It is a standard message file, marked as unsent. Nothing is sent from here.
"""

import hashlib
import re
from collections.abc import Sequence
from datetime import UTC, datetime, time
from email.errors import MessageError
from email.headerregistry import Address
from email.message import EmailMessage
from email.policy import SMTP
from typing import ClassVar

from msgspec import Struct

from quotegen.documents.customer.quote import quote_view
from quotegen.documents.printing import templates
from quotegen.documents.printing.design import Making
from quotegen.documents.printing.paper import PictureBox, in_lines, letterhead, one_line
from quotegen.documents.printing.pdf import Rendered
from quotegen.model.issue import Issue, IssuedPaper
from quotegen.model.quote import Quote
from quotegen.model.settings import Settings
from quotegen.problems import Place, Problem, problem

_NOON = time(12, tzinfo=UTC)
_NO_DOMAIN = "draft.invalid"
_MARK_DIGITS = 32
_BETWEEN = re.compile(r"[;,]")


class Letter(Struct, frozen=True):
    """The contents of an e-mail: the quote as issued, and the papers themselves.

    `notice` is the paper that the customer has to pass on, None without a tenant.
    """

    quote: Quote
    quote_issue: Issue
    papers: tuple[IssuedPaper, ...]
    notice: IssuedPaper | None = None


class EmailDraft(Making):
    """The maker of the e-mails."""

    title: ClassVar[str] = "E-mail"
    suffix: ClassVar[str] = ".eml"
    template: ClassVar[str] = "customer/email.txt"

    def said(self, letter: Letter, issue: Issue, box: PictureBox) -> str:
        """The message with the papers it carries, to tell a new revision from the last."""
        box.problems += _doubtful(letter.quote)
        return _message(letter, issue, box).as_string()

    def drawn(self, _said: str, letter: Letter, issue: Issue, box: PictureBox) -> Rendered:
        """The message file; the owner's wording comes from the folder of templates."""
        return Rendered(_message(letter, issue, box).as_bytes(), (), 1, tuple(box.problems))


EMAIL = EmailDraft()


def addresses(given: str) -> tuple[Address, ...] | None:
    """The e-mail addresses in a cell, separated by commas or semicolons; None if one is invalid.

    >>> [str(a) for a in addresses("a@example.com; b@example.com")]
    ['a@example.com', 'b@example.com']
    >>> addresses("ring first") is None, addresses("")
    (True, ())
    """
    found = []
    for part in _BETWEEN.split(given):
        if not part.strip():
            continue
        try:
            address = Address(addr_spec=part.strip())
        except (MessageError, ValueError, IndexError):
            return None
        if not address.domain or not address.addr_spec.isascii():
            return None
        found.append(address)
    return tuple(found)


def _message(letter: Letter, issue: Issue, box: PictureBox) -> EmailMessage:
    """The message; the same papers on the same day give the same bytes."""
    quote, settings = letter.quote, letter.quote.settings
    text = _text(letter, box)
    mark = _mark(text, letter.papers, issue)
    sender = _sender(settings)
    message = EmailMessage(policy=SMTP)
    message["Subject"] = _header(_subject(quote, letter.quote_issue))
    if sender:
        message["From"] = sender
    message["To"] = addresses(quote.enquiry.customer.email) or ""
    message["Date"] = datetime.combine(issue.issued, _NOON)
    message["Message-ID"] = f"<{mark}@{sender.domain if sender else _NO_DOMAIN}>"
    message["X-Unsent"] = "1"
    message.set_content(text, cte="quoted-printable")
    for paper in letter.papers:
        message.add_attachment(
            paper.content, maintype="application", subtype="pdf", filename=paper.file_name
        )
    message.set_boundary(f"=_{mark}")
    return message


def _text(letter: Letter, box: PictureBox) -> str:
    quote = letter.quote
    words = templates.fill(
        EmailDraft.template,
        box.templates,
        quote=quote_view(quote, letter.quote_issue),
        head=letterhead(quote.settings, quote.enquiry, PictureBox(None, quote.enquiry.ref)),
        customer=one_line(quote.enquiry.customer.name),
        roof=f"the {quote.enquiry.roof.kind} roof at {one_line(quote.enquiry.site_address)}",
        papers=[f"{paper.title} ({paper.file_name})" for paper in letter.papers],
        notice=letter.notice.title if letter.notice else "",
    )
    return f"{words.strip()}\n"


def _subject(quote: Quote, issue: Issue) -> str:
    street = one_line(in_lines(quote.enquiry.site_address).partition("\n")[0])
    return f"Quotation {issue.reference}: {quote.enquiry.roof.kind} roof, {street}"


def _sender(settings: Settings) -> Address | None:
    """The firm's address, None if missing or invalid."""
    found = addresses(settings.text("firm_email"))
    if not found:
        return None
    return Address(_header(settings.text("firm_name")), addr_spec=found[0].addr_spec)


def _header(words: str) -> str:
    """Words for a header: on one line, without invisible characters."""
    return "".join(c for c in one_line(words) if c.isprintable())


def _mark(text: str, papers: Sequence[IssuedPaper], issue: Issue) -> str:
    """A unique mark for the message, from its words, papers, revision and date."""
    digest = hashlib.sha256(f"{issue.reference}\n{issue.revision}\n{issue.issued}\n".encode())
    digest.update(text.encode("utf-8", "replace"))
    for paper in papers:
        digest.update(paper.file_name.encode())
        digest.update(paper.content)
    return digest.hexdigest()[:_MARK_DIGITS]


def _doubtful(quote: Quote) -> list[Problem]:
    """The customer's e-mail if it is not a valid address: the draft then has no recipient."""
    email = quote.enquiry.customer.email
    if addresses(email) is not None:
        return []
    place = Place(quote.enquiry.place.book, "Enquiries", heading="E-mail")
    return [problem("email-doubtful", place, seen=one_line(email), ref=quote.enquiry.ref)]
