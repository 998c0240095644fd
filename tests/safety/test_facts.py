"""Facts as read off the enquiry and the take-off."""

from dataclasses import replace
from typing import Any

import pytest

from quotegen.model.enquiry import (
    Access,
    Below,
    BuildUp,
    Covering,
    Deck,
    DeckCondition,
    EdgeKind,
    Existing,
    Occupier,
    Opening,
    OpeningKind,
    Side,
    WallJoint,
)
from quotegen.model.safety import Known
from quotegen.problems import Place
from quotegen.reference import rules
from quotegen.reference.rules import Condition
from quotegen.safety.facts import holds
from tests import builders
from tests.safety import jobs

YES, NO, UNKNOWN = Known.YES, Known.NO, Known.UNKNOWN
SOUND = DeckCondition.SOUND
MAT = builders.given("layers of mat", 2.0, "layers")


def existing(covering: Covering | None, deck: Deck | None, how: DeckCondition | None) -> Existing:
    return Existing(covering, builders.given("layers", 1.0, "layers"), deck, how)


def site(**changes: bool | None) -> dict[str, Any]:
    return {"site": replace(jobs.NOTHING_NEAR, **changes)}


def number(value: float) -> Any:
    return builders.given("given", value, "")


def low_bay() -> dict[str, Any]:
    """A bay low and shallow enough to be worked on from the ground."""
    return {"roof": builders.canted_bay(height_mm=number(1800.0))}


INSULATED = {"insulation_mm": builders.given("insulation", 100.0, "mm")}
OLD = {"year_built": number(1974.0)}


def roof(**changes: Any) -> dict[str, Any]:
    return {"roof": builders.roof(**changes)}


@pytest.mark.parametrize(
    ("key", "changes", "known"),
    [
        ("work_at_height", {}, YES),
        ("work_at_height", {"access": Access.GROUND} | low_bay(), NO),
        ("fall_over_2m", {}, YES),
        ("fall_over_2m", roof(height_mm=number(1999.0)), NO),
        ("fall_over_2m", roof(height_mm=number(2000.0)), YES),
        ("fall_over_2m", roof(height_mm=None), UNKNOWN),
        ("ladder_worked_from", {"access": Access.LADDER, "ladder_reason": "alley 600 wide"}, YES),
        ("ladder_worked_from", {"access": Access.LADDER}, NO),
        ("platform", {"access": Access.SCAFFOLD}, YES),
        ("tower", {"access": Access.TOWER, "roof": builders.canted_bay()}, YES),
        ("scaffold", {"access": Access.TOWER, "roof": builders.canted_bay()}, NO),
        ("fragile_deck", {}, NO),
        ("fragile_deck", {"existing": existing(Covering.FELT, Deck.WOODWOOL, SOUND)}, YES),
        ("fragile_deck", {"existing": existing(Covering.FELT, None, SOUND)}, UNKNOWN),
        ("fragile_deck", {"existing": existing(Covering.FELT, Deck.SHEET, None)}, UNKNOWN),
        (
            "fragile_deck",
            {"existing": existing(Covering.FELT, Deck.SHEET, DeckCondition.ROTTEN)},
            YES,
        ),
        ("rooflights", {}, NO),
        ("open_joists", {}, YES),
        ("open_joists", {"build_ups": (BuildUp.CAP_OVER,)}, NO),
        ("open_joists", {"existing": existing(Covering.NONE, None, None)}, YES),
        ("deck_stays", {"existing": existing(Covering.NONE, None, None)}, NO),
        ("deck_stays", {"build_ups": (BuildUp.CAP_OVER,)}, YES),
        ("deck_stays", {"build_ups": (BuildUp.NEW_DECK_INSULATED,)} | INSULATED, YES),
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
        ("tenant", {"occupier": Occupier.TENANT}, YES),
        # A tenancy says nothing of the household.
        ("children", {"occupier": Occupier.TENANT}, UNKNOWN),
        ("vulnerable", {"occupier": Occupier.TENANT}, UNKNOWN),
        ("children", {"occupier": Occupier.CHILDREN}, YES),
        ("children", {"occupier": Occupier.OWNER}, NO),
        ("overhead_cables", site(overhead_cables=None), UNKNOWN),
        ("overhead_cables", site(overhead_cables=True), YES),
        ("lone_work", site(lone_work=False), NO),
        ("lead", {}, NO),
        ("lead", {"existing": existing(Covering.LEAD, Deck.BOARDING, SOUND)}, YES),
        ("lead", {"existing": existing(None, Deck.SHEET, SOUND)}, UNKNOWN),
        ("lead", {"wall_joint": WallJoint.KEEP_LEAD}, YES),
        ("lead", {"wall_joint": None}, UNKNOWN),
        ("before_2000", {"year_built": number(1999.0)}, YES),
        ("before_2000", {"year_built": number(2000.0)}, NO),
        ("before_2000", {"year_built": None}, UNKNOWN),
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
        ("cold_day", {"deck_c": number(9.0)}, YES),
        ("cold_day", {"deck_c": None}, UNKNOWN),
        # 2440 x 1220 x 18 mm at 650 kg/m3 is 34.8 kg: over the guide figures of INDG143.
        ("heavy_sheet", {}, YES),
        ("gutters", {"gutter_mm": number(3000.0)}, YES),
        ("gutters", {}, NO),
        ("two_layers", {"mat_layers": MAT}, YES),
    ],
)
def test_a_fact_is_read_off_the_job(key: str, changes: dict[str, Any], known: Known) -> None:
    assert jobs.facts(jobs.plain_enquiry(**changes))[key].known is known


def test_rooflights_and_tiles_are_seen() -> None:
    hole = Opening(
        Place("jobs.xlsx", "Openings", "A2"),
        OpeningKind.ROOFLIGHT,
        count=builders.given("count", 1.0, ""),
        length_mm=builders.given("length", 600.0, "mm"),
        width_mm=builders.given("width", 600.0, "mm"),
        kerb_mm=builders.given("kerb", 150.0, "mm"),
    )
    edges = dict.fromkeys((Side.RIGHT, Side.FRONT, Side.LEFT), EdgeKind.RAISED)
    edges[Side.BACK] = EdgeKind.TILES
    found = jobs.facts(jobs.plain_enquiry(roof=builders.roof(edges=edges), openings=(hole,)))
    assert found["rooflights"].known is YES
    assert found["tiles"].known is YES
    # No wall edge: nothing to chase, whatever the joint.
    assert found["wall_chase"].known is NO


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
    used: set[str] = set()
    for hazard in rules.hazards():
        used |= set(hazard.when.facts)
        for control in hazard.controls:
            used |= set(control.line.when.facts)
        for worse in hazard.worse:
            used |= set(worse.when.facts)
    for step in rules.steps():
        used |= set(step.when.facts)
        used |= {fact for line in (*step.lines, *step.hold) for fact in line.when.facts}
    for one in rules.substances():
        used |= set(one.when.facts)
    for worn in rules.protection():
        used |= set(worn.when.facts)
    for table in ("emergency", "people", "waste", "cautions"):
        used |= {fact for note in rules.notes(table) for fact in note.line.when.facts}
    assert used == set(rules.facts())
