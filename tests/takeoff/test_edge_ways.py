"""Ways of guarding the edge: nobody on a roof with an open edge, towers moved, costs by hand."""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import example
from hypothesis import given as over
from hypothesis import settings as tuned
from hypothesis import strategies as st
from msgspec.structs import replace
from shapely.geometry import LineString, Point, Polygon

from quotegen.documents.shared.remark_words import said
from quotegen.model.access import AccessPlan
from quotegen.model.choices import Access, Below, BuildUp, EdgeKind, EdgeWay, Shape, Side, Size
from quotegen.model.enquiry import Enquiry, MeasuredRoof, SiteFacts
from quotegen.model.roof import Outline
from quotegen.model.takeoff import OptionTakeOff, Phase
from quotegen.reference.loader import entry
from quotegen.reference.remark_keys import Task
from quotegen.takeoff.measure import measure
from quotegen.takeoff.shape.edge_zone import OPEN_EDGES
from tests import builders

REACH_MM, TOWER_MM = 900.0, 3000.0  # the house figures of tower_reach_mm and tower_edge_m


def measured(enquiry: Enquiry, **settings: Any) -> tuple[Outline, OptionTakeOff]:
    firm = builders.settings(**settings)
    take_off, _ = measure(enquiry, firm, builders.prices(), builders.TODAY)
    assert take_off is not None
    return take_off.outline, take_off.options[0]


def plan_of(enquiry: Enquiry, **settings: Any) -> AccessPlan:
    return measured(enquiry, **settings)[1].access


def rectangle(width: float, out: float, *walls: Side, **changes: Any) -> MeasuredRoof:
    edges = dict.fromkeys((Side.FRONT, Side.LEFT, Side.RIGHT), EdgeKind.RAISED)
    edges |= dict.fromkeys((Side.BACK, *walls), EdgeKind.WALL)
    return builders.roof(sizes={Size.WIDTH: width, Size.PROJECTION: out}, edges=edges, **changes)


PORCH = rectangle(1800, 1200)  # its middle is 900 mm from both sides: just in reach
CLEAR = SiteFacts(room_for_tower=True, overhead_cables=False)


def cost(plan: AccessPlan, way: EdgeWay) -> Decimal | None:
    (one,) = [one for one in plan.ways if one.way is way]
    return one.cost.money if one.cost else None


def refused(plan: AccessPlan, way: EdgeWay) -> set[str]:
    (one,) = [one for one in plan.ways if one.way is way]
    return {refusal.key for refusal in one.refusals}


# --- nobody stands on a roof with an open edge -------------------------------------------------


def nobody_stands_at_an_open_edge(outline: Outline, option: OptionTakeOff) -> None:
    """Work at Height Regulations 2005, regulation 6: falls are prevented; HSG33: within 2 m of an
    edge always. Either every open edge is guarded at once, or nobody is on the roof, all of which
    is in reach: checked point by point, not by the areas the program works with.
    """
    plan = option.access
    lengths = [edge.length.number for edge in outline.edges_of(*OPEN_EDGES)]
    if plan.chosen in (Access.GROUND, Access.LADDER):
        return  # their own rules: all in reach from the ground or the ladder (test_access.py)
    assert plan.way is not None
    if plan.way is EdgeWay.SCAFFOLD:
        (hired,) = [n.gross.number for n in option.needs if n.item == "scaffold_hire"]
        assert hired * 1000 >= sum(lengths)
        assert plan.stood_on
    elif plan.way is EdgeWay.TOWERS:
        assert plan.stood_on
        assert plan.towers.number >= sum(-(-length // TOWER_MM) for length in lengths)
        assert not any(edge.curve for edge in outline.edges_of(*OPEN_EDGES))
    else:
        assert not plan.stood_on
        assert any("Nobody steps on to the roof" in said(reason) for reason in plan.reasons)
        faces = [LineString(place.face) for place in plan.places]
        assert all(face.length <= TOWER_MM + 0.01 for face in faces)
        assert in_reach(outline, faces)


def in_reach(outline: Outline, faces: list[LineString]) -> bool:
    """Whether every point of a grid over the roof, and of its outline, is near a platform."""
    roof = Polygon(outline.points)
    left, low, right, high = roof.bounds
    steps = range(13)
    grid = [
        Point(left + (right - left) * i / 12, low + (high - low) * j / 12)
        for i in steps
        for j in steps
    ]
    spots = [spot for spot in grid if roof.covers(spot)] + [Point(p) for p in outline.points]
    return all(min(face.distance(spot) for face in faces) <= REACH_MM + 1 for spot in spots)


KINDS = st.sampled_from([EdgeKind.WALL, EdgeKind.RAISED, EdgeKind.FREE_DRIP, EdgeKind.TILES])
ROOFS = st.one_of(
    st.builds(
        lambda width, out, left, right, front: builders.roof(
            sizes={Size.WIDTH: width, Size.PROJECTION: out},
            edges={
                Side.BACK: EdgeKind.WALL, Side.LEFT: left, Side.RIGHT: right, Side.FRONT: front,
            },
        ),
        st.integers(600, 7000),
        st.integers(400, 3000),
        KINDS,
        KINDS,
        st.sampled_from([EdgeKind.RAISED, EdgeKind.FREE_DRIP]),
    ),
    st.builds(
        lambda front, cant, out: builders.canted_bay(
            sizes_mm=(front + 2 * cant, front, out)
        ),
        st.integers(600, 3500),
        st.integers(200, 900),
        st.integers(300, 1100),
    ),
)  # fmt: skip


@example(rectangle(1800, 1000), 2600, True, [Below.GARDEN], False, Access.TOWER)
@example(rectangle(1800, 1200), 2600, True, [Below.GARDEN], False, Access.TOWER)
@example(rectangle(6800, 880), 2600, True, [Below.GARDEN], False, Access.TOWER)
@tuned(max_examples=60)
@over(
    roof=ROOFS,
    height=st.one_of(st.none(), st.integers(1500, 6000)),
    room=st.sampled_from([True, False, None]),
    below=st.lists(st.sampled_from(Below), max_size=2, unique=True),
    cables=st.sampled_from([False, None]),
    asked=st.sampled_from([None, Access.TOWER, Access.SCAFFOLD, Access.LADDER, Access.GROUND]),
)
def test_nobody_can_be_planned_on_to_a_roof_with_an_open_edge(
    roof: MeasuredRoof,
    height: int | None,
    room: bool | None,
    below: list[Below],
    cables: bool | None,
    asked: Access | None,
) -> None:
    height_mm = builders.given("height", float(height), "mm") if height else None
    job = builders.enquiry(
        replace(roof, height_mm=height_mm),
        access=asked,
        below=tuple(below),
        site=SiteFacts(room_for_tower=room, overhead_cables=cables),
    )
    outline, option = measured(job)
    nobody_stands_at_an_open_edge(outline, option)
    unknown = height is None or room is not True or not below
    if unknown and option.access.way:
        assert option.access.way is not EdgeWay.ONE_TOWER


def test_a_roof_out_of_reach_is_never_worked_by_one_tower() -> None:
    out = rectangle(1804, 1200)  # its middle is 902 mm from both sides, and 1200 from the front
    plan = plan_of(builders.enquiry(out, access=Access.TOWER))
    assert (plan.chosen, plan.stood_on) == (Access.SCAFFOLD, True)
    assert refused(plan, EdgeWay.ONE_TOWER) == {"out-of-reach"}


@pytest.mark.parametrize(
    ("change", "key"),
    [
        ({"site": SiteFacts(room_for_tower=None)}, "room-in-doubt"),
        ({"site": SiteFacts(room_for_tower=False)}, "no-room"),
        ({"below": ()}, "ground-in-doubt"),
        ({"below": (Below.GARDEN, Below.GLASS)}, "no-ground"),
        ({"roof": builders.canted_bay(height_mm=None)}, "height-in-doubt"),
    ],
)
def test_where_in_doubt_every_edge_is_guarded_and_the_reason_said(
    change: dict[str, Any], key: str
) -> None:
    job = builders.enquiry(builders.canted_bay())
    assert plan_of(job).way is EdgeWay.ONE_TOWER
    plan = plan_of(replace(job, **change))
    assert plan.stood_on
    assert key in refused(plan, EdgeWay.ONE_TOWER)
    assert key in {reason.key for reason in plan.reasons}


@pytest.mark.parametrize("cables", [True, None])
def test_no_tower_is_moved_under_cables_nor_where_nobody_has_looked(cables: bool | None) -> None:
    """HSE GS6, from memory: nothing tall is moved under lines. A tower that stands may stay."""
    site = SiteFacts(room_for_tower=True, overhead_cables=cables)
    plan = plan_of(builders.enquiry(PORCH, site=site, access=Access.TOWER))
    assert refused(plan, EdgeWay.ONE_TOWER) == {"cables-in-doubt"}
    assert plan.stood_on
    assert "cables-in-doubt" in {reason.key for reason in plan.reasons}
    assert plan_of(builders.enquiry(builders.canted_bay(), site=site)).way is EdgeWay.ONE_TOWER


def test_where_tiles_come_off_people_have_to_get_over_the_roof() -> None:
    edges = {**rectangle(2000, 600).edges, Side.BACK: EdgeKind.TILES}
    canopy = replace(rectangle(2000, 600), edges=edges)
    plan = plan_of(builders.enquiry(canopy))
    assert plan.stood_on
    assert refused(plan, EdgeWay.ONE_TOWER) == {"tiles-above"}
    assert "tiles-above" in {reason.key for reason in plan.reasons}


def test_straight_towers_do_not_guard_a_curved_edge() -> None:
    bow = builders.roof(
        Shape.BOW,
        sizes={Size.WIDTH: 2600, Size.PROJECTION: 450},
        edges={Side.BACK: EdgeKind.WALL, Side.FRONT: EdgeKind.FREE_DRIP},
    )
    plan = plan_of(builders.enquiry(bow))
    assert "curved-edge" in refused(plan, EdgeWay.TOWERS)
    assert (plan.way, len(plan.places)) == (EdgeWay.ONE_TOWER, 1)
    # The platform stands clear of the bow: 450 mm out from the wall, all along.
    assert {round(y) for _, y in plan.places[0].face} == {450}


# --- places, moves and their hours ---------------------------------------------------------------


def test_a_small_bay_of_over_3_m_of_edge_takes_one_tower_that_stands_still() -> None:
    """849 + 1400 + 849 = 3.1 m of edge once bought a second tower; 600 mm out, one reaches all."""
    bay = builders.canted_bay(sizes_mm=(2600, 1400, 600))
    outline, option = measured(builders.enquiry(bay, access=Access.TOWER))
    assert sum(edge.length.number for edge in outline.edges_of(*OPEN_EDGES)) > 3000
    assert [place.edge for place in option.access.places] == ["front"]
    assert option.access.towers.number == 1
    assert not [line for line in option.labour if line.key is Task.MOVE_TOWER]


def test_a_porch_takes_one_tower_at_three_places_and_its_moves_by_hand() -> None:
    """2 moves a round: strip, boards and trims, laminate, topcoat; half an hour each."""
    _, option = measured(builders.enquiry(PORCH, site=CLEAR, access=Access.TOWER))
    assert [place.edge for place in option.access.places] == ["right", "front", "left"]
    moves = {one.phase: one.hours.number for one in option.labour if one.key is Task.MOVE_TOWER}
    assert moves == {Phase.OPEN: 2.0, Phase.LAY: 1.0, Phase.COAT: 1.0}
    (words,) = [said(r) for r in option.access.reasons if r.key == "moved-along"]
    assert "right, front and left" in words
    assert "with nobody on it" in words


def test_a_long_shallow_canopy_has_a_place_for_every_3_m() -> None:
    job = builders.enquiry(rectangle(7000, 600), site=CLEAR, access=Access.TOWER)
    places = plan_of(job).places
    assert [(p.edge, p.number, p.of) for p in places] == [
        ("front", 1, 3), ("front", 2, 3), ("front", 3, 3),
    ]  # fmt: skip


# --- what each way costs, by hand ----------------------------------------------------------------
# A tower is 20 a week, a scaffold 20 a metre (tests.builders); 28 an hour, 1.5 h to put up and
# strike a tower, 0.5 h a move; a scaffold at least 8 m and 2 m longer than the edge.


def test_the_ways_of_a_porch_by_hand_and_the_cheapest_taken() -> None:
    plan = plan_of(builders.enquiry(PORCH, site=CLEAR))
    assert cost(plan, EdgeWay.ONE_TOWER) == Decimal("174.00")  # 20 + (1.5 + 8 x 0.5) x 28
    assert refused(plan, EdgeWay.TOWERS) == {"long-edge"}  # one at each of three edges
    assert cost(plan, EdgeWay.SCAFFOLD) == Decimal("160.00")  # 8 x 20
    assert plan.way is EdgeWay.SCAFFOLD
    cheap = plan_of(builders.enquiry(PORCH, site=CLEAR), hours_tower_move=0.4)
    assert cost(cheap, EdgeWay.ONE_TOWER) == Decimal("151.60")  # 20 + (1.5 + 3.2) x 28
    assert cheap.way is EdgeWay.ONE_TOWER
    asked = plan_of(builders.enquiry(PORCH, site=CLEAR, access=Access.TOWER))
    assert asked.way is EdgeWay.ONE_TOWER  # as the row asks for, where it is safe


def test_two_towers_against_a_scaffold_by_hand() -> None:
    deep = rectangle(5000, 3000, Side.LEFT, Side.RIGHT)
    plan = plan_of(builders.enquiry(deep))
    assert refused(plan, EdgeWay.ONE_TOWER) == {"out-of-reach"}
    assert cost(plan, EdgeWay.TOWERS) == Decimal("124.00")  # 2 x (20 + 1.5 x 28), one week
    assert cost(plan, EdgeWay.SCAFFOLD) == Decimal("160.00")
    assert (plan.way, plan.towers.number) == (EdgeWay.TOWERS, 2)
    dear = plan_of(builders.enquiry(deep), hours_tower=2.5)  # 2 x (20 + 2.5 x 28) = 180
    assert dear.way is EdgeWay.SCAFFOLD


def test_at_one_price_the_way_that_guards_more_is_taken() -> None:
    # One tower at the front of 3 m between walls, 0.8 m out: 20 + 1.5 x 28 = 62 either way.
    front = rectangle(3000, 800, Side.LEFT, Side.RIGHT)
    plan = plan_of(builders.enquiry(front))
    assert cost(plan, EdgeWay.ONE_TOWER) == cost(plan, EdgeWay.TOWERS) == Decimal("62.00")
    assert plan.way is EdgeWay.TOWERS


def test_a_scaffold_that_is_asked_for_is_kept_and_the_others_still_costed() -> None:
    plan = plan_of(builders.enquiry(builders.canted_bay(), access=Access.SCAFFOLD))
    assert plan.way is EdgeWay.SCAFFOLD
    assert cost(plan, EdgeWay.ONE_TOWER) == Decimal("62.00")


# --- the platform --------------------------------------------------------------------------------


def test_platform_and_rail_by_hand_when_nobody_stands_on_the_roof() -> None:
    """Edge at 2.6 m, 900 mm below it is common practice; rail 950 mm: WAHR 2005, schedule 2."""
    platform = plan_of(builders.enquiry(builders.canted_bay())).platform
    assert platform and platform.up_m and platform.top_rail_m
    assert platform.up_m.number == pytest.approx(1.7)
    assert platform.top_rail_m.number >= 1.7 + 0.95
    assert platform.top_rail_m.number == pytest.approx(1.7 + rail_m())


def test_the_rail_stands_above_the_roof_where_that_is_stood_on() -> None:
    platform = plan_of(builders.enquiry()).platform
    assert platform and platform.up_m and platform.top_rail_m
    assert platform.up_m.number == pytest.approx(2.3)
    assert platform.top_rail_m.number >= 2.6 + 0.95  # above the edge, not the boards
    assert platform.top_rail_m.number == pytest.approx(2.6 + rail_m())


def rail_m() -> float:
    return builders.settings().number("rail_top_mm") / 1000


def test_the_load_class_by_what_is_stacked() -> None:
    """BS EN 12811-1, table 3, from memory: class 2 1.5 kN/m2, class 3 2.0. 2000 / 9.81 = 203.9."""
    platform = plan_of(builders.enquiry(builders.canted_bay())).platform
    assert platform and platform.stacked
    assert (platform.load_class, platform.load.number) == ("3", 2.0)
    assert platform.load_kg.number == pytest.approx(203.9, abs=0.05)
    assert entry("work_at_height.load_light").value == 1.5
    assert entry("work_at_height.class_light").value == "2"


@pytest.mark.parametrize(
    ("below", "guards"),
    [
        ((Below.GARDEN,), False), ((Below.PAVEMENT,), True), ((Below.GARDEN, Below.DRIVE), True),
        ((Below.DOORWAY,), True), ((Below.ROAD,), True), ((), True),
    ],
)  # fmt: skip
def test_brick_guards_where_people_pass_or_may_pass(below: tuple[Below, ...], guards: bool) -> None:
    """Work at Height Regulations 2005, regulation 10; HSG151: brick guards above passers-by."""
    platform = plan_of(builders.enquiry(below=below)).platform
    assert platform and platform.brick_guards is guards


def test_a_capped_roof_still_has_its_boards_on_the_platform() -> None:
    capped = builders.enquiry(builders.canted_bay(), build_ups=(BuildUp.CAP_OVER,))
    platform = plan_of(capped).platform
    assert platform and platform.load_class == "3"
