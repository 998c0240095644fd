"""Amounts on site at once against the guide for one store of flammable liquids."""

import pytest
from msgspec.structs import replace

from quotegen.model.choices import Shape, Size
from quotegen.model.enquiry import Enquiry
from quotegen.model.settings import Settings
from quotegen.model.takeoff import OptionTakeOff
from quotegen.reference.loader import entry
from quotegen.safety.facts.store_checks import check_stored
from quotegen.safety.facts.stored import (
    guide_l,
    on_site_l,
    over_guide,
    store_guide_l,
    tray_l,
    tray_volume_l,
)
from tests import builders
from tests.safety import jobs

SMALL = jobs.plain_enquiry()
LARGE = jobs.plain_enquiry(
    roof=builders.roof(shape=Shape.RECTANGLE, sizes={Size.WIDTH: 7000.0, Size.PROJECTION: 6000.0})
)


def option_of(enquiry: Enquiry) -> OptionTakeOff:
    return jobs.take_off(enquiry).options[0]


def with_stock(**quantities: float) -> Settings:
    units = {"catalyst": "ml", "acetone": "l", "resin": "kg"}
    stock = {
        item: builders.given(f"{item} on the van", quantity, units[item])
        for item, quantity in quantities.items()
    }
    return replace(jobs.SETTINGS, van_stock=stock)


@pytest.mark.parametrize(
    ("flash_points_c", "warmest_c", "guide"),
    # HSE guidance on storing flammable liquids in workrooms (DSEAR 2002, L138), read in reprints:
    # 50 l of extremely and highly flammable liquids and of those with a flash point under the
    # warmest the room gets, 250 l of others; what stands together counts as the lowest.
    [
        ([-18], 20, 50),  # acetone, highly flammable wherever it stands
        ([31], 35, 50),  # styrene in a store that may get warmer than its flash point
        ([31], 25, 250),
        ([31, -18], 25, 50),
        ([22.9], 10, 50),  # GB CLP, annex I, 2.6: category 2 is below 23 degC
        ([23], 10, 250),
    ],
)
def test_the_guide_for_one_store(
    flash_points_c: list[float], warmest_c: float, guide: float
) -> None:
    highly = entry("flammable_storage.highly_flammable_l").value
    other = entry("flammable_storage.flammable_l").value
    below_c = entry("flammable_storage.highly_flammable_below_c").value
    assert store_guide_l(flash_points_c, warmest_c, below_c, highly, other) == guide


def test_the_tray_holds_the_largest_tin_and_a_tenth() -> None:
    # The same guidance: 110 % of the largest vessel.
    assert tray_volume_l([25, 5], entry("flammable_storage.tray_pct").value) == pytest.approx(27.5)
    # One tin of 20 kg of resin at 1.1 kg/l is the largest on the small job.
    assert tray_l(option_of(SMALL), jobs.SETTINGS).number == pytest.approx(20 / 1.1 * 1.1)


def test_whole_packs_and_all_of_the_van_s_stock_count() -> None:
    option = option_of(SMALL)
    bought = {need.item: need.purchase for need in option.needs}
    resin, topcoat, acetone = bought["resin"], bought["topcoat"], bought["acetone"]
    assert resin and topcoat and acetone
    litres = resin.bought.number / 1.1 + topcoat.bought.number / 1.2 + acetone.bought.number
    assert on_site_l(option, jobs.SETTINGS).number == pytest.approx(litres)
    stocked = with_stock(acetone=2.5)
    assert on_site_l(option, stocked).number == pytest.approx(litres + 2.5)
    assert guide_l(option, jobs.SETTINGS).number == 50


def test_what_nobody_prices_still_counts_as_what_the_job_takes() -> None:
    option = option_of(SMALL)
    bare = replace(option, needs=tuple(replace(need, purchase=None) for need in option.needs))
    gross = {need.item: need.gross.number for need in option.needs}
    litres = gross["resin"] / 1.1 + gross["topcoat"] / 1.2 + gross["acetone"]
    assert on_site_l(bare, jobs.SETTINGS).number == pytest.approx(litres)


def test_more_than_the_guide_warns_and_is_said_on_the_paper() -> None:
    """42 m2 in one day take twice the guide: by day, and even so in stores apart."""
    for enquiry, codes in ((SMALL, []), (LARGE, ["flammables-over-guide"])):
        made = jobs.statement(enquiry)
        found = check_stored(enquiry, made.option, made.days, jobs.SETTINGS)
        assert over_guide(made.option, jobs.SETTINGS) is bool(codes)
        assert [(p.code, p.place, p.stops) for p in found] == [
            (code, enquiry.place, False) for code in codes
        ]
        notes = jobs.said(made.stored)
        assert "(one store: 50 l)" in notes["on-site"]
        assert ("by-day" in notes, "second-store" in notes) == (bool(codes), bool(codes))


def test_the_need_and_what_is_brought_are_both_said() -> None:
    # 500 ml is the only bottle in the tests' price list; a bay takes less.
    bay = jobs.plain_enquiry(roof=builders.canted_bay())
    (found,) = [one for one in jobs.statement(bay).substances if one.key == "catalyst"]
    need = next(need for need in option_of(bay).needs if need.item == "catalyst")
    assert 100 < need.gross.number < 500
    assert found.amount.endswith("ml with reserve (1 × 500 ml, no other bottle)")
    stocked = jobs.statement(bay, with_stock(catalyst=100.0))
    said = next(one for one in stocked.substances if one.key == "catalyst").amount
    assert "100 ml off the van" in said
    assert "no other bottle" in said


def test_the_road_and_the_store_are_named_only_where_there_is_something_to_carry() -> None:
    bare = jobs.made_for((), ("resin", "topcoat", "catalyst", "acetone", "adhesive"))
    assert bare.stored == ()
    assert "none in the cab" in jobs.said(jobs.statement(SMALL).stored)["on-the-road"]
