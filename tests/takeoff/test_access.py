"""Access to the edge: ladders refused and allowed, distances from the open edges."""

from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given as over
from hypothesis import settings as tuned
from hypothesis import strategies as st
from msgspec.structs import replace

from quotegen.documents.shared.remark_words import said
from quotegen.model.choices import Access, Below, Deck, DeckCondition, EdgeKind, Side, Size
from quotegen.model.enquiry import Enquiry
from quotegen.model.takeoff import OptionTakeOff
from quotegen.problems import Place, Problem
from quotegen.reference import rules
from quotegen.reference.rule_keys import LadderGround
from quotegen.takeoff.access.ladder_limits import _REFUSED, longest_task_min
from quotegen.takeoff.measure import measure
from quotegen.takeoff.shape.edge_zone import beyond_m2
from quotegen.working import Step
from tests import builders

LADDER_CODES = {"ladder-refused", "ladder-worked-from", "ladder-for-long"}


def taken_off(enquiry: Enquiry, **settings: Any) -> tuple[OptionTakeOff, list[Problem]]:
    firm = builders.settings(**settings)
    take_off, problems = measure(enquiry, firm, builders.prices(), builders.TODAY)
    assert take_off is not None
    return take_off.options[0], problems


def height(metres: float | None) -> Callable[[Enquiry], Enquiry]:
    figure = None if metres is None else builders.given("height", metres * 1000, "mm")
    return lambda job: replace(job, roof=replace(job.roof, height_mm=figure))


def deck(**changes: Any) -> Callable[[Enquiry], Enquiry]:
    return lambda job: replace(job, existing=replace(job.existing, **changes))


def site(**changes: bool | None) -> Callable[[Enquiry], Enquiry]:
    return lambda job: replace(job, site=replace(job.site, **changes))


def porch(job: Enquiry) -> Enquiry:
    """1.8 m wide and 1.2 m deep at 2.4 m: its middle is 0.9 m from the nearest open edge."""
    sizes = {Size.WIDTH: 1800.0, Size.PROJECTION: 1200.0}
    return replace(job, roof=builders.roof(sizes=sizes, height_mm=job.roof.height_mm))


def wide(metres: float) -> Callable[[Enquiry], Enquiry]:
    """A canopy 0.6 m deep and so wide."""
    sizes = {Size.WIDTH: metres * 1000, Size.PROJECTION: 600.0}
    return lambda job: replace(
        job, roof=builders.roof(sizes=sizes, height_mm=job.roof.height_mm), wall_joint=None
    )


def between_walls(metres: float) -> Enquiry:
    """A roof so wide and 5 m deep, open only at the front: it has to be stood on."""
    walls = dict.fromkeys((Side.BACK, Side.LEFT, Side.RIGHT), EdgeKind.WALL)
    edges = {**walls, Side.FRONT: EdgeKind.FREE_DRIP}
    sizes = {Size.WIDTH: metres * 1000, Size.PROJECTION: 5000.0}
    return builders.enquiry(builders.roof(sizes=sizes, edges=edges))


def refused_for(enquiry: Enquiry, **settings: Any) -> set[str]:
    """The grounds on which a ladder is refused."""
    option, problems = taken_off(enquiry, **settings)
    assert option.access.ladder
    refusals = option.access.ladder.refusals
    stops = [p for p in problems if p.code == "ladder-refused"]
    assert bool(stops) == bool(refusals) == (option.access.chosen is not Access.LADDER)
    assert all(p.stops and p.place == (enquiry.access_at or enquiry.place) for p in stops)
    return {refusal.key for refusal in refusals}


def test_a_low_shallow_sound_bay_may_be_worked_from_a_ladder_with_its_reason() -> None:
    """Work at Height Regulations 2005, schedule 6, paragraph 1; 30 minutes by HSE INDG455."""
    option, problems = taken_off(builders.ladder_enquiry())
    assert [p.code for p in problems] == ["ladder-worked-from"]
    assert option.access.chosen is Access.LADDER
    assert any("A stair below leaves nowhere" in said(reason) for reason in option.access.reasons)
    assert option.access.ladder and option.access.ladder.longest_min.number == 30


@pytest.mark.parametrize(
    ("change", "ground"),
    [
        (height(None), "height-not-known"),
        (height(2.6), "too-high"),
        (deck(condition=DeckCondition.ROTTEN), "deck-not-known-sound"),
        (deck(condition=DeckCondition.SOFT), "deck-not-known-sound"),
        (deck(condition=None), "deck-not-known-sound"),
        (deck(deck=None), "deck-not-known-sound"),
        (deck(deck=Deck.CHIPBOARD), "deck-not-known-sound"),
        (porch, "out-of-reach"),
        (site(overhead_cables=True), "cables"),
        (site(overhead_cables=None), "cables"),
        (site(lone_work=True), "too-long"),
    ],
)
def test_a_ladder_is_refused_even_with_a_reason(
    change: Callable[[Enquiry], Enquiry], ground: str
) -> None:
    """Low risk and short use, or nothing else can stand there (schedule 6, paragraph 1)."""
    assert refused_for(change(builders.ladder_enquiry())) == {ground}


def test_the_guide_is_30_minutes_and_31_is_over_it() -> None:
    """HSE INDG455 and LA455: over 30 minutes at one time, consider other equipment."""
    bay = builders.ladder_enquiry()
    # The least hours of stripping, for a crew of two: 1.0 is 30 minutes by the clock.
    assert refused_for(bay, hours_strip_least=1.0) == set()
    assert refused_for(bay, hours_strip_least=1.04) == {"too-long"}


def test_where_no_tower_has_room_a_longer_task_is_allowed_up_to_the_firms_limit() -> None:
    """Features of the site that cannot be altered: schedule 6, paragraph 1 (b)."""
    tight = site(room_for_tower=False)(builders.ladder_enquiry())
    _, problems = taken_off(tight, hours_strip_least=1.5)
    assert [p.code for p in problems] == ["ladder-for-long"]
    assert refused_for(tight, hours_strip_least=2.0) == set()
    assert refused_for(tight, hours_strip_least=2.1) == {"too-long-even-so"}
    assert refused_for(height(2.6)(tight)) == {"too-high"}  # the risk is never low up there


def test_the_job_that_once_passed_with_a_reason_is_refused_on_every_ground() -> None:
    """12 m up, a rotten deck, cables nobody has looked for, hours on end."""
    roof = builders.roof(
        sizes={Size.WIDTH: 6000, Size.PROJECTION: 5000},
        height_mm=builders.given("height", 12000.0, "mm"),
    )
    job = site(overhead_cables=None)(builders.ladder_enquiry(roof=roof))
    job = deck(condition=DeckCondition.ROTTEN)(job)
    job = replace(job, access_at=Place(builders.BOOK, "Enquiries", "AN2", "Access"))
    assert refused_for(job) == {
        "too-high", "deck-not-known-sound", "out-of-reach", "cables", "too-long",
    }  # fmt: skip
    option, problems = taken_off(job)
    assert option.access.chosen is Access.SCAFFOLD
    (refused,) = [p for p in problems if p.stops]
    assert refused.place.cell == "AN2"
    assert "12 m up, over 2.5 m" in refused.message


def test_every_ground_has_its_source() -> None:
    grounds = rules.sentences(LadderGround)
    assert all(ground.basis.source and ground.basis.confirmed for ground in grounds)
    assert any("schedule 6, paragraph 1" in ground.basis.source for ground in grounds)


@tuned(max_examples=30)
@over(
    metres=st.floats(1.0, 6.0),
    higher=st.floats(0.0, 6.0),
    width=st.floats(0.8, 4.0),
    wider=st.floats(0.0, 4.0),
    lone=st.booleans(),
)
def test_a_taller_or_longer_job_never_wins_a_ladder_back(
    metres: float, higher: float, width: float, wider: float, lone: bool
) -> None:
    smaller = site(lone_work=lone)(wide(width)(height(metres)(builders.ladder_enquiry())))
    larger = wide(width + wider)(height(metres + higher)(smaller))
    assert refused_for(smaller) <= refused_for(larger)


def test_every_ground_is_read_off_the_job() -> None:
    assert list(_REFUSED) == list(LadderGround)


@pytest.mark.parametrize("many", [1, 2])
def test_no_reason_for_a_tower_lets_anyone_step_on_to_an_unguarded_roof(many: int) -> None:
    """Work at Height Regulations 2005, regulation 6: each open edge is guarded first."""
    deep = between_walls(3.0)
    option, _ = taken_off(deep, tower_edge_m=4.0 / many)
    assert option.access.towers.number == many
    (words,) = [one for one in map(said, option.access.reasons) if "with guard rails" in one]
    assert words.startswith("A tower with" if many == 1 else f"{many} towers with")
    assert "Open edges: front. Each is guarded" in words
    assert "before anyone steps on to the roof" in words


def test_the_longest_task_is_by_the_clock() -> None:
    assert longest_task_min((1.0, 0.5), 2) == 30
    assert longest_task_min((1.0, 0.5), 1) == 60


def test_a_ladder_that_carries_more_than_its_rating_is_warned_of() -> None:
    """BS EN 131-2: 150 kg in all. 125 + 15 + 10 kg is 150, by hand."""
    bay = builders.ladder_enquiry()
    assert {p.code for p in taken_off(bay, heaviest_person_kg=125)[1]} == {"ladder-worked-from"}
    found = {p.code for p in taken_off(bay, heaviest_person_kg=126)[1]}
    assert found == {"ladder-worked-from", "ladder-overloaded"}
    tower = replace(bay, access=Access.TOWER)  # climbed inside, by its own ladder
    assert taken_off(tower, heaviest_person_kg=126)[1] == []
    scaffold = replace(bay, access=Access.SCAFFOLD)
    assert [p.code for p in taken_off(scaffold, heaviest_person_kg=126)[1]] == ["ladder-overloaded"]


@pytest.mark.parametrize(
    ("width_m", "out_m", "away_m2"),
    # HSE INDG284 and HSG33: full protection within 2 m of an edge. Open on three sides, wall at
    # the back, by hand: (width - 4) x (out - 2).
    [(3.0, 2.0, 0.0), (4.0, 6.0, 0.0), (9.0, 2.0, 0.0), (5.0, 3.0, 1.0), (6.0, 4.5, 5.0)],
)
def test_a_small_roof_has_no_place_2_m_from_its_edges(
    width_m: float, out_m: float, away_m2: float
) -> None:
    sizes = {Size.WIDTH: width_m * 1000, Size.PROJECTION: out_m * 1000}
    option, _ = taken_off(builders.enquiry(builders.roof(sizes=sizes)))
    away = option.access.away_m2
    assert away.number == pytest.approx(away_m2, abs=0.001)
    assert isinstance(away.basis, Step)
    assert away.basis.recompute() == away.value
    reasons = map(said, option.access.reasons)
    assert any("No part of this roof is 2 m" in reason for reason in reasons) is (away_m2 == 0)


def test_a_wall_is_no_open_edge() -> None:
    walls = dict.fromkeys((Side.BACK, Side.LEFT, Side.RIGHT), EdgeKind.WALL)
    edges = {**walls, Side.FRONT: EdgeKind.FREE_DRIP}
    roof = builders.roof(sizes={Size.WIDTH: 3000, Size.PROJECTION: 5000}, edges=edges)
    # 3 m wide and 5 m deep, open only at the front: 3 x (5 - 2) by hand.
    assert taken_off(builders.enquiry(roof))[0].access.away_m2.number == pytest.approx(9.0)


def test_the_far_corner_of_an_edge_is_rounded() -> None:
    # Beside the end of an edge the distance is a circle: a square of 3 m, one point-like edge of
    # 0.02 m at a corner, 9 - pi x 2^2 / 4 m2 by hand.
    square = ((0.0, 0.0), (3000.0, 0.0), (3000.0, 3000.0), (0.0, 3000.0))
    assert beyond_m2(square, (((0.0, 0.0), (20.0, 0.0)),), 2.0) == pytest.approx(5.84, abs=0.05)


def test_a_blank_underneath_is_said_aloud_where_a_platform_stands() -> None:
    """Highways Act 1980, section 169: a platform on the pavement needs a licence."""
    bay = builders.enquiry(builders.canted_bay())
    assert taken_off(bay)[1] == []
    option, problems = taken_off(replace(bay, below=()))
    assert [p.code for p in problems] == ["below-not-known"]
    assert not problems[0].stops
    assert option.charges == taken_off(bay)[0].charges
    priced, problems = taken_off(replace(bay, below=(Below.PAVEMENT,)))
    assert problems == []
    assert "licence" in " ".join(figure.name.lower() for _, figure in priced.charges)
    low = builders.canted_bay(height_mm=builders.given("height", 1800.0, "mm"))
    assert taken_off(builders.enquiry(low, access=Access.GROUND, below=()))[1] == []


def test_codes_of_ladders_are_one_at_a_time() -> None:
    for change in (height(2.4), height(2.6), site(room_for_tower=False)):
        found = [p.code for p in taken_off(change(builders.ladder_enquiry()))[1]]
        assert len(LADDER_CODES.intersection(found)) == 1
