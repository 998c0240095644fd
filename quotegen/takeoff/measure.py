"""The take-off of an enquiry: outline first, then every build-up that is to be priced."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date

from quotegen.model.enquiry import BuildUp, Enquiry
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
from quotegen.takeoff.access import access_demands, needs_licence, plan_access
from quotegen.takeoff.agreed import agreed_demands
from quotegen.takeoff.catalyst import plan_mixes
from quotegen.takeoff.checks import check_enquiry, check_job
from quotegen.takeoff.deck import deck_demands, insulation_demands, plan_deck
from quotegen.takeoff.job import Demand, Job, make_job
from quotegen.takeoff.labour import labour_lines, plan_programme
from quotegen.takeoff.mat import near_miss, plan_mat
from quotegen.takeoff.outline import build_outline
from quotegen.takeoff.packs import Wanted, buy_all
from quotegen.takeoff.sundries import sundry_demands
from quotegen.takeoff.thermal import u_value
from quotegen.takeoff.trims import TrimWork, edge_demands, plan_trims
from quotegen.units import whole_number
from quotegen.working import Figure, chosen, derive, total

_WHOLE_UNITS = frozenset({"sheet", "each", "tube", "pair", "week"})


def measure(
    enquiry: Enquiry, settings: Settings, prices: PriceBook, on: date
) -> tuple[TakeOff | None, list[Problem]]:
    """Take an enquiry off on a day; no take-off where it cannot be drawn or its openings fit not.

    The problems include prices missing or old and whatever the facts of the job forbid.
    """
    outline, problems = build_outline(enquiry, settings)
    if outline is None:
        return None, problems
    problems += check_enquiry(enquiry, outline, settings)
    if any(p.code == "opening-too-large" for p in problems):
        return None, problems
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
    deck, mat, work = plan_deck(job, prices), plan_mat(job), plan_trims(job, prices)
    before = plan_access(job, chosen("days", 1.0, "days", "before the hours are known"))
    labour = labour_lines(job, work, deck, before)
    programme = plan_programme(job, labour)
    access = plan_access(job, programme.days)
    off = strip.strip_lines(job)
    demands = [
        *access_demands(job, access),
        *strip.sack_demand(job, off),
        *deck_demands(job, deck),
        *insulation_demands(job),
        *edge_demands(job, work, deck),
        *laminate.laminate_demands(job, mat),
        *sundry_demands(job, programme),
        *agreed_demands(enquiry),
    ]
    others, split = _needs(demands, settings, prices)
    needs = (*others, *_trim_needs(work))
    split += [_TRIMS] if work.split else []
    charges, missing = _charges(job, access, off)
    weight_change = strip.weight_change(job, off, laminate.laminate_mass_kg(job, mat))
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
        access=access,
        mixes=_mixes(job, needs),
        boards=deck.layout,
        mat=mat.layout,
        weight_change_pct=weight_change,
        u_value=u_value(job),
        notes=tuple(note for note in (near_miss(mat.layout),) if note),
    )
    problems = [*check_job(job, access, weight_change), *missing, *_unpriced(needs, enquiry)]
    problems += [problem("family-split", enquiry.place, name, enquiry.ref) for name in split]
    return option, problems


def _merged(demands: Iterable[Demand]) -> list[Demand]:
    """Demands for the same item as one."""
    merged: dict[str, Demand] = {}
    for demand in demands:
        before = merged.get(demand.item)
        if before is None:
            merged[demand.item] = demand
        else:
            net = derive(before.net.name, before.net.unit, total, parts=[before.net, demand.net])
            merged[demand.item] = replace(before, net=net)
    return list(merged.values())


def _needs(
    demands: Iterable[Demand], settings: Settings, prices: PriceBook
) -> tuple[tuple[Need, ...], list[str]]:
    """Every demand with its waste and, bought together, the packs that cover it."""
    merged = _merged(demands)
    gross = {demand.item: _gross(demand) for demand in merged}
    spare = 1 + settings.number("least_spare_pct") / 100
    to_cover = {
        item: figure.number * (spare if house_rules.items()[item].family == _CHEMICALS else 1)
        for item, (_, figure) in gross.items()
    }
    bought, _, split = buy_all(
        {item: g for item, (_, g) in gross.items()}, Wanted(to_cover, {}), prices
    )
    needs = tuple(
        Need(
            demand.item,
            gross[demand.item][1].name,
            demand.stage,
            house_rules.items()[demand.item].unit,
            demand.net,
            *gross[demand.item],
            bought.get(demand.item),
        )
        for demand in merged
    )
    return needs, split


def _trim_needs(work: TrimWork) -> tuple[Need, ...]:
    """The trims and corners, bought as they are cut: the laps and offcuts are their waste."""
    whole = derive(
        "waste factor", "times", waste_factor, waste_pct=chosen("waste", 0.0, "%", "cut to a list")
    )
    return tuple(
        Need(
            item,
            net.name,
            Stage.EDGES,
            net.unit,
            net,
            whole,
            net,
            work.purchases.get(item),
        )
        for item, net in work.needs.items()
    )


_CHEMICALS, _TRIMS = "resin", "trims"


def _gross(demand: Demand) -> tuple[Figure, Figure]:
    item = house_rules.items()[demand.item]
    waste_pct = demand.waste_pct or chosen("waste", 0.0, "%", "counted whole")
    factor = derive("waste factor", "times", waste_factor, waste_pct=waste_pct)
    formula = whole_gross if item.unit in _WHOLE_UNITS else gross_quantity
    name = demand.words or item.words
    return factor, derive(name, item.unit, formula, net=demand.net, factor=factor)


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


def _unpriced(needs: tuple[Need, ...], enquiry: Enquiry) -> list[Problem]:
    return [
        problem(
            "price-missing",
            enquiry.place,
            seen=need.item,
            ref=enquiry.ref,
            words=house_rules.items()[need.item].words,
        )
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
