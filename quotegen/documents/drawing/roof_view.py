"""The roof on the papers: the plan, the key of its edges, and the findings."""

from enum import Enum

from markupsafe import Markup
from msgspec import Struct
from msgspec.structs import replace

from quotegen import wording
from quotegen.documents.drawing.plan_drawing import draw_plan, draw_sample
from quotegen.documents.drawing.plan_layout import (
    bare_plan,
    edge_letters,
    filled_plan,
    scale_within,
    top_mark,
)
from quotegen.documents.shared.opening_words import opening_words, place_words
from quotegen.machine.once import once_a_job
from quotegen.model.choices import DeckCondition, EdgeKind, Shape, Side
from quotegen.model.enquiry import Enquiry
from quotegen.model.roof import Corner, CornerKind, Outline
from quotegen.model.takeoff import TakeOff
from quotegen.phrases import capital, listed
from quotegen.reference.loader import figure
from quotegen.takeoff.shape.fall import fall_run
from quotegen.takeoff.shape.openings import placed_openings, unplaced_openings
from quotegen.takeoff.trims.corners import CornerWork, corner_work
from quotegen.working import Figure

PAGE_WIDTH_MM = 174.0
BESIDE_WIDTH_MM = 92.0
HIGHER_BESIDE = 1.25
_NOT_KNOWN = "not known"
_SHAPES = {
    Shape.RECTANGLE: "rectangular",
    Shape.CANTED_BAY: "canted (slanting ends)",
    Shape.FIVE_FACET_BAY: "with five facets",
    Shape.BOW: "bowed",
    Shape.L_SHAPE: "L-shaped",
    Shape.MEASURED: "measured edge by edge",
}
_CONDITIONS = {
    DeckCondition.SOUND: "looked sound",
    DeckCondition.SOFT: "soft in places",
    DeckCondition.ROTTEN: "rotten",
    None: "condition not known until opened",
}


class EdgeRow(Struct, frozen=True):
    """One row of the key beside the plan."""

    letter: str
    name: str
    kind: str
    sample: Markup
    length: str
    corner: str


class PlanView(Struct, frozen=True):
    """The plan with its key; `beside` is True where the key fits beside a narrow plan.

    The scale is 1:`one_to`. `perimeter` is the sum of the edges as shown in the key, to the whole
    millimetre. `openings` are drawn on it; the places of those `not_drawn` were not given.
    """

    drawing: Markup
    one_to: int
    scale: str
    beside: bool
    edges: tuple[EdgeRow, ...]
    area: str
    perimeter: str
    openings: str
    not_drawn: str


class FoundKey(Enum):
    """The facts noted on the visit."""

    ROOF = "roof"
    COVERING = "covering"
    DECK = "deck"
    FALL = "fall"
    HEIGHT = "height"
    UPSTAND = "upstand"


class FoundFact(Struct, frozen=True):
    """One fact noted on the visit."""

    key: FoundKey
    name: str
    words: str


def plan_view(take_off: TakeOff, height_mm: float) -> PlanView:
    """The plan of the roof with its words.

    It goes across the page, no higher than `height_mm`, or beside its key if it is no smaller
    there; there it may be higher.
    """
    narrow_mm = height_mm * HIGHER_BESIDE
    across = _scale_within(take_off, PAGE_WIDTH_MM, height_mm)
    narrow = _scale_within(take_off, BESIDE_WIDTH_MM, narrow_mm)
    beside = narrow <= across
    plan = _plan_at(take_off, at_scale=narrow if beside else across)
    return replace(plan, beside=beside)


def plan_within(take_off: TakeOff, width_mm: float, height_mm: float) -> PlanView:
    """The plan of the roof no wider and no higher than this [mm], without letters and angles."""
    at_scale = _scale_within(take_off, width_mm, height_mm)
    return _plan_at(take_off, at_scale=at_scale, keyed=False)


def _scale_within(take_off: TakeOff, width_mm: float, height_mm: float) -> int:
    return scale_within(lambda scale: _size_at(take_off, scale=scale), width_mm, height_mm)


@once_a_job
def _size_at(take_off: TakeOff, *, scale: int) -> tuple[float, float]:
    return bare_plan(take_off.outline, scale).size


@once_a_job
def _plan_at(take_off: TakeOff, *, at_scale: int, keyed: bool = True) -> PlanView:
    """The plan at a scale with its words, as it goes across the page.

    Letters and angles are for a plan whose key stands with it.
    """
    outline, enquiry = take_off.outline, take_off.enquiry
    falls_to, placed = enquiry.roof.falls_to, placed_openings(enquiry, outline)
    bare = bare_plan(outline, at_scale)
    bare = bare if keyed else replace(bare, angles=())
    layout = filled_plan(bare, outline, falls_to, placed)
    scale = f"1:{layout.scale}"
    area = f"{wording.number(outline.area_m2.number, 2)} m²"
    rows = _edge_rows(outline)
    behind = top_mark(outline).lower()
    openings = [place_words(one, behind) for one in placed]
    title = (
        f"Plan of the roof, scale {scale}, {behind} at the top: {area}, "
        f"{wording.count(len(rows), 'edge', 'edges')}, falls to the {falls_to}. "
        "Its edges follow."
    )
    edges = [f"{row.letter} {row.name}, {row.kind}, {row.length}" for row in rows]
    description = "; ".join([*edges, *openings])
    return PlanView(
        drawing=draw_plan(layout, title, description, lettered=keyed),
        one_to=layout.scale,
        scale=scale,
        beside=False,
        edges=rows,
        area=area,
        perimeter=wording.mm(sum(round(edge.length.number) for edge in outline.edges)),
        openings="; ".join(openings),
        not_drawn="; ".join(opening_words(one) for one in unplaced_openings(enquiry)),
    )


def below_words(enquiry: Enquiry) -> str:
    """The words for what lies below the edge."""
    return listed([str(place) for place in enquiry.below]) if enquiry.below else "not known"


def found_facts(take_off: TakeOff) -> tuple[FoundFact, ...]:
    """The facts noted on the visit."""
    enquiry = take_off.enquiry
    existing, roof = enquiry.existing, enquiry.roof
    covering = str(existing.covering or _NOT_KNOWN)
    if existing.layers:
        layers = wording.count(existing.layers.number, "covering", "coverings")
        covering = f"{covering}, {layers}"
    deck = str(existing.deck or _NOT_KNOWN)
    condition = _CONDITIONS[existing.condition]
    upstand = _length(roof.upstand_mm) if _meets_wall(enquiry) else "No edge meets a wall"
    return (
        FoundFact(FoundKey.ROOF, "Roof", f"{capital(roof.kind)}, {_SHAPES[roof.shape]}"),
        FoundFact(FoundKey.COVERING, "Old covering", capital(covering)),
        FoundFact(FoundKey.DECK, "Deck", capital(f"{deck}, {condition}")),
        FoundFact(FoundKey.FALL, "Fall", _fall(take_off)),
        FoundFact(FoundKey.HEIGHT, "Height to the edge", _length(roof.height_mm)),
        FoundFact(FoundKey.UPSTAND, "Upstand at the wall", upstand),
    )


def _meets_wall(enquiry: Enquiry) -> bool:
    roof = enquiry.roof
    return EdgeKind.WALL in (*roof.edges.values(), *(row.kind for row in roof.outline_rows))


def _edge_rows(outline: Outline) -> tuple[EdgeRow, ...]:
    return tuple(
        EdgeRow(
            letter=letter,
            name=edge.name,
            kind=str(edge.kind),
            sample=draw_sample(edge.kind),
            length=wording.mm(edge.length.number),
            corner=_corner(corner, outline),
        )
        for letter, edge, corner in zip(
            edge_letters(outline), outline.edges, outline.corners, strict=True
        )
    )


def _corner(corner: Corner, outline: Outline) -> str:
    """The angle of a corner, and a mitre where two trims are cut to it.

    A wall trim is not mitred: it runs on past its neighbour.
    """
    angle = f"{wording.number(corner.interior_deg)}°"
    if corner.kind is not CornerKind.MITRED:
        return f"{angle} {corner.kind}"
    kinds = {edge.name: edge.kind for edge in outline.edges}
    work = corner_work(corner, kinds[corner.before], kinds[corner.after])
    mitred = work is CornerWork.MITRE
    return f"{angle} mitre" if mitred else angle


def _fall(take_off: TakeOff) -> str:
    """Which way the roof falls, how far, and what that is beside the least that is published."""
    enquiry = take_off.enquiry
    towards = "the house" if enquiry.roof.falls_to is Side.BACK else f"the {enquiry.roof.falls_to}"
    drop = enquiry.roof.level_drop_mm
    if drop is None:
        return f"To {towards}; how much was not measured"
    run, least = fall_run(enquiry, take_off.outline), figure("flat_roofs.least_fall_one_in")
    steep = f"1 in {wording.number(run.number)}" if run else "no fall"
    asked = f"1 in {wording.number(least.number)} is the least the standard asks"
    return f"To {towards}, {wording.mm(drop.number)} in all: {steep}; {asked}"


def _length(figure: Figure | None) -> str:
    return wording.mm(figure.number) if figure else capital(_NOT_KNOWN)
