"""Files beside the workbook are checked before a paper is made: pictures, owner's templates."""

import subprocess
import sys
from pathlib import Path

import pytest
from PIL import Image

from quotegen.documents.customer.quote import QUOTE
from quotegen.documents.printing import own_templates
from quotegen.documents.printing.belongings import OWN_TEMPLATES, check_belongings
from quotegen.documents.printing.own_templates import takes_part
from quotegen.machine.resources import templates_folder
from quotegen.model.choices import Answer
from quotegen.problems import Problem
from tests.builders import BOOK, settings
from tests.documents.conftest import ISSUE, bay_enquiry, finding, priced


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return tmp_path / BOOK


def own(book: Path, name: str, written: str) -> Path:
    file = book.parent / OWN_TEMPLATES / name
    file.parent.mkdir(exist_ok=True, parents=True)
    file.write_text(written)
    return file


def said(problems: list[Problem]) -> list[tuple[str, str, str]]:
    return [(p.code, p.place.sheet or Path(p.place.book).name, p.seen) for p in problems]


def test_each_picture_is_looked_at_as_it_will_be_printed(book: Path) -> None:
    Image.effect_noise((300, 200), 90).save(book.parent / "cut.png")
    whole = (book.parent / "cut.png").read_bytes()
    (book.parent / "cut.png").write_bytes(whole[: len(whole) // 2])
    (book.parent / "brochure.jpg").write_bytes(b"%PDF-1.7\n")
    Image.new("RGB", (60, 40), "red").save(book.parent / "fine.jpg")
    photos = ("cut.png", "gone.jpg", "../out.jpg", "fine.jpg")
    findings = tuple(finding("Renew it", Answer.DECLINED, photo=name) for name in photos)
    asked = bay_enquiry(findings=findings, photo="whole.jpg")
    found = check_belongings(book, settings(logo="brochure.jpg"), [asked])
    assert said(found) == [
        ("photo-wrong-kind", "Business", "brochure.jpg"),
        ("photo-missing", "Enquiries", "whole.jpg"),
        ("photo-damaged", "Findings", "cut.png"),
        ("photo-missing", "Findings", "gone.jpg"),
        ("photo-outside", "Findings", "../out.jpg"),
    ]
    assert [p.ref for p in found] == ["", *(asked.ref for _ in found[1:])]
    quote = priced(asked, logo="brochure.jpg")
    assert list(QUOTE.make(quote, ISSUE, book.parent).problems) == found, "told once, not twice"


def test_a_logo_is_looked_at_without_an_enquiry(book: Path) -> None:
    found = check_belongings(book, settings(logo="gone.png"), [])
    assert said(found) == [("photo-missing", "Business", "gone.png")]


@pytest.mark.parametrize(
    ("written", "line", "code"),
    [
        ("one\n{% if quote %}\n", 2, "template-broken"),
        ("one\n{{ 1 | no_such_filter }}", 2, "template-broken"),
        ("x" * 300_001, 1, "template-too-large"),
    ],
)
def test_a_template_that_cannot_be_read_is_told(
    book: Path, written: str, line: int, code: str
) -> None:
    file = own(book, "customer/quote.html", written)
    own(book, "safety/method.html", "fine")
    (found,) = check_belongings(book, settings(), [])
    assert (found.code, found.place.book, found.details["line"]) == (code, str(file), line)


def test_a_template_that_no_paper_is_made_from_is_told(book: Path) -> None:
    own(book, "quotes.html", "{{ broken but not used")
    own(book, "part.html", "{{ 'used' }}")
    own(book, "safety/method.html", "{% include 'part.html' %}")
    own(book, "paper.css", "p { color: red }")
    found = check_belongings(book, settings(), [])
    assert said(found) == [("template-unused", "quotes.html", "quotes.html")]
    assert not found[0].stops


def test_more_templates_than_any_firm_has_are_not_all_read(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(own_templates, "MOST_FILES", 2)
    for name in ("customer/quote.html", "safety/method.html", "crew/order.html"):
        own(book, name, "{{ broken")
    codes = [p.code for p in check_belongings(book, settings(), [])]
    assert codes == ["templates-too-many", "template-broken", "template-broken"]


@pytest.mark.parametrize(
    ("name", "template", "taken"),
    [
        ("customer/quote.html", "customer/quote.html", True),
        ("customer/quote.html", "safety/method.html", False),
        ("base.html", "customer/quote.html", True),
        ("_plan.html", "crew/cutting_list.html", True),
        ("_plan.html", "customer/quote.html", False),
        ("base.html", "customer/email.txt", False),
    ],
)
def test_which_papers_an_own_template_is_in(
    book: Path, name: str, template: str, taken: bool
) -> None:
    own(book, name, (templates_folder() / name).read_text())
    assert takes_part(template, book.parent / OWN_TEMPLATES) is taken


def test_nothing_heavy_is_loaded_where_there_is_nothing_to_look_at() -> None:
    code = "import sys, quotegen.documents.printing.belongings\nprint(*sys.modules)\n"
    loaded = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    ).stdout.split()
    assert {"PIL", "jinja2", "pillow_heif", "weasyprint"}.isdisjoint(loaded)
