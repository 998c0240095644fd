"""The owner's own templates: found beside the workbook, used for ours, and kept in bounds."""

from pathlib import Path

import pytest
from jinja2 import UndefinedError
from jinja2.exceptions import SecurityError

from quotegen.documents.paper import OWN_TEMPLATES, PictureBox
from quotegen.documents.pdf import ResourceRefusedError
from quotegen.documents.quote_paper import QUOTE
from quotegen.model.quote import Quote
from tests.documents.conftest import ISSUE, text_of


@pytest.fixture
def own(tmp_path: Path) -> Path:
    folder = tmp_path / OWN_TEMPLATES
    folder.mkdir()
    return folder


def html(quote: Quote, own: Path) -> str:
    return QUOTE.html(quote, ISSUE, PictureBox(own.parent, quote.enquiry.ref))


def test_a_template_of_the_same_name_takes_the_place_of_ours(own: Path, bay_quote: Quote) -> None:
    (own / "quote.html").write_text("<html lang='en'><p>Ours: {{ quote.reference }}</p></html>")
    assert html(bay_quote, own) == f"<html lang='en'><p>Ours: {ISSUE.reference}</p></html>"


def test_it_may_add_to_ours_and_bring_its_own_picture_of_a_page(
    own: Path, bay_quote: Quote
) -> None:
    (own / "quote.html").write_text(
        '{% extends "ours/quote.html" %}{% block body %}<p>A word first.</p>{{ super() }}'
        "{% endblock %}"
    )
    paper = QUOTE.make(bay_quote, ISSUE, own.parent)
    assert "A word first." in text_of(paper)
    assert bay_quote.enquiry.customer.name in text_of(paper)


def test_without_a_folder_ours_are_used(tmp_path: Path, bay_quote: Quote) -> None:
    assert html(bay_quote, tmp_path / OWN_TEMPLATES) == QUOTE.html(bay_quote, ISSUE)


def test_a_name_nobody_gives_is_an_error(own: Path, bay_quote: Quote) -> None:
    (own / "quote.html").write_text("{{ quote.no_such_thing }}")
    with pytest.raises(UndefinedError):
        html(bay_quote, own)


@pytest.mark.parametrize(
    "attempt",
    [
        "{{ ''.__class__.__mro__[1].__subclasses__() }}",
        "{{ quote.__init__.__globals__ }}",
        "{% set _ = head.__class__ %}{{ _.__base__ }}",
    ],
)
def test_a_template_cannot_reach_into_the_program(
    own: Path, bay_quote: Quote, attempt: str
) -> None:
    (own / "quote.html").write_text(attempt)
    with pytest.raises((SecurityError, UndefinedError)):
        html(bay_quote, own)


def test_a_template_cannot_carry_off_another_file(own: Path, bay_quote: Quote) -> None:
    secret = own.parent / "secret.png"
    secret.write_bytes(b"not for print")
    (own / "quote.html").write_text(f'<html lang="en"><img src="{secret.as_uri()}" alt=""></html>')
    with pytest.raises(ResourceRefusedError):
        QUOTE.make(bay_quote, ISSUE, own.parent)
