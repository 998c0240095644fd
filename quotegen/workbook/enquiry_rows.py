"""One row of Enquiries: what it lacks for its shape and its work, and the record it becomes.

Only what the row says is looked at here. Whether the sizes can make the shape, and whether an
outline closes, is for the take-off.
"""

from collections.abc import Sequence
from dataclasses import dataclass, fields
from enum import StrEnum
from typing import TypeVar

from quotegen.model.choices import (
    Access,
    Below,
    BuildUp,
    Covering,
    CustomerKind,
    Deck,
    DeckCondition,
    EdgeKind,
    Household,
    JoistRun,
    Occupier,
    RoofKind,
    Shape,
    Side,
    Size,
    WallJoint,
)
from quotegen.model.enquiry import SHAPE_NEEDS, Customer, Enquiry, Existing, MeasuredRoof, SiteFacts
from quotegen.model.settings import DefaultedSettings
from quotegen.problems import Problem
from quotegen.workbook.detail_rows import (
    check_finding,
    check_opening,
    check_outline,
    extra,
    finding,
    measured_field,
    opening,
    outline_row,
)
from quotegen.workbook.rows import Row

Choice = TypeVar("Choice", bound=StrEnum)
NOT_KNOWN = "not known"


@dataclass(frozen=True, slots=True)
class Details:
    """The rows of the other job sheets that carry one enquiry's reference."""

    outline: tuple[Row, ...] = ()
    openings: tuple[Row, ...] = ()
    findings: tuple[Row, ...] = ()
    extras: tuple[Row, ...] = ()


def check_enquiry(row: Row, details: Details) -> list[Problem]:
    """Everything wrong with one enquiry: its cells, its shape, its work, its other rows."""
    problems = list(row.problems)
    problems += _check_year_built(row)
    problems += _check_shape(row, details.outline)
    problems += _check_work(row, details.outline)
    problems += _check_answers(row, details.openings)
    if details.outline:
        problems += check_outline(details.outline)
    problems += (found for each in details.openings for found in check_opening(each))
    problems += (found for each in details.findings for found in check_finding(each))
    problems += (found for each in details.extras for found in each.problems)
    return problems


def enquiry(row: Row, details: Details, settings: DefaultedSettings) -> Enquiry:
    """The record of an enquiry in which nothing stops its papers."""
    dated = row.day("dated")
    if dated is None:
        raise TypeError(f"{row.place('dated')} holds no date")
    site_address = row.text("site_address")
    return Enquiry(
        ref=row.ref,
        place=row.place("ref"),
        dated=dated,
        customer=Customer(
            name=row.text("customer_name"),
            kind=CustomerKind(row.text("customer_kind")),
            bill_address=row.text("bill_address") or site_address,
            email=row.text("email"),
        ),
        site_address=site_address,
        occupier=_chosen(row, "occupier", Occupier),
        roof=_roof(row, details.outline),
        existing=Existing(
            covering=_chosen(row, "covering", Covering),
            layers=row.figure("layers"),
            deck=_chosen(row, "deck", Deck),
            condition=_chosen(row, "condition", DeckCondition),
        ),
        build_ups=tuple(BuildUp(word) for word in row.texts("build_ups")),
        board_mm=row.figure("board_mm") or settings["new_board_mm"],
        mat_g_m2=row.figure("mat_g_m2") or settings["mat_g_m2"],
        mat_layers=row.figure("mat_layers") or settings["mat_layers"],
        colour=row.text("colour"),
        below=tuple(Below(word) for word in row.texts("below")),
        access=_chosen(row, "access", Access),
        ladder_reason=row.text("ladder_reason"),
        wall_joint=_chosen(row, "wall_joint", WallJoint),
        site=SiteFacts(**{fact.name: row.yes(fact.name) for fact in fields(SiteFacts)}),
        household=tuple(Household(word) for word in row.texts("household")),
        insulation_mm=row.figure("insulation_mm"),
        gutter_mm=row.figure("gutter_mm"),
        tiles_mm=row.figure("tiles_mm"),
        year_built=row.figure("year_built"),
        start_on=row.day("start_on"),
        deck_c=row.figure("deck_c"),
        air_c=row.figure("air_c"),
        humidity_pct=row.figure("humidity_pct"),
        travel_min=row.figure("travel_min"),
        customer_notes=row.text("customer_notes"),
        private_notes=row.text("private_notes"),
        accepted=_chosen(row, "accepted", BuildUp),
        openings=tuple(opening(each) for each in details.openings),
        findings=tuple(finding(each) for each in details.findings),
        extras=tuple(extra(each) for each in details.extras),
        access_at=row.place("access"),
    )


def _check_year_built(row: Row) -> list[Problem]:
    """A year after the visit; it would pass an old roof off as too new for asbestos."""
    built, dated = row.figure("year_built"), row.day("dated")
    if built is None or dated is None or built.number <= dated.year:
        return []
    least, seen = f"{row.sheet.column('year_built').least:g}", f"{built.number:g}"
    return [row.problem("cell-out-of-range", "year_built", seen, least=least, most=dated.year)]


def _check_shape(row: Row, outline: Sequence[Row]) -> list[Problem]:
    """Sizes and edges the shape needs and lacks, and those it has no use for."""
    shape = _chosen(row, "shape", Shape)
    if shape is None:
        return []
    needs = SHAPE_NEEDS[shape]
    problems: list[Problem] = []
    for size in Size:
        field = _size_field(size)
        if size in needs.sizes and not row.filled(field):
            problems.append(row.problem("size-missing", field, shape=str(shape)))
        elif size not in needs.sizes + needs.optional and field in row.raw:
            problems.append(row.problem("size-not-used", field, shape=str(shape)))
    for side in Side:
        field = _edge_field(side)
        if side in needs.sides and not row.filled(field):
            problems.append(row.problem("edge-kind-missing", field, edge=str(side)))
        elif side not in needs.sides and field in row.raw:
            problems.append(row.problem("size-not-used", field, shape=str(shape)))
    if shape is Shape.L_SHAPE:
        problems += row.missing("notch_at")
    elif "notch_at" in row.raw:
        problems.append(row.problem("size-not-used", "notch_at", shape=str(shape)))
    return problems + _check_outline_use(row, shape, outline)


def _check_outline_use(row: Row, shape: Shape, outline: Sequence[Row]) -> list[Problem]:
    by_outline = not SHAPE_NEEDS[shape].sides
    if by_outline and not outline:
        return [row.problem("outline-missing", "shape", row.ref)]
    if outline and not by_outline:
        first = outline[0]
        return [first.problem("size-not-used", measured_field(first), shape=str(shape))]
    return []


def _check_work(row: Row, outline: Sequence[Row]) -> list[Problem]:
    """What the work asked for needs: a sound deck, an insulation, a joint, a reason, an address.

    What lies there now decides what is taken off and tipped, so it is asked for here too.
    """
    problems: list[Problem] = []
    build_ups = row.texts("build_ups")
    condition = row.text("condition")
    if (
        BuildUp.CAP_OVER in build_ups
        and condition != DeckCondition.SOUND
        and "condition" not in row.faulty
    ):
        problems.append(row.problem("cap-over-unsound", "condition", condition or NOT_KNOWN))
    if BuildUp.NEW_DECK_INSULATED in build_ups:
        problems += row.missing("insulation_mm")
    accepted = row.text("accepted")
    if accepted and build_ups and accepted not in build_ups:
        choices = ", ".join(build_ups)
        problems.append(row.problem("cell-not-a-choice", "accepted", accepted, choices=choices))
    problems += row.missing("covering")
    if row.text("covering") != Covering.NONE:
        problems += row.missing("deck")
    problems += _check_wall_joint(row, outline)
    if row.text("access") == Access.LADDER and not row.filled("ladder_reason"):
        problems.append(row.problem("access-reason-missing", "ladder_reason"))
    if row.text("customer_kind") != CustomerKind.HOME_OWNER and "customer_kind" in row.values:
        problems += row.missing("bill_address")
    return problems


def _check_wall_joint(row: Row, outline: Sequence[Row]) -> list[Problem]:
    """The joint that a wall upstand needs; where an edge has no kind yet it is only asked after."""
    shape = _chosen(row, "shape", Shape)
    sides = SHAPE_NEEDS[shape].sides if shape else tuple(Side)
    cells = [(row, _edge_field(side)) for side in sides] or [(each, "kind") for each in outline]
    if any(each.text(field) == EdgeKind.WALL for each, field in cells):
        return row.missing("wall_joint")
    open_still = shape and any(not each.filled(field) for each, field in cells)
    if not open_still or row.filled("wall_joint"):
        return []
    return [row.problem("wall-joint-if-wall", "wall_joint")]


def _check_answers(row: Row, openings: Sequence[Row]) -> list[Problem]:
    """Answers that contradict each other: nobody and somebody, an opening and none listed."""
    problems: list[Problem] = []
    household = row.texts("household")
    if Household.NONE in household and len(household) > 1:
        others = ", ".join(who for who in household if who != Household.NONE)
        problems.append(
            row.problem("answers-disagree", "household", str(Household.NONE), other=others)
        )
    there = row.yes("through_roof")
    if there is not None and there is not bool(openings):
        listed = f"{len(openings)} rows on the Openings sheet"
        seen = "yes" if there else "no"
        problems.append(row.problem("answers-disagree", "through_roof", seen, other=listed))
    return problems


def _roof(row: Row, outline: Sequence[Row]) -> MeasuredRoof:
    shape = Shape(row.text("shape"))
    needs = SHAPE_NEEDS[shape]
    sizes = {size: row.figure(_size_field(size)) for size in needs.sizes + needs.optional}
    return MeasuredRoof(
        kind=RoofKind(row.text("roof_kind")),
        shape=shape,
        sizes={size: figure for size, figure in sizes.items() if figure},
        edges={side: EdgeKind(row.text(_edge_field(side))) for side in needs.sides},
        outline_rows=() if needs.sides else tuple(outline_row(each) for each in outline),
        notch_at=_chosen(row, "notch_at", Side) or Side.RIGHT,
        falls_to=_chosen(row, "falls_to", Side) or Side.FRONT,
        level_drop_mm=row.figure("level_drop_mm"),
        upstand_mm=row.figure("upstand_mm"),
        height_mm=row.figure("height_mm"),
        joist_centres_mm=row.figure("joist_centres_mm"),
        joist_run=_chosen(row, "joist_run", JoistRun),
    )


def _chosen(row: Row, field: str, kind: type[Choice]) -> Choice | None:
    word = row.text(field)
    return kind(word) if word else None


def _size_field(size: Size) -> str:
    return f"{size.name.lower()}_mm"


def _edge_field(side: Side) -> str:
    return f"edge_{side}"
