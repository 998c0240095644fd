"""What the Enquiries sheet does for whoever fills it in: groups, folds, greying, what is missing.

The heads of the groups stand above the headings. What a first price can do without is in an outline
that folds away. Cells the shape has no use for turn grey, those of a first price that are blank
turn amber, and a formula of the file says what is missing. The reader checks everything again.
"""

from collections.abc import Iterator, Mapping
from itertools import groupby

from openpyxl.comments import Comment
from openpyxl.formatting.rule import FormulaRule
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.properties import Outline
from openpyxl.worksheet.worksheet import Worksheet

from quotegen.model.choices import Access, BuildUp, Covering, DeckCondition, Shape, Size
from quotegen.model.enquiry import SHAPE_NEEDS
from quotegen.workbook.reading.enquiry_rows import EDGES, SIZES
from quotegen.workbook.sheets.columns import AnyColumn
from quotegen.workbook.sheets.details import OUTLINE
from quotegen.workbook.sheets.enquiries import ENQUIRIES
from quotegen.workbook.writing import look

_AUTHOR = "quotegen"
_NOTE_WIDTH, _NOTE_HEIGHT = 300, 110


def add_groups(page: Worksheet) -> None:
    """Write the head of each group above its first column, toned like the headings below."""
    for number, (name, columns) in enumerate(groupby(ENQUIRIES.columns, lambda one: one.group)):
        for offset, column in enumerate(columns):
            cell = page.cell(ENQUIRIES.heading_row - 1, ENQUIRIES.columns.index(column) + 1)
            cell.alignment = look.HEAD_LEFT
            cell.font, cell.fill = look.HEAD, look.HEAD_FILLS[number % len(look.HEAD_FILLS)]
            if offset == 0:
                cell.value = name
    page.row_dimensions[1].height = look.LINE_POINTS * 1.5


def add_notes(page: Worksheet) -> None:
    """Give each heading what its cells may hold, to be read without clicking into one."""
    for number, column in enumerate(ENQUIRIES.columns, start=1):
        note = Comment(column.prompt, _AUTHOR, height=_NOTE_HEIGHT, width=_NOTE_WIDTH)
        page.cell(ENQUIRIES.heading_row, number).comment = note


def add_folds(page: Worksheet, *, folded: bool) -> None:
    """Put what a first price can do without in an outline, folded away if `folded`.

    The first column of a group always shows, under the group's head.
    """
    for _, columns in groupby(ENQUIRIES.columns, lambda one: one.group):
        for offset, column in enumerate(columns):
            if offset == 0 or column.first or column.worked_out:
                continue
            shape = page.column_dimensions[_letter(column)]
            shape.outlineLevel, shape.hidden = 1, folded
    page.sheet_properties.outlinePr = Outline(summaryRight=False)
    page.sheet_format.outlineLevelCol = 1


def add_shading(page: Worksheet, last: int) -> None:
    """Turn grey what the row has no use for, and amber what a first price still needs."""
    first = ENQUIRIES.heading_row + 1
    for column, formula in _not_used(first):
        cells = f"{_letter(column)}{first}:{_letter(column)}{last}"
        rule = FormulaRule([formula], fill=look.UNUSED_FILL, stopIfTrue=True)
        page.conditional_formatting.add(cells, rule)
    for column in ENQUIRIES.columns:
        if column.first and column is not ENQUIRIES.ref:
            cells = f"{_letter(column)}{first}:{_letter(column)}{last}"
            lacking = f"AND({_blank(ENQUIRIES.ref, first)}=FALSE,{_blank(column, first)}"
            if column is ENQUIRIES.edges_at_once:
                lacking += f",{_blank(ENQUIRIES.edge_back, first)}"
            lacking += ")"
            page.conditional_formatting.add(cells, FormulaRule([lacking], fill=look.NEEDED_SHADE))


def missing_formula(line: int) -> str:
    """The formula that says what a price still needs in a row: its headings, or nothing at all.

    It says of the cells of the row what the reader would; sizes that cannot make the shape and
    rows of other sheets, but for those of an outline, it leaves to the reader.
    """
    lacking = (f'IF({when},"; {column.heading}","")' for column, when in _lacking(line))
    pieces = "&".join(lacking)
    return f'=IF({_blank(ENQUIRIES.ref, line)},"",MID({pieces},3,2000))'


def _lacking(line: int) -> Iterator[tuple[AnyColumn, str]]:
    """Each column that a price may need, and when it lacks."""
    for column in ENQUIRIES.columns:
        if column.required and column is not ENQUIRIES.ref:
            yield column, _blank(column, line)
    for size, column in SIZES.items():
        shapes = [shape for shape, needs in SHAPE_NEEDS.items() if size in needs.sizes]
        if not shapes:
            continue
        unless = ""
        if size is Size.FRONT_WIDTH:
            unless = f",{_blank(ENQUIRIES.left_set_back_mm, line)}=FALSE"
        yield column, f"AND({_shape_in(shapes, line)},{_blank(column, line)}{unless})"
    yield (
        ENQUIRIES.notch_at,
        (f"AND({_shape_in([Shape.L_SHAPE], line)},{_blank(ENQUIRIES.notch_at, line)})"),
    )
    at_once = _blank(ENQUIRIES.edges_at_once, line)
    for side, edge in EDGES.items():
        shapes = [shape for shape, needs in SHAPE_NEEDS.items() if side in needs.sides]
        yield edge, f"AND({_shape_in(shapes, line)},{at_once},{_blank(edge, line)})"
    rows = f"COUNTIF({OUTLINE.name}!$A$2:$A$1000,{_cell(ENQUIRIES.ref, line)})=0"
    yield ENQUIRIES.shape, f"AND({_shape_in(_OUTLINED, line)},{rows})"
    yield ENQUIRIES.covering, _blank(ENQUIRIES.covering, line)
    bare = f'{_cell(ENQUIRIES.covering, line)}<>"{Covering.NONE}"'
    yield ENQUIRIES.deck, f"AND({bare},{_blank(ENQUIRIES.deck, line)})"
    capped = _holds(ENQUIRIES.build_ups, BuildUp.CAP_OVER, line)
    unsound = f'{_cell(ENQUIRIES.condition, line)}<>"{DeckCondition.SOUND}"'
    yield ENQUIRIES.condition, f"AND({capped},{unsound})"
    insulated = _holds(ENQUIRIES.build_ups, _INSULATION, line)
    yield ENQUIRIES.insulation_mm, f"AND({insulated},{_blank(ENQUIRIES.insulation_mm, line)})"
    ladder = f'{_cell(ENQUIRIES.access, line)}="{Access.LADDER}"'
    yield ENQUIRIES.ladder_reason, f"AND({ladder},{_blank(ENQUIRIES.ladder_reason, line)})"


def _not_used(line: int) -> Iterator[tuple[AnyColumn, str]]:
    """Each column that a row may have no use for, and when."""
    known = f"{_blank(ENQUIRIES.shape, line)}=FALSE"
    used: dict[AnyColumn, list[Shape]] = {
        column: [s for s, needs in SHAPE_NEEDS.items() if size in needs.sizes + needs.optional]
        for size, column in SIZES.items()
    }
    for side, edge in EDGES.items():
        used[edge] = [shape for shape, needs in SHAPE_NEEDS.items() if side in needs.sides]
    used[ENQUIRIES.notch_at] = [Shape.L_SHAPE]
    used[ENQUIRIES.edges_at_once] = [s for s, needs in SHAPE_NEEDS.items() if needs.sides]
    for column, shapes in used.items():
        yield column, f"AND({known},{_shape_in(shapes, line)}=FALSE)"
    asked = f"{_blank(ENQUIRIES.build_ups, line)}=FALSE"
    insulated = _holds(ENQUIRIES.build_ups, _INSULATION, line)
    yield ENQUIRIES.insulation_mm, f"AND({asked},{insulated}=FALSE)"
    access = f"{_blank(ENQUIRIES.access, line)}=FALSE"
    ladder = f'{_cell(ENQUIRIES.access, line)}="{Access.LADDER}"'
    yield ENQUIRIES.ladder_reason, f"AND({access},{ladder}=FALSE)"


def _letter(column: AnyColumn) -> str:
    return _LETTERS[column]


def _cell(column: AnyColumn, line: int) -> str:
    return f"${_letter(column)}{line}"


def _blank(column: AnyColumn, line: int) -> str:
    return f"(LEN(TRIM({_cell(column, line)}))=0)"


def _shape_in(shapes: list[Shape], line: int) -> str:
    cell = _cell(ENQUIRIES.shape, line)
    same = ",".join(f'{cell}="{shape}"' for shape in shapes)
    return f"OR({same})"


def _holds(column: AnyColumn, words: str, line: int) -> str:
    return f'ISNUMBER(SEARCH("{words}",{_cell(column, line)}))'


_INSULATION = "insulation"
_OUTLINED = [shape for shape, needs in SHAPE_NEEDS.items() if not needs.sides]
_LETTERS: Mapping[AnyColumn, str] = {
    column: get_column_letter(number) for number, column in enumerate(ENQUIRIES.columns, start=1)
}
