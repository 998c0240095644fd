"""The visit sheet: two pages for the clipboard that ask for what the columns of Enquiries ask.

It is filled in by hand on the way round the roof and typed in afterwards, column by column.
"""

from collections.abc import Iterator, Mapping
from itertools import groupby

from markupsafe import Markup
from msgspec import Struct

from quotegen import wording
from quotegen.documents.drawing import svg
from quotegen.documents.printing import templates
from quotegen.documents.printing.paper import PaperFrame
from quotegen.documents.printing.pdf import Rendered, render
from quotegen.model.choices import Shape, Size
from quotegen.workbook.reading.enquiry_rows import SIZES
from quotegen.workbook.sheets.columns import AnyColumn
from quotegen.workbook.sheets.enquiries import ENQUIRIES
from quotegen.workbook.sheets.shape_pictures import (
    SHAPE_PICTURES,
    SIZE_LETTERS,
    STAND,
    WALL_WORDS,
    WALL_Y,
    ShapePicture,
)

_TITLE = "Visit sheet"
_TEMPLATE = "owner/visit_sheet.html"
_SHAPE_MM = 29.0
_ROOF, _WALL = "#eef2f3", "#8c979c"
_LONGEST_TICKS = 34
_PER_LINE = 4
_LEFT_OUT: tuple[AnyColumn, ...] = (
    ENQUIRIES.missing,
    ENQUIRIES.make_documents,
    ENQUIRIES.advised,
    ENQUIRIES.advised_because,
    ENQUIRIES.said_no,
    ENQUIRIES.answered_on,
    ENQUIRIES.pays_under_cis,
    ENQUIRIES.customer_vat,
    ENQUIRIES.end_user,
    ENQUIRIES.paid_on,
    ENQUIRIES.paid,
)
"""What the file works out, and what is no question of a visit: the advice is thought over at
home, and the customer's answer, tax and payment come after the quote."""
_SIZE_OF: Mapping[AnyColumn, Size] = {column: size for size, column in SIZES.items()}


class AskedFor(Struct, frozen=True):
    """One column as it is asked for: boxes to tick, or room to write in its unit.

    `first` marks those that give a first price; `wide` ones take a whole line.
    """

    heading: str
    letter: str
    ticks: tuple[str, ...]
    unit: str
    first: bool
    wide: bool


class AskedGroup(Struct, frozen=True):
    """The columns of one group in the order in which they are asked for, in lines of up to four."""

    name: str
    lines: tuple[tuple[AskedFor, ...], ...]


class DrawnShape(Struct, frozen=True):
    """The picture of a shape under its name, and its box to tick."""

    name: str
    drawing: Markup


def visit_sheet() -> Rendered:
    """The visit sheet as a PDF."""
    frame = PaperFrame(
        language=wording.LANGUAGE,
        kind=_TITLE,
        title=_TITLE,
        description=f"{_TITLE}: what to ask and measure at a roof",
        author="",
        dated="",
        mark=_TITLE,
    )
    return render(
        templates.fill(_TEMPLATE, None, sheet=frame, groups=asked_groups(), shapes=drawn_shapes())
    )


def asked_groups() -> tuple[AskedGroup, ...]:
    """Every column that is asked for on a visit, by group; the shape is ticked at its picture."""
    left_out = (*_LEFT_OUT, ENQUIRIES.shape)
    asked = (column for column in ENQUIRIES.columns if column not in left_out)
    return tuple(
        AskedGroup(name, tuple(_lines(map(_asked, columns))))
        for name, columns in groupby(asked, lambda column: column.group)
    )


def drawn_shapes() -> tuple[DrawnShape, ...]:
    """Each shape with the letters of its sizes."""
    return tuple(DrawnShape(str(shape), _drawn(shape, p)) for shape, p in SHAPE_PICTURES.items())


def _asked(column: AnyColumn) -> AskedFor:
    return AskedFor(
        heading=column.heading.partition(" (")[0],
        letter=_letter(_SIZE_OF.get(column)),
        ticks=column.choices,
        unit=column.heading.partition(" (")[2].removesuffix(")"),
        first=column.first,
        wide=len("".join(column.choices)) > _LONGEST_TICKS,
    )


def _letter(size: Size | None) -> str:
    return SIZE_LETTERS[size] if size else ""


def _lines(asked: Iterator[AskedFor]) -> Iterator[tuple[AskedFor, ...]]:
    """The questions in lines: one wide one, or up to four others side by side."""
    for wide, alike in groupby(asked, lambda one: one.wide):
        found = tuple(alike)
        step = 1 if wide else _PER_LINE
        yield from (found[start : start + step] for start in range(0, len(found), step))


def _drawn(shape: Shape, picture: ShapePicture) -> Markup:
    """A shape in ink, with the wall above it and where to stand below."""
    parts = [
        svg.element("title", f"{shape}, seen from above, with the letters of its sizes"),
        svg.polygon(((0, WALL_Y - 6), (100, WALL_Y - 6), (100, WALL_Y), (0, WALL_Y)), fill=_WALL),
        svg.element("text", WALL_WORDS, x=2, y=WALL_Y - 8, font_size=8, font_family=svg.FONT),
        svg.polygon(picture.outline, fill=_ROOF, stroke=svg.INK, stroke_width=1.4),
    ]
    for one in picture.measured:
        x, y = one.named_at
        if one.letter.isalpha():
            parts.append(svg.line(one.start, one.end, stroke=svg.INK, stroke_width=0.7))
        parts.append(svg.circle((x, y), 6.4, fill=svg.PAPER, stroke=svg.INK, stroke_width=0.7))
        parts.append(
            svg.element(
                "text", one.letter, x=x, y=y + 3.6, font_size=10, text_anchor="middle",
                font_family=svg.FONT, font_weight=600,
            )
        )  # fmt: skip
    x, y = STAND
    parts.append(svg.polygon(((x, y - 8), (x - 5, y), (x + 5, y)), fill=svg.INK))
    return svg.element(
        "svg",
        svg.join(parts),
        xmlns="http://www.w3.org/2000/svg",
        class_="sign",
        role="img",
        width=f"{svg.coordinate(_SHAPE_MM)}mm",
        height=f"{svg.coordinate(_SHAPE_MM)}mm",
        viewBox="0 0 100 100",
    )
