"""The e-mails that carry papers to the customer, as drafts for the owner's mail program.

There is one with the quote, one when the customer has said yes, and one when the start is agreed.
Each is a standard message file, marked as unsent. Nothing is sent from here.
"""

import hashlib
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import UTC, datetime, time
from email.errors import MessageError
from email.headerregistry import Address
from email.message import EmailMessage
from email.policy import SMTP
from pathlib import PurePath
from typing import Any, ClassVar

from msgspec import Struct

from quotegen import wording
from quotegen.days.first_day import first_day_of
from quotegen.documents.customer.acceptance import accept_view
from quotegen.documents.customer.cancellation import cancellation_period
from quotegen.documents.customer.quote import option_letters, quote_view
from quotegen.documents.customer.quote_notes import offer_name
from quotegen.documents.customer.quote_start import start_view
from quotegen.documents.printing import templates
from quotegen.documents.printing.design import Making
from quotegen.documents.printing.paper import (
    CERTIFICATE,
    PictureBox,
    in_lines,
    letterhead,
    one_line,
)
from quotegen.documents.printing.pdf import Picture, Rendered
from quotegen.documents.shared.greeting import greeting
from quotegen.model.choices import Occupier
from quotegen.model.days import NO_DAY
from quotegen.model.enquiry import Enquiry
from quotegen.model.issue import Issue, IssuedPaper
from quotegen.model.quote import Quote
from quotegen.model.safety import MethodStatement
from quotegen.model.settings import Settings
from quotegen.problems import Place, Problem, problem

_NOON = time(12, tzinfo=UTC)
_NO_DOMAIN = "draft.invalid"
_MARK_DIGITS = 32
_PHOTO_MM = 160.0
_ENDINGS = {"application/pdf": ".pdf", "image/jpeg": ".jpg", "image/png": ".png"}
_BETWEEN = re.compile(r"[;,]")


class Letter(Struct, frozen=True):
    """The contents of an e-mail: the quote, and the papers themselves.

    `quote_issue` is None where the quote was sent before, and `notice` where nobody there has to be
    told. `statement` has the days.
    """

    quote: Quote
    quote_issue: Issue | None
    papers: tuple[IssuedPaper, ...]
    notice: IssuedPaper | None = None
    statement: MethodStatement | None = None


class Sent(Struct, frozen=True):
    """One file that goes with an e-mail, and what it is."""

    file: str
    words: str
    content: bytes
    media_type: str


class EmailDraft(Struct, Making, frozen=True):
    """The maker of the e-mails of one moment.

    `subject` is the line above, `fill` gives what only this letter says, and `proof` tells whether
    the proof of insurance and the photos go along.
    """

    title: str
    template: str
    subject: Callable[[Letter], str]
    fill: Callable[[Letter], Mapping[str, Any]]
    proof: bool = False

    suffix: ClassVar[str] = ".eml"

    def said(self, letter: Letter, issue: Issue, box: PictureBox) -> str:
        """The message with the papers it carries, to tell a new revision from the last."""
        box.problems += _doubtful(letter.quote)
        return self._message(letter, issue, box).as_string()

    def drawn(self, _said: str, letter: Letter, issue: Issue, box: PictureBox) -> Rendered:
        """The message file; the owner's wording comes from the folder of templates."""
        content = self._message(letter, issue, box.anew()).as_bytes()
        return Rendered(content, (), 1, tuple(box.problems))

    def _message(self, letter: Letter, issue: Issue, box: PictureBox) -> EmailMessage:
        """The message; the same papers on the same day give the same bytes."""
        quote, settings = letter.quote, letter.quote.settings
        sent = (*_papers(letter), *(_proof(quote, box) if self.proof else ()))
        text = self._text(letter, sent, box)
        mark = _mark(text, sent, issue)
        sender = _sender(settings)
        message = EmailMessage(policy=SMTP)
        message["Subject"] = _header(self.subject(letter))
        if sender:
            message["From"] = sender
        message["To"] = addresses(quote.enquiry.customer.email) or ""
        message["Date"] = datetime.combine(issue.issued, _NOON)
        message["Message-ID"] = f"<{mark}@{sender.domain if sender else _NO_DOMAIN}>"
        message["X-Unsent"] = "1"
        message.set_content(text, cte="quoted-printable")
        for one in sent:
            kind, _, sort = one.media_type.partition("/")
            message.add_attachment(one.content, maintype=kind, subtype=sort, filename=one.file)
        message.set_boundary(f"=_{mark}")
        return message

    def _text(self, letter: Letter, sent: Sequence[Sent], box: PictureBox) -> str:
        quote = letter.quote
        words = templates.fill(
            self.template,
            box.templates,
            head=letterhead(quote.settings, quote.enquiry, PictureBox(None, quote.enquiry.ref)),
            greeting=greeting(quote.enquiry.customer),
            customer=one_line(quote.enquiry.customer.name),
            roof=_roof(quote.enquiry),
            attached=sent,
            **self.fill(letter),
        )
        return f"{words.strip()}\n"


def _of_quote(letter: Letter) -> Mapping[str, Any]:
    quote, issue = letter.quote, letter.quote_issue
    return {"quote": quote_view(quote, issue or Issue(quote.enquiry.ref, 0, quote.dated))}


def _of_acceptance(letter: Letter) -> Mapping[str, Any]:
    """The build-up chosen with its price, and what it waits for.

    No day is named before one is agreed: it would be another one tomorrow.
    """
    quote, statement = letter.quote, letter.statement
    chosen = quote.option(statement.build_up) if statement else quote.options[0]
    letters = option_letters(len(quote.options))
    days = chosen.take_off.programme.days.number
    return {
        "chosen": str(chosen.build_up),
        "total": wording.money(chosen.totals.total.money),
        "charges_vat": chosen.totals.vat is not None,
        "days": wording.count(days, "day", "days"),
        "start": start_view(quote, letters),
        "decide": accept_view(quote, letters).decide,
        "cancellation_period": cancellation_period(quote, agreed=True),
    }


def _of_start(letter: Letter) -> Mapping[str, Any]:
    """The first day, the days it takes, and who has to be told."""
    days = len(letter.statement.days.worked) if letter.statement else 0
    return {
        "first_day": _first_day(letter),
        "days": wording.count(days, "day", "days"),
        "notice": letter.notice.file_name if letter.notice else "",
        "to_pass_on": letter.quote.enquiry.occupier in (Occupier.TENANT, Occupier.BUSINESS),
        "to_keep": len(letter.papers) > (letter.notice is not None),
    }


def _first_day(letter: Letter) -> str:
    first = first_day_of(letter.statement) if letter.statement else NO_DAY
    return wording.long_day(first.day) if first.day else ""


EMAIL = EmailDraft(
    "E-mail with the quotation",
    "customer/email.txt",
    lambda letter: (
        f"{offer_name(letter.quote)} {letter.quote.enquiry.ref}: {_at(letter.quote.enquiry)}"
    ),
    _of_quote,
    proof=True,
)
ACCEPTED_EMAIL = EmailDraft(
    "E-mail on acceptance",
    "customer/email_accepted.txt",
    lambda letter: f"What comes next, {letter.quote.enquiry.ref}: {_at(letter.quote.enquiry)}",
    _of_acceptance,
)
START_EMAIL = EmailDraft(
    "E-mail with the start",
    "customer/email_start.txt",
    lambda letter: f"We start on {_first_day(letter)}: {_at(letter.quote.enquiry)}",
    _of_start,
)


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


def _papers(letter: Letter) -> tuple[Sent, ...]:
    return tuple(
        Sent(paper.file_name, paper.title, paper.content, "application/pdf")
        for paper in letter.papers
    )


def _proof(quote: Quote, box: PictureBox) -> Iterator[Sent]:
    """The certificate of insurance, and the photos of what was found."""
    enquiry, settings = quote.enquiry, quote.settings
    certificate = box.certificate(settings, enquiry.place.book)
    if certificate:
        stem = PurePath(settings.text(CERTIFICATE)).stem
        yield _sent(stem, "Proof of our insurance", certificate)
    for number, finding in enumerate(enquiry.findings, 1):
        name = box.add(finding.photo, _PHOTO_MM, finding.photo_place) if finding.photo else ""
        if name:
            picture = box.pictures[name.rpartition(":")[2]]
            yield _sent(f"{enquiry.ref}-photo-{number}", f"Photo of finding {number}", picture)


def _sent(stem: str, words: str, found: Picture) -> Sent:
    return Sent(f"{stem}{_ENDINGS[found.media_type]}", words, found.content, found.media_type)


def _roof(enquiry: Enquiry) -> str:
    return f"the {enquiry.roof.kind} roof at {one_line(enquiry.site_address)}"


def _at(enquiry: Enquiry) -> str:
    """The roof and its street, for the subject."""
    street = one_line(in_lines(enquiry.site_address).partition("\n")[0])
    return f"{enquiry.roof.kind} roof, {street}"


def _sender(settings: Settings) -> Address | None:
    """The firm's address, None if missing or invalid."""
    found = addresses(settings.text("firm_email"))
    if not found:
        return None
    return Address(_header(settings.text("firm_name")), addr_spec=found[0].addr_spec)


def _header(words: str) -> str:
    """Words for a header: on one line, without invisible characters."""
    return "".join(c for c in one_line(words) if c.isprintable())


def _mark(text: str, sent: Sequence[Sent], issue: Issue) -> str:
    """A unique mark for the message, from its words, files, revision and date."""
    digest = hashlib.sha256(f"{issue.reference}\n{issue.revision}\n{issue.issued}\n".encode())
    digest.update(text.encode("utf-8", "replace"))
    for one in sent:
        digest.update(one.file.encode("utf-8", "replace"))
        digest.update(one.content)
    return digest.hexdigest()[:_MARK_DIGITS]


def _doubtful(quote: Quote) -> list[Problem]:
    """The customer's e-mail if it is not a valid address: the draft then has no recipient."""
    email = quote.enquiry.customer.email
    if addresses(email) is not None:
        return []
    place = Place(quote.enquiry.place.book, "Enquiries", heading="E-mail")
    return [problem("email-doubtful", place, seen=one_line(email), ref=quote.enquiry.ref)]
