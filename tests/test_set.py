"""The whole set of a job and the schedule of a customer, from a workbook on disk to the folder."""

import email
from collections.abc import Callable, Iterable, Sequence
from datetime import date
from email.message import EmailMessage
from email.policy import default
from pathlib import Path

import pytest
from msgspec.structs import replace
from openpyxl import load_workbook

from quotegen import app
from quotegen.app import make_papers, papers_due
from quotegen.documents.printing import design, pdf
from quotegen.documents.printing.belongings import OWN_TEMPLATES
from quotegen.machine.files import replace_file
from quotegen.making.issuing import Issuer, Outcome, State
from quotegen.making.papers import (
    PAPER_KINDS,
    AnyPaper,
    CustomerPaper,
    FirmPaper,
    Paper,
    Ready,
    Work,
)
from quotegen.model.choices import CustomerKind, Occupier
from quotegen.model.issue import Issue, IssuedPaper
from quotegen.register import placing, store
from quotegen.register.store import FILE_NAME, Register
from quotegen.safety.statement.standing import SHEET_REF
from quotegen.workbook.writing.blank import starting_rows
from quotegen.working_out import Batch, work_out
from tests import drawing
from tests.builders import TODAY
from tests.test_app import SURVEYED, text_of, write_book
from tests.test_cli import ON
from tests.test_cli import run as run_command
from tests.workbook.books import FIRM, written

TO_BUSINESSES = (Paper.QUOTE, Paper.METHOD, Paper.PHASE_PLAN, Paper.TENANT_NOTICE)
TO_CUSTOMERS = (*TO_BUSINESSES, Paper.CANCELLATION)
FOR_BUSINESSES = [paper for paper in Paper if paper is not Paper.CANCELLATION]
LATER = date(2026, 11, 27)
SECOND = {**SURVEYED, "ref": "T-02", "site_address": "6 Kittiwake Street, Mizzlehaven ZZ1 4AA"}

BOTH = (SURVEYED, SECOND)


def run(
    book: Path, papers: Sequence[Paper], on: date = TODAY, for_customers: bool = False
) -> dict[str, Outcome]:
    """The outcomes by reference and paper."""
    batch = worked_out(book, on)
    customers = list(CustomerPaper) if for_customers else []
    outcomes = list(make_papers(batch, papers, book.parent / "papers", on, customers))
    assert len(outcomes) == papers_due(batch, papers, customers)
    return {f"{outcome.ref} {outcome.paper}": outcome for outcome in outcomes}


def worked_out(book: Path, on: date) -> Batch:
    """A workbook worked out; the same files on the same day once for all tests here.

    `test_app` works out anew whatever it makes again.
    """
    files = [book, *(book.parent / "prices").iterdir(), *(book.parent / OWN_TEMPLATES).rglob("*.*")]
    alike = (on, *(file.read_bytes() for file in files))
    if alike not in _WORKED_OUT:
        _WORKED_OUT[alike] = work_out(book, (), on)
    return replace(_WORKED_OUT[alike], folder=book.parent)


_WORKED_OUT: dict[tuple[object, ...], Batch] = {}


def message_in(outcome: Outcome) -> EmailMessage:
    assert outcome.path is not None
    message = email.message_from_bytes(outcome.path.read_bytes(), policy=default)
    assert isinstance(message, EmailMessage)
    return message


def attached(outcome: Outcome) -> dict[str, bytes]:
    return {
        str(one.get_filename()): one.get_content() for one in message_in(outcome).iter_attachments()
    }


PEOPLE = [(kind, occupier) for kind in CustomerKind for occupier in (None, *Occupier)]


@pytest.fixture(scope="module")
def of_everyone(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Ready]:
    """The bay for every kind of customer and whoever lives there, by the place in `PEOPLE`."""
    rows = [
        {**SURVEYED, "ref": f"T-{place}", "customer_kind": str(kind),
         "occupier": str(occupier) if occupier else None}
        for place, (kind, occupier) in enumerate(PEOPLE)
    ]  # fmt: skip
    batch = work_out(write_book(tmp_path_factory.mktemp("everyone"), *rows), (), TODAY)
    return {
        worked.ref: Ready(worked.ref, worked.quote, worked.statement)
        for worked in batch.worked
        if worked.quote and worked.statement
    }


LETTERS = (Paper.EMAIL, Paper.ACCEPTED_EMAIL, Paper.START_EMAIL)


@pytest.mark.parametrize("place", range(len(PEOPLE)))
def test_what_goes_by_e_mail_is_for_the_customer_and_made_before(
    of_everyone: dict[str, Ready], place: int
) -> None:
    kind, occupier = PEOPLE[place]
    ready = of_everyone[f"T-{place}"]
    assert (ready.quote.enquiry.customer.kind, ready.quote.enquiry.occupier) == (kind, occupier)
    order = list(Paper)
    with_quote, accepted, start = (PAPER_KINDS[letter].carries(ready) for letter in LETTERS)
    for letter, carried in zip(LETTERS, (with_quote, accepted, start), strict=True):
        assert set(carried) <= set(TO_CUSTOMERS), "no paper of the firm or of the crew goes out"
        assert all(order.index(one) < order.index(letter) for one in carried)
        assert all(PAPER_KINDS[one].wanted(ready) for one in carried)
    business = kind is not CustomerKind.HOME_OWNER
    form = () if business else (Paper.CANCELLATION,)
    assert with_quote == (Paper.QUOTE, *form), "nothing of the safety papers before the yes"
    assert accepted == ((Paper.METHOD, Paper.PHASE_PLAN) if business else ())
    assert set(accepted) <= set(start)
    assert (Paper.TENANT_NOTICE in start) is (occupier is not Occupier.EMPTY)


@pytest.mark.usefixtures("undrawn")
def test_every_paper_goes_into_one_folder(tmp_path: Path) -> None:
    book = write_book(tmp_path, {**SURVEYED, "occupier": "tenant"}, SECOND)
    every = ("--every-paper", "--ref", "T-01")
    made = run_command("job", book, *every, *ON)
    assert made.exit_code == 0, made.output
    folder = tmp_path / "papers" / "T-01"
    later = {Paper.SURVEY_SHEET, Paper.ACCEPTED_EMAIL, Paper.START_EMAIL}
    papers = [paper for paper in FOR_BUSINESSES if paper not in later]
    names = {f"T-01-{paper}-r0{PAPER_KINDS[paper].maker.suffix}" for paper in papers}
    assert {path.name for path in folder.iterdir()} == names
    there = {path.name for path in (tmp_path / "papers").iterdir()}
    assert there == {"T-01", SHEET_REF, "register.sqlite"}
    assert f"{len(papers) + len(FirmPaper)} made:" in made.stdout
    assert f"T-01 in {folder}" in made.stdout
    for paper in papers:
        assert f"{paper} r0" in made.stdout
    (draft,) = folder.glob("*.eml")
    message = email.message_from_bytes(draft.read_bytes(), policy=default)
    assert isinstance(message, EmailMessage)
    sent = {str(a.get_filename()): a.get_content() for a in message.iter_attachments()}
    assert set(sent) == {"T-01-quote-r0.pdf"}
    for name, content in sent.items():
        assert (folder / name).read_bytes() == content
    again = run_command("job", book, *every, "--on", "2026-12-01", *ON[2:])
    assert f"{len(papers) + len(FirmPaper)} unchanged:" in again.stdout


CARRIED = (Paper.METHOD, Paper.PHASE_PLAN, Paper.ACCEPTED_EMAIL)
ACCEPTED = {**SURVEYED, "accepted": "new deck"}
LETTER = "T-01 e-mail-accepted"


@pytest.mark.usefixtures("undrawn")
def test_the_e_mail_changes_with_the_papers_it_carries_and_not_otherwise(tmp_path: Path) -> None:
    book = write_book(tmp_path, ACCEPTED)
    first = run(book, CARRIED)[LETTER]
    assert first.path is not None
    before = first.path.read_bytes()
    assert run(book, CARRIED, LATER)[LETTER].state is State.UNCHANGED
    write_book(tmp_path, {**ACCEPTED, "flue_near": "no"})
    outcomes = run(book, CARRIED, LATER)
    assert outcomes["T-01 method-statement"].state is State.MADE
    second = outcomes[LETTER]
    assert (second.state, second.issue and second.issue.revision) == (State.MADE, 1)
    assert "T-01-method-statement-r1.pdf" in attached(second)
    assert message_in(second)["Date"].datetime.date() == LATER
    assert first.path.read_bytes() == before


@pytest.mark.usefixtures("undrawn")
def test_a_lost_e_mail_is_made_again_as_it_was(tmp_path: Path) -> None:
    book = write_book(tmp_path, SURVEYED)
    first = run(book, (Paper.EMAIL,))["T-01 e-mail"]
    assert first.path is not None
    before = first.path.read_bytes()
    first.path.unlink()
    again = run(book, (Paper.EMAIL,), LATER)["T-01 e-mail"]
    assert again.issue == first.issue
    assert first.path.read_bytes() == before


@pytest.mark.usefixtures("undrawn")
def test_no_e_mail_goes_without_a_paper_it_carries(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    book = write_book(tmp_path, ACCEPTED)

    def refuse(path: Path, content: bytes) -> None:
        if "method" in path.name:
            raise PermissionError(13, "Permission denied")
        replace_file(path, content)

    with monkeypatch.context() as patched:
        patched.setattr(placing, "replace_file", refuse)
        outcomes = run(book, CARRIED)
    draft = outcomes[LETTER]
    assert draft.state is State.BLOCKED
    assert [p.code for p in draft.problems] == ["paper-incomplete"]
    assert "method-statement" in draft.problems[0].message
    assert {entry.paper for entry in Register(tmp_path / "papers").entries()} == {
        "construction-phase-plan",
        "standing-sheet",
    }
    assert run(book, CARRIED)[LETTER].state is State.MADE


def new_kinds(book: Path, on: date = TODAY) -> dict[str, Outcome]:
    """The message files and the papers of a customer with two roofs."""
    return run(book, (Paper.QUOTE, Paper.CANCELLATION, Paper.EMAIL), on, for_customers=True)


def two_roofs(folder: Path) -> tuple[Path, str]:
    """A home-owner's two roofs, their e-mails with quote and cancellation form; the reference."""
    book = write_book(folder, *({**row, "customer_kind": "home-owner"} for row in BOTH))
    return book, "Ms R Petrel, all roofs"


@pytest.mark.parametrize("suffix", [".eml", ".xlsx"])
@pytest.mark.usefixtures("undrawn")
def test_a_file_open_elsewhere_is_a_problem_and_the_sent_one_stays(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, suffix: str
) -> None:
    book, _ = two_roofs(tmp_path)
    new_kinds(book)
    before = {path: path.read_bytes() for path in (tmp_path / "papers").rglob("*.*")}
    entered = Register(tmp_path / "papers").entries()
    write_book(tmp_path, *({**r, "customer_kind": "home-owner", "width_mm": 2600} for r in BOTH))

    def refuse(path: Path, content: bytes) -> None:
        if path.suffix == suffix:
            raise PermissionError(13, "Permission denied")
        replace_file(path, content)

    with monkeypatch.context() as patched:
        patched.setattr(placing, "replace_file", refuse)
        blocked = [o for o in new_kinds(book, LATER).values() if o.state is State.BLOCKED]
    assert {p.code for o in blocked for p in o.problems} == {"output-blocked"}
    assert {Path(p.place.book).suffix for o in blocked for p in o.problems} == {suffix}
    for path, content in before.items():
        if path.name != "register.sqlite":
            assert path.read_bytes() == content
    assert set(entered) <= set(Register(tmp_path / "papers").entries())
    again = new_kinds(book, LATER)
    assert [again[f"{o.ref} {o.paper}"].state for o in blocked] == [State.MADE] * len(blocked)


@pytest.mark.parametrize("paper", ["e-mail", "schedule", "schedule-book"])
@pytest.mark.usefixtures("undrawn")
def test_a_killed_run_loses_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, paper: str
) -> None:
    """Killed after the file is in place and before it is entered: the next run enters it."""
    book, _ = two_roofs(tmp_path)
    entered_by = placing.place_paper

    def killed(folder: Path, entry: placing.Entry, content: bytes) -> None:
        entered_by(folder, entry, content)
        if entry.paper == paper:
            raise KeyboardInterrupt

    with monkeypatch.context() as patched:
        patched.setattr(store, "place_paper", killed)
        with pytest.raises(KeyboardInterrupt):
            new_kinds(book)
    assert paper in {entry.paper for entry in Register(tmp_path / "papers").entries()}
    assert not list((tmp_path / "papers").rglob("*.part"))
    outcomes = new_kinds(book)
    assert all(o.state in (State.MADE, State.UNCHANGED) for o in outcomes.values())
    entered = {entry.file for entry in Register(tmp_path / "papers").entries()}
    files = {str(path.relative_to(tmp_path / "papers").as_posix())
             for path in (tmp_path / "papers").rglob("*-r?.*")}  # fmt: skip
    assert files == entered


def test_a_customer_with_several_roofs_gets_a_schedule(tmp_path: Path) -> None:
    third = {**SURVEYED, "ref": "T-03", "width_mm": "TBC"}
    spelt = {**SECOND, "customer_name": " MS R.  PETREL", "bill_address": "9 gull row, MIZZLEHAVEN"}
    other = {**SURVEYED, "ref": "T-04", "bill_address": "10 Gull Row, Mizzlehaven"}
    book = write_book(tmp_path, SURVEYED, spelt, third, other)
    batch = worked_out(book, TODAY)
    quotes = {worked.ref: worked.quote for worked in batch.worked}
    outcomes = run(book, (Paper.QUOTE,), for_customers=True)
    made = [o for o in outcomes.values() if o.paper in list(CustomerPaper)]
    assert [(o.paper, o.state) for o in made] == [
        ("schedule", State.MADE),
        ("schedule-book", State.MADE),
    ]
    pdf, sheet = made[0].path, made[1].path
    assert pdf is not None
    assert sheet is not None
    assert pdf.parent == sheet.parent == tmp_path / "papers" / made[0].ref
    assert made[0].ref == "Ms R Petrel, all roofs"
    text = text_of(pdf)
    assert "T-04" not in text
    least = []
    for ref in ("T-01", "T-02"):
        quote = quotes[ref]
        assert quote is not None
        printed = outcomes[f"{ref} quote"].path
        assert printed is not None
        for option in quote.options:
            amount = f"£{option.totals.total.money:,.2f}"
            assert amount in text
            assert amount in text_of(printed)
        least.append(min(option.totals.total.money for option in quote.options))
    assert f"£{sum(least):,.2f}" in text
    numbers = {cell.value for page in load_workbook(sheet) for row in page for cell in row}
    assert float(sum(least)) in numbers
    entries = {(e.issue.reference, e.paper) for e in Register(tmp_path / "papers").entries()}
    assert (made[0].ref, "schedule") in entries
    again = run(book, (Paper.QUOTE,), LATER, for_customers=True)
    assert {o.state for o in again.values() if o.paper in list(CustomerPaper)} == {State.UNCHANGED}


@pytest.fixture
def schedule_drawn(monkeypatch: pytest.MonkeyPatch) -> None:
    """For a test that looks into the schedule and into no other paper."""
    drawn = drawing.undrawn(pdf.render, but=", all roofs")
    monkeypatch.setattr(design, "render", drawn)


@pytest.mark.usefixtures("schedule_drawn")
def test_the_schedule_says_which_roofs_are_not_priced_yet(tmp_path: Path) -> None:
    stopped = {**SURVEYED, "ref": "T-03", "front_width_mm": 3000}
    book = write_book(tmp_path, SURVEYED, SECOND, stopped)
    outcomes = run(book, (Paper.QUOTE,), for_customers=True)
    (schedule,) = [o for o in outcomes.values() if o.paper == CustomerPaper.SCHEDULE]
    assert schedule.path is not None
    text = text_of(schedule.path)
    assert "T-03" in text[text.index("Not priced yet") :]


@pytest.mark.usefixtures("schedule_drawn")
def test_a_quote_revised_makes_a_new_schedule_and_leaves_the_sent_one(tmp_path: Path) -> None:
    book, ref = two_roofs(tmp_path)
    first = run(book, (Paper.QUOTE,), for_customers=True)[f"{ref} schedule"]
    assert first.path is not None
    before = first.path.read_bytes()
    changed = {**SURVEYED, "customer_kind": "home-owner", "width_mm": 2600}
    write_book(tmp_path, changed, {**SECOND, "customer_kind": "home-owner"})
    second = run(book, (Paper.QUOTE,), LATER, for_customers=True)[f"{ref} schedule"]
    assert second.issue is not None
    assert (second.state, second.issue.revision) == (State.MADE, 1)
    assert second.path is not None
    assert "revision 1" in text_of(second.path)
    assert first.path.read_bytes() == before


@pytest.mark.usefixtures("undrawn")
def test_a_second_customer_of_the_name_is_filed_by_the_address_and_the_first_stays(
    tmp_path: Path,
) -> None:
    book, ref = two_roofs(tmp_path)
    (first,) = schedules(run(book, (Paper.QUOTE,), for_customers=True))
    assert (first.ref, first.state) == (ref, State.MADE)
    rows = [{**row, "customer_kind": "home-owner"} for row in BOTH]
    others = [
        {**row, "ref": f"T-1{n}", "bill_address": "10 Gull Row, Mizzlehaven"}
        for n, row in enumerate(rows)
    ]
    write_book(tmp_path, *others, *rows)
    made = schedules(run(book, (Paper.QUOTE,), LATER, for_customers=True))
    assert [(o.ref, o.state) for o in made] == [
        ("Ms R Petrel, 10 Gull Row, all roofs", State.MADE),
        (ref, State.UNCHANGED),
    ]


def schedules(outcomes: dict[str, Outcome]) -> list[Outcome]:
    return [one for one in outcomes.values() if one.paper == CustomerPaper.SCHEDULE]


@pytest.mark.usefixtures("undrawn")
def test_one_roof_or_one_that_is_stopped_makes_no_schedule(tmp_path: Path) -> None:
    stopped = {**SECOND, "front_width_mm": 3000}
    book = write_book(tmp_path, SURVEYED, stopped)
    outcomes = run(book, (Paper.QUOTE,), for_customers=True)
    assert {o.paper for o in outcomes.values()} == {Paper.QUOTE}


@pytest.mark.usefixtures("undrawn")
def test_a_schedule_needs_every_quote_in_place(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    book, ref = two_roofs(tmp_path)

    def refuse(path: Path, content: bytes) -> None:
        if path.name.startswith("T-02"):
            raise PermissionError(13, "Permission denied")
        replace_file(path, content)

    monkeypatch.setattr(placing, "replace_file", refuse)
    blocked = run(book, (Paper.QUOTE,), for_customers=True)[f"{ref} schedule"]
    assert blocked.state is State.BLOCKED
    assert [(p.code, p.details["needed"]) for p in blocked.problems] == [
        ("paper-incomplete", "quote T-02")
    ]


@pytest.mark.usefixtures("undrawn")
def test_job_without_a_reference_makes_the_schedule_too(tmp_path: Path) -> None:
    book, ref = two_roofs(tmp_path)
    made = run_command("job", book, *ON)
    assert made.exit_code == 0, made.output
    assert {path.name for path in (tmp_path / "papers" / ref).iterdir()} == {
        f"{ref}-schedule-r0.pdf", f"{ref}-schedule-book-r0.xlsx",
    }  # fmt: skip
    assert "schedule r0, schedule-book r0" in made.stdout
    run_command("quote", book, "--out", tmp_path / "quotes", *ON)
    assert {path.name for path in (tmp_path / "quotes").iterdir()} == {
        "T-01", "T-02", "register.sqlite",
    }  # fmt: skip


def test_papers_an_enquiry_has_no_use_for_are_not_counted_as_due(tmp_path: Path) -> None:
    """Four rows of one customer: an empty house, two lived in, one that something stops."""
    rows = [
        {**SURVEYED, "occupier": "empty"},
        {**SECOND, "occupier": "tenant"},
        {**SECOND, "ref": "T-03", "occupier": "owner"},
        {**SECOND, "ref": "T-04", "width_mm": "TBC"},
    ]
    batch = work_out(write_book(tmp_path, *rows), (), TODAY)
    assert papers_due(batch, [Paper.TENANT_NOTICE]) == 3
    assert papers_due(batch, [Paper.TENANT_NOTICE, Paper.QUOTE], list(CustomerPaper)) == 3 + 4 + 2


def test_the_bar_of_progress_ends_where_the_papers_do(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: list[tuple[int, int]] = []

    def track(outcomes: Iterable[Outcome], *, total: int, **_: object) -> list[Outcome]:
        made = list(outcomes)
        seen.append((len(made), total))
        return made

    def begin(_: Issuer, work: Work, paper: AnyPaper, __: str) -> Callable[[], Outcome]:
        return lambda: Outcome(work.ref, paper, State.MADE, issue=Issue(work.ref, 0, TODAY))

    in_place = IssuedPaper("T", Issue("T", 0, TODAY), "t.pdf", b"")
    monkeypatch.setattr("rich.progress.track", track)
    monkeypatch.setattr(Issuer, "begin", begin)
    monkeypatch.setattr(app, "read_back", lambda *_: in_place)
    rows = ({**SURVEYED, "occupier": "empty"}, SECOND)
    book = write_book(tmp_path, *rows)
    run_command("job", book, "--every-paper", *ON)
    run_command("job", book, *ON)
    run_command("quote", book, *ON)
    not_yet = len((Paper.SURVEY_SHEET, Paper.ACCEPTED_EMAIL, Paper.START_EMAIL))
    counted = 2 * (len(FOR_BUSINESSES) - not_yet) - 1 + len(CustomerPaper) + len(FirmPaper)
    with_quote = 2 * len((Paper.QUOTE, Paper.EMAIL, Paper.COST_SHEET)) + len(CustomerPaper)
    assert seen == [(counted, counted), (with_quote, with_quote), (2, 2)]


def own_template(book: Path, name: str, written: str) -> Path:
    file = book.parent / OWN_TEMPLATES / name
    file.parent.mkdir(exist_ok=True, parents=True)
    file.write_text(written)
    return file


@pytest.mark.parametrize(
    ("written", "code"),
    [
        ("\n{% if %}", "template-broken"),
        ("\n{{ nobody }}", "template-name-unknown"),
        ("\n{{ slip.__class__.__mro__ }}", "template-forbidden"),
        ("\n{% include 'nobody.html' %}", "template-part-missing"),
        ("\n{% include 'customer/variation_slip.html' %}", "template-endless"),
        ("\n{% for a in range(10 ** 9) %}{% endfor %}", "template-endless"),
        ('<html lang="en">\n<img src="nobody.png" alt=""></html>', "template-file-refused"),
    ],
)
def test_a_broken_template_of_the_owner_keeps_back_its_own_paper_only(
    tmp_path: Path, written: str, code: str
) -> None:
    book = write_book(tmp_path, *BOTH)
    file = own_template(book, "customer/variation_slip.html", written)
    outcomes = run(book, (Paper.VARIATION_SLIP, Paper.ORDER_BOOK))
    for ref in ("T-01", "T-02"):
        slip = outcomes[f"{ref} variation-slip"]
        assert (slip.state, slip.path) == (State.BLOCKED, None)
        (found,) = slip.problems
        assert (found.code, found.place.book, found.ref) == (code, str(file), ref)
        assert "line 2" in found.message
        assert found.stops
        assert outcomes[f"{ref} order-book"].state is State.MADE
    assert not list((tmp_path / "papers").rglob("*.pdf"))
    assert {e.paper for e in Register(tmp_path / "papers").entries()} == {"order-book"}
    file.unlink()
    assert run(book, (Paper.VARIATION_SLIP,))["T-01 variation-slip"].state is State.MADE


@pytest.mark.usefixtures("undrawn")
def test_the_command_says_what_is_wrong_with_a_template_once_and_ends_with_one(
    tmp_path: Path,
) -> None:
    book = write_book(tmp_path, *({**row, "customer_kind": "home-owner"} for row in BOTH))
    file = own_template(book, "safety/method.html", "one\n{{ method.nobody }}")
    made = run_command("method", book, *ON)
    assert made.exit_code == 1
    (said,) = made.stderr.splitlines()
    assert said.startswith(f"STOP [T-01, T-02] {file}: ")
    assert "line 2" in said
    assert "3 made:" in made.stdout, "the standing sheet, and a phase plan each"
    assert "2 not made:" in made.stdout


@pytest.mark.usefixtures("undrawn")
def test_an_e_mail_whose_template_is_broken_is_not_made(tmp_path: Path) -> None:
    book = write_book(tmp_path, {**SURVEYED, "customer_kind": "home-owner"})
    own_template(book, "customer/email.txt", "Dear {{ customer")
    outcomes = run(book, (Paper.QUOTE, Paper.CANCELLATION, Paper.EMAIL))
    assert outcomes["T-01 quote"].state is State.MADE
    assert [p.code for p in outcomes["T-01 e-mail"].problems] == ["template-broken"]


def test_what_a_broken_template_keeps_back_is_not_mailed(tmp_path: Path) -> None:
    book = write_book(tmp_path, {**SURVEYED, "customer_kind": "home-owner"})
    own_template(book, "customer/quote.html", "{{ nobody }}")
    outcomes = run(book, (Paper.QUOTE, Paper.CANCELLATION, Paper.EMAIL))
    codes = [p.code for outcome in outcomes.values() for p in outcome.problems]
    assert codes == ["template-name-unknown", "paper-incomplete"]


@pytest.mark.usefixtures("undrawn")
def test_papers_for_all_roofs_wait_for_a_register_that_can_be_used(tmp_path: Path) -> None:
    book, ref = two_roofs(tmp_path)
    papers = tmp_path / "papers"
    papers.mkdir()
    (papers / FILE_NAME).write_bytes(b"not a database " * 100)
    outcomes = run(book, [Paper.QUOTE], for_customers=True)
    for paper in CustomerPaper:
        outcome = outcomes[f"{ref} {paper}"]
        assert (outcome.state, outcome.path) == (State.BLOCKED, None)
        assert [found.code for found in outcome.problems] == ["register-blocked"]
    assert [path.name for path in papers.rglob("*") if path.is_file()] == [FILE_NAME]


SHEET = f"{SHEET_REF} {FirmPaper.STANDING_SHEET}"


@pytest.mark.usefixtures("undrawn")
def test_the_standing_sheet_is_issued_once_before_the_statements_that_name_it(
    tmp_path: Path,
) -> None:
    book = write_book(tmp_path, *BOTH)
    first = run(book, [Paper.METHOD])
    assert next(iter(first)) == SHEET
    assert [one.state for one in first.values()] == [State.MADE] * 3
    later = run(book, [Paper.METHOD], LATER)
    assert [one.state for one in later.values()] == [State.UNCHANGED] * 3
    assert SHEET not in run(book, [Paper.QUOTE], LATER)


@pytest.mark.usefixtures("undrawn")
def test_a_new_figure_of_the_firm_makes_a_new_sheet_and_new_statements(tmp_path: Path) -> None:
    """The supervisor's name is on the sheet, the sheet's revision on every statement."""
    book = write_book(tmp_path, SURVEYED)
    first = run(book, [Paper.METHOD])
    rows = starting_rows({**FIRM, "supervisor": "Skua Gull"}) | {"Enquiries": [SURVEYED]}
    written(book, rows)
    second = run(book, [Paper.METHOD], LATER)
    assert [one.state for one in second.values()] == [State.MADE] * 2
    assert [one.issue.revision for one in second.values() if one.issue] == [1, 1]
    assert [one.issue.revision for one in first.values() if one.issue] == [0, 0]
