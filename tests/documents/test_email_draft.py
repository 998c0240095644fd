"""The e-mail draft: a sound message file, its papers byte for byte, nothing executed.

The message format is RFC 5322 and RFC 2045, read here by the standard library's own parser.
"""

import email
from email.message import EmailMessage
from email.policy import default
from pathlib import Path

import pytest
from msgspec.structs import replace
from PIL import Image

from quotegen import wording
from quotegen.documents.customer.email import (
    ACCEPTED_EMAIL,
    EMAIL,
    START_EMAIL,
    Letter,
    addresses,
)
from quotegen.documents.printing.paper import PictureBox
from quotegen.documents.printing.pictures import MOST_CERTIFICATE_BYTES
from quotegen.model.choices import Answer, BuildUp, CustomerKind, Occupier
from quotegen.model.enquiry import Customer
from quotegen.model.issue import Issue, IssuedPaper
from quotegen.model.quote import Quote
from quotegen.model.safety import MethodStatement
from quotegen.working import Scalar
from tests.builders import TODAY
from tests.documents.conftest import ISSUE, bay_enquiry, finding, priced
from tests.safety import jobs
from tests.safety.forecasts import MONDAY

PDF = b"%PDF-1.7\r\n\x00\xff not a real one\n--=_\n"
PAPERS = (
    IssuedPaper("Quotation", ISSUE, "T-01-quote-r0.pdf", PDF),
    IssuedPaper("Method statement", ISSUE, "T-01-method-statement-r0.pdf", PDF * 1000),
)


def quote_for(
    name: str = "Ms R. Petrel",
    to: str = "r.petrel@example.com",
    kind: CustomerKind = CustomerKind.LANDLORD,
    **changes: Scalar | None,
) -> Quote:
    firm: dict[str, Scalar | None] = {"firm_email": "office@tern.example.com", **changes}
    asked = bay_enquiry(customer=Customer(name, kind, "9 Gull Row", to))
    return priced(asked, **firm)


def letter(quote: Quote | None = None) -> Letter:
    return Letter(quote or quote_for(), ISSUE, PAPERS)


def parsed(content: bytes) -> EmailMessage:
    message = email.message_from_bytes(content, policy=default)
    assert isinstance(message, EmailMessage)
    assert message.defects == []
    assert [part.defects for part in message.walk()] == [[]] * len(list(message.walk()))
    return message


def words_of(message: EmailMessage) -> str:
    body = message.get_body(("plain",))
    assert body is not None
    return str(body.get_content()).replace("\r\n", "\n")


def test_it_is_a_message_that_was_not_sent() -> None:
    message = parsed(EMAIL.make(letter(), ISSUE, None).content)
    assert message["To"] == "r.petrel@example.com"
    assert message["From"] == "Tern & Daughter Roofing <office@tern.example.com>"
    assert message["Subject"] == "Quotation T-01: bay roof, 4 Kittiwake Street"
    assert message["X-Unsent"] == "1"
    assert message["Date"].datetime.date() == TODAY
    assert message["Message-ID"].endswith("@tern.example.com>")
    assert message.get_content_type() == "multipart/mixed"
    content = EMAIL.make(letter(), ISSUE, None).content
    assert b"\n" not in content.replace(b"\r\n", b""), "every line ends as mail wants it"
    assert max(map(len, content.split(b"\r\n"))) <= 998  # RFC 5322, 2.1.1


def test_the_papers_are_in_it_byte_for_byte() -> None:
    message = parsed(EMAIL.make(letter(), ISSUE, None).content)
    attached = list(message.iter_attachments())
    assert [one.get_filename() for one in attached] == [one.file_name for one in PAPERS]
    assert [one.get_content() for one in attached] == [one.content for one in PAPERS]
    assert {one.get_content_type() for one in attached} == {"application/pdf"}


def test_it_says_what_the_quote_says() -> None:
    quote = quote_for()
    words = words_of(parsed(EMAIL.make(letter(quote), ISSUE, None).content))
    for option in quote.options:
        assert f"£{option.totals.total.money:,.2f}" in words
    assert words.startswith("Dear Ms Petrel,\n")
    assert "The prices are valid until 25 December 2026" in words
    for paper in PAPERS:
        assert f"  {paper.file_name}: {paper.title}\n" in words
    assert "change your mind" not in words
    assert "your tenant" not in words
    assert "\n\n\n" not in words


def test_a_home_owner_hears_of_the_right_to_cancel() -> None:
    quote = quote_for(kind=CustomerKind.HOME_OWNER)
    words = words_of(parsed(EMAIL.make(letter(quote), ISSUE, None).content))
    assert "change your mind" in words
    # The longer right, as on the quote: Consumer Contracts Regulations 2013, regulation 30.
    assert "within 14 days of our agreeing it or, if later, of the last of its materials" in words


def test_one_option_without_vat_reads_well() -> None:
    asked = bay_enquiry(build_ups=(BuildUp.NEW_DECK,), findings=())
    quote = priced(asked, vat_registered=False)
    words = words_of(parsed(EMAIL.make(letter(quote), ISSUE, None).content))
    assert f"New deck: £{quote.options[0].totals.total.money:,.2f}\n" in words
    assert "options side by side" not in words
    assert "No VAT is charged" in words
    assert "decided against" not in words


def first_lines(words: str) -> str:
    """What stands before the letter itself: the greeting, what is attached, what to do."""
    return words[: words.index("\n\n", words.index("What to do"))]


def test_the_first_lines_name_each_attachment_and_say_what_to_do(tmp_path: Path) -> None:
    """The quote, the proof of insurance and the photos, each by the name it arrives under."""
    (tmp_path / "cover.pdf").write_bytes(PDF)
    Image.new("RGB", (900, 600), "grey").save(tmp_path / "fascia.jpg")
    shown = finding("Renew it", Answer.DO_IT, photo="fascia.jpg")
    plain = finding("Point it", None)
    asked = bay_enquiry(findings=(plain, shown))
    quote = priced(asked, insurance_file="cover.pdf")
    made = EMAIL.make(letter(quote), ISSUE, tmp_path)
    assert made.problems == ()
    message = parsed(made.content)
    names = [str(one.get_filename()) for one in message.iter_attachments()]
    assert names == [*(p.file_name for p in PAPERS), "cover.pdf", "T-01-photo-2.jpg"]
    first = first_lines(words_of(message))
    assert all(f"  {name}: " in first for name in names)
    assert "sign it and send it back by 25 December 2026" in first
    assert len(first.splitlines()) <= 10
    content = [one.get_content() for one in message.iter_attachments()]
    assert content[2] == PDF, "a certificate goes as it is"
    assert content[3].startswith(b"\xff\xd8\xff")


@pytest.mark.parametrize(
    ("name", "code"),
    [
        ("../cover.pdf", "outside"),
        ("link.pdf", "outside"),
        ("gone.pdf", "missing"),
        ("cover.docx", "wrong-kind"),
        ("big.pdf", "too-large"),
        ("cut.png", "wrong-kind"),
    ],
)
def test_a_certificate_that_may_not_be_sent_is_refused_and_said(
    tmp_path: Path, name: str, code: str
) -> None:
    folder = tmp_path / "jobs"
    folder.mkdir()
    (tmp_path / "cover.pdf").write_bytes(PDF)
    (folder / "link.pdf").symlink_to(tmp_path / "cover.pdf")
    (folder / "cover.docx").write_bytes(b"PK\x03\x04 a document")
    (folder / "big.pdf").write_bytes(PDF.ljust(MOST_CERTIFICATE_BYTES + 1))
    (folder / "cut.png").write_bytes(b"\x89PNG\r\n\x1a\n")
    quote = quote_for(insurance_file=name)
    made = EMAIL.make(letter(quote), ISSUE, folder)
    assert [p.code for p in made.problems] == [f"certificate-{code}"]
    message = parsed(made.content)
    assert len(list(message.iter_attachments())) == len(PAPERS)
    assert "insurance" not in words_of(message)


def agreed_statement(**changes: object) -> MethodStatement:
    """A job accepted, waiting for nothing, its start a Monday."""
    enquiry = jobs.plain_enquiry(
        build_ups=(BuildUp.NEW_DECK,),
        accepted=BuildUp.NEW_DECK,
        start_on=MONDAY,
        customer=Customer("Ms R. Petrel", CustomerKind.LANDLORD, "9 Gull Row"),
        **changes,
    )
    made = jobs.statement(enquiry)
    settled = replace(made.before, items=())
    return replace(made, before=settled)


def start_letter(occupier: Occupier, *papers: IssuedPaper) -> str:
    notice = IssuedPaper("Notice of roof work", ISSUE, "T-01-tenant-notice-r0.pdf", PDF)
    made = agreed_statement(occupier=occupier)
    quote = priced(made.enquiry)
    sent = Letter(quote, None, (*papers, notice), notice, made)
    return words_of(parsed(START_EMAIL.make(sent, ISSUE, None).content))


def test_the_notice_is_passed_on_to_the_tenant_and_read_by_an_owner() -> None:
    words = start_letter(Occupier.TENANT, PAPERS[1])
    assert "T-01-tenant-notice-r0.pdf: Notice of roof work" in first_lines(words)
    assert "please pass on T-01-tenant-notice-r0.pdf" in first_lines(words)
    assert "Keep the rest" in first_lines(words)
    assert f"We start on {wording.long_day(MONDAY)}" in words
    owner = start_letter(Occupier.OWNER)
    assert "please read T-01-tenant-notice-r0.pdf" in first_lines(owner)
    assert "pass on" not in owner
    assert "Keep the rest" not in owner


def test_a_customer_who_has_chosen_is_offered_nothing_more() -> None:
    made = agreed_statement()
    asked = replace(made.enquiry, build_ups=(BuildUp.CAP_OVER, BuildUp.NEW_DECK))
    quote = priced(asked)
    words = words_of(
        parsed(ACCEPTED_EMAIL.make(Letter(quote, None, (), None, made), ISSUE, None).content)
    )
    assert words.startswith("Dear Ms Petrel,\n\nNothing is attached, and there is nothing to sign.")
    chosen, other = quote.option(BuildUp.NEW_DECK), quote.option(BuildUp.CAP_OVER)
    assert "Thank you for choosing new deck for the" in words
    assert f"£{chosen.totals.total.money:,.2f}" in words
    assert f"£{other.totals.total.money:,.2f}" not in words
    assert "options" not in words


HOSTILE = "Petrel\r\nBcc: thief@example.com\r\n\r\n<script>{{ 7*7 }}</script>\x00\x1b"


def test_a_hostile_name_adds_no_header_and_runs_nothing() -> None:
    quote = quote_for(name=HOSTILE, firm_name=HOSTILE)
    site = replace(quote.enquiry, site_address=HOSTILE)
    message = parsed(EMAIL.make(letter(replace(quote, enquiry=site)), ISSUE, None).content)
    assert message["Bcc"] is None
    assert sorted(message.keys()) == sorted(
        ["Subject", "From", "To", "Date", "Message-ID", "X-Unsent", "MIME-Version", "Content-Type"]
    )
    assert "{{ 7*7 }}" in words_of(message), "plain text is neither run nor escaped"
    assert len(list(message.iter_attachments())) == len(PAPERS)


@pytest.mark.parametrize(
    "typed",
    [
        "ring first",
        "a@example.com\r\nBcc: thief@example.com",
        "a@example.com, not one",
        "Petrel <a@example.com>",
        "@example.com",
        "a@",
        "ä@example.com",
        "a b@example.com",
        '"\r\nBcc: t@example.com"@example.com',
    ],
)
def test_what_is_no_address_leaves_the_receiver_open_and_is_said(typed: str) -> None:
    quote = quote_for(to=typed)
    made = EMAIL.make(letter(quote), ISSUE, None)
    message = parsed(made.content)
    assert (str(message["To"]), message["Bcc"]) == ("", None)
    assert [(p.code, p.ref) for p in made.problems] == [("email-doubtful", "T-01")]
    box = PictureBox(None, "T-01")
    EMAIL.said(letter(quote), ISSUE, box)
    assert [p.code for p in box.problems] == ["email-doubtful"], "said again when nothing is new"


def test_no_address_at_all_is_no_problem() -> None:
    made = EMAIL.make(letter(quote_for(to="", firm_email=None)), ISSUE, None)
    message = parsed(made.content)
    assert made.problems == ()
    assert str(message["To"]) == ""
    assert message["From"] is None
    assert message["Message-ID"].endswith("@draft.invalid>")


def test_several_receivers() -> None:
    quote = quote_for(to="a@example.com; b@example.com")
    message = parsed(EMAIL.make(letter(quote), ISSUE, None).content)
    assert [one.addr_spec for one in message["To"].addresses] == ["a@example.com", "b@example.com"]
    assert addresses(" ; ") == ()


def test_the_same_papers_give_the_same_bytes_and_others_do_not() -> None:
    first = EMAIL.make(letter(), ISSUE, None).content
    assert EMAIL.make(letter(), ISSUE, None).content == first
    changed = replace(PAPERS[1], content=PDF * 999)
    other = EMAIL.make(replace(letter(), papers=(PAPERS[0], changed)), ISSUE, None).content
    later = EMAIL.make(letter(), Issue("T-01", 1, TODAY), None).content
    marks = {parsed(content)["Message-ID"] for content in (first, other, later)}
    assert len(marks) == 3


def test_a_change_in_a_paper_is_a_change_of_what_the_message_says() -> None:
    def said(one: Letter) -> str:
        return EMAIL.said(one, ISSUE, PictureBox(None, "T-01"))

    changed = replace(PAPERS[1], content=PDF * 999)
    assert said(letter()) == said(letter())
    assert said(letter()) != said(replace(letter(), papers=(PAPERS[0], changed)))


def test_the_owners_own_words_take_the_place_of_ours(tmp_path: Path) -> None:
    own = tmp_path / "templates"
    (own / "customer").mkdir(parents=True)
    (own / "customer/email.txt").write_text("Hello {{ customer }} & co, {{ quote.reference }}.")
    message = parsed(EMAIL.make(letter(), ISSUE, tmp_path).content)
    assert words_of(message) == "Hello Ms R. Petrel & co, T-01.\n"
