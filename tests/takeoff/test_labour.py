"""Hours: difficulty, waiting and travel, and what may never shrink."""

from typing import Any

import pytest
from hypothesis import example
from hypothesis import given as over
from hypothesis import settings as tuned
from hypothesis import strategies as st
from msgspec.structs import replace

from quotegen.documents.shared.remark_words import said
from quotegen.model.choices import (
    Access,
    Answer,
    BuildUp,
    Covering,
    Deck,
    DeckCondition,
    EdgeKind,
    PriceBasis,
    Shape,
    Size,
)
from quotegen.model.enquiry import (
    Enquiry,
    Existing,
    Finding,
    MeasuredRoof,
    OutlineRow,
    SiteFacts,
)
from quotegen.model.settings import Settings
from quotegen.model.takeoff import OptionTakeOff
from quotegen.problems import Place
from quotegen.reference.remark_keys import Task
from quotegen.takeoff.hours.elapsed import cure_h
from quotegen.takeoff.measure import measure
from quotegen.working import Scalar
from tests import builders

given = builders.given
WARM = given("deck", 15.0, "°C")


def rectangle(width: float = 3000, out: float = 2000, **changes: Any) -> MeasuredRoof:
    return builders.roof(sizes={Size.WIDTH: width, Size.PROJECTION: out}, **changes)


def option_of(enquiry: Enquiry, **settings: Scalar | None) -> OptionTakeOff:
    firm = builders.settings(**settings)
    take_off, _ = measure(enquiry, firm, builders.prices(), builders.TODAY)
    assert take_off is not None
    return take_off.options[0]


def hours(enquiry: Enquiry, **settings: Scalar | None) -> dict[str, float]:
    found: dict[str, float] = {}
    for line in option_of(enquiry, **settings).labour:
        found[line.task] = found.get(line.task, 0.0) + line.hours.number
    return found


def slower(enquiry: Enquiry, than: Enquiry, **settings: Scalar | None) -> dict[str, float]:
    """How many times as long each task takes that does not take the same."""
    one, other = hours(enquiry, **settings), hours(than, **settings)
    return {
        task: round(one[task] / other[task], 4)
        for task in one
        if task in other and one[task] != pytest.approx(other[task])
    }


def garage(**changes: Any) -> Enquiry:
    """15 m2 reached by a scaffold: more than the least hours of any task."""
    roof = rectangle(5000, 3000, height_mm=given("height", 2600.0, "mm"))
    changes.setdefault("deck_c", given("deck", 8.0, "°C"))  # cures overnight: no wait
    return builders.enquiry(roof, access=Access.SCAFFOLD, **changes)


def high(enquiry: Enquiry, height_mm: float = 5000) -> Enquiry:
    return replace(enquiry, roof=replace(enquiry.roof, height_mm=given("height", height_mm, "mm")))


CARRIED = {
    "Strip the old felt",
    "Take up the old deck",
    "Carry down, bag and take away",
    "Lay the new deck",
}


def test_height_slows_only_what_is_carried_and_a_hoist_helps() -> None:
    """1.1 for the height and 1.1 for carrying it up by hand (house figures): 1.21 together."""
    assert slower(high(garage()), garage()) == dict.fromkeys(CARRIED, 1.21)
    assert slower(high(garage()), garage(), has_hoist="yes") == dict.fromkeys(CARRIED, 1.1)
    assert slower(high(garage(), 4000), garage()) == {}


def test_a_ladder_slows_only_what_is_carried() -> None:
    """1.25 is a house figure; without the least hours of a task, so that the factor shows."""
    by_ladder = builders.ladder_enquiry(deck_c=given("deck", 8.0, "°C"))  # no wait on the day
    scaffold = replace(by_ladder, access=Access.SCAFFOLD)
    no_least = {f"hours_{task}_least": 0 for task in ("strip", "deck", "waste")}
    assert slower(by_ladder, scaffold, **no_least) == dict.fromkeys(CARRIED, 1.25)


def test_a_factor_stands_in_the_working_under_its_name() -> None:
    deck = next(line for line in option_of(high(garage())).labour if line.key is Task.DECK)
    names = {figure.name for figure in deck.hours.walk()}
    assert any("slower to an edge higher" in name or "by this many times" in name for name in names)
    assert "difficulty" in names


def test_the_least_hours_stay_the_least() -> None:
    """A small bay has its least of an hour for the deck, cut to angles or not."""
    assert hours(builders.enquiry(builders.canted_bay()))["Lay the new deck"] == 1.0


def test_boards_cut_to_a_bay_take_longer() -> None:
    """A canted roof of 18 m2: 0.22 h/m2 and 1.2 for the angles (a house figure) are 4.752 h."""
    sizes = {Size.WIDTH: 8000.0, Size.FRONT_WIDTH: 4000.0, Size.PROJECTION: 3000.0}
    bay = replace(builders.canted_bay(), sizes={
        size: given(str(size), value, "mm") for size, value in sizes.items()
    })  # fmt: skip
    assert hours(builders.enquiry(bay))["Lay the new deck"] == pytest.approx(18 * 0.22 * 1.2)


def test_each_facet_beyond_four_slows_the_trims() -> None:
    """Six edges: two beyond a rectangle, 5 % each (house figure), on trims of 0.15 h/m."""
    place = Place(builders.BOOK, "Outline", "A2")
    corners = [(0, 0), (3000, 0), (2700, 600), (2000, 900), (1000, 900), (300, 600)]
    kinds = [EdgeKind.WALL, *[EdgeKind.GUTTER_DRIP] * 5]
    rows = tuple(
        OutlineRow(
            place,
            kind,
            along_mm=given("along", float(x), "mm"),
            out_mm=given("out", float(y), "mm"),
        )
        for (x, y), kind in zip(corners, kinds, strict=True)
    )
    roof = builders.roof(Shape.FIVE_FACET_BAY, sizes={}, edges={}, outline_rows=rows)
    option = option_of(builders.enquiry(roof))
    trims = [line for line in option.labour if line.key is Task.TRIM]
    take_off, _ = measure(
        builders.enquiry(roof), builders.settings(), builders.prices(), builders.TODAY
    )
    assert take_off is not None
    for line, edge in zip(trims, take_off.outline.edges, strict=True):
        rate = 0.12 if edge.kind is EdgeKind.WALL else 0.15
        assert line.hours.number == pytest.approx(edge.length.number / 1000 * rate * 1.1)


def test_a_height_nobody_measured_is_said() -> None:
    notes = option_of(builders.enquiry(rectangle(height_mm=None))).notes
    assert any("do not know the height of the edge" in said(note) for note in notes)
    known = option_of(builders.enquiry()).notes
    assert not any("height of the edge" in said(note) for note in known)


@pytest.mark.parametrize(
    ("deck_c", "expected"), [(3, 6), (5, 6), (10, 3.5), (12.5, 2.875), (15, 2.25), (40, 0.75)]
)
def test_the_laminate_is_walked_on_after(deck_c: float, expected: float) -> None:
    """Middle of 4 to 8 h at 5 C, 3 to 4 at 10, 1.5 to 3 at 15, 0.5 to 0.75 at 30. From memory."""
    table = ((5, 6), (10, 3.5), (15, 2.25), (20, 1.5), (25, 1), (30, 0.75))
    assert cure_h(deck_c, table) == pytest.approx(expected)


WAIT = "Wait for the laminate to cure"


def test_a_small_roof_waits_once_its_other_tasks_are_done() -> None:
    """At 20 C it cures for 1.5 h: 3.0 person-hours for two.

    The waste has gone down as it came off, the wall is not chased and no gutter goes back over wet
    laminate, so nothing fills the wait.
    """
    small = builders.enquiry(rectangle(1500, 800), deck_c=given("deck", 20.0, "°C"))
    found = hours(small)
    assert found["Carry down, bag and take away"] == pytest.approx(0.75)
    assert found[WAIT] == pytest.approx(3.0)
    with_gutter = replace(small, gutter_mm=given("gutter", 1500.0, "mm"))
    assert hours(with_gutter)[WAIT] == pytest.approx(3.0)


BACK = "Come back and set up again"


def test_the_crew_comes_back_where_it_is_cold_or_the_whole_wait_does_not_fit() -> None:
    """A day of two is 16 h. By hand in tests/cases: 3 x 2 m takes 12.92 h, and waits 4.5 at 15 C.

    That is 17.4, two days either way, so it cures overnight: an hour to come back and no wait, the
    same as in the cold. At 20 C it waits 2 x 1.5 = 3, and 15.9 h fit. At 9 C the laminate, laid by
    14:00, takes 4 h and is not hard by 16:30: two close up for 15 min.
    """
    for deck_c, comes, more in ((9.0, 2, 1.5), (15.0, 2, 1.0), (20.0, 1, 3.0)):
        roof = builders.enquiry(deck_c=given("deck", deck_c, "°C"))
        option, found = option_of(roof), hours(roof)
        assert option.programme.visits.number == option.programme.days.number == comes
        assert (found.get(WAIT), found.get(BACK)) == ((None, 1.0) if comes == 2 else (3.0, None))
        assert sum(found.values()) == pytest.approx(12.91748 + more)


def test_a_job_of_several_days_waits_where_coming_back_takes_a_day_more() -> None:
    """15 m2: at 15 C its wait, 4.5 h of two, goes into its second day.

    Overnight in the cold it takes a third. With the light of the shortest day the roof is worked on
    until 15:45 and is closed up before: what opens it takes the first day and the coat the second.
    """
    warm, cold = option_of(garage(deck_c=WARM)), option_of(garage())
    assert [warm.programme.visits.number, cold.programme.visits.number] == [1, 2]
    assert [warm.programme.days.number, cold.programme.days.number] == [2, 3]
    assert [warm.programme.paid_days.number, cold.programme.paid_days.number] == [2, 2.5]
    assert hours(garage(deck_c=WARM))[WAIT] == pytest.approx(2 * 2.25)


def test_each_visit_is_paid_in_half_days_begun_and_comes_on_whole_days() -> None:
    """10.91 h and 3.01 h of two are 0.68 and 0.19 days: 1 and 0.5 paid, one day each on site."""
    programme = option_of(builders.enquiry(deck_c=WARM)).programme
    assert programme.paid_days.number == 1.5
    assert programme.days.number == 2


def test_work_found_is_paid_by_the_hour_beside_the_days() -> None:
    """Ten joists at 0.75 h (house figure) are 7.5 h: a day more on site, no more days paid."""
    finding = Finding(
        place=Place(builders.BOOK, "Findings", "A2"),
        seen="Rotten joists",
        if_left="They give way.",
        advised="Replace joists",
        answer=Answer.DO_IT,
        basis=PriceBasis.JOIST,
        quantity=given("joists", 10.0, "each"),
        fixed_price=None,
    )
    roof = builders.enquiry(deck_c=WARM)
    found = option_of(replace(roof, findings=(finding,)))
    assert found.programme.paid_days.number == 1.5
    assert found.programme.days.number == 3


def test_a_longer_way_is_paid_for_everyone_on_every_day() -> None:
    """50 minutes each way, 20 of them allowed for: 2 people x 2 ways x half an hour a day."""
    far = builders.enquiry(deck_c=WARM, travel_min=given("travel", 50.0, "min"))
    option = option_of(far)
    assert option.programme.days.number == 2
    assert hours(far)["Extra travel to the job and back"] == pytest.approx(4.0)
    assert "Extra travel to the job and back" not in hours(builders.enquiry(deck_c=WARM))
    assert hours(builders.enquiry(deck_c=WARM), travel_min=80)[
        "Extra travel to the job and back"
    ] == pytest.approx(8.0)
    alone = replace(far, site=SiteFacts(lone_work=True))
    days = option_of(alone).programme.days.number
    assert days == 2  # 12.92 h and 1.5 of waiting for one; no work is done on the way
    assert hours(alone)["Extra travel to the job and back"] == pytest.approx(2.0)


BY_JOINT = ("deck_screw_60", "bandage", "noggin")
"""Counted along joints of boards: a longer deck that saves a joint takes less of them."""
FEWEST_STRIPS_PCT = 10


def whole(width: float, out: float, *, boards: str = "tongued", **changes: Any) -> dict[str, float]:
    """Every item and the hours of a roof reached by the same scaffold, its waste by van.

    One kind of board, and the way of the mat that takes least: where the roofer takes the other
    for fewer laps, a bigger roof may be the one that is worth the laps.
    """
    enquiry = builders.enquiry(rectangle(width, out), access=Access.SCAFFOLD, **changes)
    firm = builders.settings(deck_boards=boards, mat_worth_more_pct=0)
    option = taken_off(enquiry, firm)
    found = {need.item: need.gross.number for need in option.needs if need.item not in BY_JOINT}
    return found | {
        "hours": work_hours(option),
        "days": option.programme.days.number,
        "paid days": option.programme.paid_days.number,
        "waste": option.waste.volume_m3.number,
        "loads": option.waste.runs.number,
    }


def work_hours(option: OptionTakeOff) -> float:
    """The hours of the tasks themselves: the crew waits or comes back, whichever is paid less."""
    beside = (Task.WAIT, Task.COME_BACK)
    return sum(line.hours.number for line in option.labour if line.key not in beside)


def taken_off(enquiry: Enquiry, firm: Settings) -> OptionTakeOff:
    take_off, _ = measure(enquiry, firm, builders.prices(("skip_hire",)), builders.TODAY)
    assert take_off is not None
    return take_off.options[0]


def shrunk(before: dict[str, float], after: dict[str, float]) -> dict[str, tuple[float, float]]:
    return {
        name: (value, after.get(name, 0.0))
        for name, value in before.items()
        if after.get(name, 0.0) < value - 1e-6
    }


@over(
    st.integers(1200, 7000),
    st.integers(800, 5000),
    st.integers(0, 1500),
    st.integers(0, 1500),
    st.sampled_from((9.0, 15.0, 24.0)),
    st.sampled_from(("tongued", "square-edge")),
)
@example(1200, 1817, 0, 99, 9.0, "tongued")  # a hair of mat less, were edges laid with a hair more
@tuned(max_examples=40)
def test_a_bigger_roof_never_needs_less(
    w: int, d: int, dw: int, dd: int, deck_c: float, boards: str
) -> None:
    warm = given("deck", deck_c, "°C")
    one = whole(w, d, boards=boards, deck_c=warm)
    assert shrunk(one, whole(w + dw, d + dd, boards=boards, deck_c=warm)) == {}


@over(st.integers(1200, 7000), st.integers(800, 5000))
@tuned(max_examples=40)
def test_fewer_laps_never_cost_more_mat_than_they_are_worth(w: int, d: int) -> None:
    def mat_m2(least_saving_pct: float) -> float:
        firm = builders.settings(mat_worth_more_pct=least_saving_pct)
        needs = taken_off(builders.enquiry(rectangle(w, d)), firm).needs
        return next(need.net.number for need in needs if need.item == "mat_450")

    least, chosen = mat_m2(0), mat_m2(FEWEST_STRIPS_PCT)
    assert least <= chosen <= least / (1 - FEWEST_STRIPS_PCT / 100) + 1e-9


@over(st.integers(1200, 6000), st.integers(800, 4000), st.integers(1, 2), st.integers(1, 3))
@tuned(max_examples=25)
def test_more_layers_never_take_fewer_hours(w: int, d: int, mat: int, felt: int) -> None:
    def total(mats: int, felts: int) -> dict[str, float]:
        existing = Existing(
            Covering.FELT, given("layers", float(felts), "layers"), Deck.SHEET, DeckCondition.SOUND
        )
        layers = given("layers of mat", float(mats), "layers")
        found = whole(w, d, mat_layers=layers, existing=existing, deck_c=WARM)
        return {name: found[name] for name in ("hours", "days", "paid days")}

    assert shrunk(total(mat, felt), total(mat + 1, felt)) == {}
    assert shrunk(total(mat, felt), total(mat, felt + 1)) == {}


@over(st.integers(2100, 9000), st.integers(0, 4000), st.sampled_from(list(BuildUp)))
@tuned(max_examples=40)
def test_a_taller_roof_never_takes_fewer_hours(low: int, more: int, build_up: BuildUp) -> None:
    enquiry = builders.enquiry(
        access=Access.SCAFFOLD,
        build_ups=(build_up,),
        insulation_mm=given("insulation", 100.0, "mm"),
        deck_c=WARM,
    )
    one, other = option_of(high(enquiry, low)), option_of(high(enquiry, low + more))
    assert work_hours(one) <= work_hours(other) + 1e-9
    assert one.programme.paid_days.number <= other.programme.paid_days.number
