"""Filters and gloves against their standards."""

import pytest
from msgspec import structs

from quotegen.reference import house_rules, rules
from quotegen.reference.loader import PublishedValue, entry
from quotegen.reference.rule_keys import TaskKey
from quotegen.reference.rule_records import GloveRule
from quotegen.safety.rules import protection
from quotegen.safety.rules.protection import (
    filter_type,
    glove_letter,
    glove_line,
    glove_materials,
    least_permeation_level,
    mask_ceiling_ppm,
)
from quotegen.tables import ReferenceFileError
from tests.safety import jobs


@pytest.mark.parametrize(
    ("boils_c", "kind"),
    # BS EN 14387: type A for organic vapours boiling above 65 degC, AX for those up to it.
    # Styrene boils at 145 degC (ICSC 0073), acetone at 56 degC (ICSC 0087).
    [(145, "A"), (66, "A"), (65, "AX"), (56, "AX")],
)
def test_filter_type_by_boiling_point(boils_c: float, kind: str) -> None:
    assert filter_type(boils_c, entry("protection.type_a_above_c").value) == kind


@pytest.mark.parametrize(
    ("spell_min", "level"),
    # BS EN ISO 374-1:2016: level 1 over 10 min, 2 over 30, 3 over 60, 4 over 120, 5 over 240,
    # 6 over 480.
    [(10, 1), (11, 2), (30, 2), (45, 3), (60, 3), (61, 4), (120, 4), (240, 5), (480, 6)],
)
def test_least_glove_level_for_a_spell(spell_min: float, level: int) -> None:
    levels_min = entry("protection.permeation_minutes").value
    assert least_permeation_level(spell_min, levels_min) == level


def test_masks_for_styrene_and_acetone_are_told_apart() -> None:
    worn = {one.key: one for one in jobs.statement(jobs.plain_enquiry()).protection}
    assert "A2 filters" in worn["laminating"].breathing
    cleaning = worn["cleaning"].breathing
    assert cleaning.startswith("Open air only: A2 does not hold acetone")
    assert "no AX." in cleaning  # none is on any list, so none may be asked for
    assert not [item for item in house_rules.items().values() if "AX" in item.words + item.asks]


def test_catalyst_is_only_mixed_behind_splash_goggles() -> None:
    # BS EN 166 mark 3 (liquid splash) or BS EN ISO 16321.
    worn = {one.key: one for one in jobs.statement(jobs.plain_enquiry()).protection}
    assert "Splash goggles" in worn[TaskKey.MIXING].eyes
    marks = jobs.said(jobs.statement(jobs.plain_enquiry()).marks)
    assert "mark 3" in marks["splash-goggles"]
    assert "BS EN ISO 16321" in marks["splash-goggles"]


def test_the_letters_of_the_glove_standard() -> None:
    # BS EN ISO 374-1:2016 with A1:2018, table 2, as two guides to it reprint it: 18, no Q, no R.
    letters = entry("gloves.letters").value
    assert "".join(letters) == "ABCDEFGHIJKLMNOPST"
    assert (letters["A"], letters["B"], letters["F"]) == ("methanol", "acetone", "toluene")
    assert (letters["L"], letters["P"]) == ("sulphuric acid 96 %", "hydrogen peroxide 30 %")
    assert set(entry("gloves.nearest").value.values()) <= set(letters.values())


def test_the_breakthrough_times_of_the_levels() -> None:
    # BS EN ISO 374-1:2016: over 10, 30, 60, 120, 240 and 480 minutes for levels 1 to 6.
    assert entry("protection.permeation_minutes").value == [10, 30, 60, 120, 240, 480]


def test_every_level_against_a_substance_is_one_of_the_standard() -> None:
    materials = set(entry("gloves.materials").value)
    for substance in ("styrene", "acetone", "catalyst", "isocyanate"):
        table = entry(f"gloves.{substance}").value
        assert set(table) == materials
        assert set(table.values()) <= set(range(7))


@pytest.mark.parametrize(
    ("against", "holds", "fails"),
    [
        # A public table of levels by material, read second-hand: acetone goes through nitrile and
        # fluoro-rubber at once (0), butyl holds it (4 to 6); benzene, as styrene an aromatic, goes
        # through nitrile and butyl (0 to 1), fluoro-rubber holds it (6).
        ("acetone", "butyl", ("nitrile", "fluoro")),
        ("styrene", "fluoro", ("nitrile", "butyl")),
    ],
)
def test_materials_follow_what_is_handled(against: str, holds: str, fails: tuple[str, ...]) -> None:
    found = glove_materials([against], 2)
    assert holds in found
    assert not set(fails) & set(found)


def test_the_gloves_named_for_each_task_hold_what_is_handled_for_the_spell() -> None:
    names = {words: key for key, words in entry("gloves.materials").value.items()}
    minutes = entry("protection.permeation_minutes").value
    worn = {one.key: one.gloves for one in jobs.statement(jobs.plain_enquiry()).protection}
    handled = [rule for rule in rules.protection() if rule.gloves]
    assert {rule.key for rule in handled} <= set(worn)
    for rule in handled:
        assert rule.gloves
        named, _, said = worn[rule.key].partition(", level ")
        level = int(said[0])
        assert minutes[level - 1] >= rule.gloves.spell_min
        for words in named.lower().split(" or "):
            for substance in rule.gloves.against:
                assert entry(f"gloves.{substance}").value[names[words]] >= level


def test_the_gloves_on_the_order_are_among_those_named_for_each_task() -> None:
    """One pair in hand is right by the order and by the sheet, for trim adhesive too."""
    made = jobs.statement(jobs.plain_enquiry())
    ordered = made.asked["gloves"].split(", ")[0].lower()
    named = {one.key: one.gloves.lower() for one in made.protection if one.gloves}
    assert {"mixing", "laminating", "cleaning", "adhesive"} <= set(named)
    assert [key for key, words in named.items() if ordered not in words] == []


def test_letters_to_look_for_are_named_where_there_are_any() -> None:
    assert (glove_letter("acetone"), glove_letter("styrene")) == ("B (acetone)", "F (toluene)")
    assert glove_letter("isocyanate") == ""
    assert "marked" not in glove_line(GloveRule(("isocyanate",), 60))


def test_a_task_no_glove_is_made_for_is_our_own_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    real = entry

    def without_film(dotted: str) -> PublishedValue:
        found = real(dotted)
        if dotted != "gloves.materials":
            return found
        materials = {key: words for key, words in found.value.items() if key != "laminate"}
        return structs.replace(found, value=materials)

    monkeypatch.setattr(protection, "entry", without_film)
    with pytest.raises(ReferenceFileError, match="no glove reaches level 2"):
        glove_line(GloveRule(("acetone", "styrene"), 30))


def test_how_much_a_half_mask_is_good_for() -> None:
    # HSG53: a half mask with gas filters has an assigned protection factor of 10, as makers of
    # masks print it; BS EN 14387: filters of class 1, 2 and 3 hold to 1,000, 5,000 and 10,000 ppm.
    # Ten times the 100 ppm of styrene (EH40/2005) is what a filter of class 1 holds and less than
    # one of class 2.
    factor = entry("protection.half_mask_factor").value
    filters_ppm = entry("protection.gas_filter_ppm").value
    assert factor == 10
    assert filters_ppm == [1000, 5000, 10000]
    assert [mask_ceiling_ppm(100, factor, most) for most in filters_ppm] == [1000] * 3
    assert mask_ceiling_ppm(500, factor, filters_ppm[0]) == 1000
    marks = jobs.said(jobs.statement(jobs.plain_enquiry()).marks)
    assert "good to 1,000 ppm of styrene" in marks["half-mask"]
