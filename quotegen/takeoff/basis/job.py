"""The shared figures of one build-up's take-off, and what its parts need."""

from collections.abc import Sequence
from typing import TypedDict

from msgspec import Struct

from quotegen.model.choices import (
    INSULATED,
    OVER_OLD_DECK,
    BuildUp,
    Covering,
    EdgeKind,
    OpeningKind,
)
from quotegen.model.enquiry import Enquiry, Existing
from quotegen.model.roof import Edge, Outline
from quotegen.model.settings import Lost, Settings
from quotegen.model.takeoff import Stage
from quotegen.units import Unit, mm2_to_m2, mm_to_m
from quotegen.working import Figure, alike, chosen, derive, total


class Demand(Struct, frozen=True):
    """A quantity of an item for a stage of the work, before rounding to packs.

    With `waste_pct` None, the net quantity is already what has to be bought. `used` is how much of
    it is really used, if the net quantity already includes some to spare.
    """

    item: str
    stage: Stage
    net: Figure
    waste_pct: Figure | None = None
    used: Figure | None = None


class BuildUpLayers(Struct, frozen=True):
    """The layers of a build-up."""

    strips_covering: bool
    strips_deck: bool
    new_decks: int
    cap_boards: bool
    insulation: bool

    @property
    def boards(self) -> int:
        """The number of board layers laid."""
        return self.new_decks + int(self.cap_boards)


class Job(Struct, frozen=True):
    """One build-up of one enquiry with the figures shared by most parts of the take-off."""

    enquiry: Enquiry
    outline: Outline
    settings: Settings
    build_up: BuildUp
    layers: BuildUpLayers
    cut_up: bool
    deck_m2: Figure
    laminate_m2: Figure
    topcoat_m2: Figure

    def waste(self, what: Lost) -> Figure:
        """The loss of a material on this kind of roof."""
        loss = self.settings.tables.losses[what]
        return loss.cut_up if self.cut_up else loss.plain

    def edge_length_m(self, *kinds: EdgeKind) -> Figure:
        """The total length of the edges of these kinds [m]."""
        return edge_length_m(self.outline, kinds)


def make_job(enquiry: Enquiry, outline: Outline, settings: Settings, build_up: BuildUp) -> Job:
    """Gather the figures shared by the take-off of one build-up."""
    holes = [
        derive("rooflight opening", Unit.M2, counted_area_m2, **light.sizes)
        for light in rooflights(enquiry, settings)
    ]
    deck_m2 = derive(
        "deck area", Unit.M2, less_openings_m2, plan_m2=outline.area_m2, openings_m2=holes
    )
    return Job(
        enquiry=enquiry,
        outline=outline,
        settings=settings,
        build_up=build_up,
        layers=layers_of(build_up, enquiry.existing),
        cut_up=is_cut_up(outline, settings.number("square_corner_within_deg")),
        deck_m2=deck_m2,
        laminate_m2=_laminate_area(enquiry, outline, settings, deck_m2),
        topcoat_m2=_topcoat_area(enquiry, outline, settings, deck_m2),
    )


def layers_of(build_up: BuildUp, existing: Existing) -> BuildUpLayers:
    """The layers of a build-up on the existing roof.

    Capping over keeps the old deck: a cap board goes on it, or insulation with a board over it. A
    new deck is laid once the old one is up, and with insulation another board over that. Old
    fibreglass is stuck to its boards: it comes off with them or is capped as it is.
    """
    covered = existing.covering not in (None, Covering.NONE)
    insulated = build_up in INSULATED
    if build_up in OVER_OLD_DECK:
        strips = covered and existing.covering is not Covering.OLD_GRP
        return BuildUpLayers(strips, False, int(insulated), not insulated, insulated)
    bare = existing.covering is Covering.NONE and existing.deck is None
    return BuildUpLayers(covered, not bare, 1 + int(insulated), False, insulated)


def is_cut_up(outline: Outline, within_deg: float) -> bool:
    """Whether waste and hours are those of a cut-up roof: any corner off square, or a curve.

    Size and square notches do not count, so a larger roof never needs less.
    """
    return any(edge.curve for edge in outline.edges) or any(
        abs(corner.interior_deg % 180 - _SQUARE_DEG) > within_deg for corner in outline.corners
    )


_SQUARE_DEG = 90.0


def outline_ring(outline: Outline) -> Figure:
    """The outline as one ring of points, as a figure."""
    return chosen("outline", outline.points, Unit.MM, "drawn from the sizes of the row")


def edge_length_m(outline: Outline, kinds: Sequence[EdgeKind]) -> Figure:
    """The total length of the edges of these kinds [m], as a figure."""
    return derive(
        "length of " + " and ".join(str(kind) for kind in kinds),
        Unit.M,
        total_length_m,
        lengths_mm=[edge.length for edge in outline.edges_of(*kinds)],
    )


class _LightSizes(TypedDict):
    count: Figure
    length_mm: Figure
    width_mm: Figure


class Rooflight(Struct, frozen=True):
    """The rooflights of one row: their number and size."""

    count: Figure
    length_mm: Figure
    width_mm: Figure
    kerb_mm: Figure

    @property
    def sizes(self) -> _LightSizes:
        """Count, length and width, under the formulas' parameter names."""
        return {"count": self.count, "length_mm": self.length_mm, "width_mm": self.width_mm}


def rooflights(enquiry: Enquiry, settings: Settings) -> list[Rooflight]:
    """All rows of rooflights; an unmeasured kerb takes the height required of an upstand."""
    return [
        Rooflight(o.count, o.length_mm, o.width_mm, o.kerb_mm or settings["laminate_up_kerb_mm"])
        for o in enquiry.openings
        if o.kind is OpeningKind.ROOFLIGHT and o.length_mm and o.width_mm
    ]


def kerb_lengths_mm(enquiry: Enquiry, settings: Settings) -> list[Figure]:
    """The girth of every row of rooflight kerbs [mm]."""
    return [
        derive("rooflight kerb", Unit.MM, counted_girth_mm, **light.sizes)
        for light in rooflights(enquiry, settings)
    ]


def opening_count(enquiry: Enquiry, kind: OpeningKind) -> Figure:
    """The number of openings of a kind."""
    counts = [opening.count for opening in enquiry.openings if opening.kind is kind]
    return derive(f"number of {kind}s", Unit.EACH, total, parts=counts)


def detail_areas(enquiry: Enquiry, settings: Settings) -> list[Figure]:
    """Laminate areas on rooflight kerbs and pipe collars, in addition to the roof [m2]."""
    kerbs = [
        derive("rooflight kerb area", Unit.M2, strip_m2, length_mm=girth, height_mm=light.kerb_mm)
        for light, girth in zip(
            rooflights(enquiry, settings), kerb_lengths_mm(enquiry, settings), strict=True
        )
    ]
    return kerbs + _pipe_areas(enquiry, settings)


def _pipe_areas(enquiry: Enquiry, settings: Settings) -> list[Figure]:
    pipes = opening_count(enquiry, OpeningKind.PIPE)
    if not pipes.number:
        return []
    each = settings["pipe_patch_m2"]
    return [derive("pipe collars", Unit.M2, times, number=pipes, each=each)]


_TURNED = {
    EdgeKind.WALL: "laminate_up_wall_mm",
    EdgeKind.TILES: "laminate_up_tiles_mm",
    EdgeKind.KERB: "laminate_up_kerb_mm",
    EdgeKind.GUTTER_DRIP: "mat_overhang_mm",
    EdgeKind.FREE_DRIP: "mat_overhang_mm",
}


def turned_mm(edge: Edge, settings: Settings) -> Figure | None:
    """The distance the laminate is carried past an edge; None where it stops on the trim."""
    code = _TURNED.get(edge.kind)
    return settings[code] if code else None


def _laminate_area(
    enquiry: Enquiry, outline: Outline, settings: Settings, deck_m2: Figure
) -> Figure:
    parts = [
        derive(
            f"laminate at {edge.name}", Unit.M2, strip_m2, length_mm=edge.length, height_mm=height
        )
        for edge in outline.edges
        if (height := turned_mm(edge, settings))
    ]
    parts += detail_areas(enquiry, settings)
    return derive("laminated area", Unit.M2, total, parts=[deck_m2, *parts])


def _topcoat_area(
    enquiry: Enquiry, outline: Outline, settings: Settings, deck_m2: Figure
) -> Figure:
    faced = {
        EdgeKind.GUTTER_DRIP: "girth_drip_mm",
        EdgeKind.FREE_DRIP: "girth_drip_mm",
        EdgeKind.RAISED: "girth_raised_mm",
        EdgeKind.WALL: "girth_wall_mm",
        EdgeKind.KERB: "laminate_up_kerb_mm",
    }
    parts = [
        derive(
            f"topcoat on the trim at {edge.name}",
            Unit.M2,
            strip_m2,
            length_mm=edge.length,
            height_mm=settings[faced[edge.kind]],
        )
        for edge in outline.edges
        if edge.kind in faced
    ]
    parts += detail_areas(enquiry, settings)
    return derive("topcoated area", Unit.M2, total, parts=[deck_m2, *parts])


@alike("plan_m2", "openings_m2")
def less_openings_m2(plan_m2: float, openings_m2: Sequence[float]) -> float:
    """Area of a roof without its openings: plan - sum of openings.

    Inputs and result [m2].

    >>> less_openings_m2(12.0, (0.6, 0.4))
    11.0
    """
    return plan_m2 - sum(openings_m2)


def counted_area_m2(count: float, length_mm: float, width_mm: float) -> float:
    """Area of so many equal rectangles: count x length x width.

    Inputs [each, mm, mm], result [m2].

    >>> counted_area_m2(2, 1000, 600)
    1.2
    """
    return count * mm2_to_m2(length_mm * width_mm)


def counted_girth_mm(count: float, length_mm: float, width_mm: float) -> float:
    """Girth of so many equal rectangles: count x 2 x (length + width).

    Inputs [each, mm, mm], result [mm].

    >>> counted_girth_mm(1, 1000, 600)
    3200
    """
    return count * 2 * (length_mm + width_mm)


def strip_m2(length_mm: float, height_mm: float) -> float:
    """Area of a strip along an edge: length x height.

    Inputs [mm], result [m2].

    >>> strip_m2(3000, 150)
    0.45
    """
    return mm2_to_m2(length_mm * height_mm)


@alike("lengths_mm", result=False)
def total_length_m(lengths_mm: Sequence[float]) -> float:
    """Lengths added up, in metres.

    Inputs [mm], result [m].

    >>> total_length_m((1200, 849))
    2.049
    """
    return mm_to_m(sum(lengths_mm))


def times(number: float, each: float) -> float:
    """So many of something at so much each: number x each.

    >>> times(3, 0.5)
    1.5
    """
    return number * each
