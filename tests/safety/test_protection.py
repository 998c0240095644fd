"""Filters and gloves against their standards."""

import pytest

from quotegen.reference.loader import entry
from quotegen.safety.protection import filter_type, least_permeation_level
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
    worn = {one.task: one for one in jobs.statement(jobs.plain_enquiry()).protection}
    assert "A2 filters" in worn["Laminating and topcoat"].breathing
    cleaning = worn["Cleaning with acetone"].breathing
    assert "A2 filters do not hold acetone" in cleaning
    assert "AX filters" in cleaning


def test_catalyst_is_only_mixed_behind_splash_goggles() -> None:
    # BS EN 166 mark 3 (liquid splash) or BS EN ISO 16321.
    worn = {one.task: one for one in jobs.statement(jobs.plain_enquiry()).protection}
    assert "Splash goggles" in worn["Measuring and mixing catalyst"].eyes
    marks = dict(jobs.statement(jobs.plain_enquiry()).marks)
    assert "mark 3" in marks["Splash goggles"]
    assert "BS EN ISO 16321" in marks["Splash goggles"]
