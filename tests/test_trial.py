"""`check` covers all that a job needs in one run: pictures, and own templates tried on it."""

import json
from pathlib import Path

import pytest

from quotegen.documents.printing.belongings import OWN_TEMPLATES
from quotegen.machine.resources import templates_folder
from quotegen.making.papers import CUSTOMER_MAKERS, DIARY_MAKERS, FIRM_MAKERS, PAPER_KINDS
from tests.test_app import SURVEYED, fill_in, write_book
from tests.test_cli import ON, fill_in_setting, run

NO_PAPER = {
    "base.html", "_plan.html", "_halves.html", "owner/own_numbers.html", "owner/visit_sheet.html",
    "owner/quotes.html", "customer/_attached.txt",
    "customer/_signed.txt", "safety/_mix_card.html", "safety/_site_card.html", "_unread.html",
    "paying/account.html", "paying/invoice.html",
}  # fmt: skip
"""Parts of papers, pages that are made by our own templates alone, and the papers of what a job
owes: they need an invoice, so that theirs are tried when one is issued."""


def own(book: Path, name: str, written: str) -> Path:
    file = book.parent / OWN_TEMPLATES / name
    file.parent.mkdir(exist_ok=True, parents=True)
    file.write_text(written)
    return file


def checked(book: Path) -> list[dict[str, str]]:
    found: list[dict[str, str]] = json.loads(run("check", book, "--json", *ON).stdout)
    return found


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return write_book(tmp_path, SURVEYED)


def test_check_tells_of_pictures_with_their_cells(book: Path) -> None:
    photo = {"ref": "T-01", "seen": "Soft fascia", "if_left": "It rots.", "advised": "Renew it.",
             "answer": "declined", "photo": "fascia.heic"}  # fmt: skip
    fill_in(book, "Findings", 2, photo)
    fill_in_setting(book, "logo", "logo.png")
    (book.parent / "logo.png").write_bytes(b"GIF89a")
    found = {p["code"]: (p["sheet"], p["cell"], p["heading"], p["seen"]) for p in checked(book)}
    # Settings have their values in the third column; “Photo” is the last of Findings.
    sheet, cell, heading, seen = found["photo-missing"]
    assert (sheet, heading, seen) == ("Findings", "Photo", "fascia.heic")
    assert cell.endswith("2")
    sheet, cell, _, seen = found["photo-wrong-kind"]
    assert (sheet, cell[0], seen) == ("Business", "C", "logo.png")
    assert run("check", book, *ON).exit_code == 0, "the papers are made without them"
    said = run("quote", book, *ON).stderr
    assert [said.count(name) for name in ("“logo.png”", "“fascia.heic”")] == [1, 1]


@pytest.mark.parametrize(
    ("name", "written", "code"),
    [
        ("customer/quote.html", "one\n{{ quote.no_such_thing }}", "template-name-unknown"),
        ("customer/quote.html", "one\n{{ 'x' * 3000000000 }}", "template-too-large"),
        ("customer/quote.html", "one\n{% if %}", "template-broken"),
        ("_plan.html", "one\n{{ nobody }}", "template-name-unknown"),
        ("customer/email.txt", "one\n{{ nobody }}", "template-name-unknown"),
        ("customer/schedule.html", "one\n{{ nobody }}", "template-name-unknown"),
        ("owner/diary.html", "one\n{{ nobody }}", "template-name-unknown"),
    ],
)
def test_check_tells_what_is_wrong_with_an_own_template(
    book: Path, name: str, written: str, code: str
) -> None:
    file = own(book, name, written)
    found = checked(book)
    assert {(p["code"], p["book"]) for p in found} == {(code, str(file))}
    said = run("check", book, *ON)
    assert said.exit_code == 1
    assert "line 2" in said.stderr


def test_every_template_of_ours_can_be_tried(book: Path) -> None:
    """One that stays untried would let an own one in its place go by."""
    makers = [
        *(kind.maker for kind in PAPER_KINDS.values()),
        *CUSTOMER_MAKERS.values(),
        *DIARY_MAKERS.values(),
        *FIRM_MAKERS.values(),
    ]
    ours = templates_folder()
    files = [f for f in ours.rglob("*") if f.suffix in (".html", ".txt")]
    names = {f.relative_to(ours).as_posix() for f in files}
    assert names - NO_PAPER == {maker.template for maker in makers} - {""}
    for name in names:
        own(book, name, (templates_folder() / name).read_text())
    assert checked(book) == []
    for name in names - NO_PAPER:
        own(book, name, "\n{{ nobody }}")
    own_folder = book.parent / OWN_TEMPLATES
    tried = {Path(p["book"]).relative_to(own_folder).as_posix() for p in checked(book)}
    assert names - NO_PAPER - tried == set()


def test_a_broken_template_is_told_once_when_papers_are_made(book: Path) -> None:
    file = own(book, "customer/quote.html", "one\n{% if %}")
    said = run("quote", book, "--ref", "T-01", *ON)
    assert said.stderr.count(str(file)) == 1
    said = run("method", book, "--ref", "T-01", *ON)
    assert said.stderr.count(str(file)) == 1
    assert "method-statement r0" in said.stdout
