"""The take-off of an enquiry: outline first, then every build-up that is to be priced."""

from collections.abc import Iterable
from datetime import date

from quotegen.model.enquiry import BuildUp, Covering, Enquiry
from quotegen.model.roof import Outline
from quotegen.model.settings import PackPrice, PriceBook, Settings
from quotegen.model.takeoff import (
    AccessPlan,
    Mixes,
    Need,
    OptionTakeOff,
    Stage,
    Strip,
    TakeOff,
)
from quotegen.problems import Problem, problem
from quotegen.reference import house_rules
from quotegen.takeoff import laminate, strip
from quotegen.takeoff.access import access_demands, choose_access, needs_licence, plan_access
from quotegen.takeoff.catalyst import plan_mixes
from quotegen.takeoff.deck import check_span, deck_demands, insulation_demands
from quotegen.takeoff.job import Demand, Job, make_job
from quotegen.takeoff.labour import labour_lines, plan_programme
from quotegen.takeoff.outline import build_outline
from quotegen.takeoff.packs import buy
from quotegen.takeoff.sundries import sundry_demands
from quotegen.takeoff.trims import trim_demands, trim_work
from quotegen.units import whole_number
from quotegen.working import Figure, chosen, derive, total

_WHOLE_UNITS = frozenset({"sheet", "each", "length", "tube", "pair", "week"})


def measure(
    enquiry: Enquiry, settings: Settings, prices: PriceBook, on: date
) -> tuple[TakeOff | None, list[Problem]]:
    """Take an enquiry off on a day; no take-off where its outline cannot be drawn.

    The problems include prices missing or old and whatever the facts of the job forbid.
    """
    outline, problems = build_outline(enquiry, settings)
    if outline is None:
        return None, problems
    if make_job(enquiry, outline, settings, enquiry.build_ups[0]).deck_m2.number <= 0:
        return None, [problem("opening-too-large", enquiry.openings[0].place, ref=enquiry.ref)]
    problems += _unknown_for_price(enquiry) + _temperature(enquiry, settings)
    options = []
    for build_up in enquiry.build_ups:
        option, found = _option(enquiry, outline, settings, prices, build_up)
        options.append(option)
        problems += [p for p in found if p not in problems]
    problems += _price_ages(options, settings, on, enquiry.ref)
    return TakeOff(enquiry, outline, tuple(options)), problems


def _option(
    enquiry: Enquiry, outline: Outline, settings: Settings, prices: PriceBook, build_up: BuildUp
) -> tuple[OptionTakeOff, list[Problem]]:
    job = make_job(enquiry, outline, settings, build_up)
    work = trim_work(job)
    open_edge_m = plan_access(job, chosen("days", 0.0, "days", "not yet known")).platform_m
    access, _ = choose_access(job, open_edge_m.number)
    labour = labour_lines(job, work, access)
    programme = plan_programme(job, labour)
    plan = plan_access(job, programme.days)
    off = strip.strip_lines(job)
    demands = [
        *access_demands(job, plan),
        *strip.sack_demand(job, off),
        *deck_demands(job),
        *insulation_demands(job),
        *trim_demands(job, work),
        *laminate.laminate_demands(job),
        *sundry_demands(job, programme),
    ]
    needs = tuple(_need(demand, prices) for demand in _merged(demands))
    charges, missing = _charges(job, plan, off)
    option = OptionTakeOff(
        build_up=build_up,
        laminate_area_m2=job.laminate_m2,
        topcoat_area_m2=job.topcoat_m2,
        needs=needs,
        cuts=work.cuts,
        labour=labour,
        programme=programme,
        strip=off,
        charges=charges,
        access=plan,
        mixes=_mixes(job, needs),
        weight_change_pct=strip.weight_change(job, off),
    )
    return option, [*check_span(job), *missing, *_unpriced(needs, enquiry)]


def _merged(demands: Iterable[Demand]) -> list[Demand]:
    """Demands for the same item in the same stage as one."""
    merged: dict[str, Demand] = {}
    for demand in demands:
        before = merged.get(demand.item)
        if before is None:
            merged[demand.item] = demand
        else:
            net = derive(before.net.name, before.net.unit, total, parts=[before.net, demand.net])
            merged[demand.item] = Demand(demand.item, before.stage, net, before.waste_pct)
    return list(merged.values())


def _need(demand: Demand, prices: PriceBook) -> Need:
    item = house_rules.items()[demand.item]
    waste_pct = demand.waste_pct or chosen("waste", 0.0, "%", "counted whole")
    factor = derive("waste factor", "times", waste_factor, waste_pct=waste_pct)
    formula = whole_gross if item.unit in _WHOLE_UNITS else gross_quantity
    gross = derive(item.words, item.unit, formula, net=demand.net, factor=factor)
    purchase = buy(gross, prices, demand.item)
    return Need(
        demand.item, item.words, demand.stage, item.unit, demand.net, factor, gross, purchase
    )


def _mixes(job: Job, needs: tuple[Need, ...]) -> tuple[Mixes, ...]:
    planned: list[Mixes] = []
    for material in ("resin", "topcoat"):
        mass = next(need.gross for need in needs if need.item == material)
        litres = derive(
            f"{material} to mix",
            "l",
            laminate.volume_l,
            mass_kg=mass,
            kg_per_l=job.settings[f"{material}_kg_per_l"],
        )
        planned += plan_mixes(job.settings, material, litres, job.enquiry.deck_c)
    return tuple(planned)


def _charges(
    job: Job, plan: AccessPlan, off: tuple[Strip, ...]
) -> tuple[tuple[tuple[Stage, Figure], ...], list[Problem]]:
    charges = [
        (Stage.STRIP, strip.tip_charge(job, off)),
        (Stage.LAMINATE, job.settings["sundries"]),
    ]
    problems = []
    if needs_licence(job, plan):
        licence = job.settings.get("pavement_licence")
        if licence is None:
            kind = house_rules.settings()["pavement_licence"]
            problems.append(
                problem(
                    "setting-missing",
                    job.enquiry.place,
                    seen=kind.code,
                    ref=job.enquiry.ref,
                    words=kind.words,
                    sheet=kind.sheet,
                )
            )
        else:
            charges.append((Stage.ACCESS, licence))
    return tuple(charges), problems


def _unknown_for_price(enquiry: Enquiry) -> list[Problem]:
    existing = enquiry.existing
    unknown = []
    if existing.covering is None:
        unknown.append("the existing covering")
    if existing.deck is None and existing.covering is not Covering.NONE:
        unknown.append("the existing deck")
    return [
        problem("fact-needed-for-price", enquiry.place, ref=enquiry.ref, words=words)
        for words in unknown
    ]


def _temperature(enquiry: Enquiry, settings: Settings) -> list[Problem]:
    least, most = settings.number("resin_least_c"), settings.number("resin_most_c")
    if enquiry.deck_c is None or least <= enquiry.deck_c.number <= most:
        return []
    found = problem(
        "temperature-outside-limits",
        enquiry.place,
        seen=f"{enquiry.deck_c.number:g}",
        ref=enquiry.ref,
        least=f"{least:g}",
        most=f"{most:g}",
    )
    return [found]


def _unpriced(needs: tuple[Need, ...], enquiry: Enquiry) -> list[Problem]:
    return [
        problem("price-missing", enquiry.place, seen=need.item, ref=enquiry.ref, words=need.words)
        for need in needs
        if need.purchase is None
    ]


def _price_ages(
    options: list[OptionTakeOff], settings: Settings, on: date, ref: str
) -> list[Problem]:
    most_days = settings.number("price_max_age_days")
    used = {
        (count.pack.place.book, str(count.pack.place)): count.pack
        for option in options
        for need in option.needs
        if need.purchase
        for count in need.purchase.packs
    }
    return [found for pack in used.values() if (found := _price_age(pack, on, most_days, ref))]


def _price_age(pack: PackPrice, on: date, most_days: float, ref: str) -> Problem | None:
    age_days = (on - pack.dated).days
    if 0 <= age_days <= most_days:
        return None
    return problem(
        "price-dated-ahead" if age_days < 0 else "price-old",
        pack.place,
        seen=pack.item,
        ref=ref,
        dated=pack.dated.isoformat(),
        age_days=age_days,
    )


def waste_factor(waste_pct: float) -> float:
    """The factor on a net quantity for waste: 1 + waste / 100.

    >>> waste_factor(10)
    1.1
    """
    return 1 + waste_pct / 100


def gross_quantity(net: float, factor: float) -> float:
    """What has to be to hand: net x waste factor, in the unit of the item.

    >>> gross_quantity(20.0, 1.1)
    22.0
    """
    return net * factor


def whole_gross(net: float, factor: float) -> float:
    """What has to be to hand of things that come whole: net x waste factor, rounded up.

    >>> whole_gross(2.016, 1.1)
    3.0
    """
    return float(whole_number(net * factor))
