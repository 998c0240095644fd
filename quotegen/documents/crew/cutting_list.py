"""The cutting list as a PDF: scale drawings of trims, boards and mat for the person cutting."""

from collections.abc import Iterator, Mapping
from typing import Any

from markupsafe import Markup
from msgspec import Struct

from quotegen import wording
from quotegen.documents.drawing.plan_layout import top_mark
from quotegen.documents.drawing.roof_view import PlanView, plan_view
from quotegen.documents.layers.cut_drawing import (
    SHEET_SCALE,
    SheetsAlike,
    bar_scale,
    draw_bar,
    draw_sheets,
    numbers_of,
)
from quotegen.documents.layers.cut_pieces import (
    FLASHING,
    End,
    EndKind,
    NumberedPiece,
    WayOfCutting,
    ways_of_cutting,
)
from quotegen.documents.layers.layer_fit import fit_layers
from quotegen.documents.layers.layer_plan import LayerPlan, size_words
from quotegen.documents.printing.design import Design
from quotegen.documents.printing.paper import PictureBox, one_line
from quotegen.documents.shared.opening_words import boarding_words, by_hand
from quotegen.machine.once import once_a_job
from quotegen.model.choices import BowTrims, JoistRun
from quotegen.model.enquiry import Enquiry
from quotegen.model.issue import Issue
from quotegen.model.roof import BoardLayout, Outline
from quotegen.model.safety import MethodStatement
from quotegen.model.settings import Settings
from quotegen.model.takeoff import CutList, OptionTakeOff
from quotegen.phrases import listed, small
from quotegen.reference.item_kinds import ItemKind
from quotegen.reference.rule_keys import OpeningSentence
from quotegen.safety.rules.text import told
from quotegen.takeoff.basis.job import layers_of, rooflights
from quotegen.takeoff.layers.joists import joist_centres, joist_lines
from quotegen.takeoff.shape.openings import placed_openings
from quotegen.working import Figure

PLAN_HEIGHTS_MM = (62.0, 78.0)
SMALLEST_PLAN = 75
"""The higher plan is for roofs that the lower one would show at a smaller scale than this."""
CORNER_PIECES = (ItemKind.CORNER_DRIP, ItemKind.CORNER_RAISED, ItemKind.CORNER_WALL)
LONG_ROWS = 9
"""From so many boards their sizes stand in two tables side by side."""


class TrimRow(Struct, frozen=True):
    """Pieces cut to the same length for the same place: numbers, length, edge, the two ends."""

    numbers: str
    length: str
    edge: str
    one_end: str
    other_end: str


class TrimView(Struct, frozen=True):
    """One kind of trim: the lengths to take, a bar for each way of cutting, and the pieces."""

    words: str
    lengths: str
    bars: tuple[Markup, ...]
    rows: tuple[TrimRow, ...]


class SizeRow(Struct, frozen=True):
    """One piece of board or strip of mat: its number, its size, where it comes from."""

    number: str
    length: str
    width: str
    words: str


class BoardView(Struct, frozen=True):
    """The boards: what is laid, on which joists, round what, the plan and the sheets."""

    words: str
    decks: str
    joists: str
    timber: str
    never_in: str
    openings: tuple[str, ...]
    plan: Markup
    scale: str
    sheets: tuple[Markup, ...]
    sheet_scale: str
    rows: tuple[SizeRow, ...]

    @property
    def halves(self) -> tuple[tuple[SizeRow, ...], ...]:
        """The rows in two halves where there are many, else nothing."""
        middle = (len(self.rows) + 1) // 2
        return (self.rows[:middle], self.rows[middle:]) if len(self.rows) >= LONG_ROWS else ()


class MatView(Struct, frozen=True):
    """The mat: layers, the plan and the strips in laying order."""

    words: str
    layers: str
    plan: Markup
    scale: str
    rows: tuple[SizeRow, ...]


class CuttingView(Struct, frozen=True):
    """Everything the template of the cutting list shows, except the head."""

    reference: str
    revision: str
    dated: str
    site_address: str
    build_up: str
    plan: PlanView
    trims: tuple[TrimView, ...]
    trim_scale: str
    trim_notes: tuple[str, ...]
    boards: BoardView
    mat: MatView


def cutting_view(statement: MethodStatement, issue: Issue) -> CuttingView:
    """The cutting list for the statement's build-up, in ready words."""
    option = statement.option
    scale = bar_scale([length.stock_mm for cut in option.cuts for length in cut.lengths])
    centres = joist_centres(statement.enquiry, statement.settings)
    ways_of_sheets = len(_sheets_alike(option.boards))
    boards, mat = fit_layers(
        statement.take_off,
        option,
        joists_mm=tuple(joist_lines(option.boards, centres.number)),
        ways_of_sheets=ways_of_sheets,
    )
    return CuttingView(
        reference=issue.reference,
        revision=str(issue.revision),
        dated=wording.date(issue.issued),
        site_address=one_line(statement.enquiry.site_address),
        build_up=str(option.build_up),
        plan=_plan(statement),
        trims=_trims(
            option,
            statement.take_off.outline,
            scale=scale,
            bow_trims=statement.settings.text("bow_trims"),
        ),
        trim_scale=f"1:{scale}",
        trim_notes=tuple(_trim_notes(statement)),
        boards=_boards(statement, centres, boards),
        mat=_mat(statement, mat),
    )


def _plan(statement: MethodStatement) -> PlanView:
    """The roof with its letters, no higher than it needs to be to read it."""
    low, high = PLAN_HEIGHTS_MM
    plan = plan_view(statement.take_off, low)
    if plan.one_to <= SMALLEST_PLAN:
        return plan
    return plan_view(statement.take_off, high)


@once_a_job
def _trims(
    option: OptionTakeOff, outline: Outline, *, scale: int, bow_trims: str
) -> tuple[TrimView, ...]:
    views = []
    curved = {edge.name for edge in outline.edges if edge.curve}
    first = 1
    for cut in option.cuts:
        ways = ways_of_cutting(cut, outline, first)
        first += sum(way.count * len(way.places) for way in ways)
        view = TrimView(
            words=cut.words,
            lengths=_lengths(cut),
            bars=tuple(draw_bar(way, scale, cut.words) for way in ways),
            rows=tuple(
                _trim_rows(ways, {} if cut.item == FLASHING else dict.fromkeys(curved, bow_trims))
            ),
        )
        views.append(view)
    return tuple(views)


def _lengths(cut: CutList) -> str:
    """How many lengths of each stock to take, the longest first.

    >>> from quotegen.model.takeoff import CutLength
    >>> two = (CutLength(3000.0, (), 0.0),) * 2
    >>> _lengths(CutList("trim_drip", "Drip trim", two, True, ()))
    '2 × 3000 mm'
    """
    stocks = [length.stock_mm for length in cut.lengths]
    return ", ".join(
        f"{wording.number(stocks.count(stock_mm))} × {wording.mm(stock_mm)}"
        for stock_mm in sorted(set(stocks), reverse=True)
    )


def _trim_rows(ways: tuple[WayOfCutting, ...], bent: Mapping[str, str]) -> Iterator[TrimRow]:
    """The pieces cut the same; `bent` says, by edge, how one goes round a curve."""
    alike: dict[tuple[int, str, tuple[End, End]], list[NumberedPiece]] = {}
    for piece in (piece for way in ways for place in way.places for piece in place):
        key = (round(piece.length_mm), piece.edge, piece.ends)
        alike.setdefault(key, []).append(piece)
    for (_, edge, ends), pieces in alike.items():
        letter = pieces[0].letter
        yield TrimRow(
            numbers=numbers_of(sorted(pieces, key=lambda piece: piece.number)),
            length=wording.mm(pieces[0].length_mm),
            edge=", ".join(words for words in (letter, edge, bent.get(edge, "")) if words),
            one_end=ends[0].words,
            other_end=ends[1].words,
        )


def _trim_notes(statement: MethodStatement) -> Iterator[str]:
    """What the lengths include, as far as it applies to this roof."""
    option, number = statement.option, statement.settings.number
    ends = {
        end.kind
        for cut in option.cuts
        for way in ways_of_cutting(cut, statement.take_off.outline, 1)
        for place in way.places
        for piece in place
        for end in piece.ends
    }
    if EndKind.MITRE in ends:
        extra = wording.mm(number("trim_mitre_mm"))
        yield f"{extra} more is allowed at each mitre: trim it on the roof, to the line."
    if EndKind.CORNER_PIECE in ends:
        short = wording.mm(number("corner_short_mm"))
        yield f"A trim stops {short} short of a corner piece, which laps over it."
    if EndKind.MADE_UP in ends:
        extra = wording.mm(number("trim_mitre_mm"))
        yield (
            "No corner piece fits where a raised edge meets a drip: make one up from both on site"
            f" and bandage it; each has {extra} extra."
        )
    past_mm = number("flashing_past_mm")
    if past_mm and any(cut.item == FLASHING for cut in option.cuts):
        yield f"Flashing runs {wording.mm(past_mm)} past each free end of a wall."
    if any(edge.curve for edge in statement.take_off.outline.edges):
        yield _round_the_curve(statement.settings)
    pieces = [
        f"{wording.number(need.gross.number)} × {small(need.words)}"
        for need in option.needs
        if need.kind in CORNER_PIECES
    ]
    if pieces:
        yield f"Corner pieces: {listed(pieces)}."
    if EndKind.LAPPED in ends:
        lap = wording.mm(number("trim_lap_mm"))
        flashed = any(cut.item == FLASHING for cut in option.cuts)
        more = f"; flashing {wording.mm(number('flashing_lap_mm'))}" if flashed else ""
        yield f"Pieces on one edge lap by {lap}{more}; the lengths include the laps."


def _round_the_curve(settings: Settings) -> str:
    """How a trim goes round a curve; empty for a straight one."""
    if BowTrims(settings.text("bow_trims")) is BowTrims.SHORT:
        gap, lap = (wording.mm(settings.number(code)) for code in ("bow_gap_mm", "trim_lap_mm"))
        return (
            f"Round the bow use short straight pieces, no more than {gap} off the curve, lapped "
            f"by {lap} and bandaged all along."
        )
    slits = wording.mm(settings.number("bow_slit_mm"))
    return (
        f"Round the bow slit the trim every {slits}, flange and face, and bend it on the batten; "
        "bandage it all along."
    )


def _boards(
    statement: MethodStatement,
    centres: Figure,
    plan: LayerPlan,
) -> BoardView:
    option, enquiry = statement.option, statement.enquiry
    layout, outline = option.boards, statement.take_off.outline
    decks = layers_of(option.build_up, enquiry.existing).boards
    end = _counted_from(layout)
    measured = "as measured" if enquiry.roof.joist_centres_mm else "assumed: not measured"
    run = enquiry.roof.joist_run or JoistRun.OUT
    sheets = wording.count(len(layout.sheets), "sheet", "sheets")
    size = size_words(layout.kind.length_mm, layout.kind.width_mm)
    words = next(need.words for need in option.needs if need.item == layout.kind.item)
    return BoardView(
        words=f"{words}, {size} mm: {sheets}",
        decks=""
        if decks == 1
        else f"Cut everything {decks} times, {decks * len(layout.sheets)} sheets in all: "
        f"{decks} decks, one on top of the other.",
        joists=f"Joists {wording.mm(centres.number)} apart ({measured}), {run}, "
        f"counted from the {end}",
        timber=_timber(statement),
        never_in=told(OpeningSentence.NEVER_IN),
        openings=tuple(_left_open(enquiry, outline)),
        plan=plan.drawing,
        scale=f"1:{plan.scale}",
        sheets=_sheets(layout),
        sheet_scale=f"1:{SHEET_SCALE}",
        rows=tuple(_board_rows(layout)),
    )


def _timber(statement: MethodStatement) -> str:
    """The timber round the insulation, with the pieces round rooflight kerbs one by one."""
    need = next((n for n in statement.option.needs if n.kind is ItemKind.EDGE_TIMBER), None)
    if need is None:
        return ""
    kerbs = [
        f"{wording.number(2 * light.count.number)} × {wording.mm(side.number)}"
        for light in rooflights(statement.enquiry, statement.settings)
        for side in (light.length_mm, light.width_mm)
    ]
    of_it = f", including round rooflight kerbs {listed(kerbs)} and the corners" if kerbs else ""
    length = wording.number(need.net.number, 1)
    return f"Timber round the insulation, to its depth: {length} m{of_it}."


def _left_open(enquiry: Enquiry, outline: Outline) -> Iterator[str]:
    """The holes left in the boards: where each is, or that its place has to be marked."""
    behind = top_mark(outline).lower()
    for placed in placed_openings(enquiry, outline):
        yield boarding_words(placed, behind)
    yield from by_hand(enquiry)


def _counted_from(layout: BoardLayout) -> str:
    if layout.pieces[0].along_wall:
        return "right" if layout.from_far_end else "left"
    return "front" if layout.from_far_end else "back"


@once_a_job
def _sheets(layout: BoardLayout) -> tuple[Markup, ...]:
    return tuple(draw_sheets(alike, layout.kind, SHEET_SCALE) for alike in _sheets_alike(layout))


def _sheets_alike(layout: BoardLayout) -> tuple[SheetsAlike, ...]:
    """The sheets grouped by how they are cut, in number order."""
    found: dict[tuple[tuple[int, ...], ...], list[int]] = {}
    for number, sheet in enumerate(layout.sheets):
        key = tuple(
            tuple(round(mm) for mm in (piece.x_mm, piece.y_mm, piece.long_mm, piece.short_mm))
            for piece in sheet
        )
        found.setdefault(key, []).append(number)
    return tuple(
        SheetsAlike(tuple(n + 1 for n in numbers), tuple(layout.sheets[n] for n in numbers))
        for numbers in found.values()
    )


def _board_rows(layout: BoardLayout) -> Iterator[SizeRow]:
    sheet_of = {piece.number: n for n, sheet in enumerate(layout.sheets, 1) for piece in sheet}
    for piece in layout.pieces:
        yield SizeRow(
            number=str(piece.number),
            length=wording.bare_mm(piece.long_mm),
            width=wording.bare_mm(piece.short_mm),
            words=f"row {piece.row + 1}, from sheet {sheet_of[piece.number]}",
        )


def _mat(statement: MethodStatement, plan: LayerPlan) -> MatView:
    option, enquiry = statement.option, statement.enquiry
    layout = option.mat
    layers = enquiry.mat_layers.number
    weight = wording.number(enquiry.mat_g_m2.number)
    way = "along the low edge" if layout.along_low_edge else "up the fall"
    roll = wording.mm(layout.roll_mm)
    cut = wording.mm(layout.length_mm)
    return MatView(
        words=f"Glass mat {weight} g/m², roll {roll} wide, strips {way}: "
        f"{wording.count(len(layout.strips), 'strip', 'strips')}, {cut} off the roll",
        layers=""
        if layers == 1
        else f"{wording.count(layers, 'layer', 'layers')}: cut every strip {wording.plain(layers)} "
        f"times, {wording.mm(layers * layout.length_mm)} in all.",
        plan=plan.drawing,
        scale=f"1:{plan.scale}",
        rows=tuple(
            SizeRow(
                number=str(strip.number),
                length=wording.bare_mm(strip.length_mm),
                width=wording.bare_mm(strip.width_mm),
                words="cut down from the roll" if strip.filler else "the whole roll",
            )
            for strip in layout.strips
        ),
    )


def _fill(statement: MethodStatement, issue: Issue, _box: PictureBox) -> Mapping[str, Any]:
    return {"cutting": cutting_view(statement, issue)}


CUTTING_LIST = Design(
    "Cutting list",
    "crew/cutting_list.html",
    lambda statement: (statement.enquiry, statement.settings),
    _fill,
)
