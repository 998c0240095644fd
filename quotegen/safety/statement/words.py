"""The figures of the job as the texts of the rule tables name them, each with its unit."""

from collections.abc import Mapping

from quotegen import wording
from quotegen.days.windows import Table
from quotegen.model.choices import Answer, BuildUp
from quotegen.model.days import WorkPlan
from quotegen.model.enquiry import Enquiry
from quotegen.model.safety import Ladder, WorkingLimits
from quotegen.model.takeoff import Mixes
from quotegen.phrases import sentence
from quotegen.reference import rules
from quotegen.reference.loader import entry, subject
from quotegen.reference.rule_keys import EmergencyKey
from quotegen.safety.facts.job import PlannedJob
from quotegen.safety.facts.stored import guide_l, on_site_l, tray_l
from quotegen.safety.rules.exposure import vapour_line
from quotegen.safety.rules.keep_out import keep_out_of
from quotegen.safety.rules.protection import filter_type, mask_ceiling_ppm
from quotegen.takeoff.hours.elapsed import by_deck_temperature
from quotegen.takeoff.trims.trim_fixings import bandaged_words
from quotegen.units import Unit, mm_to_m, round_up
from quotegen.working import Figure, derive, total

_CURES_NAMED = 3
NOT_MEASURED = "(not known: measure)"
BLANK_LINE = "______________________"
_ONE = {
    "people": "person",
    "mixes": "mix",
    "years": "year",
    "days": "day",
    "person-days": "person-day",
    "hours": "hour",
    "tubes": "tube",
}


def job_words(
    job: PlannedJob, ladder: Ladder | None, limits: WorkingLimits, plan: WorkPlan
) -> Mapping[str, str]:
    """Every placeholder of the rule tables with its words for this job.

    Where a forecast covers the work, the weather the row expects is not named beside it.
    """
    return {
        **_height_words(ladder),
        "edge_places": _edge_places(job),
        "keep_out": _keep_out(job),
        "barrier": _barrier(job),
        "edge_height": _edge_height(job),
        **_weather_words(limits, job.enquiry.deck_c, plan.forecast),
        "abrade": _abrade(plan, limits),
        "cure_times": _cure_times(job),
        **_agreed_words(job.enquiry),
        **_mix_words(job),
        **_stored_words(job),
        **_build_words(job),
        **_mass_words(job),
        **_health_words(),
        **_people_words(job),
        **_law_words(),
        **_emergency_titles(),
    }


def amount(value: float, unit: str) -> str:
    """A number with its unit, without needless noughts; one thing is in the singular.

    >>> amount(2.50, "l"), amount(1.0, "mixes"), amount(-1.9, "°C")
    ('2.5 l', '1 mix', '-1.9 °C')
    """
    return f"{wording.exact(value)} {_ONE.get(unit, unit) if value == 1 else unit}"


def _figure(figure: Figure | None, unit: str = "", step: float = 0.01) -> str:
    """A figure rounded up to a step, as is safe for lengths and amounts."""
    if figure is None:
        return NOT_MEASURED
    return amount(round_up(figure.number, step), unit or figure.unit)


def _published(key: str, unit: str = "") -> str:
    found = entry(key)
    return amount(found.value, unit or found.unit)


def _setting(job: PlannedJob, code: str, unit: str = "") -> str:
    figure = job.settings[code]
    return amount(figure.number, unit or figure.unit)


def _height_words(ladder: Ladder | None) -> dict[str, str]:
    return {
        "height": _figure(ladder.height_m if ladder else None),
        "foot_out": _figure(ladder.foot_out_m if ladder else None),
        "ladder_length": _figure(ladder.least_length_m if ladder else None, step=0.1),
        "rise_for_one_out": wording.exact(entry("ladders.rise_for_one_out").value),
        "projection": _published("ladders.projection_m"),
        "short_spell": _published("ladders.short_minutes", "minutes"),
        "ladder_load": _published("ladders.load_kg"),
        "top_rungs": _published("ladders.top_rungs"),
        "guard_rail": _published("work_at_height.guard_rail_mm"),
        "guard_gap": _published("work_at_height.guard_gap_mm"),
        "toe_board": _published("work_at_height.toe_board_mm"),
        "edge_zone": _published("work_at_height.edge_zone_m"),
        "headroom": _published("work_at_height.headroom_m"),
        "inspection_days": _published("work_at_height.inspection_days"),
    }


def _edge_places(job: PlannedJob) -> str:
    zone = _published("work_at_height.edge_zone_m")
    if job.option.access.away_m2.number:
        return f", unless a fixed barrier keeps them {zone} from it"
    return f": no part of it is {zone} from an open edge"


def _keep_out(job: PlannedJob) -> str:
    """Where nobody may be; while nobody has measured the height, what the barriers close."""
    keep_out = keep_out_of(job)
    return f"{_figure(keep_out.out_m, step=0.1)} of it" if keep_out else "our barriers"


def _barrier(job: PlannedJob) -> str:
    keep_out = keep_out_of(job)
    return _figure(keep_out.barrier_m if keep_out else None, step=0.1)


def _edge_height(job: PlannedJob) -> str:
    height_mm = job.enquiry.roof.height_mm
    return amount(round_up(mm_to_m(height_mm.number), 0.1), "m") if height_mm else NOT_MEASURED


def _weather_words(limits: WorkingLimits, deck_c: Figure | None, forecast: bool) -> dict[str, str]:
    return {
        "moisture": amount(limits.moisture_pct.number, "%"),
        "recoat": amount(limits.recoat_hours.number, "hours"),
        "dew_line": _dew_line(limits, deck_c, forecast),
    }


def _dew_line(limits: WorkingLimits, deck_c: Figure | None, forecast: bool) -> str:
    if forecast or limits.dew_point_c is None or limits.least_deck_c is None:
        return (
            "The table of the day sheet says from air and humidity how warm the deck has to be: "
            f"{wording.exact(limits.dew_margin_c.number)} °C above the dew point. Colder: lay "
            "nothing."
        )
    too_cold = ""
    if deck_c is not None and deck_c.number < limits.least_deck_c.number:
        too_cold = f"At the {wording.exact(deck_c.number)} °C expected it is too cold: DO NOT LAY. "
    least = f"{wording.exact(round_up(limits.least_deck_c.number, 0.1))} °C"
    return (
        f"In the weather expected the deck has to be at {least} or more, "
        f"{wording.exact(limits.dew_margin_c.number)} °C above the dew point. {too_cold}Read it "
        "off again from "
        "what is measured: the day sheet has the table."
    )


def _abrade(plan: WorkPlan, limits: WorkingLimits) -> str:
    """What is said where by the days planned the laminate will be too old for topcoat."""
    if not any(spell.abrade for day in plan.worked for spell in day.spells):
        return ""
    old = amount(limits.recoat_hours.number, "hours")
    return f" By the days planned it is over {old} old by then: abrade ALL of it."


def _cure_times(job: PlannedJob) -> str:
    """How long laminate takes to be walked on, by deck temperature, as the Rates sheet has it."""
    walked_on = by_deck_temperature(job.settings, "walk_on_hours")
    rows: Table = walked_on.value  # type: ignore[assignment]  # a table of pairs of numbers
    times = [
        f"{amount(hours, 'h')} at {wording.exact(deck_c)} °C"
        for deck_c, hours in rows[:_CURES_NAMED]
    ]
    return ", ".join(times)


def _agreed_words(enquiry: Enquiry) -> dict[str, str]:
    """What was found or asked for besides the roof, by whether it is done; what was promised."""
    agreed = [found.advised for found in enquiry.findings if found.answer is Answer.DO_IT]
    agreed += [extra.words for extra in enquiry.extras if extra.included]
    left = [found for found in enquiry.findings if found.answer is not Answer.DO_IT]
    return {
        "agreed": " ".join(sentence(words) for words in agreed),
        "not_ordered": " ".join(
            f"{sentence(found.seen)} Advised: {sentence(found.advised)}" for found in left
        ),
        "promised": sentence(enquiry.customer_notes),
    }


def _mix_words(job: PlannedJob) -> dict[str, str]:
    return {
        "resin_amount": _need_words(job, "resin", 0.1),
        "topcoat_amount": _need_words(job, "topcoat", 0.1),
        "catalyst_amount": _need_words(job, "catalyst", 5),
        "acetone_amount": _need_words(job, "acetone", 0.1),
        "adhesive_amount": _need_words(job, "adhesive", 1, "tubes"),
        "resin_mixes": _mixes_words(job, "resin"),
        "topcoat_mixes": _mixes_words(job, "topcoat"),
    }


def _need_words(job: PlannedJob, item: str, step: float, unit: str = "") -> str:
    need = job.need(item)
    return _figure(need.gross, unit, step) if need else "none"


def _stored_words(job: PlannedJob) -> dict[str, str]:
    brought = {
        f"{item}_brought": _brought_words(job, item)
        for item in ("resin", "topcoat", "catalyst", "acetone")
    }
    return {
        **brought,
        "flammables_on_site": _figure(on_site_l(job.option, job.settings), step=0.1),
        "flammables_guide": _figure(guide_l(job.option, job.settings)),
        "tray": _figure(tray_l(job.option, job.settings), step=0.1),
        "vapour_line": vapour_line(job.option, job.settings),
    }


def _brought_words(job: PlannedJob, item: str) -> str:
    """The packs bought of an item and what the van carries of it anyway."""
    need, van = job.need(item), job.settings.van_stock.get(item)
    packs = need.purchase.packs if need and need.purchase else ()
    parts = [f"{one.count} × {amount(one.pack.pack_size, one.pack.unit)}" for one in packs]
    if need and need.unpriced:
        parts.append("packs not known")
    if van is not None and van.number:
        parts.append(f"{amount(van.number, van.unit)} off the van")
    return " and ".join(parts) or "none"


def _mixes_words(job: PlannedJob, material: str) -> str:
    bands = [mixes for mixes in job.option.mixes if mixes.material == material]
    counts = {sum(size.count for size in mixes.sizes) for mixes in bands}
    if len(counts) == 1:
        return amount(counts.pop(), "mixes")
    return " or ".join(_band_words(mixes) for mixes in bands) or "mixes from the mix card"


def _band_words(mixes: Mixes) -> str:
    count = sum(size.count for size in mixes.sizes)
    when = "from" if mixes.hot else "below"
    return f"{amount(count, 'mixes')} {when} {wording.exact(mixes.hot_from_c.number)} °C"


def _build_words(job: PlannedJob) -> dict[str, str]:
    enquiry = job.enquiry
    capped = job.option.build_up is BuildUp.CAP_OVER
    board = job.settings["cap_board_mm"] if capped else enquiry.board_mm
    layers = amount(enquiry.mat_layers.number, "layers").replace("1 layers", "1 layer")
    return {
        "board": amount(board.number, "mm"),
        "insulation": _figure(enquiry.insulation_mm, "mm", 1),
        "mat": f"{layers} of {wording.exact(enquiry.mat_g_m2.number)} g mat",
        "mat_lap": _setting(job, "mat_lap_mm"),
        "bandaged": bandaged_words(
            job.settings,
            job.option.boards,
            curved=any(edge.curve for edge in job.outline.edges),
        ),
        "wall_gap": _setting(job, "wall_gap_mm"),
        "trim_nail": _setting(job, "trim_nail_mm"),
        "upstand": _published("flat_roofs.upstand_mm"),
        "upstand_left": _upstand_left(job.option.upstand_left_mm),
        "rcd": _published("work_equipment.rcd_ma"),
        "fixing_edge": _setting(job, "fixing_edge_mm"),
        "fixing_field": _setting(job, "fixing_field_mm"),
        "strip_words": ", ".join(part.words for part in job.option.strip) or "not yet known",
    }


def _upstand_left(left_mm: Figure | None) -> str:
    if left_mm is None:
        return ""
    return f"; by the visit about {wording.mm(left_mm.number)} are left"


def _mass_words(job: PlannedJob) -> dict[str, str]:
    masses = [part.mass_kg for part in job.option.strip]
    strip = derive("what comes off", Unit.KG, total, parts=masses) if masses else None
    return {
        "strip_mass": _figure(strip, step=1),
        "two_people": _published("manual_handling.two_people_kg"),
    }


def _health_words() -> dict[str, str]:
    boundary_c = entry("protection.type_a_above_c").value
    resin = filter_type(entry("protection.boils_styrene_c").value, boundary_c)
    acetone = filter_type(entry("protection.boils_acetone_c").value, boundary_c)
    gas_class = wording.exact(entry("protection.gas_filter_class").value)
    dust_class = entry("protection.dust_filter_class").value
    ceiling_ppm = mask_ceiling_ppm(
        entry("exposure_limits.styrene").value["long_ppm"],
        entry("protection.half_mask_factor").value,
        entry("protection.gas_filter_ppm").value[entry("protection.gas_filter_class").value - 1],
    )
    return {
        "eye_minutes": _published("first_aid.eye_minutes", "minutes"),
        "skin_minutes": _published("first_aid.skin_minutes", "minutes"),
        "eyewash": _published("first_aid.eyewash_l", "litre"),
        "goggles": str(entry("protection.goggles").value),
        "resin_filter": f"{resin}{gas_class}",
        "resin_dust_filter": f"{resin}{gas_class}{dust_class}",
        "acetone_filter": acetone,
        "dust_mask": str(entry("protection.dust_mask").value),
        "dust_mask_mark": str(entry("protection.dust_mask_mark").value),
        "nitrile": _published("protection.nitrile_mm"),
        "resin_flash": _published("fire.resin_flash_c"),
        "extinguisher": _published("fire.extinguisher_kg"),
        "mask_ceiling": amount(ceiling_ppm, "ppm"),
    }


def _people_words(job: PlannedJob) -> dict[str, str]:
    settings = job.settings
    return {
        "site_address": job.enquiry.site_address,
        "in_charge": settings.text("supervisor") or BLANK_LINE,
        "supervisor": settings.text("supervisor") or "whoever is in charge",
        "first_aider": settings.text("first_aider") or BLANK_LINE,
        "emergency_phone": settings.text("emergency_phone") or BLANK_LINE,
        "waste_carrier": settings.text("waste_carrier") or BLANK_LINE,
        "crew": amount(settings.number("crew"), "people"),
        "tenant_notice": f"{_published('tenancies.notice_hours')}'",
    }


def _law_words() -> dict[str, str]:
    return {
        **{f"code_{key}": str(entry(f"waste_codes.{key}").value) for key in subject("waste_codes")},
        "asbestos_year": wording.year(entry("asbestos.first_clear_year").value),
        "renewed_share": _published("thermal.renewed_share_pct").replace(" %", "%"),
        "certificate_days": _published("building_control.certificate_days"),
        "transfer_years": _published("waste_records.transfer_years"),
        "hazardous_years": _published("waste_records.hazardous_years"),
    }


def _emergency_titles() -> dict[str, str]:
    """What the emergencies are called that another rule points to."""
    titles = {note.key: note.title for note in rules.notes("emergency")}
    return {"hot_bucket": titles[EmergencyKey.HOT_BUCKET]}
