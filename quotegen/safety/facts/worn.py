"""Gear used up by people and days: how much each day of the plan uses, against what is allowed."""

from collections.abc import Mapping, Sequence

from quotegen import wording
from quotegen.model.days import WorkDay, WorkPlan
from quotegen.model.enquiry import Enquiry
from quotegen.model.settings import Settings
from quotegen.model.takeoff import Need, OptionTakeOff, Phase
from quotegen.problems import Problem, problem
from quotegen.reference.item_kinds import ItemKind

WORN: Mapping[ItemKind, tuple[Phase, ...]] = {
    ItemKind.GLOVES: (Phase.OPEN, Phase.LAY, Phase.COAT),
    ItemKind.OVER_GLOVES: (Phase.LAY, Phase.COAT),
    ItemKind.FILTERS: (Phase.LAY, Phase.COAT),
}
"""What is worn by everybody on the days of these parts of the work, and then thrown away.

The setting `<item>_per_person_day` says how many; filters are new for each layer of mat as well.
"""


def needed_on(day: WorkDay, phases: Sequence[Phase]) -> bool:
    """Whether something is needed on a day: on every day without phases, else on theirs."""
    return not phases or any(spell.phase in phases for spell in day.spells)


def first_needed(days: Sequence[WorkDay | None], phases: Sequence[Phase]) -> int:
    """The place of the first day something is needed; that of the very first if there is none."""
    return next((n for n, day in enumerate(days) if day and needed_on(day, phases)), 0)


def worn_by_day(
    need: Need,
    enquiry: Enquiry,
    option: OptionTakeOff,
    worked: Sequence[WorkDay],
    settings: Settings,
) -> tuple[float, ...]:
    """How many each day uses of gear used up like this; empty for anything else.

    People x the setting, and for filters x the layers of mat on a laminate day.
    """
    if need.kind not in WORN:
        return ()
    each = settings.number(f"{need.item}_per_person_day") * option.programme.crew.number
    layers = enquiry.mat_layers.number if need.kind is ItemKind.FILTERS else 1.0
    return tuple(
        each * (layers if needed_on(day, (Phase.LAY,)) else 1.0)
        if needed_on(day, WORN[need.kind])
        else 0.0
        for day in worked
    )


def check_worn(
    enquiry: Enquiry, option: OptionTakeOff, plan: WorkPlan, settings: Settings
) -> list[Problem]:
    """A warning for each thing the planned days use more of than the job allows."""
    found = []
    for need in option.needs:
        takes = sum(worn_by_day(need, enquiry, option, plan.worked, settings))
        if takes > need.gross.number:
            found.append(
                problem(
                    "worn-short",
                    enquiry.place,
                    seen=wording.exact(takes),
                    ref=enquiry.ref,
                    item=need.words,
                    counted=wording.exact(need.gross.number),
                )
            )
    return found
