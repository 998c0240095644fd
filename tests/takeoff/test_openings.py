"""Places of openings on a roof, against corners and distances worked by hand."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from quotegen.model.choices import EdgeKind, OpeningKind, Shape, Side, Size
from quotegen.model.enquiry import MeasuredRoof, Opening, OutlineRow
from quotegen.model.roof import Outline
from quotegen.problems import Place
from quotegen.takeoff.measure import measure
from quotegen.takeoff.shape.openings import check_places, placed_openings, unplaced_openings
from quotegen.takeoff.shape.outline import build_outline
from tests import builders
from tests.builders import opening

LIGHT, PIPE, OUTLET = OpeningKind.ROOFLIGHT, OpeningKind.PIPE, OpeningKind.OUTLET
OFF, OVERLAP = "opening-off-roof", "openings-overlap"
L_SIZES = {
    Size.WIDTH: 5000.0, Size.PROJECTION: 4000.0, Size.NOTCH_WIDTH: 2000.0, Size.NOTCH_DEPTH: 1500.0,
}  # fmt: skip
ROOFS = {
    "rectangle": builders.roof(),
    "bay": builders.canted_bay(),
    "l-shape": builders.roof(Shape.L_SHAPE, sizes=L_SIZES),
    "half round": builders.roof(
        Shape.BOW, sizes={Size.WIDTH: 2000.0, Size.PROJECTION: 1000.0}
    ),
}  # fmt: skip
WIDTHS = {"rectangle": 3000.0, "bay": 2400.0, "l-shape": 5000.0, "half round": 2000.0}


def outline_of(roof: MeasuredRoof) -> Outline:
    outline, problems = build_outline(builders.enquiry(roof), builders.settings())
    assert outline is not None, problems
    return outline


def found(roof: MeasuredRoof, *openings: Opening) -> list[tuple[str, str]]:
    problems = check_places(builders.enquiry(roof, openings=openings), outline_of(roof))
    assert all(p.ref == "T-01" and p.stops and p.message and p.cure for p in problems)
    return [(p.place.cell, p.code) for p in problems]


@pytest.mark.parametrize(
    ("roof", "kind", "at", "size", "on"),
    [
        # The rectangle is 3000 by 2000: 900 by 600 may touch the edges, and not go past them.
        ("rectangle", LIGHT, (450, 300), (900, 600), True),
        ("rectangle", LIGHT, (449, 300), (900, 600), False),
        ("rectangle", LIGHT, (2550, 1700), (900, 600), True),
        ("rectangle", LIGHT, (2550, 1701), (900, 600), False),
        # The length lies along the wall: turned round the same light would stand over the front.
        ("rectangle", LIGHT, (700, 1650), (1200, 600), True),
        ("rectangle", LIGHT, (700, 1650), (600, 1200), False),
        ("rectangle", OUTLET, (3000, 2000), None, True),
        ("rectangle", OUTLET, (3001, 2000), None, False),
        # The left cant of the bay is the line out = along: 100 mm off it along the wall are
        # 100 / sqrt 2 = 70.7 mm square to it, 70 are 49.5, and a 110 mm pipe needs 55.
        ("bay", PIPE, (400, 300), (110, 110), True),
        ("bay", PIPE, (370, 300), (110, 110), False),
        # The notch of the L is 2000 by 1500 at its right front: the front part ends at 3000.
        ("l-shape", LIGHT, (2550, 3000), (900, 600), True),
        ("l-shape", LIGHT, (2551, 3000), (900, 600), False),
        ("l-shape", LIGHT, (4000, 2200), (900, 600), True),
        ("l-shape", LIGHT, (4000, 2201), (900, 600), False),
        # Half a circle of radius 1000 about the middle of the wall: 900 + 55 is inside it.
        ("half round", PIPE, (1000, 900), (110, 110), True),
        ("half round", PIPE, (1000, 946), (110, 110), False),
        ("half round", OUTLET, (1600, 790), None, True),
        ("half round", OUTLET, (1600, 810), None, False),
    ],
)
def test_an_opening_has_to_lie_wholly_on_the_roof(
    roof: str,
    kind: OpeningKind,
    at: tuple[float, float],
    size: tuple[float, float] | None,
    on: bool,
) -> None:
    wanted = [] if on else [("G2", OFF)]
    assert found(ROOFS[roof], opening(kind, at=at, size=size)) == wanted
    mirrored = replace(ROOFS[roof], notch_at=Side.LEFT)
    in_the_glass = (WIDTHS[roof] - at[0], at[1])
    assert found(mirrored, opening(kind, at=in_the_glass, size=size)) == wanted


def test_an_opening_that_goes_right_over_the_roof_is_off_it() -> None:
    """Its middle and all its corners may be on the L and the notch still cut into it."""
    notched = builders.roof(
        Shape.MEASURED,
        sizes={},
        edges={},
        outline_rows=tuple(
            OutlineRow(
                Place(builders.BOOK, "Outline", "A2"),
                EdgeKind.RAISED,
                along_mm=builders.given("along", float(x), "mm"),
                out_mm=builders.given("out", float(y), "mm"),
            )
            for x, y in ((0, 0), (4000, 0), (4000, 2000), (2500, 2000), (2000, 900), (1500, 2000),
                         (0, 2000))
        ),
    )  # fmt: skip
    assert found(notched, opening(LIGHT, at=(2000, 1000), size=(3000, 1000))) == [("G2", OFF)]


def test_the_place_counts_from_the_left_most_point_and_the_back_most_line() -> None:
    """An outline that begins 500 left of the corner of the wall and 200 in front of its line."""
    corners = ((-500, 200), (2500, 200), (2500, 2200), (-500, 2200))
    rows = tuple(
        OutlineRow(
            Place(builders.BOOK, "Outline", "A2"),
            EdgeKind.FREE_DRIP,
            along_mm=builders.given("along", float(x), "mm"),
            out_mm=builders.given("out", float(y), "mm"),
        )
        for x, y in corners
    )
    roof = builders.roof(Shape.MEASURED, sizes={}, edges={}, outline_rows=rows)
    light = opening(LIGHT, at=(600, 700), size=(900, 600))
    enquiry = builders.enquiry(roof, openings=(light,))
    (placed,) = placed_openings(enquiry, outline_of(roof))
    assert placed.at == (100.0, 900.0)
    assert placed.corners == ((-350.0, 600.0), (550.0, 600.0), (550.0, 1200.0), (-350.0, 1200.0))
    assert found(roof, light) == []


@pytest.mark.parametrize(
    ("first", "second", "overlaps"),
    [
        # The right edge of the light lies at 1450; a 110 mm pipe reaches 55 to its left.
        ((LIGHT, (1000, 1000), (900, 600)), (PIPE, (1504, 1000), (110, 110)), True),
        ((LIGHT, (1000, 1000), (900, 600)), (PIPE, (1506, 1000), (110, 110)), False),
        # Beside a corner a round pipe goes where a square one would not: 39 across and 39 down
        # are 55.2 from it.
        ((LIGHT, (1000, 1000), (900, 600)), (PIPE, (1489, 1339), (110, 110)), False),
        ((LIGHT, (1000, 1000), (900, 600)), (PIPE, (1488, 1338), (110, 110)), True),
        ((LIGHT, (1000, 1000), (900, 600)), (LIGHT, (1900, 1000), (900, 600)), False),
        ((LIGHT, (1000, 1000), (900, 600)), (LIGHT, (1899, 1000), (900, 600)), True),
        ((LIGHT, (1000, 1000), (900, 600)), (OUTLET, (1400, 1200), None), True),
        ((LIGHT, (1000, 1000), (900, 600)), (LIGHT, (1000, 1000), (300, 200)), True),
        ((OUTLET, (500, 500), None), (OUTLET, (500, 500), None), True),
        ((OUTLET, (500, 500), None), (OUTLET, (501, 500), None), False),
    ],
)
def test_openings_may_stand_side_by_side_and_not_over_one_another(
    first: tuple[OpeningKind, tuple[float, float], tuple[float, float] | None],
    second: tuple[OpeningKind, tuple[float, float], tuple[float, float] | None],
    overlaps: bool,
) -> None:
    one = opening(first[0], at=first[1], size=first[2], cell="G2")
    other = opening(second[0], at=second[1], size=second[2], cell="G3")
    assert found(ROOFS["rectangle"], one, other) == ([("G3", OVERLAP)] if overlaps else [])


def test_every_pair_that_overlaps_is_named() -> None:
    heap = [
        opening(LIGHT, at=(1000, 1000), size=(900, 600), cell=cell) for cell in ("G2", "G3", "G4")
    ]
    assert found(ROOFS["rectangle"], *heap) == [("G3", OVERLAP), ("G4", OVERLAP), ("G4", OVERLAP)]


def test_a_place_off_the_roof_stops_the_papers_and_an_unknown_one_does_not() -> None:
    firm, prices = builders.settings(), builders.prices()
    off = builders.enquiry(openings=(opening(PIPE, at=(4000, 300), size=(110, 110)),))
    codes = [p.code for p in measure(off, firm, prices, builders.TODAY)[1]]
    assert OFF in codes
    unknown = builders.enquiry(openings=(opening(PIPE, size=(110, 110)),))
    assert measure(unknown, firm, prices, builders.TODAY)[1] == []
    assert unplaced_openings(unknown) == unknown.openings
    assert unplaced_openings(off) == ()


@settings(max_examples=12)
@given(along=st.floats(600, 2400), out=st.floats(400, 1600), kind=st.sampled_from(OpeningKind))
def test_the_place_of_an_opening_changes_no_quantity(
    along: float, out: float, kind: OpeningKind
) -> None:
    """What is bought, cut and worked hangs on what comes through the roof, not on where."""
    size = {LIGHT: (900.0, 600.0), PIPE: (110.0, 110.0)}.get(kind)
    somewhere, anywhere = (
        measure(
            builders.enquiry(openings=(opening(kind, at=at, size=size),)),
            builders.settings(),
            builders.prices(),
            builders.TODAY,
        )
        for at in ((along, out), None)
    )
    assert somewhere[1] == anywhere[1] == []
    assert somewhere[0] is not None
    assert anywhere[0] is not None
    assert somewhere[0].options == anywhere[0].options
