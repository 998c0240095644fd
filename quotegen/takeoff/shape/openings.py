"""The places of a roof's openings, and whether they are possible."""

from itertools import combinations

from msgspec import Struct
from shapely import box
from shapely.geometry import Point as ShapelyPoint
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from quotegen import wording
from quotegen.model.choices import OpeningKind
from quotegen.model.enquiry import Enquiry, Opening, Spot
from quotegen.model.roof import Outline, Point
from quotegen.problems import Problem, problem


class PlacedOpening(Struct, frozen=True):
    """An opening with a known place: its middle on the plan and its size there [mm].

    `wide_mm` lies along the wall, `deep_mm` out from it; an outlet has no size of its own.
    """

    opening: Opening
    spot: Spot
    at: Point
    wide_mm: float
    deep_mm: float

    @property
    def kind(self) -> OpeningKind:
        """The kind of opening."""
        return self.opening.kind

    @property
    def corners(self) -> tuple[Point, ...]:
        """The corners of the space it takes, in order from the left one nearest the wall [mm]."""
        (x, y), half, deep = self.at, self.wide_mm / 2, self.deep_mm / 2
        left, right, near, far = x - half, x + half, y - deep, y + deep
        return (left, near), (right, near), (right, far), (left, far)

    @property
    def covers(self) -> BaseGeometry:
        """The part of the plan it covers: a rectangle, the circle of a pipe, or a point."""
        if self.kind is OpeningKind.ROOFLIGHT:
            (left, near), (right, far) = self.corners[0], self.corners[2]
            return box(left, near, right, far)
        middle = ShapelyPoint(self.at)
        return middle.buffer(self.wide_mm / 2) if self.wide_mm else middle


def placed_openings(enquiry: Enquiry, outline: Outline) -> tuple[PlacedOpening, ...]:
    """The openings with a known place, in row order.

    Places are measured from the left-most point of the outline and from its back-most line.
    """
    left = min(x for x, _ in outline.points)
    back = min(y for _, y in outline.points)
    return tuple(
        PlacedOpening(
            opening,
            opening.spot,
            at=(left + opening.spot.along_mm.number, back + opening.spot.out_mm.number),
            wide_mm=opening.length_mm.number if opening.length_mm else 0.0,
            deep_mm=opening.width_mm.number if opening.width_mm else 0.0,
        )
        for opening in enquiry.openings
        if opening.spot
    )


def unplaced_openings(enquiry: Enquiry) -> tuple[Opening, ...]:
    """The openings without a given place, in row order."""
    return tuple(opening for opening in enquiry.openings if opening.spot is None)


def check_places(enquiry: Enquiry, outline: Outline) -> list[Problem]:
    """Problems of openings that lie partly off the roof or over one another."""
    roof, placed = Polygon(outline.points), placed_openings(enquiry, outline)
    off = [
        problem(
            "opening-off-roof",
            one.spot.place,
            seen=f"{wording.mm(one.spot.along_mm.number)} along and "
            f"{wording.mm(one.spot.out_mm.number)}",
            ref=enquiry.ref,
            kind=str(one.kind),
        )
        for one in placed
        if not roof.covers(one.covers)
    ]
    overlaps = [
        problem(
            "openings-overlap",
            second.spot.place,
            ref=enquiry.ref,
            kind=str(second.kind),
            other=str(first.kind),
            cell=first.spot.place.cell,
        )
        for first, second in combinations(placed, 2)
        if first.covers.intersects(second.covers) and not first.covers.touches(second.covers)
    ]
    return off + overlaps
