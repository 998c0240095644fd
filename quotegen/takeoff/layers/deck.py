"""Deck boards by layout, their screws and noggins, and what insulation adds."""

import math
from collections.abc import Sequence
from typing import TypedDict

from msgspec import Struct
from msgspec.structs import astuple

from quotegen.model.choices import DeckBoards, EdgeKind, JoistRun
from quotegen.model.roof import BoardKind, BoardLayout, Ring
from quotegen.model.settings import Lost, PriceBook
from quotegen.model.takeoff import Stage
from quotegen.reference import house_rules
from quotegen.reference import loader as reference
from quotegen.reference.item_kinds import ItemKind
from quotegen.takeoff.basis.job import (
    Demand,
    Job,
    kerb_lengths_mm,
    outline_ring,
    times,
    total_length_m,
)
from quotegen.takeoff.layers.board_layout import (
    LayingRules,
    Walls,
    fixing_count,
    joint_lengths_m,
    lay_boards,
)
from quotegen.takeoff.layers.joists import joist_centres
from quotegen.takeoff.layers.thermal import layers_mm
from quotegen.units import Unit
from quotegen.working import Figure, chosen, derive, total


class DeckPlan(Struct, frozen=True):
    """One deck as laid: the boards chosen, how they lie, and what it takes."""

    item: str
    layout: BoardLayout
    sheets: Figure
    screws: Figure
    long_joints_m: Figure
    short_joints_m: Figure


def plan_deck(job: Job, prices: PriceBook) -> DeckPlan:
    """The deck of this build-up in the cheaper boards, or those the firm wants."""
    plans = [_plan(job, kind) for kind in _kinds(job)]
    return min(plans, key=lambda plan: _cost(plan, prices))


def top_board(job: Job) -> Figure:
    """Thickness of the uppermost board of this build-up."""
    return job.settings["cap_board_mm"] if job.layers.cap_boards else job.enquiry.board_mm


def deck_demands(job: Job, plan: DeckPlan) -> list[Demand]:
    """Boards, screws and noggins for every deck of this build-up."""
    decks = chosen(
        "layers of board", float(job.layers.boards), Unit.LAYERS, "what the build-up lays"
    )
    sheets = derive("sheets of board", Unit.SHEET, times, number=decks, each=plan.sheets)
    demands = [Demand(plan.item, Stage.DECK, sheets)]
    screwed = job.layers.boards - int(job.layers.insulation)
    if screwed:
        layers = chosen("layers screwed to joists", float(screwed), Unit.LAYERS, "the build-up")
        screws = derive("deck screws", Unit.EACH, times, number=layers, each=plan.screws)
        screw = house_rules.item_of(ItemKind.DECK_SCREW, screw_length_mm(job).number)
        demands.append(Demand(screw.code, Stage.DECK, screws, job.waste(Lost.FIXINGS)))
    if needs_noggins(job, plan):
        demands.append(Demand("noggin", Stage.DECK, plan.long_joints_m, job.waste(Lost.TIMBER)))
    return demands


def needs_noggins(job: Job, plan: DeckPlan) -> bool:
    """Whether long joints need timber under them: square-edge boards on open joists."""
    on_joists = job.layers.new_decks > int(job.layers.insulation)
    return on_joists and not plan.layout.kind.tongued and bool(plan.long_joints_m.number)


def insulation_demands(job: Job) -> list[Demand]:
    """Insulation, vapour layer, edge timber and long screws; none without insulation."""
    thickness = job.enquiry.insulation_mm
    if not job.layers.insulation or thickness is None:
        return []
    waste = job.waste(Lost.INSULATION)
    screws = derive(
        "screws through insulation",
        Unit.EACH,
        times,
        number=job.deck_m2,
        each=job.settings["insulation_fixings_per_m2"],
    )
    screw_mm = long_screw_length_mm(job, thickness).number
    screw = house_rules.item_of(ItemKind.LONG_SCREW, screw_mm)
    demands = [
        *(
            Demand(
                house_rules.item_of(ItemKind.INSULATION, layer.number).code,
                Stage.INSULATION,
                job.deck_m2,
                waste,
            )
            for layer in layers_mm(job.enquiry)
        ),
        Demand("vapour_layer", Stage.INSULATION, job.deck_m2, waste),
        Demand(screw.code, Stage.INSULATION, screws, job.waste(Lost.FIXINGS)),
    ]
    edge_m = open_edge_m(job)
    if edge_m.number:
        demands.append(Demand("edge_timber", Stage.INSULATION, edge_m, job.waste(Lost.TIMBER)))
    return demands


def open_edge_m(job: Job) -> Figure:
    """Length of the open edges of the insulation [m].

    Those not against a wall or under tiles, and those round rooflight kerbs.
    """
    open_kinds = [k for k in EdgeKind if k not in (EdgeKind.WALL, EdgeKind.TILES)]
    kerbs_m = derive(
        "rooflight kerbs",
        Unit.M,
        total_length_m,
        lengths_mm=kerb_lengths_mm(job.enquiry, job.settings),
    )
    parts = [job.edge_length_m(*open_kinds), kerbs_m]
    return derive("open edge of the insulation", Unit.M, total, parts=parts)


def screw_length_mm(job: Job) -> Figure:
    """Length of the deck screws: through everything above the joist and into it."""
    board = top_board(job)
    under = job.settings["new_board_mm"] if job.layers.cap_boards else _nothing_between()
    return derive(
        "length of deck screws",
        Unit.MM,
        fixing_length_mm,
        board_mm=board,
        multiple=reference.figure("deck_boards.fixing_length_times_thickness"),
        least_mm=reference.figure("deck_boards.fixing_length_least_mm"),
        through_mm=under.renamed("old deck below"),
        grip_mm=job.settings["fixing_joist_grip_mm"],
        sold_mm=_sold(ItemKind.DECK_SCREW),
    )


def long_screw_length_mm(job: Job, insulation_mm: Figure) -> Figure:
    """Length of the screws through the top board, insulation and the deck below, into the joist."""
    return derive(
        "length of screws through insulation",
        Unit.MM,
        through_length_mm,
        insulation_mm=insulation_mm,
        board_mm=job.enquiry.board_mm,
        under_mm=job.settings["new_board_mm"].renamed("deck below the insulation"),
        grip_mm=job.settings["fixing_joist_grip_mm"],
        sold_mm=_sold(ItemKind.LONG_SCREW),
    )


def _sold(screw: ItemKind) -> list[Figure]:
    """The lengths in which a screw is listed."""
    return [chosen("sold", mm, Unit.MM, "the list of items") for mm in house_rules.sizes(screw)]


def _nothing_between() -> Figure:
    return chosen("nothing", 0.0, Unit.MM, "boards lie on the joists")


def _kinds(job: Job) -> list[BoardKind]:
    """The boards that the firm wants, as far as they are sold in the thickness of this build-up."""
    mm, wish = top_board(job).number, DeckBoards(job.settings.text("deck_boards"))
    if wish is DeckBoards.SQUARE or mm not in house_rules.sizes(ItemKind.TONGUED_BOARD):
        return [_square(job, mm)]
    if wish is DeckBoards.TONGUED:
        return [_tongued(job, mm)]
    return [_square(job, mm), _tongued(job, mm)]


def _square(job: Job, mm: float) -> BoardKind:
    number = job.settings.number
    return BoardKind(
        house_rules.item_of(ItemKind.DECK_BOARD, mm).code,
        number("board_length_mm"),
        number("board_width_mm"),
        number("board_gap_mm"),
        tongued=False,
    )


def _tongued(job: Job, mm: float) -> BoardKind:
    number = job.settings.number
    return BoardKind(
        house_rules.item_of(ItemKind.TONGUED_BOARD, mm).code,
        number("tongued_length_mm"),
        number("tongued_width_mm"),
        joint_gap_mm=0.0,
        tongued=True,
    )


def _cost(plan: DeckPlan, prices: PriceBook) -> tuple[float, float]:
    """The price of the sheets in the cheapest pack, boards nobody prices last."""
    packs = prices.of(plan.item)
    if not packs:
        return (math.inf, plan.sheets.number)
    each = min(float(pack.pack_price) / pack.pack_size for pack in packs)
    return (each * plan.sheets.number, plan.sheets.number)


class _Laid(TypedDict):
    points: Figure
    walls: Figure
    centres_mm: Figure
    along_wall: Figure
    board: Figure
    rules: Figure


def _plan(job: Job, kind: BoardKind) -> DeckPlan:
    number = job.settings.number
    centres = joist_centres(job.enquiry, job.settings)
    rules = LayingRules(
        number("wall_gap_mm"),
        number("board_stagger_mm"),
        max(number("board_least_piece_mm"), number("board_least_spans") * centres.number),
        number("saw_cut_mm"),
        number("board_least_row_mm"),
        number("board_spare_mm"),
    )
    along_wall = job.enquiry.roof.joist_run is not JoistRun.ALONG
    walls: Walls = tuple((e.start, e.end) for e in job.outline.edges_of(EdgeKind.WALL))
    layout = lay_boards(
        job.outline.points,
        walls,
        centres.number,
        along_wall,
        kind,
        rules,
    )
    laid: _Laid = {
        "points": outline_ring(job.outline),
        "walls": chosen("walls", walls, Unit.MM, "the edges against a wall"),
        "centres_mm": centres,
        "along_wall": chosen("boards along the wall", along_wall, Unit.NONE, "across the joists"),
        "board": chosen(
            "board",
            (kind.item, kind.length_mm, kind.width_mm, kind.joint_gap_mm, kind.tongued),
            Unit.MM,
            "the sheet the firm buys: length, width, gap, tongued",
        ),
        "rules": chosen(
            "laying rules",
            astuple(rules),
            Unit.MM,
            "the Rates sheet: wall gap, stagger, shortest piece, saw cut, narrowest row, spare",
        ),
    }
    return DeckPlan(
        kind.item,
        layout,
        derive("sheets of board in a layer", Unit.SHEET, laid_sheets, **laid),
        derive(
            "screws in a layer",
            Unit.EACH,
            laid_screws,
            edge_mm=job.settings["fixing_edge_mm"],
            field_mm=job.settings["fixing_field_mm"],
            **laid,
        ),
        derive("long joints between boards", Unit.M, laid_long_joints_m, **laid),
        derive("short joints between boards", Unit.M, laid_short_joints_m, **laid),
    )


Board = tuple[str, float, float, float, bool]
_Rules = tuple[float, float, float, float, float, float]


def laid_sheets(
    points: Ring, walls: Walls, centres_mm: float, along_wall: bool, board: Board, rules: _Rules
) -> float:
    """Whole sheets from which the pieces of the laid deck are cut.

    Inputs [mm]: outline, walls, joist centres, (item, length, width, gap, tongued), (wall gap,
    stagger, shortest piece, saw cut, narrowest row, spare). See `board_layout`.
    """
    return float(len(_laid(points, walls, centres_mm, along_wall, board, rules).sheets))


def laid_screws(
    points: Ring,
    walls: Walls,
    centres_mm: float,
    along_wall: bool,
    board: Board,
    rules: _Rules,
    edge_mm: float,
    field_mm: float,
) -> float:
    """Screws of the laid deck, counted piece by piece on the joist lines.

    Inputs [mm] as in `laid_sheets`, and the two spacings. See `board_layout.fixing_count`.
    """
    layout = _laid(points, walls, centres_mm, along_wall, board, rules)
    return float(fixing_count(layout, centres_mm, edge_mm, field_mm))


def laid_long_joints_m(
    points: Ring, walls: Walls, centres_mm: float, along_wall: bool, board: Board, rules: _Rules
) -> float:
    """Length of the joints between rows of the laid deck [m].

    Inputs as in `laid_sheets`.
    """
    return joint_lengths_m(_laid(points, walls, centres_mm, along_wall, board, rules))[0]


def laid_short_joints_m(
    points: Ring, walls: Walls, centres_mm: float, along_wall: bool, board: Board, rules: _Rules
) -> float:
    """Length of the joints across rows of the laid deck [m].

    Inputs as in `laid_sheets`.
    """
    return joint_lengths_m(_laid(points, walls, centres_mm, along_wall, board, rules))[1]


def _laid(
    points: Ring, walls: Walls, centres_mm: float, along_wall: bool, board: Board, rules: _Rules
) -> BoardLayout:
    return lay_boards(points, walls, centres_mm, along_wall, BoardKind(*board), LayingRules(*rules))


def fixing_length_mm(
    board_mm: float,
    multiple: float,
    least_mm: float,
    through_mm: float,
    grip_mm: float,
    sold_mm: Sequence[float],
) -> float:
    """Length of a deck screw: the shortest sold that is no shorter than the greatest of three.

    multiple x board, the least length, and board + what lies between + grip in the joist. Inputs
    and result [mm]. Source: PanelGuide for the first two; the grip is common practice.

    >>> fixing_length_mm(18, 2.5, 50, 0, 40, (50, 60, 70))
    60
    >>> fixing_length_mm(11, 2.5, 50, 18, 40, (50, 60, 70))
    70
    """
    needed = max(multiple * board_mm, least_mm, board_mm + through_mm + grip_mm)
    return min(mm for mm in sold_mm if mm >= needed)


def through_length_mm(
    insulation_mm: float,
    board_mm: float,
    under_mm: float,
    grip_mm: float,
    sold_mm: Sequence[float],
) -> float:
    """Screw from the top board through insulation and the deck below into the joist.

    The shortest sold that is no shorter than insulation + board + deck below + grip. Inputs and
    result [mm].

    >>> through_length_mm(130, 18, 18, 40, (200, 220, 240))
    220
    """
    return min(mm for mm in sold_mm if mm >= insulation_mm + board_mm + under_mm + grip_mm)
