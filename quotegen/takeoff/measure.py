"""The take-off of an enquiry: its outline, then every build-up to be priced."""

from datetime import date

from msgspec import Struct

from quotegen.model.access import AccessPlan
from quotegen.model.choices import Access, BuildUp
from quotegen.model.enquiry import Enquiry
from quotegen.model.roof import Outline
from quotegen.model.settings import DefaultedSettings, Mixed, PackPrice, PriceBook, Settings
from quotegen.model.takeoff import (
    Labour,
    Mixes,
    Need,
    OptionTakeOff,
    Order,
    Programme,
    ResinPlan,
    Stage,
    Strip,
    TakeOff,
    WastePlan,
)
from quotegen.problems import Problem, problem
from quotegen.reference import house_rules
from quotegen.takeoff.access.access import access_demands, needs_licence, possible_plans
from quotegen.takeoff.access.compare import Tried, cheapest
from quotegen.takeoff.access.ladder_limits import judge_ladder
from quotegen.takeoff.basis.job import Demand, Job, make_job
from quotegen.takeoff.buying.needs import lacks, needs, stock_notes
from quotegen.takeoff.buying.order import SourcedTrims, buy, trim_works
from quotegen.takeoff.buying.sundries import sundry_demands
from quotegen.takeoff.checks import check_enquiry, check_job, check_laminate, upstand_left_mm
from quotegen.takeoff.hours.agreed import agreed_demands
from quotegen.takeoff.hours.difficulty import height_note
from quotegen.takeoff.hours.labour import labour_lines, tasks_at_roof
from quotegen.takeoff.hours.programme import crew_on_job, plan_programme
from quotegen.takeoff.layers import laminate
from quotegen.takeoff.layers.deck import DeckPlan, deck_demands, insulation_demands, plan_deck
from quotegen.takeoff.layers.mat import MatPlan, near_miss, plan_mat
from quotegen.takeoff.layers.mixes import Laying, Share, plan_mixes
from quotegen.takeoff.layers.resin import plan_resin
from quotegen.takeoff.layers.thermal import lay_insulation, u_value
from quotegen.takeoff.shape.expansion_lines import joint_m
from quotegen.takeoff.shape.outline import build_outline
from quotegen.takeoff.strip import waste
from quotegen.takeoff.strip.lifting import lifts_of
from quotegen.takeoff.strip.strip import check_bitumen, strip_lines
from quotegen.takeoff.strip.weight import load_on_joists, weight_change, weight_notes
from quotegen.takeoff.trims.expansion import expansion_demands
from quotegen.takeoff.trims.near_miss import trim_near_misses
from quotegen.takeoff.trims.trim_fixings import bandage_m, edge_demands
from quotegen.takeoff.trims.trims import TrimWork
from quotegen.units import Unit
from quotegen.working import Figure, chosen, derive


class Plan(Struct, frozen=True):
    """One build-up with its trims cut from one source, before anything is bought."""

    job: Job
    deck: DeckPlan
    mat: MatPlan
    resin: ResinPlan
    trims: SourcedTrims
    labour: tuple[Labour, ...]
    programme: Programme
    access: AccessPlan
    strip: tuple[Strip, ...]
    waste: WastePlan
    demands: tuple[Demand, ...]


def measure(
    enquiry: Enquiry, settings: Settings, prices: PriceBook, on: date
) -> tuple[TakeOff | None, list[Problem]]:
    """Take off an enquiry as of a day; None if it cannot be drawn, or an opening or the insulation
    stops it.

    The problems include missing or old prices and anything that the facts of the job forbid.
    """
    outline, problems = draw(enquiry, settings)
    if outline is None or any(p.code == "opening-too-large" for p in problems):
        return None, problems
    laid, found = lay_insulation(enquiry, settings, prices)
    problems += found
    if laid is None:
        return None, problems
    options = []
    for build_up in laid.build_ups:
        option, found = _option(laid, outline, settings, prices, build_up)
        options.append(option)
        problems += [p for p in found if p not in problems]
    problems += _price_ages(options, settings, on, enquiry.ref)
    return TakeOff(laid, outline, tuple(options)), problems


def draw(enquiry: Enquiry, settings: DefaultedSettings) -> tuple[Outline | None, list[Problem]]:
    """The outline of an enquiry, if it can be drawn, and the problems apart from its cost."""
    outline, problems = build_outline(enquiry, settings)
    if outline is not None:
        problems += check_enquiry(enquiry, outline, settings)
    return outline, problems


def plan_build_up(
    enquiry: Enquiry, outline: Outline, settings: Settings, prices: PriceBook, build_up: BuildUp
) -> list[Plan]:
    """The build-up planned once for every source that can supply its trims.

    The joints of the trims, and with them bandage and hours, depend on the lengths they are sold
    in.
    """
    job = make_job(enquiry, outline, settings, build_up)
    deck, mat = plan_deck(job, prices), plan_mat(job)
    off, leaving = waste.plan_waste(job, strip_lines(job), prices)
    return [_plan(job, deck, mat, trims, off, leaving, prices) for trims in trim_works(job, prices)]


def _plan(
    job: Job,
    deck: DeckPlan,
    mat: MatPlan,
    trims: SourcedTrims,
    off: tuple[Strip, ...],
    leaving: WastePlan,
    prices: PriceBook,
) -> Plan:
    work = trims.work
    resin = plan_resin(job, mat, bandage_m(job, work, deck))
    way = _way_and_hours(job, work, deck, leaving, prices)
    access, labour, programme = way.plan, way.labour, way.programme
    demands = (
        *access_demands(job, access, programme.stands),
        *waste.waste_demands(job, off),
        *deck_demands(job, deck),
        *insulation_demands(job),
        *edge_demands(job, work, deck),
        *expansion_demands(job),
        *laminate.laminate_demands(job, mat, resin),
        *sundry_demands(job, programme, labour, resin),
        *agreed_demands(job.enquiry, job.build_up),
    )
    return Plan(job, deck, mat, resin, trims, labour, programme, access, off, leaving, demands)


def _way_and_hours(
    job: Job, work: TrimWork, deck: DeckPlan, leaving: WastePlan, prices: PriceBook
) -> Tried:
    """The access with its hours and days; a ladder is judged by the hours it would be used for."""
    found = _tried(job, work, deck, leaving, possible_plans(job))
    if found[0].plan.chosen is Access.LADDER:
        judged = possible_plans(job, judge_ladder(job, found[0].labour))
        found = _tried(job, work, deck, leaving, judged)
    return cheapest(job, found, prices)


def _tried(
    job: Job,
    work: TrimWork,
    deck: DeckPlan,
    leaving: WastePlan,
    plans: tuple[AccessPlan, ...],
) -> list[Tried]:
    """Ways of working at the edge, each with its hours and days."""
    tasks = tasks_at_roof(job, work, deck, plans[0], leaving)
    hours = [labour_lines(job, plan, tasks) for plan in plans]
    return [
        Tried(plan, lines, plan_programme(job, lines))
        for plan, lines in zip(plans, hours, strict=True)
    ]


def _option(
    enquiry: Enquiry, outline: Outline, settings: Settings, prices: PriceBook, build_up: BuildUp
) -> tuple[OptionTakeOff, list[Problem]]:
    plans = plan_build_up(enquiry, outline, settings, prices, build_up)
    lacking = [lacks(p.demands, p.trims.work, settings, settings.van_stock) for p in plans]
    bought = buy([(p.trims, found) for p, found in zip(plans, lacking, strict=True)], prices)
    plan, lacked = plans[bought.way], lacking[bought.way]
    job, off = plan.job, plan.strip
    needed = needs(lacked, bought.purchases, prices, settings)
    charges, missing = _charges(job, plan.access, plan.waste, bought.order)
    mass = laminate.laminate_mass_kg(job, plan.mat, plan.resin)
    change, load = weight_change(job, off, mass), load_on_joists(job, mass)
    sold = prices.within(list(plan.trims.work.purchases), plan.trims.source)
    option = OptionTakeOff(
        build_up=build_up,
        laminate_area_m2=job.laminate_m2,
        topcoat_area_m2=job.topcoat_m2,
        needs=needed,
        order=bought.order,
        cuts=plan.trims.work.cuts,
        labour=plan.labour,
        programme=plan.programme,
        strip=off,
        waste=plan.waste,
        lifts=lifts_of(enquiry, build_up, needed, off, settings),
        expansion_m=joint_m(outline),
        charges=charges,
        access=plan.access,
        mixes=_mixes(job, needed, plan.mat, plan.resin),
        resin=plan.resin,
        boards=plan.deck.layout,
        mat=plan.mat.layout,
        mat_kg=laminate.mat_kg(job, plan.mat),
        weight_change_pct=change,
        load_kn_m2=load,
        upstand_left_mm=upstand_left_mm(job),
        u_value=u_value(job),
        notes=(
            *near_miss(plan.mat.layout),
            *weight_notes(job, change, load),
            *height_note(job),
            *trim_near_misses(job, sold),
            *waste.waste_notes(job, off, plan.waste),
            *stock_notes(lacked, bought.purchases),
        ),
    )
    problems = [
        *check_job(job, plan.access, change, load),
        *check_bitumen(job),
        *check_laminate(job, plan.resin),
        *missing,
        *_unpriced(needed, enquiry),
    ]
    problems += [problem("family-split", enquiry.place, name, enquiry.ref) for name in bought.split]
    if bought.limited:
        problems.append(problem("suppliers-many", enquiry.place, ref=enquiry.ref))
    return option, problems


def _mixes(job: Job, needs: tuple[Need, ...], mat: MatPlan, resin: ResinPlan) -> tuple[Mixes, ...]:
    """What is catalysed: the resin laid and left in the bucket, and the topcoat.

    Spare resin, and what stays in the tin, is not mixed.
    """
    shares = laminate.laid_shares(mat, resin, int(job.enquiry.mat_layers.number))
    settings, crew = job.settings, crew_on_job(job)
    whole = (Share("the whole roof", 1.0),)
    topcoat = derive(
        "topcoat to mix",
        Unit.L,
        laminate.volume_l,
        mass_kg=next(need.gross for need in needs if need.item == "topcoat"),
        kg_per_l=job.settings["topcoat_kg_per_l"],
    )
    laid = Laying(
        resin.mixed_l,
        job.laminate_m2,
        job.enquiry.mat_layers,
        settings["hours_laminate_cut_up" if job.cut_up else "hours_laminate"],
        crew,
    )
    one = chosen("layers", 1.0, Unit.LAYERS, "one coat")
    coated = Laying(topcoat, job.topcoat_m2, one, settings["hours_topcoat"], crew)
    return (
        *plan_mixes(settings, Mixed.RESIN, laid, shares, job.enquiry.deck_c),
        *plan_mixes(settings, Mixed.TOPCOAT, coated, whole, job.enquiry.deck_c),
    )


def _charges(
    job: Job, plan: AccessPlan, leaving: WastePlan, order: Order
) -> tuple[tuple[tuple[Stage, Figure], ...], list[Problem]]:
    charges = [
        (Stage.STRIP, leaving.tip),
        (Stage.LAMINATE, job.settings["sundries"]),
        (Stage.LAMINATE, order.deliveries),
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
        if need.unpriced
    ]


def _price_ages(
    options: list[OptionTakeOff], settings: Settings, on: date, ref: str
) -> list[Problem]:
    most_days = settings.number("price_max_age_days")
    packs = [
        pack
        for option in options
        for order in option.order.suppliers
        for pack in (*(count.pack for count in order.packs), order.delivery_price)
        if pack
    ]
    used = {(pack.place.book, str(pack.place)): pack for pack in packs}
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
