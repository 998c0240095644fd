"""Published values against what stands in their sources, as it was read there.

Only those that no other test holds to a source: the statements of GB CLP and the list of wastes are
in `safety/test_substances.py`, sheet lead in `takeoff/test_measure.py`, limits in the air in
`safety/test_exposure.py`, gloves and masks in `safety/test_protection.py`, guard rails in
`safety/test_ladders.py`.
"""

from collections.abc import Mapping
from datetime import date

from quotegen.reference.life import on_day
from quotegen.reference.loader import entry
from quotegen.tables import READ
from tests.builders import TODAY

SOURCES: Mapping[str, Mapping[str, object]] = {
    "CDM Regulations 2015, regulation 6(1)": {
        "construction_plan.notice_days": 30,
        "construction_plan.notice_people": 20,
        "construction_plan.notice_person_days": 500,
    },
    "Consumer Contracts Regulations 2013, regulations 30 and 34": {
        "consumer_contracts.cancellation_days": 14,
        "consumer_contracts.refund_days": 14,
    },
    "Landlord and Tenant Act 1985, section 11(6)": {"tenancies.notice_hours": 24},
    "UK REACH, annex XVII, entry 74": {
        "diisocyanates.share_pct": 0.1,
        "diisocyanates.renewed_years": 5,
    },
    "Building Regulations 2010, regulation 20": {"building_control.certificate_days": 30},
    "Approved Document L, volume 1 (England), 2021: 11.3, tables 4.2 and 4.3, appendix C": {
        "thermal.renewed_share_pct": 50,
        "thermal.envelope_share_pct": 25,
        "thermal.renovated_roof_u": 0.16,
        "thermal.threshold_roof_u": 0.35,
        "thermal.new_roof_u": 0.15,
        "thermal.payback_years": 15,
    },
    "BS EN ISO 6946, table 7, 0.10 + 0.04; BS EN ISO 10456, table 3": {
        "thermal.surface_resistance": 0.14,
        "thermal.board_conductivity": 0.13,
    },
    "BS 6229:2018": {"flat_roofs.upstand_mm": 150, "flat_roofs.least_fall_one_in": 80},
    "3rd General Conference on Weights and Measures, rounded": {"flat_roofs.free_fall_m_s2": 9.81},
    "PanelGuide, wood panel industries: 2.5 times the thickness, at least 50 mm": {
        "deck_boards.fixing_length_times_thickness": 2.5,
        "deck_boards.fixing_length_least_mm": 50,
    },
    "Alduchov and Eskridge 1996, abstract": {
        "dew_point.magnus_a": 17.625,
        "dew_point.magnus_b_c": 243.04,
    },
    "Control of Asbestos Regulations 2012, HSE L143: built before 2000": {
        "asbestos.first_clear_year": 2000,
    },
    "Waste Regulations 2011, regulation 35; Hazardous Waste Regulations 2005; RPS 250": {
        "waste_records.transfer_years": 2,
        "waste_records.hazardous_years": 3,
        "waste_records.clean_timber_year": 2007,
    },
    "Work at Height Regulations 2005, regulation 12 and schedule 6, paragraph 9": {
        "work_at_height.inspection_height_m": 2,
        "ladders.landing_m": 9,
    },
    "HSE HSG33, 5th edition: unguarded edges": {"work_at_height.edge_zone_m": 2},
    "British tower trade association, questions on safety": {"work_at_height.tower_wind_mph": 17},
    "BS EN 12811-1, table 3": {
        "work_at_height.load_stacked": 2.0,
        "work_at_height.class_stacked": "3",
    },
    "Scaffold licence conditions of an English highway authority": {
        "work_at_height.headroom_m": 2.4,
    },
    "HSE INDG455: one out for four up, a metre past the landing, not the top three rungs": {
        "ladders.rise_for_one_out": 4,
        "ladders.projection_m": 1,
        "ladders.top_rungs": 3,
    },
    "HSE INDG143, lifting filter, the lower figure at knuckle height; L23, a team of two": {
        "manual_handling.two_people_kg": 16,
        "manual_handling.team_of_two_share": 0.667,
    },
    "HSE HSG53: an FFP3 mask; FFP3 or P3 against building dust; BS EN 149": {
        "protection.dust_mask_factor": 20,
        "protection.dust_filter_class": "P3",
        "protection.dust_mask_mark": "BS EN 149 with class FFP3",
    },
    "BS EN 14387; International Chemical Safety Cards 0073 and 0087": {
        "protection.type_a_above_c": 65,
        "protection.boils_styrene_c": 145,
        "protection.boils_acetone_c": 56,
    },
    "HSE L74 and INDG214: a litre where there is no tap": {"first_aid.eyewash_l": 1},
    "HSE HSG141": {"work_equipment.rcd_ma": 30},
    "Control of Noise at Work Regulations 2005, regulation 4": {"work_equipment.noise_wear_db": 85},
    "Control of Vibration at Work Regulations 2005, regulation 4": {
        "work_equipment.shaking_action_m_s2": 2.5,
        "work_equipment.shaking_limit_m_s2": 5,
    },
    "LOLER 1998, regulation 9: twelve months, six for lifting accessories": {
        "work_equipment.hoist_months": 12,
        "work_equipment.sling_months": 6,
    },
    "HSE on flammable liquids in workrooms; HSG51; GB CLP, annex I, 2.6": {
        "flammable_storage.highly_flammable_l": 50,
        "flammable_storage.flammable_l": 250,
        "flammable_storage.highly_flammable_below_c": 23,
        "flammable_storage.tray_pct": 110,
        "flammable_storage.apart_m": 4,
    },
    "EH40/2005: the long limits are over 8 hours": {"exposure_limits.long_hours": 8},
    "CalRecycle, weights and volumes: pounds to the cubic yard, rounded": {
        "bulk_waste.loose_gravel_kg_m3": 1540,
        "bulk_waste.loose_asphalt_kg_m3": 1420,
        "bulk_waste.loose_timber_kg_m3": 237,
    },
}
"""What each source says, by the key of the value."""

DATED = {
    ("vat.insulation_relief_pct", date(2027, 3, 31)): 0,
    ("vat.insulation_relief_pct", date(2027, 4, 1)): 5,
    ("vat.standard_rate_pct", date(2027, 4, 1)): 20,
}
"""VAT Notice 708/6: zero until 31 March 2027, then 5 %; Value Added Tax Act 1994, section 2."""


def test_each_value_is_what_its_source_says_and_was_read() -> None:
    with on_day(TODAY):
        found = {key: entry(key) for said in SOURCES.values() for key in said}
    said = {key: value for one in SOURCES.values() for key, value in one.items()}
    assert {key: one.value for key, one in found.items()} == said
    assert [key for key, one in found.items() if one.confirmed not in READ] == []
    assert len(found) == sum(map(len, SOURCES.values())) >= 60


def test_the_rates_of_vat_on_their_days() -> None:
    assert {asked: entry(*asked).value for asked in DATED} == DATED
