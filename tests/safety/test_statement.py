"""Whole statements: written for the job, nothing about what is not there, no gaps."""

import re

import pytest
from msgspec.structs import replace

from quotegen.model.choices import (
    Access,
    Below,
    BuildUp,
    Covering,
    Deck,
    DeckCondition,
    EdgeKind,
    Household,
    Occupier,
    RoofKind,
    Side,
    Size,
    WallJoint,
)
from quotegen.model.enquiry import Existing, SiteFacts
from quotegen.model.safety import MethodStatement
from quotegen.model.takeoff import Phase, TakeOff
from quotegen.reference import rules
from quotegen.safety.facts.limits import working_limits
from quotegen.safety.rules.text import UnknownPlaceholder, with_figures
from quotegen.safety.statement.statement import make_statement
from quotegen.safety.statement.words import job_words
from quotegen.working import Step
from tests import builders
from tests.safety import jobs

ALL = tuple(BuildUp)
LEAD = Existing(Covering.LEAD, None, Deck.BOARDING, DeckCondition.SOUND)
MOST = {
    "occupier": Occupier.TENANT,
    "below": (Below.PAVEMENT, Below.DOORWAY, Below.GLASS),
    "existing": LEAD,
    "year_built": builders.given("year built", 1936.0, ""),
    "site": SiteFacts(*(True,) * 8),
    "wall_joint": WallJoint.KEEP_LEAD,
    "build_ups": (BuildUp.NEW_DECK_INSULATED,),
    "insulation_mm": builders.given("insulation", 120.0, "mm"),
}


def hazards(made: MethodStatement) -> set[str]:
    return {risk.key for risk in made.risks}


def test_a_plain_job_says_nothing_about_what_is_not_there() -> None:
    bay = builders.canted_bay()
    bay = replace(bay, edges={**bay.edges, Side.BACK: EdgeKind.RAISED})
    made = jobs.statement(jobs.plain_enquiry(access=Access.TOWER, roof=bay))
    text = jobs.all_text(made).lower()
    for absent in ("asbestos", "pavement", "licence in hand", "cables near", "flue", "nest"):
        assert absent not in text, absent
    for absent in ("tenant", "children", "insulation", "scaffolder", "chippings", "glass below"):
        assert absent not in text, absent
    assert not re.search(r"\blead\b(?! to|: plug)", text)
    assert not [risk for risk in made.risks if risk.assumed]
    assert "not known" not in text.replace("says “not known”", "")


def test_a_lead_roof_says_so_and_what_follows() -> None:
    made = jobs.statement(jobs.plain_enquiry(existing=LEAD))
    text = jobs.all_text(made)
    assert "lead" in hazards(made)
    assert "lead" in {one.key for one in made.substances}
    assert "17 04 03" in text
    assert "Wash hands and face before food" in text
    assert any("fold and roll it cold" in line for step in made.steps for line in step.lines)


def test_a_building_before_2000_waits_for_the_survey() -> None:
    # Control of Asbestos Regulations 2012: refurbishment survey before what it covers is broken.
    old = builders.given("year built", 1974.0, "")
    made = jobs.statement(jobs.plain_enquiry(year_built=old))
    (arrive, *_) = made.steps
    assert "asbestos" in hazards(made)
    assert "No strip before the asbestos survey is read." in arrive.hold_point
    surveyed = jobs.all_text(made)
    unsurveyed = jobs.statement(
        jobs.plain_enquiry(year_built=old, site=replace(jobs.NOTHING_NEAR, asbestos_surveyed=False))
    )
    assert "no survey is on record" not in surveyed
    assert "no survey is on record" in jobs.all_text(unsurveyed)


def test_an_unknown_year_is_treated_as_before_2000_and_says_so() -> None:
    made = jobs.statement(jobs.plain_enquiry(year_built=None))
    (risk,) = [risk for risk in made.risks if risk.key == "asbestos"]
    assert risk.because == ()
    assert risk.assumed == ("before_2000",)


def test_a_pavement_below_needs_the_licence() -> None:
    # Highways Act 1980, section 169.
    made = jobs.statement(jobs.plain_enquiry(below=(Below.PAVEMENT,), access=Access.SCAFFOLD))
    assert "pavement" in hazards(made)
    assert "section 169" in jobs.all_text(made)
    assert any("No licence, no platform" in step.hold_point for step in made.steps)


def test_unknown_below_brings_in_everything_that_may_lie_there() -> None:
    made = jobs.statement(jobs.plain_enquiry(below=()))
    assert {"pavement", "doorway", "glass-below", "lower-roof", "people-below"} <= hazards(made)


def test_the_figures_of_the_job_stand_in_the_steps() -> None:
    made = jobs.statement(jobs.ladder_enquiry())
    text = jobs.all_text(made)
    # One in four (LA455): 2.4 m up, 0.6 m out; 3.4 x sqrt(17 / 16) = 3.50 m, rounded up to 3.6.
    assert "foot 0.6 m out for an edge at 2.4 m, at least 3.6 m long" in text
    assert "No spell over 30 minutes" in text
    # A dew point of 9.6 °C (Magnus) and the 3 °C of ISO 8502-4.
    assert "the deck has to be at 12.6 °C or more, 3 °C above the dew point" in text


def test_a_deck_expected_below_the_dew_margin_is_not_laid_on() -> None:
    # ISO 8502-4: 15 degC and 70 % have their dew point at 9.6 degC, so 12.6 degC is the least.
    cold = jobs.statement(jobs.plain_enquiry(deck_c=builders.given("deck expected", 12.0, "°C")))
    warm = jobs.statement(jobs.plain_enquiry(deck_c=builders.given("deck expected", 13.0, "°C")))
    assert "DO NOT LAY" in jobs.all_text(cold)
    assert "DO NOT LAY" not in jobs.all_text(warm)


def test_a_tower_is_climbed_inside_and_the_ladder_is_not_worked_from() -> None:
    made = jobs.statement(jobs.plain_enquiry(access=Access.TOWER, roof=builders.canted_bay()))
    assert "No leaning ladder is used" in made.ladder_note
    assert "ladder" not in hazards(made)
    assert made.ladder is None


def test_from_the_ground_nobody_falls() -> None:
    low = builders.canted_bay(
        kind=RoofKind.CANOPY, height_mm=builders.given("height", 1800.0, "mm")
    )
    made = jobs.statement(jobs.plain_enquiry(roof=low, access=Access.GROUND))
    assert "fall-from-edge" not in hazards(made)
    assert made.ladder is None


def test_it_is_written_for_what_was_accepted_else_for_the_most_work() -> None:
    sheet = Existing(
        Covering.FELT, builders.given("layers", 1.0, "layers"), Deck.SHEET, DeckCondition.SOUND
    )
    enquiry = jobs.plain_enquiry(
        build_ups=ALL, existing=sheet, insulation_mm=builders.given("insulation", 120.0, "mm")
    )
    open_still = jobs.statement(enquiry)
    assert not open_still.accepted
    hours = {
        option.build_up: sum(x.hours.number for x in option.labour if x.phase is not Phase.WAIT)
        for option in open_still.take_off.options
    }
    assert hours[open_still.build_up] == max(hours.values())
    capped = jobs.statement(replace(enquiry, accepted=BuildUp.CAP_OVER))
    assert capped.accepted
    assert capped.build_up is BuildUp.CAP_OVER
    assert "open_joists" in capped.facts
    assert not capped.facts["open_joists"].present
    assert "Lay the vapour layer and insulation" not in [step.title for step in capped.steps]


def test_insulation_has_its_dust_and_its_step_only_where_it_is_laid() -> None:
    thick = builders.given("insulation", 120.0, "mm")
    made = jobs.statement(
        jobs.plain_enquiry(build_ups=(BuildUp.NEW_DECK_INSULATED,), insulation_mm=thick)
    )
    assert "insulation-dust" in hazards(made)
    assert "Insulation 120 mm, tight joints" in jobs.all_text(made)


def test_goggles_and_eye_wash_come_before_the_first_mix() -> None:
    made = jobs.statement(jobs.plain_enquiry())
    keys = [step.key for step in made.steps]
    ready = keys.index("ready")
    assert ready < keys.index("laminate") < keys.index("topcoat")
    assert "water and eye wash tried today, goggles" in made.steps[ready].hold_point


def test_emergencies_name_999_and_twenty_minutes() -> None:
    text = jobs.said(jobs.statement(jobs.plain_enquiry()).emergency)
    assert next(iter(text)) == "in-eye"
    assert "Rinse at once" in text["in-eye"]
    assert "Lids held open" in text["in-eye"]
    assert "at least 20 minutes" in text["in-eye"]
    assert "999" in text["in-eye"]
    assert "data sheet" in text["in-eye"]
    follows = {note.key: getattr(note, "more", "") for note in rules.notes("emergency")}
    assert "alcohol-resistant" in follows["fire"]  # ICSC 0087
    assert "organic peroxide" in text["catalyst-on-fire"]  # ICSC 1028
    assert "Do not make them sick" in text["swallowed"]  # ICSC 0073, 0087, 1028
    assert "____" in text["nearest-hospital"]


def test_waste_papers_are_kept_two_and_three_years() -> None:
    # Waste (E&W) Regulations 2011 reg. 35; Hazardous Waste (E&W) Regulations 2005.
    made = jobs.statement(jobs.plain_enquiry())
    transfer, hazardous = (note.text for note in made.waste[:2])
    assert "transfer note, kept for 2 years" in transfer
    assert "its own consignment note, kept for 3 years" in hazardous
    assert "17 03 02" in {part.waste_code for part in made.option.strip}


def test_the_data_sheet_comes_first_and_is_said_once() -> None:
    cautions = jobs.statement(jobs.plain_enquiry()).cautions
    assert sum("data sheet" in caution for caution in cautions) == 1
    assert "come first" in cautions[0]


@pytest.mark.parametrize("changes", [{}, MOST, {"site": SiteFacts(), "below": ()}])
@pytest.mark.parametrize("access", list(Access))
def test_no_text_has_a_gap_left_in_it(changes: dict[str, object], access: Access) -> None:
    enquiry = jobs.plain_enquiry(**changes)
    made = jobs.statement(replace(enquiry, access=access, ladder_reason="narrow alley"))
    text = jobs.all_text(made)
    assert not re.search(r"[{}]|None|\bnan\b", text)
    assert "  " not in text


def test_a_placeholder_nobody_knows_is_our_own_fault() -> None:
    with pytest.raises(UnknownPlaceholder, match="moonlight"):
        with_figures("by {moonlight}", {})


def test_one_thing_is_one_and_several_are_several() -> None:
    # English plurals, by hand: 1 takes the singular, 0 and all else the plural.
    asked = jobs.plain_enquiry(mat_layers=builders.given("layers of mat", 1.0, "layers"))
    for crew, said in ((1.0, "1 person"), (2.0, "2 people")):
        job = jobs.job(asked, builders.settings(crew=crew, recoat_hours=crew))
        limits = working_limits(asked, job.settings)
        words = job_words(job, None, limits, job.plan)
        assert words["crew"] == said
        assert words["recoat"] == ("1 hour" if crew == 1 else "2 hours")
        assert words["top_rungs"] == "3 rungs"
        assert words["tenant_notice"] == "24 hours'"


def test_every_figure_recomputes_from_its_working() -> None:
    made = jobs.statement(jobs.plain_enquiry())
    assert made.ladder and made.limits.least_deck_c
    top = [made.ladder.foot_out_m, made.ladder.least_length_m, made.limits.least_deck_c]
    for figure in (inner for outer in top for inner in outer.walk()):
        if isinstance(figure.basis, Step):
            assert figure.basis.recompute() == figure.value


def test_a_bay_under_tiles_lifts_them_and_chases_nothing() -> None:
    edges = dict.fromkeys(builders.canted_bay().edges, EdgeKind.GUTTER_DRIP)
    edges[next(iter(edges))] = EdgeKind.TILES
    made = jobs.statement(jobs.plain_enquiry(roof=replace(builders.canted_bay(), edges=edges)))
    keys = [step.key for step in made.steps]
    assert keys.index("tiles") < keys.index("topcoat")
    assert "silica" not in hazards(made)


def test_it_does_without_a_take_off_of_resin() -> None:
    measured = jobs.take_off(jobs.plain_enquiry())
    dry = jobs.without_needs(
        measured.options[0], "resin", "topcoat", "catalyst", "acetone", "adhesive"
    )
    bare = TakeOff(measured.enquiry, measured.outline, (replace(dry, mixes=()),))
    made = make_statement(bare, jobs.SETTINGS, builders.TODAY)
    assert not {"catalyst-eye", "resin-vapour", "hot-bucket"} & hazards(made)
    assert {one.key for one in made.substances} == {"wall-dust", "wood-dust", "lead"}


@pytest.mark.parametrize(
    ("words", "fact"),
    [
        ("council's licence", "pavement_below"),
        ("Mitre the corners", "odd_corners"),
        ("Children are kept", "children"),
        ("roof beside", "roof_beside"),
        ("off the wall", "wall_edge"),
        ("smell of tar", "coal_tar"),
        ("two people is never", "two_person_lift"),
        ("Gutters come down", "gutters"),
    ],
)
def test_it_speaks_only_of_what_is_there(words: str, fact: str) -> None:
    assert words in jobs.all_text(jobs.made_for([fact]))
    assert words not in jobs.all_text(jobs.made_for([], [fact]))


def test_an_eye_is_named_first_of_all_where_catalyst_is_mixed() -> None:
    # Among equal ratings the house judgement of how often it happens decides, not the table.
    for key in jobs.BRINGS:
        assert "loss of an eye from a splash of catalyst" in jobs.made_for([key]).injuries, key


def test_a_let_house_with_a_family_has_both_the_notice_and_the_children() -> None:
    # Landlord and Tenant Act 1985, section 11(6): 24 hours' notice in writing to the occupier.
    family = jobs.plain_enquiry(occupier=Occupier.TENANT, household=(Household.CHILDREN,))
    text = jobs.all_text(jobs.statement(family))
    assert "24 hours' notice" in text
    assert "Children are kept indoors" in text


def test_the_law_says_on_which_day_it_was_known() -> None:
    made = jobs.made_for(["before_2000", "nesting_birds", "heated_below"])
    assert [note.title for note in made.law] == [
        "Birds and bats", "Asbestos", "Building control", "Neighbour's wall",
    ]  # fmt: skip
    assert all(note.checked for note in made.law)


def test_what_is_mixed_is_the_resin_laid_and_not_the_resin_ordered() -> None:
    """The all-in guide orders more than is mixed; at 1.1 kg to a litre (house default)."""
    garage = builders.roof(sizes={Size.WIDTH: 2600, Size.PROJECTION: 5200})
    made = jobs.statement(jobs.plain_enquiry(roof=garage))
    plan = made.option.resin
    assert plan.mixed_l.number < plan.ordered_l.number - 1
    step = next(step for step in made.steps if step.key == "laminate")
    said = re.match(r"([\d.]+) kg of resin to lay, in \d+ mix", step.lines[0])
    assert said is not None
    mixed_kg = plan.mixed_l.number * 1.1
    assert mixed_kg - 1e-9 <= float(said[1]) < mixed_kg + 0.1
