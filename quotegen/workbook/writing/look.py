"""The look of workbooks we write: one typeface, a few calm tones, rows as high as their text."""

import math

from openpyxl import Workbook
from openpyxl.styles import Alignment, Border, Font, PatternFill, Side
from openpyxl.worksheet.header_footer import HeaderFooterItem, _HeaderFooterPart
from openpyxl.worksheet.page import PageMargins
from openpyxl.worksheet.properties import PageSetupProperties
from openpyxl.worksheet.worksheet import Worksheet

TYPEFACE = "Arial"
CELL_INK = "FF2F4858"
INK_SOFT = "FF4A6B7C"
AMBER = "FFE0A526"
TAB_SOFT = "FF9FB3BF"
_GREY_TEXT = "FF5A6570"
_HAIRLINE = Side("thin", color="FFD5DBE0")

TITLE = Font(TYPEFACE, 16, bold=True, color=CELL_INK)
SUBTITLE = Font(TYPEFACE, 12, bold=True, color=CELL_INK)
HEAD = Font(TYPEFACE, 10, bold=True, color="FFFFFFFF")
BODY = Font(TYPEFACE, 10)
STRONG = Font(TYPEFACE, 10, bold=True)
EXAMPLE = Font(TYPEFACE, 10, italic=True, color=_GREY_TEXT)

HEAD_FILLS = (PatternFill("solid", fgColor=CELL_INK), PatternFill("solid", fgColor=INK_SOFT))
NEEDED_FILL = PatternFill("solid", fgColor="FFFFF6DD")
EXAMPLE_FILL = PatternFill("solid", fgColor="FFEFEFEF")
NEEDED_SHADE = PatternFill("solid", bgColor="FFFFF6DD")
UNUSED_FILL = PatternFill("solid", bgColor="FFD9DDE0")
FOLD_FILL = PatternFill("solid", fgColor="FFE3EAEE")

WRAPPED = Alignment(wrap_text=True, vertical="center", horizontal="left", indent=1)
FIGURE = Alignment(vertical="center", horizontal="right", indent=1)
HEAD_ALIGNMENT = Alignment(wrap_text=True, vertical="center", horizontal="left", indent=1)
HEAD_LEFT = Alignment(vertical="center", horizontal="left", indent=1)
UNDERLINE = Border(bottom=_HAIRLINE)
BOX = Border(left=_HAIRLINE, right=_HAIRLINE, bottom=_HAIRLINE)
NEEDED_BOX = Border(left=_HAIRLINE, right=_HAIRLINE, bottom=Side("thick", color=AMBER))

LINE_POINTS = 13.5
_CHARACTERS_PER_WIDTH = 1.2
_FOOT_POINTS = 8
_SIDE_INCHES, _FOOT_INCHES = 0.35, 0.6


def fit_height(page: Worksheet, line: int, texts: list[tuple[str, float]]) -> None:
    """Make a row high enough for its texts, each given with the width of its column.

    Not all spreadsheets do this on opening. A row of one line is left alone, so that it still grows
    when somebody types into it.
    """
    most = max((_lines(text, width) for text, width in texts), default=1)
    if most > 1:
        page.row_dimensions[line].height = LINE_POINTS * most + 2


def set_up_page(page: Worksheet, *, tab: str, pages_wide: int = 1) -> None:
    """Set up landscape A4, fitted to so many pages across, without a grid.

    The margins are as narrow as any printer takes, so that wide tables are not printed small.
    """
    page.sheet_view.showGridLines = False
    page.sheet_properties.tabColor = tab
    page.page_setup.orientation = "landscape"
    page.page_setup.paperSize = page.PAPERSIZE_A4
    page.page_setup.fitToWidth = pages_wide
    page.page_setup.fitToHeight = 0
    page.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    page.page_margins = PageMargins(
        left=_SIDE_INCHES,
        right=_SIDE_INCHES,
        top=_SIDE_INCHES,
        bottom=_FOOT_INCHES,
        footer=_SIDE_INCHES,
    )


def put_foot(page: Worksheet, mark: str = "&A") -> None:
    """Set the foot of each printed page: the mark and the page number.

    The mark is the name of the sheet unless another is given.
    """
    page.HeaderFooter.oddFooter = HeaderFooterItem(
        left=_HeaderFooterPart(mark, size=_FOOT_POINTS),
        right=_HeaderFooterPart("Page &P of &N", size=_FOOT_POINTS),
    )


def measure_in_body_type(book: Workbook) -> None:
    """Make the body typeface the workbook's default: column widths are counted in it."""
    book._named_styles["Normal"].font = BODY  # type: ignore[attr-defined]  # not in its hints


def _lines(text: str, width: float) -> int:
    room = max(1.0, width * _CHARACTERS_PER_WIDTH)
    return sum(max(1, math.ceil(len(part) / room)) for part in text.split("\n"))
