"""A roof drawn as large as a box allows, for tests of drawings."""

from collections.abc import Sequence

from quotegen.documents.drawing.plan_layout import (
    PlanLayout,
    bare_plan,
    filled_plan,
    scale_within,
)
from quotegen.model.choices import Side
from quotegen.model.roof import Outline
from quotegen.takeoff.shape.openings import PlacedOpening


def lay_out_plan(
    outline: Outline,
    falls_to: Side,
    width_mm: float,
    height_mm: float,
    openings: Sequence[PlacedOpening] = (),
) -> PlanLayout:
    scale = scale_within(lambda at: bare_plan(outline, at).size, width_mm, height_mm)
    return filled_plan(bare_plan(outline, scale), outline, falls_to, openings)
