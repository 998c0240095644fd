"""Flammable liquids day by day: what is brought, what stands there, in how many stores."""

from datetime import date
from random import Random

import pytest
from msgspec.structs import replace

from quotegen.model.choices import Shape, Size
from quotegen.model.days import Span, Spell, WorkDay, WorkPlan
from quotegen.model.safety import MethodStatement
from quotegen.model.settings import PriceBook, Settings
from quotegen.model.takeoff import OptionTakeOff, Phase
from quotegen.safety.facts.day_store import LAID, DayStore, brought_by, day_store, stores_of
from quotegen.safety.facts.store_checks import check_stored
from quotegen.safety.facts.stored import on_site_l
from quotegen.safety.statement.laying_out import LaidOut
from quotegen.safety.statement.statement import make_statement
from tests import builders
from tests.safety import jobs

GUIDE_L = 50
"""HSE guidance on storing flammable liquids in workrooms (DSEAR 2002, L138), read in reprints:
50 l of highly flammable liquids in one store."""


def rectangle(width_mm: float, projection_mm: float) -> MethodStatement:
    roof = builders.roof(
        shape=Shape.RECTANGLE, sizes={Size.WIDTH: width_mm, Size.PROJECTION: projection_mm}
    )
    return jobs.statement(jobs.plain_enquiry(roof=roof))


def planned(*days: tuple[tuple[Phase, float], ...], dated: date | None = None) -> WorkPlan:
    """A plan of these parts of the work and their hours, one day after the other."""
    found = []
    for number, parts in enumerate(days, 1):
        at, spells = 8.0, []
        for phase, hours in parts:
            spells.append(Spell(phase, Span(at, at + hours), None))
            at += hours
        day = dated.replace(day=dated.day + number - 1) if dated else None
        found.append(WorkDay(day, number, (), (), (), (), None, tuple(spells)))
    return WorkPlan(tuple(found), Span(8.0, 16.0), dated is not None, None)


def store_of(option: OptionTakeOff, plan: WorkPlan, settings: Settings | None = None) -> DayStore:
    return day_store(option, plan, settings or jobs.SETTINGS)


def brought(store: DayStore) -> list[dict[str, float]]:
    return [{one.item: one.litres for one in day.brought} for day in store.days]


THREE_DAYS = planned(
    ((Phase.OPEN, 8.0),), ((Phase.LAY, 6.0),), ((Phase.SAND, 1.0), (Phase.COAT, 3.0))
)


def test_a_small_job_comes_at_once() -> None:
    made = rectangle(2400.0, 1000.0)
    store = store_of(made.option, THREE_DAYS)
    assert not store.split
    assert [len(day.brought) for day in store.days] == [3, 0, 0]
    assert store.days[0].there_l == pytest.approx(on_site_l(made.option, jobs.SETTINGS).number)
    assert store.over == ()


def test_what_is_more_than_the_guide_comes_on_the_day_it_is_laid() -> None:
    """By hand: 14 m2 laid to 2 l, 20 kg tins of 1.1 kg/l, topcoat in 10 kg tins of 1.2 kg/l."""
    made = rectangle(4500.0, 3000.0)
    bought = {need.item: need.purchase.bought.number for need in made.option.needs if need.purchase}
    resin_l, topcoat_l = bought["resin"] / 1.1, bought["topcoat"] / 1.2
    assert resin_l + topcoat_l + bought["acetone"] > GUIDE_L
    assert resin_l + bought["acetone"] < GUIDE_L
    store = store_of(made.option, THREE_DAYS)
    assert store.split
    first, second, third = brought(store)
    assert first == {}
    assert second == pytest.approx({"resin": resin_l, "acetone": bought["acetone"]})
    assert third == pytest.approx({"topcoat": topcoat_l})
    # What is left of the resin over night is what was not mixed.
    left_l = resin_l - made.option.resin.mixed_l.number + bought["acetone"]
    assert store.days[1].kept_l == pytest.approx(left_l)
    assert store.days[2].there_l == pytest.approx(left_l + topcoat_l)
    assert store.over == ()
    codes = [p.code for p in check_stored(made.enquiry, made.option, THREE_DAYS, jobs.SETTINGS)]
    assert codes == ["flammables-by-day"]


def test_resin_laid_on_two_days_comes_on_two_mornings() -> None:
    """60 and 40 % of the hours: of five tins for 82 kg or so three, then the other two."""
    made = rectangle(6500.0, 5000.0)
    (resin,) = [need for need in made.option.needs if need.item == "resin"]
    assert resin.purchase is not None
    (count,) = resin.purchase.packs
    plan = planned(((Phase.LAY, 6.0),), ((Phase.LAY, 4.0),), ((Phase.COAT, 3.0),))
    first, second, _ = (
        sum(c.count for b in day.brought if b.item == "resin" for c in b.packs)
        for day in store_of(made.option, plan).days
    )
    needed = resin.purchase.needed.number
    assert first == -(-0.6 * needed // 20)  # whole tins that hold 60 %
    assert first + second == count.count
    assert second > 0


@pytest.mark.parametrize(
    ("tins", "due", "days"),
    [
        ([20, 20, 20, 5], [0, 0, 0, 62, 62], [[], [], [], [0, 1, 2, 3], []]),
        ([20, 20, 20, 5], [22, 62], [[0, 3], [1, 2]]),
        ([5, 20], [4, 20], [[0], [1]]),
        ([10], [10, 10], [[0], []]),
        ([], [1.0], [[]]),
    ],
)
def test_each_morning_brings_as_few_packs_as_the_day_takes(
    tins: list[float], due: list[float], days: list[list[int]]
) -> None:
    assert brought_by(tins, due) == days


def test_no_store_is_above_the_guide_unless_a_pack_is() -> None:
    chance = Random(7)
    for _ in range(300):
        amounts = [chance.uniform(0.1, 60.0) for _ in range(chance.randrange(1, 12))]
        stores = stores_of(amounts, GUIDE_L)
        assert sum(stores) == pytest.approx(sum(amounts))
        assert all(held <= GUIDE_L + 1e-6 or held in amounts for held in stores)
        assert max(stores) == pytest.approx(max(amounts)) or max(stores) <= GUIDE_L + 1e-6


def test_what_is_on_the_van_stands_there_every_day() -> None:
    stock = {"acetone": builders.given("acetone on the van", 5.0, "l")}
    settings = replace(jobs.SETTINGS, van_stock=stock)
    made = jobs.statement(
        jobs.plain_enquiry(
            roof=builders.roof(
                shape=Shape.RECTANGLE, sizes={Size.WIDTH: 4500.0, Size.PROJECTION: 3000.0}
            )
        ),
        settings,
    )
    store = store_of(made.option, THREE_DAYS, settings)
    assert store.days[0].there_l == pytest.approx(5.0)
    assert all(day.there_l >= 5.0 and day.kept_l >= 5.0 for day in store.days)


def test_without_days_all_of_it_counts_as_one_day() -> None:
    made = rectangle(7000.0, 6000.0)
    (day,) = store_of(made.option, replace(THREE_DAYS, days=())).days
    assert day.number is None
    assert day.there_l == pytest.approx(on_site_l(made.option, jobs.SETTINGS).number)
    assert len(day.stores_l) > 1


def test_what_is_left_of_many_tins_is_no_large_pack() -> None:
    """400 m2 leave more than 50 l over for the next day: tins of 20 kg, that any store holds."""
    made = rectangle(20000.0, 20000.0)
    plan = planned(((Phase.LAY, 8.0),), ((Phase.LAY, 8.0),), ((Phase.COAT, 8.0),))
    store = store_of(made.option, plan)
    assert store.days[1].kept_l > GUIDE_L
    assert store.large_pack_l is None
    codes = [p.code for p in check_stored(made.enquiry, made.option, plan, jobs.SETTINGS)]
    assert codes == ["flammables-over-guide"]


def test_a_pack_larger_than_the_guide_is_a_problem() -> None:
    drums = PriceBook(
        {
            item: tuple(
                replace(pack, pack_size=200.0) if item == "resin" else pack for pack in packs
            )
            for item, packs in builders.prices().packs.items()
        }
    )
    enquiry = jobs.plain_enquiry()
    option = jobs.take_off(enquiry, prices=drums).options[0]
    found = check_stored(enquiry, option, THREE_DAYS, jobs.SETTINGS)
    assert [p.code for p in found] == ["flammables-large-pack", "flammables-over-guide"]


@pytest.mark.parametrize("key", sorted(jobs.BRINGS))
def test_on_no_day_is_more_than_the_guide_on_site_unless_it_is_said(key: str) -> None:
    """Over the jobs of every fact: what is brought is what is bought, none of it before its day."""
    made = jobs.BRINGS[key](jobs.PLAIN).statement()
    option, settings = made.option, made.settings
    store = day_store(option, made.days, settings)
    notes = jobs.said(made.stored)
    guide = store.guide_l.number
    assert ("second-store" in notes) is any(day.there_l > guide + 1e-6 for day in store.days)
    assert ("by-day" in notes) is (on_site_l(option, settings).number > guide)
    for item in ("resin", "topcoat", "acetone"):
        whole = sum(one.litres for day in store.days for one in day.brought if one.item == item)
        bought = [n.purchase.bought.number for n in option.needs if n.item == item and n.purchase]
        density = {"resin": 1.1, "topcoat": 1.2, "acetone": 1.0}[item]
        assert whole == pytest.approx(sum(bought) / density)
        if store.split:
            assert not any(
                one.item == item
                for at, day in enumerate(store.days)
                for one in day.brought
                if not any(spell.phase in LAID[item] for spell in made.days.worked[at].spells)
            )
    for day in store.days:
        assert sum(day.stores_l) == pytest.approx(day.there_l)
        assert day.kept_l <= day.there_l + 1e-9


def test_the_statement_names_the_days_and_the_stores() -> None:
    made = rectangle(7000.0, 6000.0)
    days = planned(
        ((Phase.OPEN, 8.0),), ((Phase.LAY, 6.0),), ((Phase.COAT, 3.0),), dated=date(2026, 12, 2)
    )
    laid_out = LaidOut(made.option, made.accepted, days, made.before)
    laid = make_statement(made.take_off, made.settings, builders.TODAY, laid_out)
    notes = jobs.said(laid.stored)
    assert "Thu 3 Dec: laminating resin" in notes["by-day"]
    assert "Fri 4 Dec: topcoat" in notes["by-day"]
    assert "Thu 3 Dec" in notes["second-store"]
    assert "at least 4 m" in notes["second-store"]
