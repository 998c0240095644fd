"""Removal of the old roof: volumes, van loads, sacks or a skip, and lead as scrap."""

from decimal import Decimal

import pytest
from hypothesis import given as over
from hypothesis import settings as tuned
from hypothesis import strategies as st
from msgspec.structs import replace

from quotegen.documents.data.takeoff_data import takeoff_data
from quotegen.documents.shared.remark_words import said
from quotegen.model.choices import BuildUp, Covering, Deck, DeckCondition, Size
from quotegen.model.enquiry import Enquiry, Existing
from quotegen.model.quote import Quote
from quotegen.model.settings import PriceBook
from quotegen.model.takeoff import Leaves, OptionTakeOff, WastePlan
from quotegen.pricing.quote import make_quote
from quotegen.reference.loader import figure
from quotegen.reference.remark_keys import Task
from quotegen.takeoff.basis.job import Job, make_job
from quotegen.takeoff.measure import measure
from quotegen.takeoff.shape.outline import build_outline
from quotegen.takeoff.strip.strip import strip_lines
from quotegen.takeoff.strip.waste import containers, plan_waste
from quotegen.working import Scalar
from tests import builders

given = builders.given


def covered(covering: Covering, layers: float = 1.0) -> Existing:
    deck_layers = given("layers", layers, "layers")
    return Existing(covering, deck_layers, Deck.SHEET, DeckCondition.SOUND)


def roof_of(width: float, out: float, covering: Covering = Covering.FELT) -> Enquiry:
    roof = builders.roof(sizes={Size.WIDTH: width, Size.PROJECTION: out})
    return builders.enquiry(roof, existing=covered(covering))


def job_of(enquiry: Enquiry, **settings: Scalar | None) -> Job:
    firm = builders.settings(**settings)
    outline, _ = build_outline(enquiry, firm)
    assert outline is not None
    return make_job(enquiry, outline, firm, BuildUp.NEW_DECK)


def planned(
    enquiry: Enquiry, prices: PriceBook | None = None, **settings: Scalar | None
) -> tuple[dict[str, Leaves], WastePlan]:
    job = job_of(enquiry, **settings)
    lines, plan = plan_waste(job, strip_lines(job), prices or builders.prices())
    return {line.words: line.leaves for line in lines}, plan


def quoted(enquiry: Enquiry, **settings: Scalar | None) -> Quote:
    firm = builders.settings(**settings)
    take_off, _ = measure(enquiry, firm, builders.prices(), builders.TODAY)
    assert take_off is not None
    quote, _ = make_quote(take_off, firm, builders.prices(), builders.TODAY)
    return quote


def option_of(enquiry: Enquiry, **settings: Scalar | None) -> OptionTakeOff:
    return quoted(enquiry, **settings).options[0].take_off


def test_mass_and_loose_volume_by_hand() -> None:
    """6 m2 of felt and chippings on a sheet deck, worked by hand; masses from memory.

    Felt 72 kg at 430 kg/m3 and chippings 108 kg at 1540 are 0.1674 + 0.0701 m3; the deck of 69 kg
    at 237 kg/m3 is 0.2911 m3 (CalRecycle: 2600 and 400 lb a cubic yard; 0.5933 kg/m3 each).
    """
    felt, deck = strip_lines(job_of(roof_of(3000, 2000, Covering.FELT_CHIPPINGS)))
    assert (felt.mass_kg.number, deck.mass_kg.number) == pytest.approx((180.0, 69.0))
    assert felt.volume_m3.number == pytest.approx(72 / 430 + 108 / 1540)
    assert deck.volume_m3.number == pytest.approx(69 / 237)
    assert pytest.approx(237, abs=0.5) == 400 * 0.45359237 / 0.764554858
    assert pytest.approx(1540, abs=5) == 2600 * 0.45359237 / 0.764554858
    assert pytest.approx(1420, abs=5) == 2400 * 0.45359237 / 0.764554858


def test_a_small_roof_goes_by_van_with_its_working() -> None:
    """6 m2: 72 + 69 kg is one load; 140 a tonne is 19.74, and 4.8 sacks at 1.00 are 4.80."""
    leaves, plan = planned(roof_of(3000, 2000))
    assert leaves == {"old felt": Leaves.SACKS, "old deck": Leaves.LOOSE}
    assert (plan.skip, plan.runs.number) == (False, 1)
    assert plan.van_cost is not None
    assert plan.skip_cost is not None
    assert plan.van_cost.money == Decimal("24.54")
    assert plan.skip_cost.money == Decimal("240.00")


def test_loads_by_weight_or_by_room_whichever_fills_first() -> None:
    """15 m2 of asphalt: 660 + 172.5 kg is two loads of 800; felt and deck of 40 m2 fill 3.06 m3."""
    no_skip = builders.prices(("skip_hire",))
    _, heavy = planned(roof_of(5000, 3000, Covering.ASPHALT), no_skip)
    assert heavy.runs.number == 2
    _, bulky = planned(roof_of(8000, 5000), no_skip, van_payload_kg=3000, van_room_m3=1)
    assert bulky.volume_m3.number == pytest.approx(480 / 430 + 460 / 237)
    assert bulky.runs.number == 4


def test_the_cheaper_of_further_runs_and_a_skip_is_taken_exactly() -> None:
    """40 m2 of asphalt: 1760 + 460 kg are three loads, 310.80 at the tip and two runs of 1.5 h.

    At 28 an hour the runs are 84.00, and 117.33 sacks at 1.00: 512.13 by van, 240.00 by skip.
    """
    leaves, plan = planned(roof_of(8000, 5000, Covering.ASPHALT))
    assert plan.van_cost is not None
    assert plan.skip_cost is not None
    assert (plan.van_cost.money, plan.skip_cost.money) == (Decimal("512.13"), Decimal("240.00"))
    assert plan.skip
    assert set(leaves.values()) == {Leaves.SKIP}
    option = option_of(roof_of(8000, 5000, Covering.ASPHALT))
    items = {need.item: need for need in option.needs}
    assert "sack" not in items
    assert items["skip_hire"].purchase is not None
    assert items["skip_hire"].purchase.cost.money == Decimal("240.00")
    assert option.waste.tip.money == 0
    assert any("mixed waste, 17 09 04" in said(note) for note in option.notes)
    assert Task.TIP_RUNS not in {line.key for line in option.labour}


def test_without_a_price_for_a_skip_the_runs_are_charged() -> None:
    _, plan = planned(roof_of(8000, 5000, Covering.ASPHALT), builders.prices(("skip_hire",)))
    assert (plan.skip, plan.skip_cost, plan.runs.number) == (False, None, 3)
    option, _ = measure(
        roof_of(8000, 5000, Covering.ASPHALT),
        builders.settings(),
        builders.prices(("skip_hire",)),
        builders.TODAY,
    )
    assert option is not None
    hours = {line.task: line.hours.number for line in option.options[0].labour}
    assert hours["More runs to the tip"] == pytest.approx(3.0)


def test_more_than_the_firm_carries_is_a_skip_whatever_it_costs_and_needs_its_price() -> None:
    _, plan = planned(roof_of(3000, 2000), skip_over_m3=0.4)
    assert plan.skip
    assert plan.van_cost is None
    _, problems = measure(
        roof_of(3000, 2000),
        builders.settings(skip_over_m3=0.5 * 0.8),
        builders.prices(("skip_hire",)),
        builders.TODAY,
    )
    assert [(p.code, p.seen) for p in problems] == [("price-missing", "skip_hire")]


@over(st.integers(1500, 9000), st.integers(1500, 9000), st.integers(0, 2000), st.integers(0, 2000))
@tuned(max_examples=60)
def test_a_bigger_roof_never_costs_less_to_be_rid_of(w: int, d: int, dw: int, dd: int) -> None:
    def cost(width: float, out: float) -> Decimal:
        _, plan = planned(roof_of(width, out, Covering.FELT_CHIPPINGS))
        chosen = plan.skip_cost if plan.skip else plan.van_cost
        assert chosen is not None
        return chosen.money

    assert cost(w, d) <= cost(w + dw, d + dd)


def test_hazardous_lines_never_share_a_container() -> None:
    """Hazardous waste may not be mixed with other waste (Hazardous Waste Regulations 2005)."""
    job = job_of(roof_of(8000, 5000))
    felt, deck = strip_lines(job)
    treated = replace(deck, words="treated boards", hazardous=True)
    sample = replace(deck, words="painted boards", hazardous=True)
    assert containers([felt, treated, deck, sample]) == [[felt, deck], [treated], [sample]]
    lines, plan = plan_waste(job, [felt, treated, sample], builders.prices())
    assert plan.runs.number >= 3
    skipped, _ = plan_waste(job_of(roof_of(8000, 5000), skip_over_m3=0.5), lines, builders.prices())
    assert [line.leaves for line in skipped] == [Leaves.SKIP, Leaves.LOOSE, Leaves.LOOSE]


def lead(**settings: Scalar | None) -> Quote:
    return quoted(roof_of(3000, 2000, Covering.LEAD), **settings)


def test_lead_is_credited_kept_or_not_spoken_of() -> None:
    """6 m2 of code 5 at 25.40 kg/m2 (BS EN 12588 tables) is 152.4 kg; at 1.35 it is 205.74."""
    unknown = lead().options[0]
    assert unknown.take_off.waste.scrap_value is None
    assert any("no price for scrap is set" in said(note) for note in unknown.take_off.notes)
    kept = lead(lead_scrap_per_kg=Decimal("1.35")).options[0]
    value = kept.take_off.waste.scrap_value
    assert value is not None
    assert value.money == Decimal("205.74")
    assert kept.totals.net.money == unknown.totals.net.money
    assert any("which the firm keeps" in said(note) for note in kept.take_off.notes)
    quote = lead(lead_scrap_per_kg=Decimal("1.35"), lead_scrap="credit the customer")
    credited = quote.options[0]
    assert credited.lines[-1].words == "Credit for the old lead as scrap"
    assert credited.lines[-1].amount.money == Decimal("-205.74")
    assert credited.totals.net.money == unknown.totals.net.money - Decimal("205.74")
    assert sum(line.amount.money for line in credited.lines) == credited.totals.net.money
    told = takeoff_data(quote, [], [])["options"][0]["waste"]
    assert (told["scrap_kg"], told["scrap_value"]) == (152.4, "205.74")


def test_lead_goes_by_van_and_never_into_a_skip() -> None:
    leaves, _ = planned(roof_of(8000, 5000, Covering.LEAD), skip_over_m3=0.5)
    assert leaves == {"old lead": Leaves.SCRAP, "old deck": Leaves.SKIP}


@pytest.mark.parametrize(
    ("year", "covering", "warned"),
    [
        (None, Covering.FELT, True),
        (1999.0, Covering.ASPHALT, True),
        (2000.0, Covering.FELT, False),
        (1960.0, Covering.SINGLE_PLY, False),
        (1960.0, Covering.LEAD, False),
    ],
)
def test_old_bitumen_is_not_taken_to_be_clean(
    year: float | None, covering: Covering, warned: bool
) -> None:
    """17 03 02 is without coal tar, 17 03 01* with; 17 06 05* holds asbestos (List of Wastes)."""
    built = None if year is None else given("year built", year, "year")
    enquiry = replace(roof_of(3000, 2000, covering), year_built=built)
    _, problems = measure(enquiry, builders.settings(), builders.prices(), builders.TODAY)
    found = [p for p in problems if p.code == "bitumen-untested"]
    assert bool(found) is warned
    assert not any(p.stops for p in found)
    assert all("17 03 01*" in p.message and "17 06 05*" in p.message for p in found)


def test_a_roof_that_becomes_much_lighter_has_its_fixings_looked_at_and_no_warning() -> None:
    """44 kg/m2 of asphalt gives way to about 15: relief of load, so mind the uplift."""
    enquiry = roof_of(3000, 2000, Covering.ASPHALT)
    take_off, problems = measure(enquiry, builders.settings(), builders.prices(), builders.TODAY)
    assert take_off is not None
    assert problems == []
    assert any("uplift" in said(note) for note in take_off.options[0].notes)
    thin = replace(roof_of(3000, 2000, Covering.SINGLE_PLY), build_ups=(BuildUp.CAP_OVER,))
    assert not any("uplift" in said(note) for note in option_of(thin).notes)


def test_the_bulk_weights_of_the_rates_are_the_published_ones() -> None:
    """CalRecycle gives pounds to the cubic yard: 2600, 2400 and 400; 1 lb/yd3 is 0.59328 kg/m3."""
    published = (("chippings", "gravel"), ("asphalt", "asphalt"), ("boards", "timber"))
    firm = builders.settings()
    for (code, entry), pounds in zip(published, (2600, 2400, 400), strict=True):
        default = firm.number(f"bulk_{code}_kg_m3")
        assert default == figure(f"bulk_waste.loose_{entry}_kg_m3").number
        assert default == pytest.approx(pounds * 0.453592 / 0.9144**3, rel=0.003)
