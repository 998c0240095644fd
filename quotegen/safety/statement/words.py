"""The figures of the job as the texts of the rule tables name them, each with its unit."""

from collections.abc import Mapping

from quotegen import wording
from quotegen.model.choices import BuildUp
from quotegen.model.days import WorkPlan
from quotegen.model.enquiry import Enquiry
from quotegen.model.safety import Ladder, WorkingLimits
from quotegen.model.settings import Mixed
from quotegen.model.takeoff import Mixes
from quotegen.phrases import listed, sentence
from quotegen.reference.rule_keys import EdgeSentence, JobSentence, LimitSentence, MixSentence
from quotegen.safety.facts.day_store import day_store
from quotegen.safety.facts.job import PlannedJob
from quotegen.safety.facts.stored import tray_l
from quotegen.safety.rules.exposure import vapour_line
from quotegen.safety.rules.keep_out import keep_out_of
from quotegen.safety.rules.platform_words import hired_words
from quotegen.safety.rules.store_words import by_day_words, stores_words, there_words
from quotegen.safety.rules.text import told
from quotegen.safety.rules.van_kit import closing_sheet_m
from quotegen.safety.statement.firm_words import amount, firm_words, published
from quotegen.takeoff.access.edge_ways import tower_place_words
from quotegen.takeoff.layers.laminate import mass_kg
from quotegen.takeoff.layers.thermal import layer_words, layers_mm
from quotegen.takeoff.trims.trim_fixings import bandaged_words
from quotegen.units import Unit, mm_to_m, round_up
from quotegen.working import Figure, derive, total


def job_words(
    job: PlannedJob, ladder: Ladder | None, limits: WorkingLimits, plan: WorkPlan
) -> Mapping[str, str]:
    """Every placeholder of the rule tables with its words for this job.

    If a forecast covers the work, the weather the row expects is not mentioned as well.
    """
    return {
        **firm_words(job.settings),
        **_height_words(ladder),
        "edge_places": _edge_places(job),
        "keep_out": _keep_out(job),
        "barrier": _barrier(job),
        "edge_height": _edge_height(job),
        **_platform_words(job),
        **_weather_words(limits, job.enquiry.deck_c, plan.forecast),
        "abrade": _abrade(plan, limits),
        "bottle_opened": told(MixSentence.BOTTLE_OPENED),
        **_agreed_words(job.enquiry, job.option.build_up),
        **_mix_words(job),
        **_stored_words(job),
        **_build_words(job),
        **_mass_words(job),
        "site_address": job.enquiry.site_address,
        "crew": wording.count(job.settings.number("crew"), "person", "people"),
    }


def _figure(figure: Figure | None, step: float = 0.01) -> str:
    """A figure rounded up to a step, as is safe for lengths and amounts."""
    if figure is None:
        return told(EdgeSentence.NOT_MEASURED)
    return amount(round_up(figure.number, step), figure.unit)


def _height_words(ladder: Ladder | None) -> dict[str, str]:
    return {
        "height": _figure(ladder.height_m if ladder else None),
        "foot_out": _figure(ladder.foot_out_m if ladder else None),
        "ladder_length": _figure(ladder.least_length_m if ladder else None, step=0.1),
    }


def _edge_places(job: PlannedJob) -> str:
    zone = published("work_at_height.edge_zone_m")
    if job.option.access.away_m2.number:
        return told(EdgeSentence.AWAY_FROM_EDGE, zone=zone)
    return told(EdgeSentence.NOWHERE_AWAY, zone=zone)


def _keep_out(job: PlannedJob) -> str:
    """Where nobody may be; if nobody has measured the height, what the barriers close off."""
    keep_out = keep_out_of(job)
    if keep_out is None:
        return told(EdgeSentence.WITHIN_BARRIERS)
    return told(EdgeSentence.WITHIN_DISTANCE, out=_figure(keep_out.out_m, step=0.1))


def _barrier(job: PlannedJob) -> str:
    keep_out = keep_out_of(job)
    return _figure(keep_out.barrier_m if keep_out else None, step=1)


def _edge_height(job: PlannedJob) -> str:
    height_mm = job.enquiry.roof.height_mm
    if height_mm is None:
        return told(EdgeSentence.NOT_MEASURED)
    return amount(round_up(mm_to_m(height_mm.number), 0.1), "m")


def _platform_words(job: PlannedJob) -> dict[str, str]:
    """The platform as it is hired, and the places of one tower in turn; blank without them."""
    access = job.option.access
    places = [tower_place_words(place) for place in access.places]
    return {
        "platform": hired_words(access, job.settings),
        "tower_places": listed(places) if places else "",
    }


def _weather_words(limits: WorkingLimits, deck_c: Figure | None, forecast: bool) -> dict[str, str]:
    return {
        "moisture": amount(limits.moisture_pct.number, "%"),
        "recoat": _recoat(limits),
        "dew_line": _dew_line(limits, deck_c, forecast),
    }


def _dew_line(limits: WorkingLimits, deck_c: Figure | None, forecast: bool) -> str:
    margin = amount(limits.dew_margin_c.number, "°C")
    if forecast or limits.dew_point_c is None or limits.least_deck_c is None:
        return told(LimitSentence.LOOK_UP_DEW, margin=margin)
    least = amount(round_up(limits.least_deck_c.number, 0.1), "°C")
    lines = [told(LimitSentence.EXPECTED_DEW, least=least, margin=margin)]
    if deck_c is not None and deck_c.number < limits.least_deck_c.number:
        lines.append(told(LimitSentence.TOO_COLD, deck=amount(deck_c.number, "°C")))
    return " ".join([*lines, told(LimitSentence.READ_AGAIN)])


def _recoat(limits: WorkingLimits) -> str:
    return wording.count(limits.recoat_hours.number, "hour", "hours")


def _abrade(plan: WorkPlan, limits: WorkingLimits) -> str:
    """What is said if, on the days planned, the laminate will be too old for topcoat."""
    if not any(spell.abrade for day in plan.worked for spell in day.spells):
        return ""
    return f" {told(LimitSentence.ABRADE_ALL, recoat=_recoat(limits))}"


def _agreed_words(enquiry: Enquiry, build_up: BuildUp) -> dict[str, str]:
    """What was found or asked for as well as the roof, by whether it is done; what was promised."""
    agreed = [found.advised for found in enquiry.findings if found.is_done_in(build_up)]
    agreed += [extra.words for extra in enquiry.extras if extra.included]
    left = [found for found in enquiry.findings if not found.is_done_in(build_up)]
    return {
        "agreed": " ".join(sentence(words) for words in agreed),
        "not_ordered": " ".join(sentence(found.seen) for found in left),
        "promised": sentence(enquiry.customer_notes),
    }


def _mix_words(job: PlannedJob) -> dict[str, str]:
    mixed_l, density = job.option.resin.mixed_l, job.settings["resin_kg_per_l"]
    mixed = derive("resin mixed", Unit.KG, mass_kg, volume_l=mixed_l, kg_per_l=density)
    return {
        "resin_amount": _need_words(job, "resin", 0.1),
        "resin_to_mix": _figure(mixed, 0.1),
        "topcoat_amount": _need_words(job, "topcoat", 0.1),
        "catalyst_amount": _need_words(job, "catalyst", 5),
        "acetone_amount": _need_words(job, "acetone", 0.1),
        "adhesive_amount": _tubes(job),
        "resin_mixes": _mixes_words(job, Mixed.RESIN),
        "topcoat_mixes": _mixes_words(job, Mixed.TOPCOAT),
    }


def _need_words(job: PlannedJob, item: str, step: float) -> str:
    need = job.need(item)
    return _figure(need.gross, step) if need else "none"


def _tubes(job: PlannedJob) -> str:
    need = job.need("adhesive")
    return wording.count(round_up(need.gross.number), "tube", "tubes") if need else "none"


def _stored_words(job: PlannedJob) -> dict[str, str]:
    brought = {
        f"{item}_brought": _brought_words(job, item)
        for item in ("resin", "topcoat", "catalyst", "acetone")
    }
    store = day_store(job.option, job.plan, job.settings)
    return {
        **brought,
        "flammables_on_site": there_words(store.fullest),
        "flammables_guide": _figure(store.guide_l),
        "flammables_by_day": by_day_words(store),
        "flammables_stores": stores_words(store),
        "closing_sheet": _closing_sheet(job),
        "tray": _figure(tray_l(job.option, job.settings), step=0.1),
        "vapour_line": vapour_line(job.option, job.settings),
    }


def _closing_sheet(job: PlannedJob) -> str:
    past_mm = job.settings.number("sheet_past_mm")
    across_m, out_m = closing_sheet_m(job.outline.points, past_mm)
    return f"{wording.exact(across_m)} × {wording.exact(out_m)} m"


def _brought_words(job: PlannedJob, item: str) -> str:
    """The packs bought of an item, and what is on the van anyway."""
    need, van = job.need(item), job.settings.van_stock.get(item)
    packs = need.purchase.packs if need and need.purchase else ()
    parts = [f"{one.count} × {amount(one.pack.pack_size, one.pack.unit)}" for one in packs]
    if need and need.unpriced:
        parts.append("packs not known")
    if van is not None and van.number:
        parts.append(f"{amount(van.number, van.unit)} off the van")
    return " and ".join(parts) or "none"


def _mixes_words(job: PlannedJob, material: Mixed) -> str:
    bands = [mixes for mixes in job.option.mixes if mixes.material == material]
    counts = {mixes.size.count for mixes in bands}
    if len(counts) == 1:
        return wording.count(counts.pop(), "mix", "mixes")
    if not bands:
        return told(JobSentence.MIXES_ON_CARD)
    return " or ".join(_band_words(mixes) for mixes in bands)


def _band_words(mixes: Mixes) -> str:
    when = "from" if mixes.hot else "below"
    mixes_words = wording.count(mixes.size.count, "mix", "mixes")
    return f"{mixes_words} {when} {wording.exact(mixes.hot_from_c.number)} °C"


def _layers(enquiry: Enquiry) -> str:
    """The thickness of the insulation with its layers; `not known` where it is not."""
    layers = layers_mm(enquiry)
    if len(layers) > 1:
        return f"{layer_words(layers)}, joints apart"
    return _figure(enquiry.insulation_mm, 1)


def _build_words(job: PlannedJob) -> dict[str, str]:
    enquiry = job.enquiry
    capped = job.option.build_up is BuildUp.CAP_OVER
    board = job.settings["cap_board_mm"] if capped else enquiry.board_mm
    return {
        "board": amount(board.number, "mm"),
        "insulation": _figure(enquiry.insulation_mm, 1),
        "insulation_layers": _layers(enquiry),
        "bandaged": bandaged_words(
            job.settings,
            job.option.boards,
            curved=any(edge.curve for edge in job.outline.edges),
        ),
        "upstand_left": _upstand_left(job.option.upstand_left_mm),
        "strip_words": ", ".join(part.words for part in job.option.strip) or "not yet known",
    }


def _upstand_left(left_mm: Figure | None) -> str:
    if left_mm is None:
        return ""
    return told(JobSentence.UPSTAND_LEFT, left=wording.mm(left_mm.number))


def _mass_words(job: PlannedJob) -> dict[str, str]:
    masses = [part.mass_kg for part in job.option.strip]
    strip = derive("what comes off", Unit.KG, total, parts=masses) if masses else None
    return {
        "strip_mass": _figure(strip, step=1),
    }


def _people_words(job: PlannedJob) -> dict[str, str]:
    settings = job.settings
    return {
        "site_address": job.enquiry.site_address,
        "crew": wording.count(settings.number("crew"), "person", "people"),
    }
