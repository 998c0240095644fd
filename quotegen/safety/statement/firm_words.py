"""The figures of the firm and of the published tables as the rule texts name them.

They are the same on every job, so a text that names no others can stand on the standing sheet.
"""

from collections.abc import Mapping

from quotegen import wording
from quotegen.model.settings import Curing, Settings
from quotegen.reference import rules
from quotegen.reference.life import marked
from quotegen.reference.loader import PublishedValue, entry, subject
from quotegen.reference.rule_keys import EmergencyKey, JobSentence
from quotegen.safety.rules.exposure import shaking_minutes
from quotegen.safety.rules.protection import filter_type, mask_ceiling_ppm
from quotegen.safety.rules.text import told

_CURES_NAMED = 3
BLANK_LINE = "______________________"


def firm_words(settings: Settings) -> Mapping[str, str]:
    """Every placeholder of the rule tables that no job changes, with its words."""
    return {
        **_height_words(),
        **_practice_words(settings),
        **_health_words(),
        **_tool_words(),
        **_people_words(settings),
        **_law_words(),
        **_emergency_titles(),
    }


def amount(value: float, unit: str) -> str:
    """A number with the sign of its unit, without needless noughts.

    >>> amount(2.50, "l"), amount(-1.9, "°C")
    ('2.5 l', '-1.9 °C')
    """
    return f"{wording.exact(value)} {unit}"


def published(key: str) -> str:
    """A published value with its unit."""
    found = entry(key)
    return marked(amount(found.value, found.unit), found)


def worded(key: str) -> str:
    """A published value that is words."""
    found = entry(key)
    return marked(str(found.value), found)


def published_year(key: str) -> str:
    """A published year."""
    found = entry(key)
    return marked(wording.year(found.value), found)


def so_many(key: str, one: str, other: str) -> str:
    """A published number of things."""
    found = entry(key)
    return marked(wording.count(found.value, one, other), found)


def _setting(settings: Settings, code: str) -> str:
    figure = settings[code]
    return amount(figure.number, figure.unit)


def _height_words() -> dict[str, str]:
    rise = entry("ladders.rise_for_one_out")
    return {
        "rise_for_one_out": marked(wording.exact(rise.value), rise),
        "projection": published("ladders.projection_m"),
        "short_spell": so_many("ladders.short_minutes", "minute", "minutes"),
        "ladder_load": published("ladders.load_kg"),
        "top_rungs": so_many("ladders.top_rungs", "rung", "rungs"),
        "guard_rail": published("work_at_height.guard_rail_mm"),
        "guard_gap": published("work_at_height.guard_gap_mm"),
        "toe_board": published("work_at_height.toe_board_mm"),
        "edge_zone": published("work_at_height.edge_zone_m"),
        "headroom": published("work_at_height.headroom_m"),
        "tower_steady": published("work_at_height.tower_wind_mph"),
        "inspection_days": so_many("work_at_height.inspection_days", "day", "days"),
        "report_hours": so_many("work_at_height.report_hours", "hour", "hours"),
        "report_months": so_many("work_at_height.report_months", "month", "months"),
        "two_people": published("manual_handling.two_people_kg"),
        "store_apart": published("flammable_storage.apart_m"),
    }


def _practice_words(settings: Settings) -> dict[str, str]:
    return {
        "mat_lap": _setting(settings, "mat_lap_mm"),
        "wall_gap": _setting(settings, "wall_gap_mm"),
        "wind_boards": _setting(settings, "wind_boards_mph"),
        "wind_edge": _setting(settings, "wind_edge_mph"),
        "wind_tower": _setting(settings, "wind_tower_mph"),
        "trim_nail": _setting(settings, "trim_nail_mm"),
        "fixing_edge": _setting(settings, "fixing_edge_mm"),
        "fixing_field": _setting(settings, "fixing_field_mm"),
        "upstand": published("flat_roofs.upstand_mm"),
        "rcd": published("work_equipment.rcd_ma"),
        "cure_times": _cure_times(settings),
    }


def _cure_times(settings: Settings) -> str:
    """How long laminate takes to be walked on, by deck temperature, the coldest decks first."""
    rows = settings.tables.curing[Curing.LAMINATE][:_CURES_NAMED]
    times = [f"{amount(row.amount.number, 'h')} at {wording.exact(row.deck_c)} °C" for row in rows]
    return ", ".join(times)


def _health_words() -> dict[str, str]:
    boundary = entry("protection.type_a_above_c")
    styrene, acetone = (entry(f"protection.boils_{name}_c") for name in ("styrene", "acetone"))
    gas, dust = entry("protection.gas_filter_class"), entry("protection.dust_filter_class")
    limit, most = entry("exposure_limits.styrene"), entry("protection.gas_filter_ppm")
    factor = entry("protection.half_mask_factor")
    resin = f"{filter_type(styrene.value, boundary.value)}{wording.exact(gas.value)}"
    ceiling_ppm = mask_ceiling_ppm(limit.value["long_ppm"], factor.value, most.value[gas.value - 1])
    return {
        "eye_minutes": so_many("first_aid.eye_minutes", "minute", "minutes"),
        "skin_minutes": so_many("first_aid.skin_minutes", "minute", "minutes"),
        "eyewash": so_many("first_aid.eyewash_l", "litre", "litres"),
        "goggles": worded("protection.goggles"),
        "resin_filter": marked(resin, styrene, boundary, gas),
        "resin_dust_filter": marked(f"{resin}{dust.value}", styrene, boundary, gas, dust),
        "acetone_filter": marked(filter_type(acetone.value, boundary.value), acetone, boundary),
        "dust_mask": worded("protection.dust_mask"),
        "dust_mask_mark": worded("protection.dust_mask_mark"),
        "nitrile": published("protection.nitrile_mm"),
        "resin_flash": published("fire.resin_flash_c"),
        "extinguisher": published("fire.extinguisher_kg"),
        "mask_ceiling": marked(amount(ceiling_ppm, "ppm"), limit, factor, most, gas),
    }


def _tool_words() -> dict[str, str]:
    """What tools may do to ears and hands in a day, and when lifting gear is examined."""
    action, day = entry("work_equipment.shaking_action_m_s2"), entry("exposure_limits.long_hours")
    smooth, rough = (entry(f"work_equipment.shaking_{kind}_m_s2") for kind in ("smooth", "rough"))
    return {
        "noise_wear": published("work_equipment.noise_wear_db"),
        "smooth": published("work_equipment.shaking_smooth_m_s2").replace("m/s2", "m/s²"),
        "smooth_minutes": _shaking(action, smooth, day),
        "rough_minutes": _shaking(action, rough, day),
        "hoist_months": so_many("work_equipment.hoist_months", "month", "months"),
        "sling_months": so_many("work_equipment.sling_months", "month", "months"),
    }


def _shaking(action: PublishedValue, tool: PublishedValue, day: PublishedValue) -> str:
    """How long a tool may be held in a day, in whole minutes, rounded down: a limit."""
    minutes = int(shaking_minutes(action.value, tool.value, day.value))
    return marked(wording.count(minutes, "minute", "minutes"), action, tool, day)


def _people_words(settings: Settings) -> dict[str, str]:
    return {
        "in_charge": settings.text("supervisor") or BLANK_LINE,
        "supervisor": settings.text("supervisor") or told(JobSentence.NOBODY_NAMED),
        "first_aider": settings.text("first_aider") or BLANK_LINE,
        "emergency_phone": settings.text("emergency_phone") or BLANK_LINE,
        "waste_carrier": settings.text("waste_carrier") or BLANK_LINE,
        "tenant_notice": f"{so_many('tenancies.notice_hours', 'hour', 'hours')}'",
    }


def _law_words() -> dict[str, str]:
    return {
        **{f"code_{key}": worded(f"waste_codes.{key}") for key in subject("waste_codes")},
        "asbestos_year": published_year("asbestos.first_clear_year"),
        "renewed_share": published("thermal.renewed_share_pct").replace(" %", "%"),
        "diisocyanate_share": published("diisocyanates.share_pct").replace(" %", "%"),
        "diisocyanate_years": so_many("diisocyanates.renewed_years", "year", "years"),
        "clean_timber_year": published_year("waste_records.clean_timber_year"),
        "certificate_days": so_many("building_control.certificate_days", "day", "days"),
        "transfer_years": so_many("waste_records.transfer_years", "year", "years"),
        "hazardous_years": so_many("waste_records.hazardous_years", "year", "years"),
    }


def _emergency_titles() -> dict[str, str]:
    """What the emergencies are called that another rule points to."""
    titles = {note.key: note.title for note in rules.notes("emergency")}
    return {"hot_bucket": titles[EmergencyKey.HOT_BUCKET]}
