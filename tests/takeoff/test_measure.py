"""The take-off as a whole: build-ups, access, strip-out, hours, problems."""

from datetime import date
from decimal import Decimal

import pytest
from msgspec.structs import replace

from quotegen.model.choices import (
    Access,
    Answer,
    Below,
    BuildUp,
    Covering,
    Deck,
    DeckCondition,
    EdgeKind,
    OpeningKind,
    PriceBasis,
    Side,
    Size,
)
from quotegen.model.enquiry import Enquiry, Existing, Finding, Opening, SiteFacts
from quotegen.model.settings import PriceBook
from quotegen.model.takeoff import OptionTakeOff, Stage
from quotegen.problems import Problem
from quotegen.reference import loader as reference
from quotegen.reference.remark_keys import Task
from quotegen.takeoff.checks import check_settings, span_limit_mm
from quotegen.takeoff.layers.thermal import u_value_w_m2k
from quotegen.takeoff.measure import measure
from quotegen.working import Scalar
from tests import builders

given = builders.given


def taken_off(enquiry: Enquiry, **settings: Scalar | None) -> tuple[OptionTakeOff, list[Problem]]:
    take_off, problems = measure(
        enquiry, builders.settings(**settings), builders.prices(), builders.TODAY
    )
    assert take_off is not None
    return take_off.options[0], problems


def items(option: OptionTakeOff) -> dict[str, float]:
    return {need.item: need.gross.number for need in option.needs}


def existing(
    covering: Covering | None,
    layers: float = 1.0,
    deck: Deck | None = Deck.SHEET,
    condition: DeckCondition | None = DeckCondition.SOUND,
) -> Existing:
    return Existing(covering, given("layers", layers, "layers"), deck, condition)


def test_each_build_up_takes_its_own_boards() -> None:
    insulation = given("insulation", 130.0, "mm")
    bought = {}
    for build_up in BuildUp:
        enquiry = builders.enquiry(build_ups=(build_up,), insulation_mm=insulation)
        bought[build_up] = items(taken_off(enquiry)[0])
    assert "deck_board_11" in bought[BuildUp.CAP_OVER]
    assert "deck_board_18" not in bought[BuildUp.CAP_OVER]
    assert bought[BuildUp.NEW_DECK]["deck_board_18"] == 3  # 3.0 x 2.0 m: a row and a ripped row
    assert "insulation_130" not in bought[BuildUp.NEW_DECK]
    assert bought[BuildUp.NEW_DECK_INSULATED]["insulation_130"] == pytest.approx(6.6)
    assert bought[BuildUp.NEW_DECK_INSULATED]["deck_board_18"] == 6  # under and over it
    assert bought[BuildUp.CAP_OVER_INSULATED]["insulation_130"] == pytest.approx(6.6)
    assert bought[BuildUp.CAP_OVER_INSULATED]["deck_board_18"] == 3
    assert "deck_board_11" not in bought[BuildUp.CAP_OVER_INSULATED]


def test_with_a_new_deck_the_old_one_comes_up_under_insulation_whatever_it_is_like() -> None:
    for condition in (*DeckCondition, None):
        enquiry = builders.enquiry(
            build_ups=(BuildUp.NEW_DECK_INSULATED,),
            insulation_mm=given("insulation", 130.0, "mm"),
            existing=existing(Covering.FELT, condition=condition),
        )
        option, _ = taken_off(enquiry)
        assert items(option)["deck_board_18"] == 6  # three in each deck
        assert [line.words for line in option.strip] == ["old felt", "old deck"]


@pytest.mark.parametrize(
    ("code", "kg_m2"), [(3, 14.97), (4, 20.41), (5, 25.40), (6, 30.05), (7, 35.72), (8, 40.26)]
)
def test_sheet_lead_weighs_what_the_published_table_says(code: int, kg_m2: float) -> None:
    """BS EN 12588:2006 thicknesses; masses as merchants' tables print them, and 11.34 x mm."""
    thickness_mm = {3: 1.32, 4: 1.80, 5: 2.24, 6: 2.65, 7: 3.15, 8: 3.55}[code]
    assert reference.entry(f"sheet_lead.code_{code}_kg_m2").value == kg_m2
    assert kg_m2 == pytest.approx(11.34 * thickness_mm, abs=0.01)
    enquiry = builders.enquiry(existing=existing(Covering.LEAD))
    option, _ = taken_off(enquiry, lead_code=code)
    lead = option.strip[0]
    assert (lead.words, lead.waste_code) == ("old lead", "17 04 03")
    assert lead.mass_kg.number == pytest.approx(6.0 * kg_m2)


def test_lead_is_not_paid_for_at_the_tip() -> None:
    option, _ = taken_off(builders.enquiry(existing=existing(Covering.LEAD)))
    tip = next(charge for stage, charge in option.charges if stage is Stage.STRIP)
    assert tip.money == Decimal("9.66")  # 6 m2 of deck at 11.5 kg and 140 a tonne, no lead


def test_two_layers_of_felt_and_a_deck_by_hand() -> None:
    """12 kg/m2 a layer and 11.5 kg/m2 of sheet deck, on 6 m2. From memory."""
    option, _ = taken_off(builders.enquiry())
    assert [line.mass_kg.number for line in option.strip] == pytest.approx([144.0, 69.0])
    assert items(option)["sack"] == 10  # 144 kg in sacks of 15; boards go loose


def test_the_change_of_weight_from_chippings_to_fibreglass() -> None:
    """(12 + 18 + 11.5) kg/m2 comes off; 11.7 of board and 3 to 5 of laminate go on."""
    option, problems = taken_off(builders.enquiry(existing=existing(Covering.FELT_CHIPPINGS)))
    assert option.weight_change_pct is not None
    change = option.weight_change_pct.number
    assert 100 * (14.7 - 41.5) / 41.5 < change < 100 * (16.7 - 41.5) / 41.5
    assert problems == []


def test_a_roof_that_becomes_much_heavier_is_warned_of() -> None:
    """More than 15 % heavier prompts a structural check (building control guidance)."""
    thin = builders.enquiry(existing=existing(Covering.SINGLE_PLY), build_ups=(BuildUp.CAP_OVER,))
    _, problems = taken_off(thin)
    assert [(p.code, p.stops) for p in problems] == [("weight-change", False)]


@pytest.mark.parametrize(("board", "limit"), [(15, 450), (18, 600), (22, 600), (11, 0)])
def test_spans_of_boards(board: int, limit: int) -> None:
    """NHBC Standards 7.1 and BS 8103-3: 18 mm at 600. The 15 mm row is from memory."""
    assert span_limit_mm(board, reference.entry("deck_boards.span_limits_mm").value) == limit


def test_a_board_too_thin_for_its_joists_stops_the_enquiry() -> None:
    roof = builders.roof(joist_centres_mm=given("joists", 600.0, "mm"))
    enquiry = builders.enquiry(roof, board_mm=given("board", 15.0, "mm"))
    _, problems = taken_off(enquiry)
    assert [(p.code, p.stops) for p in problems] == [("deck-too-thin", True)]
    _, problems = taken_off(builders.enquiry(roof))
    assert problems == []
    thin = builders.enquiry(board_mm=given("board", 11.0, "mm"))  # centres unknown
    assert [p.code for p in taken_off(thin)[1]] == ["deck-too-thin"]


def test_access_in_the_order_of_control() -> None:
    bay = builders.canted_bay()
    assert access(builders.enquiry(bay)) is Access.TOWER
    assert access(builders.enquiry()) is Access.SCAFFOLD  # 7 m of open edge
    no_room = SiteFacts(room_for_tower=False)
    assert access(builders.enquiry(bay, site=no_room)) is Access.SCAFFOLD
    asked = builders.enquiry(bay, site=no_room, access=Access.TOWER)
    assert access(asked, "access-raised") is Access.SCAFFOLD
    ladder = builders.enquiry(bay, access=Access.LADDER)
    assert access(ladder, "access-raised") is Access.TOWER  # no reason on record
    assert access(builders.ladder_enquiry(), "ladder-worked-from") is Access.LADDER


def test_one_tower_is_not_made_to_protect_a_whole_garage() -> None:
    """Edge protection wherever work comes within 2 m of an edge (HSG33): all round a garage."""
    garage = builders.roof(sizes={Size.WIDTH: 2600, Size.PROJECTION: 5200})
    asked = builders.enquiry(garage, access=Access.TOWER)
    assert access(asked, "access-raised") is Access.SCAFFOLD
    option, _ = taken_off(builders.enquiry(builders.canted_bay(), access=Access.TOWER))
    assert (option.access.towers.number, items(option)["tower_hire"]) == (1, 1)


def test_from_the_ground_only_where_every_part_is_in_reach() -> None:
    low = given("height", 1900.0, "mm")
    bay = builders.canted_bay(height_mm=low)
    assert access(builders.enquiry(bay, access=Access.GROUND)) is Access.GROUND
    high = builders.enquiry(builders.canted_bay(), access=Access.GROUND)
    assert access(high, "access-raised") is Access.TOWER  # 2.6 m is above reach
    unknown = builders.enquiry(builders.canted_bay(height_mm=None), access=Access.GROUND)
    assert access(unknown, "access-raised") is Access.SCAFFOLD  # nor may one tower do
    deep = builders.roof(sizes={Size.WIDTH: 2600, Size.PROJECTION: 5200}, height_mm=low)
    asked = builders.enquiry(deep, access=Access.GROUND)
    assert access(asked, "access-raised") is Access.SCAFFOLD


def access(enquiry: Enquiry, code: str = "") -> Access:
    option, problems = taken_off(enquiry)
    assert option.access.reasons
    assert [p.code for p in problems] == ([code] if code else [])
    return option.access.chosen


def test_a_pavement_below_takes_barriers_and_a_licence() -> None:
    enquiry = builders.enquiry(below=(Below.PAVEMENT,))
    option, problems = taken_off(enquiry)
    assert problems == []
    assert "barrier_hire" in items(option)
    assert any(stage is Stage.ACCESS for stage, _ in option.charges)
    option, problems = taken_off(enquiry, pavement_licence=None)
    assert [(p.code, p.seen) for p in problems] == [("setting-missing", "pavement_licence")]


def test_hours_have_their_least_and_days_their_step() -> None:
    """Common practice, no source: least hours a task, half days."""
    option, _ = taken_off(builders.enquiry(builders.canted_bay()))
    hours = {line.task: line.hours.number for line in option.labour}
    assert hours["Strip the old felt"] == 1.0
    assert hours["Lay the new deck"] == 1.0
    assert hours["Cut and fit mitres"] == pytest.approx(0.70)
    assert option.programme.days.number == 2.0  # planned for a deck of 10 C: cures overnight
    warm = builders.enquiry(builders.canted_bay(), deck_c=given("deck", 16.0, "°C"))
    assert taken_off(warm)[0].programme.days.number == 1.0
    assert 10 <= option.programme.person_hours.number <= 13  # a 3 m2 bay: 10 to 13, one day


def test_a_garage_takes_about_what_the_trade_says() -> None:
    """15 m2 garage: 1.5 days for two, about 23 person-hours. From memory."""
    roof = builders.roof(sizes={Size.WIDTH: 2900, Size.PROJECTION: 5200})
    enquiry = builders.enquiry(
        roof,
        gutter_mm=given("gutter", 2900.0, "mm"),
        existing=existing(Covering.FELT),
        deck_c=given("deck", 15.0, "°C"),
    )
    option, _ = taken_off(enquiry)
    worked = [line.hours.number for line in option.labour if line.key is not Task.WAIT]
    assert 17 <= sum(worked) <= 26
    assert option.programme.days.number in (1.5, 2.0)
    assert option.programme.paid_days.number in (1.5, 2.0)


def test_unknown_is_a_problem_for_price_and_never_nothing() -> None:
    enquiry = builders.enquiry(existing=Existing(None, None, None, None))
    _, problems = measure(enquiry, builders.settings(), builders.prices(), builders.TODAY)
    assert [p.code for p in problems] == ["fact-needed-for-price"] * 2
    no_thickness = builders.enquiry(build_ups=(BuildUp.NEW_DECK_INSULATED,))
    assert "fact-needed-for-price" in {p.code for p in taken_off(no_thickness)[1]}
    take_off, problems = measure(
        builders.enquiry(), builders.settings(), PriceBook({}), builders.TODAY
    )
    assert take_off is not None
    assert {p.code for p in problems} == {"price-missing"}
    assert {p.seen for p in problems} == set(items(take_off.options[0]))


def test_old_and_future_prices_are_warned_of_once_each() -> None:
    enquiry = builders.enquiry(build_ups=(BuildUp.NEW_DECK, BuildUp.CAP_OVER))
    _, problems = measure(enquiry, builders.settings(), builders.prices(), date(2027, 6, 1))
    assert {p.code for p in problems} == {"price-old"}
    assert not any(p.stops for p in problems)
    places = [str(p.place) for p in problems]
    assert len(places) == len(set(places))
    _, problems = measure(enquiry, builders.settings(), builders.prices(), date(2026, 10, 1))
    assert {p.code for p in problems} == {"price-dated-ahead"}


def test_a_deck_too_cold_is_warned_of() -> None:
    enquiry = builders.enquiry(deck_c=given("deck", 3.0, "°C"))
    _, problems = taken_off(enquiry)
    assert [p.code for p in problems] == ["temperature-outside-limits"]


def test_a_deck_too_cold_for_topcoat_alone_is_warned_of() -> None:
    """Topcoat from 8 °C, resin from 5 °C: from memory."""
    for deck_c, codes in ((7.9, ["topcoat-too-cold"]), (8.0, [])):
        _, problems = taken_off(builders.enquiry(deck_c=given("deck", deck_c, "°C")))
        assert [p.code for p in problems] == codes


def test_a_bigger_roof_never_needs_less() -> None:
    def needs(width: float, out: float) -> dict[str, float]:
        roof = builders.roof(sizes={Size.WIDTH: width, Size.PROJECTION: out})
        return items(taken_off(builders.enquiry(roof, access=Access.SCAFFOLD))[0])

    before = needs(1800, 900)
    for width, out in ((2000, 1200), (2600, 1500), (2700, 1500), (3100, 2100), (4800, 3600)):
        after = needs(width, out)
        assert {item: n for item, n in before.items() if after[item] < n - 1e-9} == {}
        before = after


@pytest.mark.parametrize("deck", [Deck.CONCRETE, Deck.WOODWOOL])
def test_a_deck_of_another_kind_stops_the_enquiry(deck: Deck) -> None:
    """Wood-wool is fragile, concrete takes no screws: neither is priced. From memory."""
    _, problems = taken_off(builders.enquiry(existing=existing(Covering.FELT, deck=deck)))
    assert [(p.code, p.seen, p.stops) for p in problems] == [("deck-not-ours", str(deck), True)]


def test_bare_joists_have_nothing_to_take_up() -> None:
    bare = existing(Covering.NONE, deck=None, condition=None)
    option, problems = taken_off(builders.enquiry(existing=bare))
    assert (option.strip, problems) == ((), [])
    assert Task.STRIP_DECK not in {line.key for line in option.labour}


def test_old_fibreglass_comes_off_with_its_deck_and_is_capped_as_it_is() -> None:
    old = existing(Covering.OLD_GRP)
    stripped, _ = taken_off(builders.enquiry(existing=old))
    assert [line.words for line in stripped.strip] == ["old fibreglass", "old deck"]
    capped = builders.enquiry(existing=old, build_ups=(BuildUp.CAP_OVER,))
    option, _ = taken_off(capped)
    assert option.strip == ()


def test_a_roof_with_no_way_off_for_water_is_warned_of() -> None:
    pond = builders.roof(edges=dict.fromkeys(Side, EdgeKind.RAISED))
    assert [p.code for p in taken_off(builders.enquiry(pond))[1]] == ["no-way-off"]
    outlet = Opening(builders.enquiry().place, OpeningKind.OUTLET, given("count", 1.0, "each"))
    assert taken_off(builders.enquiry(pond, openings=(outlet,)))[1] == []


def test_a_roof_beyond_one_piece_is_warned_of() -> None:
    """50 m2 or 10 m in one piece. Common practice, no source."""
    for sizes, warned in (((7000, 7000), False), ((7000, 7200), True), ((10500, 2000), True)):
        roof = builders.roof(sizes=dict(zip((Size.WIDTH, Size.PROJECTION), sizes, strict=True)))
        codes = [p.code for p in taken_off(builders.enquiry(roof))[1]]
        assert codes == (["expansion-joint"] if warned else [])


def test_an_upstand_below_the_standard_is_warned_of() -> None:
    """BS 6229: 150 mm above the finished surface; insulation and board take 151 of 180 here."""
    enquiry = builders.enquiry(
        build_ups=(BuildUp.NEW_DECK_INSULATED,), insulation_mm=given("insulation", 130.0, "mm")
    )
    found = [p for p in taken_off(enquiry)[1] if p.code == "upstand-too-low"]
    assert [p.seen for p in found] == ["29 mm"]


@pytest.mark.parametrize(
    ("length", "width"), [(3000, 600), (2500, 2000), (6000, 500), (2990, 1995)]
)
def test_a_rooflight_that_does_not_fit_is_a_problem(length: float, width: float) -> None:
    light = rooflight(length, width)
    take_off, problems = measure(
        builders.enquiry(openings=(light,)), builders.settings(), builders.prices(), builders.TODAY
    )
    assert take_off is None
    assert [p.code for p in problems] == ["opening-too-large"]


def rooflight(length: float, width: float) -> Opening:
    return Opening(
        builders.enquiry().place,
        OpeningKind.ROOFLIGHT,
        given("count", 1.0, "each"),
        given("length", length, "mm"),
        given("width", width, "mm"),
    )


def test_work_agreed_is_in_the_order_and_the_hours() -> None:
    to_do = Finding(
        place=builders.enquiry().place,
        seen="Soft fascia",
        if_left="It falls off",
        advised="Replace 3 m of fascia",
        basis=PriceBasis.FASCIA,
        quantity=given("metres", 3.0, "m"),
        fixed_price=None,
        answer=Answer.DO_IT,
    )
    option, _ = taken_off(builders.enquiry(findings=(to_do,)))
    assert items(option)["fascia_board"] == 3.0
    hours = {line.task: line.hours.number for line in option.labour}
    assert hours["Replace 3 m of fascia"] == pytest.approx(1.5)
    declined = replace(to_do, answer=Answer.DECLINED)
    assert "fascia_board" not in items(taken_off(builders.enquiry(findings=(declined,)))[0])


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"topcoat_warm_c": 10}, "topcoat_warm_c"),
        ({"hot_batch_limit_l": 5}, "hot_batch_limit_l"),
        ({"test_mix_below_c": 15, "test_mix_above_c": 15}, "test_mix_below_c"),
    ],
)
def test_settings_that_contradict_each_other(changes: dict[str, float], code: str) -> None:
    found = check_settings(builders.settings(**changes), "jobs.xlsx")
    assert [(p.code, p.seen) for p in found] == [("settings-contradict", code)]
    assert check_settings(builders.settings(), "jobs.xlsx") == []


@pytest.mark.parametrize(
    ("target", "conductivity", "needed_mm"),
    [(0.16, 0.022, 134), (0.15, 0.022, 144), (0.18, 0.025, 135), (0.30, 0.025, 80)],
)
def test_u_value_against_the_published_table(
    target: float, conductivity: float, needed_mm: float
) -> None:
    """Approved Document L1 (2002), appendix A, continuous insulation: base thickness in mm.

    The table counts the insulation and surfaces alone (0.14 m2K/W); read second-hand, the first
    three rows by its own formula for today's targets.
    """
    assert u_value_w_m2k(0.14, needed_mm, conductivity, 0, 0.13) == pytest.approx(target, rel=5e-3)
