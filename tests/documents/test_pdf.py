"""The PDF itself: tagged, one font, nothing fetched from elsewhere, the same bytes each time."""

from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from jinja2 import UndefinedError
from pypdf.generic import DictionaryObject

from quotegen.documents.customer.quote import QUOTE
from quotegen.documents.printing import templates
from quotegen.documents.printing.pdf import (
    FONT_FOLDER,
    ONE_PAGE,
    Rendered,
    ResourceRefusedError,
    allowed_file,
    render,
)
from quotegen.documents.safety.method import METHOD
from quotegen.documents.safety.phase_plan import PHASE_PLAN
from quotegen.machine.resources import templates_folder
from quotegen.model.quote import Quote
from quotegen.model.safety import ConstructionPlan, MethodStatement
from tests.documents.conftest import ISSUE
from tests.pdfs import page_texts, reader_of, root_of, spaced_text

PAGE = '<html lang="en"><head><title>Test</title></head><body>{}</body></html>'


def structure(paper: Rendered) -> list[tuple[str, DictionaryObject]]:
    """Every element of the tag tree with its kind, in reading order."""
    found: list[tuple[str, DictionaryObject]] = []

    def walk(node: object) -> None:
        if isinstance(node, list):
            for child in node:
                walk(child.get_object() if hasattr(child, "get_object") else child)
        elif isinstance(node, dict):
            if "/S" in node:
                found.append((str(node["/S"]).lstrip("/"), DictionaryObject(node)))
            walk(node.get("/K", []))

    walk(root_of(paper.content)["/StructTreeRoot"]["/K"])
    return found


def test_the_engine_warns_of_nothing(paper: Rendered) -> None:
    assert paper.warnings == ()
    assert paper.pages == len(reader_of(paper.content).pages)


def test_it_is_marked_as_tagged_and_says_its_language_and_title(paper: Rendered) -> None:
    reader = reader_of(paper.content)
    root = root_of(paper.content)
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == "en-GB"
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert reader.metadata is not None
    assert "T-01" in str(reader.metadata.title)
    assert reader.metadata.author == "Tern & Daughter Roofing"
    assert b"pdfuaid:part" in root["/Metadata"].get_data()


def test_headings_begin_with_one_h1_and_skip_no_level(paper: Rendered) -> None:
    levels = [int(kind[1]) for kind, _ in structure(paper) if kind in {"H1", "H2", "H3", "H4"}]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))


def test_every_picture_has_words_and_tables_have_heads(paper: Rendered) -> None:
    elements = structure(paper)
    figures = [element for kind, element in elements if kind == "Figure"]
    assert all(str(figure.get("/Alt", "")) for figure in figures)
    kinds = [kind for kind, _ in elements]
    assert "THead" in kinds
    assert "TH" in kinds


@pytest.mark.parametrize("drawn", ["quote_paper", "method_paper", "phase_plan_paper"])
def test_a_drawn_paper_has_its_pictures_and_tables(
    drawn: str, request: pytest.FixtureRequest
) -> None:
    kinds = [kind for kind, _ in structure(request.getfixturevalue(drawn))]
    assert "Figure" in kinds
    assert kinds.count("THead") >= 4


def test_it_embeds_the_packaged_font_and_no_other(paper: Rendered) -> None:
    fonts = set()
    for page in reader_of(paper.content).pages:
        resources: Any = page["/Resources"]
        for font in resources.get("/Font", {}).values():
            fonts.add(str(font.get_object()["/BaseFont"]).split("+")[-1])
    assert fonts
    assert all(name.startswith("Source-Sans-Pro") for name in fonts), fonts


def test_reference_revision_and_page_are_on_every_page(paper: Rendered) -> None:
    for number, text in enumerate(page_texts(paper.content), 1):
        assert "T-01 · revision 0" in text
        assert f"Page {number} of {paper.pages}" in text


@pytest.mark.parametrize("drawn", ["quote_paper", "cutting_list_paper"])
def test_a_page_read_without_its_lines_says_what_the_whole_page_says(
    drawn: str, request: pytest.FixtureRequest
) -> None:
    """What every test of a text reads is what pypdf finds in the pages as they are."""
    content = request.getfixturevalue(drawn).content
    assert page_texts(content) == tuple(map(spaced_text, reader_of(content).pages))


@pytest.mark.usefixtures("drawn_anew")
def test_the_same_facts_give_the_same_bytes(
    bay_quote: Quote,
    quote_paper: Rendered,
    bay_statement: MethodStatement,
    method_paper: Rendered,
    bay_plan: ConstructionPlan,
    phase_plan_paper: Rendered,
) -> None:
    assert QUOTE.make(bay_quote, ISSUE, None).content == quote_paper.content
    assert METHOD.make(bay_statement, ISSUE, None).content == method_paper.content
    assert PHASE_PLAN.make(bay_plan, ISSUE, None).content == phase_plan_paper.content


def test_a_file_in_an_allowed_folder_may_be_read() -> None:
    style = templates_folder() / "paper.css"
    assert allowed_file(style.as_uri(), (templates_folder(),)) == style.resolve()


@pytest.mark.parametrize(
    "address",
    [
        "https://example.com/logo.png",
        "http://127.0.0.1/",
        "ftp://example.com/a",
        "data:text/plain,hello",
        "picture:other",
        "file://example.com/share/a.png",
        "file:///etc/hostname",
        f"{templates_folder().as_uri()}/../pyproject.toml",
        f"{templates_folder().as_uri()}/%2e%2e/pyproject.toml",
        f"{templates_folder().as_uri()}-other/paper.css",
    ],
)
def test_every_other_address_is_refused(address: str) -> None:
    with pytest.raises(ResourceRefusedError):
        allowed_file(address, (templates_folder(), FONT_FOLDER))


def test_a_link_out_of_the_folder_is_refused(tmp_path: Path) -> None:
    inside, outside = tmp_path / "inside", tmp_path / "secret.txt"
    inside.mkdir()
    outside.write_text("secret")
    (inside / "link.txt").symlink_to(outside)
    with pytest.raises(ResourceRefusedError):
        allowed_file((inside / "link.txt").as_uri(), (inside,))


@pytest.mark.parametrize(
    "body",
    [
        '<img src="https://example.com/a.png" alt="a">',
        '<img src="file:///etc/hostname" alt="a">',
        '<link rel="attachment" href="file:///etc/hostname">',
        '<style>@import "https://example.com/a.css";</style>',
    ],
)
def test_a_paper_that_asks_for_more_is_not_drawn(body: str) -> None:
    with pytest.raises(ResourceRefusedError):
        render(PAGE.format(body))


def test_a_refusal_inside_a_drawing_comes_back_as_a_warning() -> None:
    drawing = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><title>t</title>'
        '<image href="file:///etc/hostname" width="9" height="9"/></svg>'
    )
    assert render(PAGE.format(drawing)).warnings


def test_an_undefined_name_in_a_template_is_an_error() -> None:
    with pytest.raises(UndefinedError):
        templates.fill("customer/quote.html", sheet={})


def test_what_runs_on_from_its_one_page_is_set_closer() -> None:
    """A hundred lines of 3 mm are more than the 262 mm inside the margins of our A4 page."""
    line = '<p style="height: {}mm; margin: 0">line</p>'
    part = '<div id="{}-1">{}</div>'
    long, short = (PAGE.format(part.format(ONE_PAGE, line.format(mm) * 100)) for mm in (3, 2))
    assert render(long).pages == 2
    assert render(long, closer=lambda _: short) == render(short)
    assert render(short, closer=lambda _: long) == render(short)
    assert render(long, closer=lambda _: long.replace("3mm", "2.9mm")).pages == 2


def test_other_parts_may_run_on_and_each_has_its_own_page() -> None:
    line = '<p style="height: 100mm; margin: 0">line</p>'
    parts = "".join(
        f'<div id="{ONE_PAGE}-{n}" style="break-after: page">{line * 2}</div>' for n in range(2)
    )
    html = PAGE.format(f"{parts}<div>{line * 5}</div>")
    made = render(html, closer=lambda _: PAGE.format("closer"))
    assert made.pages == 5
    assert "closer" not in "".join(page_texts(made.content))
