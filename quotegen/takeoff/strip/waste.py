"""How what comes off leaves the site: sacks, van loads or a skip, and the lead as scrap.

Ordinary waste can share the van or a skip; every hazardous line goes separately, in its own load;
lead goes in the van and never in a skip.
"""

from collections.abc import Sequence
from decimal import Decimal

from msgspec.structs import replace

from quotegen.model.choices import LeadScrap
from quotegen.model.settings import PriceBook, Settings
from quotegen.model.takeoff import Labour, Leaves, PackCount, Stage, Strip, WastePlan
from quotegen.reference import loader as reference
from quotegen.reference.remark_keys import JobNote, Task, WasteReason
from quotegen.reference.remarks import Remark, remark
from quotegen.reference.rule_keys import Told
from quotegen.takeoff.basis.job import Demand, Job
from quotegen.takeoff.basis.packs import cheapest_packs, cost_of, money_sum, price_of, size_of
from quotegen.takeoff.basis.task_names import task_name
from quotegen.takeoff.strip.strip import is_scrap
from quotegen.units import Unit, as_decimal, pence, whole_number
from quotegen.working import Figure, alike, derive, total

SKIP = "skip_hire"
_SACK = "sack"


def plan_waste(
    job: Job, lines: Sequence[Strip], prices: PriceBook
) -> tuple[tuple[Strip, ...], WastePlan]:
    """How the waste leaves at the least cost, and every line with the way it goes.

    Above the volume the firm carries it is a skip; below, whichever of van and skip costs less.
    """
    by_van = van_cost(job, lines, prices)
    volume = derive(
        "waste, loose", Unit.M3, total, parts=[s.volume_m3 for s in lines if not is_scrap(s)]
    )
    in_skip = derive(
        "waste for a skip", Unit.M3, total, parts=[s.volume_m3 for s in _skipped(lines)]
    )
    by_skip = _skip_cost(job, lines, in_skip, prices)
    most = job.settings.number("skip_over_m3")
    too_much = in_skip.number > most
    cheaper = by_skip is not None and by_skip.money < by_van.money
    skip = too_much or cheaper
    left = tuple(_leaving(line, skip) for line in lines)
    scrap = [line.mass_kg for line in left if is_scrap(line)]
    scrap_kg = derive("lead for scrap", Unit.KG, total, parts=scrap) if scrap else None
    plan = WastePlan(
        skip=skip,
        reason=_reason(skip, too_much, by_skip is not None),
        volume_m3=volume,
        runs=_runs(job, left),
        tip=_tip(job, left),
        van_cost=None if too_much else by_van,
        skip_cost=by_skip,
        scrap_kg=scrap_kg,
        scrap_value=_scrap_value(job, scrap_kg),
    )
    return left, plan


def containers(lines: Sequence[Strip]) -> list[list[Strip]]:
    """The lines by what can travel together: ordinary waste in one, each hazardous line alone."""
    ordinary = [line for line in lines if not line.hazardous]
    apart = [[line] for line in lines if line.hazardous]
    return [ordinary, *apart] if ordinary else apart


def waste_demands(job: Job, lines: Sequence[Strip]) -> list[Demand]:
    """Rubble sacks for what goes in them, and the skip by the volume thrown into it."""
    demands = []
    sacked = [line.mass_kg for line in lines if line.leaves is Leaves.SACKS]
    if sacked:
        demands.append(Demand(_SACK, Stage.STRIP, _sacks(job, sacked)))
    skipped = [line.volume_m3 for line in lines if line.leaves is Leaves.SKIP]
    if skipped:
        volume = derive("waste for a skip", Unit.M3, total, parts=skipped)
        demands.append(Demand(SKIP, Stage.STRIP, volume))
    return demands


def run_labour(job: Job, plan: WastePlan) -> list[Labour]:
    """Hours of the loads after the first, which the hours of carrying away allow for."""
    if plan.runs.number <= 1:
        return []
    hours = _run_hours(job, plan.runs)
    return [Labour(Task.TIP_RUNS, task_name(Task.TIP_RUNS), Stage.STRIP, hours)]


def waste_notes(job: Job, lines: Sequence[Strip], plan: WastePlan) -> list[Remark]:
    """What the owner has to know: whether a skip is priced, and who gets what for the lead."""
    notes = []
    if plan.skip:
        notes.append(remark(Told.SKIP_PERMIT))
    if len({line.waste_code for line in lines if line.leaves is Leaves.SKIP}) > 1:
        mixed = reference.entry("waste_codes.mixed").value
        notes.append(remark(Told.MIXED_WASTE, code=str(mixed)))
    mass, worth = plan.scrap_kg, plan.scrap_value
    if mass is None:
        return notes
    if worth is None:
        notes.append(remark(JobNote.LEAD_UNPRICED, mass=mass))
    else:
        credited = credits_customer(job.settings)
        whose = JobNote.LEAD_CREDITED if credited else JobNote.LEAD_KEPT
        notes.append(remark(whose, mass=mass, worth=worth))
    return notes


def credits_customer(settings: Settings) -> bool:
    """Whether the firm gives the customer what the lead is worth."""
    return LeadScrap(settings.text("lead_scrap")) is LeadScrap.CREDIT


def van_cost(job: Job, lines: Sequence[Strip], prices: PriceBook) -> Figure:
    """What it costs to take everything away by van: tip, sacks, and the hours of further runs."""
    hours = _run_hours(job, _runs(job, lines))
    parts = [_tip(job, lines), _hours_cost(job, hours)]
    sacked = [line.mass_kg for line in lines if line.leaves is Leaves.SACKS]
    packs = prices.of(_SACK)
    if sacked and packs:
        pack = min(packs, key=lambda p: p.pack_price / as_decimal(p.pack_size))
        parts.append(
            derive(
                "sacks",
                Unit.GBP,
                share_of_pack,
                count=_sacks(job, sacked),
                size=size_of(pack),
                price=price_of(pack),
            )
        )
    return derive("waste taken away by van", Unit.GBP, money_sum, parts=parts)


def _skip_cost(
    job: Job, lines: Sequence[Strip], volume: Figure, prices: PriceBook
) -> Figure | None:
    """What it costs with a skip, and the van for what may not go in; None where none is priced."""
    packs = prices.of(SKIP)
    if not packs or not volume.number:
        return None
    by_van = [_leaving(line, skip=True) for line in lines]
    parts = [_tip(job, by_van), _hours_cost(job, _run_hours(job, _runs(job, by_van)))]
    counts = cheapest_packs(volume.number, packs)
    parts.append(cost_of([PackCount(packs[i], count) for i, count in counts.items()]))
    return derive("waste taken away in a skip", Unit.GBP, money_sum, parts=parts)


def _skipped(lines: Sequence[Strip]) -> list[Strip]:
    return [line for line in lines if not is_scrap(line) and not line.hazardous]


def _leaving(line: Strip, skip: bool) -> Strip:
    return replace(line, leaves=Leaves.SKIP) if skip and line in _skipped([line]) else line


def _reason(skip: bool, too_much: bool, priced: bool) -> WasteReason:
    if too_much:
        return WasteReason.TOO_MUCH
    if skip:
        return WasteReason.SKIP_CHEAPER
    return WasteReason.VAN_CHEAPER if priced else WasteReason.NO_SKIP


def _runs(job: Job, lines: Sequence[Strip]) -> Figure:
    """Van loads: what can travel together, and each hazardous line alone."""
    loads = [
        derive(
            "loads of the van",
            Unit.LOADS,
            load_count,
            masses_kg=[line.mass_kg for line in group],
            volumes_m3=[line.volume_m3 for line in group],
            payload_kg=job.settings["van_payload_kg"],
            room_m3=job.settings["van_room_m3"],
        )
        for group in containers([line for line in lines if line.leaves is not Leaves.SKIP])
    ]
    return derive("loads of the van", Unit.LOADS, total, parts=loads)


def _run_hours(job: Job, runs: Figure) -> Figure:
    each = job.settings["hours_tip_run"]
    return derive(
        "further runs to the tip", Unit.PERSON_HOURS, further_run_hours, runs=runs, each_hours=each
    )


def _hours_cost(job: Job, hours: Figure) -> Figure:
    rate = job.settings["labour_cost_per_hour"]
    return derive("hours of further runs", Unit.GBP, hours_gbp, hours=hours, per_hour=rate)


def _tip(job: Job, lines: Sequence[Strip]) -> Figure:
    """What the tip charges for what the van brings; lead is sold, and a skip is paid for
    separately.
    """
    tipped = [s.mass_kg for s in lines if s.leaves in (Leaves.SACKS, Leaves.LOOSE)]
    return derive(
        "tip charge",
        Unit.GBP,
        tip_charge_gbp,
        mass_kg=derive("waste to the tip", Unit.KG, total, parts=tipped),
        per_tonne=job.settings["tip_charge_per_tonne"],
        least=job.settings["tip_least"],
    )


def _sacks(job: Job, masses: Sequence[Figure]) -> Figure:
    kg = derive("waste in sacks", Unit.KG, total, parts=masses)
    return derive(
        "rubble sacks", Unit.EACH, sack_count, mass_kg=kg, sack_kg=job.settings["sack_kg"]
    )


def _scrap_value(job: Job, scrap_kg: Figure | None) -> Figure | None:
    price = job.settings.get("lead_scrap_per_kg")
    if scrap_kg is None or price is None:
        return None
    return derive("lead as scrap", Unit.GBP, scrap_gbp, mass_kg=scrap_kg, per_kg=price)


def load_count(
    masses_kg: Sequence[float],
    volumes_m3: Sequence[float],
    payload_kg: float,
    room_m3: float,
) -> float:
    """Loads of a van: the greater of mass / payload and volume / room, rounded up.

    Inputs [kg, m3], result [loads]. Bound: a load may be full by weight or by volume.

    >>> load_count((900.0, 300.0), (2.0, 1.0), 800.0, 4.0), load_count((200.0,), (9.0,), 800.0, 4.0)
    (2.0, 3.0)
    """
    by_mass, by_room = sum(masses_kg) / payload_kg, sum(volumes_m3) / room_m3
    return float(whole_number(max(by_mass, by_room)))


def further_run_hours(runs: float, each_hours: float) -> float:
    """Person-hours of the loads after the first: (loads - 1) x hours of one.

    >>> further_run_hours(3, 1.5), further_run_hours(0, 1.5)
    (3.0, 0.0)
    """
    return max(0.0, runs - 1) * each_hours


def sack_count(mass_kg: float, sack_kg: float) -> float:
    """Sacks for a mass: mass / mass in one sack.

    >>> sack_count(90, 20)
    4.5
    """
    return mass_kg / sack_kg


@alike("least")
def tip_charge_gbp(mass_kg: float, per_tonne: Decimal, least: Decimal) -> Decimal:
    """Tip charge: mass x charge a tonne, at least the least; nothing for no waste.

    Inputs [kg, GBP/t, GBP], result [GBP].

    >>> tip_charge_gbp(100.0, Decimal(140), Decimal(10))
    Decimal('14.00')
    """
    if not mass_kg:
        return Decimal("0.00")
    return pence(max(least, as_decimal(mass_kg) / 1000 * per_tonne))


@alike("count", "size", result=False)
def share_of_pack(count: float, size: float, price: Decimal) -> Decimal:
    """Cost of some of a pack, in whole pence: count x price / size.

    >>> share_of_pack(5, 20, Decimal("7.60"))
    Decimal('1.90')
    """
    return pence(as_decimal(count) * price / as_decimal(size))


def hours_gbp(hours: float, per_hour: Decimal) -> Decimal:
    """Cost of hours: person-hours x cost of one, in whole pence.

    >>> hours_gbp(1.5, Decimal(28))
    Decimal('42.00')
    """
    return pence(as_decimal(hours) * per_hour)


def scrap_gbp(mass_kg: float, per_kg: Decimal) -> Decimal:
    """Worth of scrap: mass x price of a kilogram, in whole pence.

    Inputs [kg, GBP/kg], result [GBP].

    >>> scrap_gbp(100.0, Decimal("1.35"))
    Decimal('135.00')
    """
    return pence(as_decimal(mass_kg) * per_kg)
