"""The visit sheet asks for what the columns of Enquiries ask, on two pages."""

from pathlib import Path

from click.testing import CliRunner

from quotegen.cli.commands import cli
from quotegen.documents.owner.visit_sheet import asked_groups, drawn_shapes, visit_sheet
from quotegen.model.choices import Shape, Size
from quotegen.model.enquiry import SHAPE_NEEDS
from quotegen.workbook.sheets.enquiries import ENQUIRIES
from quotegen.workbook.sheets.shape_pictures import SHAPE_PICTURES, SIZE_LETTERS
from tests.pdfs import page_texts

NOT_ASKED = {"What is missing", "Make documents?"} | {
    "We advise", "Why we advise it", "Said no because", "Answered on", "Pays us under CIS?",
    "Customer VAT registered?", "End user in writing?", "Balance paid on",
    "Paid of the balance (£)",
}  # fmt: skip
"""Worked out by the file, or first known at home, once the customer has answered, or paid."""


def test_every_column_is_asked_for_in_its_order() -> None:
    wanted = [
        column.heading.partition(" (")[0]
        for column in ENQUIRIES.columns
        if column.heading not in NOT_ASKED | {"Shape"}
    ]
    assert [
        one.heading for group in asked_groups() for line in group.lines for one in line
    ] == wanted
    assert [shape.name for shape in drawn_shapes()] == list(Shape)


def test_it_is_two_pages_that_hold_every_heading_and_choice() -> None:
    sheet = visit_sheet()
    pages = [" ".join(text.split()) for text in page_texts(sheet.content)]
    assert len(pages) == 2
    assert sheet.problems == ()
    whole = " ".join(pages)
    for column in ENQUIRIES.columns:
        if column.heading not in NOT_ASKED | {"Shape"}:
            assert column.heading.partition(" (")[0] in whole, column.heading
        if column.heading not in NOT_ASKED:
            assert all(choice in whole for choice in column.choices), column.heading
    assert whole.count("●") == 12 + 1, "twelve, and the word on what the mark means"


def test_the_picture_of_a_shape_has_the_letter_of_every_size_it_needs() -> None:
    assert set(SHAPE_PICTURES) == set(Shape)
    for shape, needs in SHAPE_NEEDS.items():
        letters = {one.letter for one in SHAPE_PICTURES[shape].measured}
        if needs.sides:
            assert letters == {SIZE_LETTERS[size] for size in needs.sizes + needs.optional}, shape
        else:
            assert letters == {str(n + 1) for n in range(len(SHAPE_PICTURES[shape].outline))}
    assert len(set(SIZE_LETTERS.values())) == len(Size)


def test_the_command_writes_it_and_asks_for_a_pdf(tmp_path: Path) -> None:
    done = CliRunner().invoke(cli, ["visit", str(tmp_path / "v.pdf")])
    assert done.exit_code == 0, done.output
    assert (tmp_path / "v.pdf").read_bytes().startswith(b"%PDF")
    assert CliRunner().invoke(cli, ["visit", str(tmp_path / "v.txt")]).exit_code == 2
