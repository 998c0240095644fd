"""Facts as read from the enquiry and the take-off."""

from typing import Any

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
    Nation,
    Occupier,
    OpeningKind,
    Side,
    WallJoint,
)
from quotegen.model.enquiry import Existing
from quotegen.model.safety import Known
from quotegen.model.weather import Sky
from quotegen.reference import rules
from quotegen.reference.rule_records import Condition
from quotegen.safety.facts.facts import facts_of, holds
from quotegen.tables import ReferenceFileError
from tests import builders
from tests.safety import conditions, jobs
from tests.safety.forecasts import MONDAY, forecast

YES, NO, UNKNOWN = Known.YES, Known.NO, Known.UNKNOWN
SOUND = DeckCondition.SOUND
number = jobs.number
MAT = builders.given("layers of mat", 2.0, "layers")


def existing(covering: Covering | None, deck: Deck | None, how: DeckCondition | None) -> Existing:
    return Existing(covering, builders.given("layers", 1.0, "layers"), deck, how)


def site(**changes: bool | None) -> dict[str, Any]:
    return {"site": replace(jobs.NOTHING_NEAR, **changes)}


def low_bay() -> dict[str, Any]:
    """A bay low and shallow enough to be worked on from the ground."""
    return {"roof": builders.canted_bay(height_mm=number(1800.0))}


CAP: dict[str, Any] = {"build_ups": (BuildUp.CAP_OVER,)}
INSULATED: dict[str, Any] = {
    "build_ups": (BuildUp.NEW_DECK_INSULATED,),
    "insulation_mm": builders.given("insulation", 100.0, "mm"),
}
CAP_INSULATED = INSULATED | {"build_ups": (BuildUp.CAP_OVER_INSULATED,)}
OLD = {"year_built": number(1974.0)}
LET = {"occupier": Occupier.TENANT}


def opened(*kinds: OpeningKind) -> dict[str, Any]:
    return {"openings": tuple(jobs.opening(kind) for kind in kinds)}


def edged(kind: EdgeKind, side: Side = Side.BACK) -> dict[str, Any]:
    edges = {**builders.roof().edges, side: kind}
    return {"roof": builders.roof(edges=edges)}


def roof(**changes: Any) -> dict[str, Any]:
    return {"roof": builders.roof(**changes)}


@pytest.mark.parametrize(
    ("key", "changes", "known"),
    [
        ("work_at_height", {}, YES),
        ("work_at_height", {"access": Access.GROUND} | low_bay(), NO),
        ("fall_over_2m", {}, YES),
        ("fall_over_2m", roof(height_mm=number(1999.0, "mm")), NO),
        ("fall_over_2m", roof(height_mm=number(2000.0, "mm")), YES),
        ("fall_over_2m", roof(height_mm=None), UNKNOWN),
        ("ladder_worked_from", {"access": Access.LADDER}, NO),
        ("platform", {"access": Access.SCAFFOLD}, YES),
        ("tower", {"access": Access.TOWER, "roof": builders.canted_bay()}, YES),
        ("scaffold", {"access": Access.TOWER, "roof": builders.canted_bay()}, NO),
        ("off_the_roof", {"access": Access.TOWER, "roof": builders.canted_bay()}, YES),
        ("off_the_roof", {"access": Access.SCAFFOLD, "roof": builders.canted_bay()}, NO),
        ("roof_stood_on", {"access": Access.TOWER, "roof": builders.canted_bay()}, NO),
        ("roof_stood_on", {"access": Access.SCAFFOLD, "roof": builders.canted_bay()}, YES),
        ("tower_moved", {"access": Access.TOWER, "roof": builders.canted_bay()}, NO),
        ("fragile_deck", {}, NO),
        ("fragile_deck", {"existing": existing(Covering.FELT, Deck.WOODWOOL, SOUND)}, YES),
        ("fragile_deck", {"existing": existing(Covering.FELT, None, SOUND)}, UNKNOWN),
        ("fragile_deck", {"existing": existing(Covering.FELT, Deck.SHEET, None)}, UNKNOWN),
        (
            "fragile_deck",
            {"existing": existing(Covering.FELT, Deck.SHEET, DeckCondition.ROTTEN)},
            YES,
        ),
        # The row was filled in after a visit: listed openings or a plain no say it, blank does not.
        ("rooflights", {}, NO),
        ("rooflights", site(through_roof=None), UNKNOWN),
        ("rooflights", opened(OpeningKind.ROOFLIGHT), YES),
        ("rooflights", opened(OpeningKind.PIPE) | site(through_roof=None), NO),
        ("openings", {}, NO),
        ("openings", site(through_roof=None), UNKNOWN),
        ("openings", site(through_roof=True), YES),
        ("openings", opened(OpeningKind.PIPE) | site(through_roof=None), YES),
        ("open_joists", {}, YES),
        ("open_joists", CAP, NO),
        ("open_joists", {"existing": existing(Covering.NONE, None, None)}, YES),
        ("open_joists", CAP | {"existing": existing(None, None, SOUND)}, UNKNOWN),
        ("deck_stays", {"existing": existing(Covering.NONE, None, None)}, NO),
        ("deck_stays", CAP | {"existing": existing(Covering.NONE, None, SOUND)}, UNKNOWN),
        ("deck_stays", CAP, YES),
        ("deck_stays", CAP_INSULATED, YES),
        ("deck_stays", INSULATED, NO),
        ("deck_stays", INSULATED | {"existing": existing(Covering.FELT, Deck.SHEET, None)}, NO),
        ("open_joists", CAP_INSULATED, NO),
        ("open_joists", INSULATED, YES),
        ("deck_stays", {}, NO),
        ("people_below", {}, NO),
        ("people_below", {"below": ()}, UNKNOWN),
        ("people_below", {"below": (Below.PAVEMENT,)}, YES),
        ("people_below", {"occupier": Occupier.OWNER}, YES),
        ("people_below", {"occupier": None}, UNKNOWN),
        ("pavement_below", {"below": (Below.ROAD,)}, YES),
        ("pavement_below", {"below": (Below.GARDEN, Below.DOORWAY)}, NO),
        ("pavement_below", {"below": ()}, UNKNOWN),
        ("occupied", {}, NO),
        # Who lives there and who is in the household are two things: a let house with a family
        # has both the notice to the tenant and the children.
        ("tenant", LET | {"household": (Household.CHILDREN,)}, YES),
        ("children", LET | {"household": (Household.CHILDREN,)}, YES),
        ("vulnerable", LET | {"household": (Household.CHILDREN,)}, NO),
        ("children", LET | {"household": ()}, UNKNOWN),
        ("vulnerable", LET | {"household": ()}, UNKNOWN),
        ("children", {"occupier": None, "household": ()}, UNKNOWN),
        ("children", {"occupier": Occupier.OWNER, "household": (Household.NONE,)}, NO),
        ("vulnerable", {"occupier": Occupier.OWNER, "household": (Household.VULNERABLE,)}, YES),
        ("children", {"occupier": Occupier.EMPTY, "household": ()}, NO),
        ("roof_beside", {"below": (Below.ROOF_BESIDE,)}, YES),
        ("roof_beside", {"below": ()}, UNKNOWN),
        ("overhead_cables", site(overhead_cables=None), UNKNOWN),
        ("overhead_cables", site(overhead_cables=True), YES),
        ("lone_work", site(lone_work=False), NO),
        ("lead", {}, UNKNOWN),  # what the old flashing is of is not asked
        ("lead", {"existing": existing(Covering.NONE, Deck.SHEET, SOUND)}, NO),
        ("lead", {"existing": existing(Covering.LEAD, Deck.BOARDING, SOUND)}, YES),
        ("lead", {"existing": existing(None, Deck.SHEET, SOUND)}, UNKNOWN),
        ("lead", {"wall_joint": WallJoint.KEEP_LEAD}, YES),
        ("lead", {"wall_joint": None}, UNKNOWN),
        ("before_2000", {"year_built": number(1999.0)}, YES),
        ("before_2000", {"year_built": number(2000.0)}, NO),
        ("before_2000", {"year_built": None}, UNKNOWN),
        # RPS 250 of the Environment Agency: roof timber of buildings before 2007.
        ("before_2007", {"year_built": number(2006.0)}, YES),
        ("before_2007", {"year_built": number(2007.0)}, NO),
        ("before_2007", {"year_built": None}, UNKNOWN),
        ("no_asbestos_survey", OLD | site(asbestos_surveyed=False), YES),
        ("no_asbestos_survey", OLD | site(asbestos_surveyed=None), UNKNOWN),
        ("no_asbestos_survey", {"year_built": None} | site(asbestos_surveyed=None), UNKNOWN),
        ("no_asbestos_survey", site(asbestos_surveyed=None), NO),
        ("no_asbestos_survey", site(asbestos_surveyed=True), NO),
        ("wall_chase", {}, YES),
        ("wall_chase", {"wall_joint": WallJoint.KEEP_LEAD}, NO),
        ("strip", {"existing": existing(None, Deck.SHEET, SOUND)}, YES),
        (
            "strip",
            {
                "existing": existing(None, Deck.SHEET, SOUND),
                "build_ups": (BuildUp.CAP_OVER,),
            },
            UNKNOWN,
        ),
        ("hot_day", {"deck_c": number(25.0)}, YES),
        ("hot_day", {"deck_c": number(24.0)}, NO),
        ("hot_day", {"deck_c": None}, UNKNOWN),
        # A board of 2440 x 1220 x 18 mm at 650 kg/m3 is 34.8 kg, over what two people lift by L23:
        # two thirds of twice 16 kg, 21.3 kg. A tin of 20 kg is over the 16 kg of INDG143 for one.
        ("aid_lift", {}, YES),
        ("aid_lift", CAP, NO),
        ("two_person_lift", {}, YES),
        ("gutters", {"gutter_mm": number(3000.0)}, YES),
        ("gutters", {}, NO),
        ("gutters", {"gutter_mm": None}, UNKNOWN),
        ("gutters", {"gutter_mm": None} | edged(EdgeKind.FREE_DRIP, Side.FRONT), NO),
        ("tiles", edged(EdgeKind.TILES), YES),
        ("tiles", {"tiles_mm": number(2000.0)}, YES),
        ("tiles", {}, NO),
        ("wall_edge", {}, YES),
        # No wall edge: nothing to chase, whatever the joint.
        ("wall_edge", edged(EdgeKind.RAISED), NO),
        ("wall_chase", edged(EdgeKind.RAISED), NO),
        ("odd_corners", {}, NO),
        ("odd_corners", {"roof": builders.canted_bay()}, YES),
        # Felt may hold coal tar until a sample is tested, and is then hazardous waste 17 03 01*.
        ("coal_tar", {}, NO),
        ("coal_tar", OLD, UNKNOWN),
        ("coal_tar", {"year_built": None}, UNKNOWN),
        ("coal_tar", OLD | {"existing": existing(Covering.LEAD, Deck.SHEET, SOUND)}, NO),
        ("coal_tar", OLD | {"existing": existing(None, Deck.SHEET, SOUND)}, UNKNOWN),
        ("hazardous_waste", {}, NO),
        ("hazardous_waste", OLD, UNKNOWN),
        ("hazardous_waste", {"existing": existing(None, Deck.SHEET, SOUND)}, UNKNOWN),
        ("heated_below", site(heated_below=None), UNKNOWN),
        ("in_england", {}, YES),
        ("in_england", {"nation": None}, YES),
        ("in_england", {"nation": Nation.WALES}, NO),
        ("outside_england", {}, NO),
        ("outside_england", {"nation": None}, YES),
        ("outside_england", {"nation": Nation.SCOTLAND}, YES),
        ("party_wall_act", {"nation": None}, YES),
        ("party_wall_act", {"nation": Nation.WALES}, YES),
        ("party_wall_act", {"nation": Nation.SCOTLAND}, NO),
        ("party_wall_act", {"nation": Nation.NORTHERN_IRELAND}, NO),
        ("power_tools", {}, YES),
        ("two_layers", {"mat_layers": MAT}, YES),
    ],
)
def test_a_fact_is_read_off_the_job(key: str, changes: dict[str, Any], known: Known) -> None:
    assert jobs.facts(jobs.plain_enquiry(**changes))[key].known is known


def test_a_ladder_is_worked_from_only_where_it_is_the_way_chosen() -> None:
    asked = jobs.plain_enquiry(access=Access.LADDER)
    assert jobs.facts(asked)["ladder_worked_from"].known is NO
    assert jobs.made_for(["ladder_worked_from"]).facts["ladder_worked_from"].known is YES


@pytest.mark.parametrize(
    ("setting", "key"), [("supervisor", "nobody_in_charge"), ("first_aider", "no_first_aider")]
)
def test_a_duty_nobody_is_named_for_is_not_known(setting: str, key: str) -> None:
    named, unnamed = jobs.SETTINGS, builders.settings(**{**jobs.NAMED, setting: None})
    assert jobs.facts(jobs.plain_enquiry(), named)[key].known is NO
    assert jobs.facts(jobs.plain_enquiry(), unnamed)[key].known is UNKNOWN


def test_every_fact_says_what_it_was_taken_from() -> None:
    assert all(fact.seen and fact.words for fact in jobs.facts(jobs.plain_enquiry()).values())


def test_blank_counts_as_present() -> None:
    found = jobs.made_up_facts({"lead": UNKNOWN})
    assert holds(Condition(any_of=("lead",)), found)
    assert holds(Condition(all_of=("lead",)), found)
    assert not holds(Condition(all_of=("lead", "resin")), found)
    assert not holds(Condition(any_of=("resin", "acetone")), found)
    assert holds(Condition(), found)


def test_every_fact_is_used_by_some_rule() -> None:
    used = {fact for rule in conditions.every_rule() for when in rule.whens for fact in when.facts}
    assert used | set(rules.matrix().never_low.facts) == set(rules.facts())


@pytest.mark.parametrize(("warmer_c", "hot"), [(0.0, NO), (12.0, YES)])
def test_a_forecast_says_whether_the_deck_may_be_hot(warmer_c: float, hot: Known) -> None:
    """Air of 11 degC at noon: in the sun 10 more is 21; with 12 more it is 33 (Rates sheet)."""
    noon = (9, 11.0 + warmer_c, 55.0, Sky.DRY)
    days = forecast(*[[(0, 8.0, 70.0, Sky.DRY), noon, (17, 9.0, 70.0, Sky.DRY)]] * 5)
    firm = replace(jobs.SETTINGS, forecast=days)
    unsaid = jobs.plain_enquiry(deck_c=None, start_on=MONDAY)
    assert jobs.facts(unsaid, firm)["hot_day"].known is hot
    assert jobs.facts(unsaid)["hot_day"].known is UNKNOWN


def test_hazardous_waste_is_known_once_something_hazardous_comes_off() -> None:
    """No covering by itself is: the assay of an old felt is what would make it so."""
    job = jobs.job(jobs.plain_enquiry())
    assert facts_of(job)["hazardous_waste"].known is NO
    strip = tuple(replace(line, hazardous=True) for line in job.option.strip[:1])
    found = replace(job, option=replace(job.option, strip=strip))
    assert facts_of(found)["hazardous_waste"].known is YES


def test_a_fact_that_nobody_reads_is_our_own_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    declared = dict(rules.facts())
    declared["moonlight"] = next(iter(declared.values()))
    monkeypatch.setattr(rules, "facts", lambda: declared)
    with pytest.raises(ReferenceFileError, match=r"facts.toml: .*\['moonlight'\]"):
        facts_of(jobs.job(jobs.plain_enquiry()))
