"""One row of Enquiries: what its shape and work still need, and the record it becomes.

Only the content of the row is checked here. The take-off checks that the sizes can make the shape,
and that an outline closes.
"""

import math
from collections.abc import Iterator, Mapping, Sequence

from msgspec import Struct

from quotegen import wording
from quotegen.model.choices import (
    INSULATED,
    OVER_OLD_DECK,
    Access,
    BuildUp,
    Covering,
    CustomerKind,
    DeckCondition,
    EdgeKind,
    Household,
    Nation,
    Shape,
    Side,
    Size,
)
from quotegen.model.enquiry import (
    SHAPE_NEEDS,
    Customer,
    Enquiry,
    Existing,
    MeasuredRoof,
    PayingFacts,
    SiteFacts,
)
from quotegen.model.settings import DefaultedSettings
from quotegen.problems import Problem
from quotegen.reference.firm.house_taken import edges_at_once, house_taken
from quotegen.reference.nations import nation_of
from quotegen.reference.remark_keys import TakenKey
from quotegen.reference.remarks import Remark, remark
from quotegen.units import Unit
from quotegen.workbook.reading.detail_rows import (
    before_row,
    check_before,
    check_extra,
    check_finding,
    check_opening,
    check_outline,
    extra,
    finding,
    measured_column,
    not_offered,
    opening,
    outline_row,
)
from quotegen.workbook.reading.rows import Row
from quotegen.workbook.sheets.columns import Column
from quotegen.workbook.sheets.details import FINDINGS
from quotegen.workbook.sheets.enquiries import ENQUIRIES
from quotegen.working import Figure, derive

NOT_KNOWN = "not known"
BILL_LATER = "address to be given"
COLOUR_OPEN = "to be agreed"
SIZES: Mapping[Size, Column[Figure]] = {
    Size.WIDTH: ENQUIRIES.width_mm,
    Size.PROJECTION: ENQUIRIES.projection_mm,
    Size.FRONT_WIDTH: ENQUIRIES.front_width_mm,
    Size.LEFT_SET_BACK: ENQUIRIES.left_set_back_mm,
    Size.NOTCH_WIDTH: ENQUIRIES.notch_width_mm,
    Size.NOTCH_DEPTH: ENQUIRIES.notch_depth_mm,
}
"""The column of each size."""
EDGES: Mapping[Side, Column[EdgeKind]] = {
    Side.BACK: ENQUIRIES.edge_back,
    Side.RIGHT: ENQUIRIES.edge_right,
    Side.FRONT: ENQUIRIES.edge_front,
    Side.LEFT: ENQUIRIES.edge_left,
    Side.NOTCH: ENQUIRIES.edge_notch,
}
"""The column for the kind of each side's edge."""


class Details(Struct, frozen=True):
    """The rows of the other job sheets with one enquiry's reference."""

    outline: tuple[Row, ...] = ()
    openings: tuple[Row, ...] = ()
    findings: tuple[Row, ...] = ()
    extras: tuple[Row, ...] = ()
    before_the_start: tuple[Row, ...] = ()


def check_row(row: Row, details: Details) -> list[Problem]:
    """Everything wrong with one enquiry: its cells, its shape, its work, its other rows."""
    problems = list(row.problems)
    problems += _check_year_built(row)
    problems += _check_shape(row, details.outline)
    problems += _check_work(row)
    problems += _check_offered(row, details.findings)
    problems += _check_answers(row, details.openings)
    if details.outline:
        problems += check_outline(details.outline)
    problems += (found for each in details.openings for found in check_opening(each))
    problems += (found for each in details.findings for found in check_finding(each))
    problems += (found for each in details.extras for found in check_extra(each))
    problems += check_before(row, details.before_the_start)
    return problems


def _nation(site_address: str) -> Nation | None:
    name = nation_of(site_address)
    return Nation(name) if name else None


def enquiry(row: Row, details: Details, settings: DefaultedSettings) -> Enquiry:
    """The record of an enquiry that nothing stops."""
    site_address = row[ENQUIRIES.site_address]
    kind = row[ENQUIRIES.customer_kind]
    bill_later = site_address if kind is CustomerKind.HOME_OWNER else BILL_LATER
    roof, taken = _roof(row, details.outline, settings)
    return Enquiry(
        ref=row.ref,
        place=row.place(ENQUIRIES.ref),
        dated=row.get(ENQUIRIES.dated),
        customer=Customer(
            name=row[ENQUIRIES.customer_name],
            kind=kind,
            bill_address=row.get(ENQUIRIES.bill_address) or bill_later,
            email=row.get(ENQUIRIES.email) or "",
            contact=row.get(ENQUIRIES.contact) or "",
        ),
        site_address=site_address,
        nation=row.get(ENQUIRIES.nation) or _nation(site_address),
        occupier=row.get(ENQUIRIES.occupier),
        roof=roof,
        existing=Existing(
            covering=row.get(ENQUIRIES.covering),
            layers=row.get(ENQUIRIES.layers),
            deck=row.get(ENQUIRIES.deck),
            condition=row.get(ENQUIRIES.condition),
        ),
        build_ups=_offered(row, details.findings),
        board_mm=row.get(ENQUIRIES.board_mm) or settings["new_board_mm"],
        mat_g_m2=row.get(ENQUIRIES.mat_g_m2) or settings["mat_g_m2"],
        mat_layers=row.get(ENQUIRIES.mat_layers) or settings["mat_layers"],
        colour=row.get(ENQUIRIES.colour) or COLOUR_OPEN,
        below=row.get(ENQUIRIES.below) or (),
        access=row.get(ENQUIRIES.access),
        ladder_reason=row.get(ENQUIRIES.ladder_reason) or "",
        wall_joint=row.get(ENQUIRIES.wall_joint),
        site=_site(row),
        household=row.get(ENQUIRIES.household) or (),
        insulation_mm=row.get(ENQUIRIES.insulation_mm),
        gutter_mm=row.get(ENQUIRIES.gutter_mm),
        tiles_mm=row.get(ENQUIRIES.tiles_mm),
        year_built=row.get(ENQUIRIES.year_built),
        start_on=row.get(ENQUIRIES.start_on),
        deck_c=row.get(ENQUIRIES.deck_c),
        air_c=row.get(ENQUIRIES.air_c),
        humidity_pct=row.get(ENQUIRIES.humidity_pct),
        travel_min=row.get(ENQUIRIES.travel_min),
        customer_notes=row.get(ENQUIRIES.customer_notes) or "",
        private_notes=row.get(ENQUIRIES.private_notes) or "",
        accepted=row.get(ENQUIRIES.accepted),
        advised=row.get(ENQUIRIES.advised),
        advised_because=row.get(ENQUIRIES.advised_because) or "",
        photo=row.get(ENQUIRIES.photo) or "",
        said_no=row.get(ENQUIRIES.said_no) or "",
        answered_on=row.get(ENQUIRIES.answered_on),
        openings=tuple(opening(each) for each in details.openings),
        findings=tuple(finding(each) for each in details.findings),
        extras=tuple(extra(each) for each in details.extras),
        if_longer=row.get(ENQUIRIES.if_longer),
        longer_at=row.place(ENQUIRIES.if_longer),
        access_at=row.place(ENQUIRIES.access),
        insulation_at=row.place(ENQUIRIES.insulation_mm),
        start_at=row.place(ENQUIRIES.start_on),
        photo_at=row.place(ENQUIRIES.photo),
        before=tuple(before_row(each) for each in details.before_the_start),
        paying=_paying(row),
        taken=(*taken, *_taken_build_up(row)),
    )


def _check_year_built(row: Row) -> list[Problem]:
    """A building year after the visit, which would pass an old roof off as too new for asbestos."""
    built, dated = row.get(ENQUIRIES.year_built), row.get(ENQUIRIES.dated)
    if built is None or dated is None or built.number <= dated.year:
        return []
    column, seen = ENQUIRIES.year_built, wording.year(built.number)
    least = wording.typed(column.least or 0)
    return [row.problem("cell-out-of-range", column, seen, least=least, most=dated.year)]


def _check_shape(row: Row, outline: Sequence[Row]) -> list[Problem]:
    """Sizes and edges that the shape needs but lacks, and those it has no use for."""
    shape = row.get(ENQUIRIES.shape)
    if shape is None:
        return []
    needs = SHAPE_NEEDS[shape]
    problems: list[Problem] = []
    for size, column in SIZES.items():
        if size in needs.sizes and not row.filled(column) and not _front_by_cants(row, size):
            problems.append(row.problem("size-missing", column, shape=str(shape)))
        elif size not in needs.sizes + needs.optional and row.typed(column):
            problems.append(row.problem("size-not-used", column, shape=str(shape)))
    for side, edge in EDGES.items():
        if side in needs.sides and not (row.filled(edge) or row.typed(ENQUIRIES.edges_at_once)):
            problems.append(row.problem("edge-kind-missing", edge, edge=str(side)))
        elif side not in needs.sides and row.typed(edge):
            problems.append(row.problem("size-not-used", edge, shape=str(shape)))
    if shape is Shape.L_SHAPE:
        problems += row.missing(ENQUIRIES.notch_at)
    elif row.typed(ENQUIRIES.notch_at):
        problems.append(row.problem("size-not-used", ENQUIRIES.notch_at, shape=str(shape)))
    if not needs.sides and row.typed(ENQUIRIES.edges_at_once):
        problems.append(row.problem("size-not-used", ENQUIRIES.edges_at_once, shape=str(shape)))
    return problems + _check_outline_use(row, shape, outline)


def _check_outline_use(row: Row, shape: Shape, outline: Sequence[Row]) -> list[Problem]:
    by_outline = not SHAPE_NEEDS[shape].sides
    if by_outline and not outline:
        return [row.problem("outline-missing", ENQUIRIES.shape, row.ref)]
    if outline and not by_outline:
        first = outline[0]
        return [first.problem("size-not-used", measured_column(first), shape=str(shape))]
    return []


def _check_work(row: Row) -> list[Problem]:
    """The needs of the work: a sound deck, an insulation, a reason.

    The existing roof decides what is stripped and tipped, so it is required here too.
    """
    problems: list[Problem] = []
    build_ups = _asked(row)
    condition = row.get(ENQUIRIES.condition)
    if (
        any(one in OVER_OLD_DECK for one in build_ups)
        and condition is not DeckCondition.SOUND
        and not row.faulty(ENQUIRIES.condition)
    ):
        seen = condition or NOT_KNOWN
        problems.append(row.problem("cap-over-unsound", ENQUIRIES.condition, seen))
    if any(one in INSULATED for one in build_ups):
        problems += row.missing(ENQUIRIES.insulation_mm)
    problems += _check_named(row, build_ups, build_ups)
    if row.filled(ENQUIRIES.advised_because) and row.typed(ENQUIRIES.advised_because):
        problems += row.missing(ENQUIRIES.advised)
    problems += row.missing(ENQUIRIES.covering)
    if row.get(ENQUIRIES.covering) is not Covering.NONE:
        problems += row.missing(ENQUIRIES.deck)
    if row.get(ENQUIRIES.access) is Access.LADDER and not row.filled(ENQUIRIES.ladder_reason):
        problems.append(row.problem("access-reason-missing", ENQUIRIES.ladder_reason))
    return problems


def _offered(row: Row, findings: Sequence[Row]) -> tuple[BuildUp, ...]:
    """The build-ups asked for that rest on nothing declined."""
    asked = _asked(row)
    refused = {build_up for _, build_up in not_offered(findings, asked)}
    return tuple(build_up for build_up in asked if build_up not in refused)


def _check_offered(row: Row, findings: Sequence[Row]) -> list[Problem]:
    """The build-ups that rest on declined work, and whether any other is left to offer."""
    asked = _asked(row)
    offered = _offered(row, findings)
    problems = [
        found.problem(
            "rests-on-declined",
            FINDINGS.answer,
            found.get(FINDINGS.seen) or "",
            build_up=str(build_up),
        )
        for found, build_up in not_offered(findings, asked)
    ]
    if asked and not offered:
        problems.append(row.problem("nothing-to-offer", ENQUIRIES.build_ups, "; ".join(asked)))
    elif asked:
        refused = [build_up for build_up in asked if build_up not in offered]
        problems += _check_named(row, offered, [b for b in BuildUp if b not in refused])
    return problems


def _check_named(
    row: Row, offered: Sequence[BuildUp], known: Sequence[BuildUp]
) -> Iterator[Problem]:
    """The cells that name one build-up, accepted or advised, where it is none of those known."""
    for column in (ENQUIRIES.accepted, ENQUIRIES.advised):
        named = row.get(column)
        if named and offered and named not in known:
            choices = ", ".join(offered)
            yield row.problem("cell-not-a-choice", column, named, choices=choices)


def _check_answers(row: Row, openings: Sequence[Row]) -> list[Problem]:
    """Contradictory answers: nobody and somebody, yes and no, an opening and none listed."""
    problems: list[Problem] = []
    household = row.get(ENQUIRIES.household) or ()
    if Household.NONE in household and len(household) > 1:
        others = ", ".join(who for who in household if who is not Household.NONE)
        problems.append(
            row.problem("answers-disagree", ENQUIRIES.household, Household.NONE, other=others)
        )
    if row.get(ENQUIRIES.accepted) and row.filled(ENQUIRIES.said_no):
        other = f"“{row.get(ENQUIRIES.accepted)}” as the accepted build-up"
        seen = row.get(ENQUIRIES.said_no) or ""
        problems.append(row.problem("answers-disagree", ENQUIRIES.said_no, seen, other=other))
    if row.filled(ENQUIRIES.paid) and not row.filled(ENQUIRIES.paid_on):
        problems += row.missing(ENQUIRIES.paid_on)
    there = row.get(ENQUIRIES.through_roof)
    if there is not None and there is not bool(openings):
        listed = f"{len(openings)} rows on the Openings sheet"
        seen = "yes" if there else "no"
        problems.append(row.problem("answers-disagree", ENQUIRIES.through_roof, seen, other=listed))
    return problems


def _asked(row: Row) -> tuple[BuildUp, ...]:
    """The build-ups to price; where none is named, the one that the house takes for granted."""
    named = row.get(ENQUIRIES.build_ups)
    if named is None and not row.faulty(ENQUIRIES.build_ups):
        return (BuildUp(house_taken(TakenKey)[TakenKey.BUILD_UP].value),)
    return named or ()


def _taken_build_up(row: Row) -> list[Remark]:
    """That no build-up was named, and which one is priced."""
    if row.typed(ENQUIRIES.build_ups):
        return []
    return [remark(TakenKey.BUILD_UP, build_up="; ".join(_asked(row)))]


def _front_by_cants(row: Row, size: Size) -> bool:
    """Whether a front that nobody has measured can be worked out: the cants are taken as alike."""
    bay = size is Size.FRONT_WIDTH and row.get(ENQUIRIES.shape) is Shape.CANTED_BAY
    return bay and not row.typed(ENQUIRIES.left_set_back_mm)


def front_mm(width_mm: float, projection_mm: float, cant_deg: float) -> float:
    """Front of a bay whose cants are alike: width - 2 x projection / tan(cant) [mm].

    >>> round(front_mm(2400, 600, 45))
    1200
    """
    return width_mm - 2 * projection_mm / math.tan(math.radians(cant_deg))


def _edge(row: Row, side: Side) -> EdgeKind:
    """The kind of a side's edge: its own cell, or what is said of all edges at once."""
    own = row.get(EDGES[side])
    if own is not None:
        return own
    return EdgeKind(getattr(edges_at_once()[row[ENQUIRIES.edges_at_once]], side))


def _roof(
    row: Row, outline: Sequence[Row], settings: DefaultedSettings
) -> tuple[MeasuredRoof, list[Remark]]:
    """The roof, and what was taken for granted of its sizes."""
    shape, taken = row[ENQUIRIES.shape], []
    needs = SHAPE_NEEDS[shape]
    sizes = {size: row.get(SIZES[size]) for size in needs.sizes + needs.optional}
    width, out, cant = sizes.get(Size.WIDTH), sizes.get(Size.PROJECTION), settings["bay_cant_deg"]
    if shape is Shape.CANTED_BAY and sizes[Size.FRONT_WIDTH] is None and width and out:
        front = derive(
            "front width", Unit.MM, front_mm, width_mm=width, projection_mm=out, cant_deg=cant
        )
        sizes[Size.FRONT_WIDTH] = front
        taken.append(remark(TakenKey.FRONT, front=front, cant=cant))
    roof = MeasuredRoof(
        kind=row[ENQUIRIES.roof_kind],
        shape=shape,
        sizes={size: figure for size, figure in sizes.items() if figure},
        edges={side: _edge(row, side) for side in needs.sides},
        outline_rows=() if needs.sides else tuple(outline_row(each) for each in outline),
        notch_at=row.get(ENQUIRIES.notch_at) or Side.RIGHT,
        falls_to=row.get(ENQUIRIES.falls_to) or Side.FRONT,
        level_drop_mm=row.get(ENQUIRIES.level_drop_mm),
        upstand_mm=row.get(ENQUIRIES.upstand_mm),
        height_mm=row.get(ENQUIRIES.height_mm),
        joist_centres_mm=row.get(ENQUIRIES.joist_centres_mm),
        joist_run=row.get(ENQUIRIES.joist_run),
        joist_depth_mm=row.get(ENQUIRIES.joist_depth_mm),
        joist_width_mm=row.get(ENQUIRIES.joist_width_mm),
        falls_at=row.place(ENQUIRIES.falls_to),
        drop_at=row.place(ENQUIRIES.level_drop_mm),
    )
    return roof, taken


def _site(row: Row) -> SiteFacts:
    return SiteFacts(
        heated_below=row.get(ENQUIRIES.heated_below),
        overhead_cables=row.get(ENQUIRIES.overhead_cables),
        flue_near=row.get(ENQUIRIES.flue_near),
        cars_near=row.get(ENQUIRIES.cars_near),
        asbestos_surveyed=row.get(ENQUIRIES.asbestos_surveyed),
        room_for_tower=row.get(ENQUIRIES.room_for_tower),
        nesting_birds=row.get(ENQUIRIES.nesting_birds),
        lone_work=row.get(ENQUIRIES.lone_work),
        through_roof=row.get(ENQUIRIES.through_roof),
    )


def _paying(row: Row) -> PayingFacts:
    return PayingFacts(
        customer_vat=row.get(ENQUIRIES.customer_vat),
        pays_under_cis=row.get(ENQUIRIES.pays_under_cis),
        end_user=row.get(ENQUIRIES.end_user),
        paid_on=row.get(ENQUIRIES.paid_on),
        paid=row.get(ENQUIRIES.paid),
        vat_at=row.place(ENQUIRIES.customer_vat),
        cis_at=row.place(ENQUIRIES.pays_under_cis),
        end_user_at=row.place(ENQUIRIES.end_user),
    )
