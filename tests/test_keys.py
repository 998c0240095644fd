"""Keys that are both in Python and in a table always agree."""

from collections.abc import Mapping
from enum import StrEnum

import pytest

from quotegen.model.choices import (
    BowTrims,
    DeckBoards,
    LeadScrap,
    Mixer,
    PartPacks,
    ResinBy,
    StockCost,
    TrimTool,
    Vessel,
    Waste,
)
from quotegen.model.takeoff import Labour, Phase, Stage
from quotegen.pricing.tax import CisStatus
from quotegen.reference import house_rules
from quotegen.reference.loader import subject
from quotegen.reference.remark_keys import Task
from quotegen.tables import ReferenceFileError, key_of, made, member
from quotegen.takeoff.access.ladder_limits import judge_ladder
from quotegen.takeoff.basis.job import make_job
from quotegen.takeoff.measure import draw
from tests import builders

CHOICES: Mapping[str, type[StrEnum]] = {
    "bow_trims": BowTrims,
    "cis_status": CisStatus,
    "deck_boards": DeckBoards,
    "lead_scrap": LeadScrap,
    "mixer": Mixer,
    "part_packs": PartPacks,
    "resin_by": ResinBy,
    "trim_cut_with": TrimTool,
    "van_stock_cost": StockCost,
    "vessel": Vessel,
}


def test_a_setting_with_choices_offers_those_the_program_knows() -> None:
    offered = {
        code: kind.choices for code, kind in house_rules.settings().items() if kind.kind == "choice"
    }
    assert offered == {code: tuple(map(str, choices)) for code, choices in CHOICES.items()}


def test_an_item_of_a_family_nobody_knows_is_refused() -> None:
    item = {
        "code": "x",
        "words": "X",
        "kind": "resin",
        "unit": "each",
        "family": "resins",
        "keeps": True,
    }
    with pytest.raises(ReferenceFileError, match=r"x: Invalid .*'resins' - at `\$\.family`"):
        made(item, house_rules.Item, "x")
    assert made(item | {"family": ""}, house_rules.Item, "x").family is None
    del item["family"]
    with pytest.raises(ReferenceFileError, match="x: Object missing required field `family`"):
        made(item, house_rules.Item, "x")
    families = {item.family for item in house_rules.items().values()}
    assert families == {None, *house_rules.Family}


def test_every_waste_that_comes_off_has_its_code() -> None:
    assert set(Waste) <= set(subject("waste_codes"))


def test_a_member_is_found_by_its_key_alone() -> None:
    assert all(member(Phase, key_of(phase), "here") is phase for phase in Phase)
    with pytest.raises(ReferenceFileError, match="here: there is no key SET_UP"):
        member(Phase, "SET_UP", "here")


def test_hours_at_the_tip_are_no_hours_on_the_ladder_whatever_they_are_called() -> None:
    hours = {Task.TIP_RUNS: 9.0, Task.STRIP_DECK: 1.0}
    lines = [
        Labour(key, "the same words", Stage.STRIP, builders.given("hours", h, "h"))
        for key, h in hours.items()
    ]
    enquiry = builders.ladder_enquiry()
    outline, _ = draw(enquiry, builders.settings())
    assert outline is not None
    job = make_job(enquiry, outline, builders.settings(), enquiry.build_ups[0])
    # 1 person-hour for a crew of two: 30 minutes by the clock.
    assert judge_ladder(job, lines).longest_min.number == 30.0
