"""The facts of the work: height, access, tools and materials, and lifting."""

from collections.abc import Callable, Mapping

from quotegen import wording
from quotegen.model.choices import PLATFORMS, Access, CustomerKind, EdgeWay
from quotegen.model.safety import Known
from quotegen.model.takeoff import Lift
from quotegen.reference.item_kinds import ItemKind
from quotegen.reference.loader import entry
from quotegen.safety.facts.day_store import day_store
from quotegen.safety.facts.job import (
    Evidence,
    PlannedJob,
    Read,
    known,
    left_blank,
    measured,
    taken_off,
)
from quotegen.safety.facts.roof_facts import ROOF_FACTS
from quotegen.safety.facts.stored import over_guide
from quotegen.takeoff.strip.lifting import lays_boards
from quotegen.units import mm_to_m


def _work_at_height(job: PlannedJob) -> Evidence:
    height = job.enquiry.roof.height_mm
    if job.option.access.chosen is not Access.GROUND:
        return Known.YES, f"access chosen: {job.option.access.chosen}"
    reach_mm = job.settings.number("ground_reach_mm")
    return measured(height, "height to edge", lambda height_mm: height_mm > reach_mm)


def _fall_over_2m(job: PlannedJob) -> Evidence:
    limit_m = entry("work_at_height.inspection_height_m").value
    height = job.enquiry.roof.height_mm
    return measured(height, "height to edge", lambda height_mm: mm_to_m(height_mm) >= limit_m)


def _tower_without_room(job: PlannedJob) -> Evidence:
    """Room for a tower, asked only where one is planned."""
    chosen = job.option.access.chosen
    if chosen is not Access.TOWER:
        return Known.NO, f"access chosen: {chosen}"
    room = job.enquiry.site.room_for_tower
    return left_blank("room for a tower") if room is None else (known(not room), "room for a tower")


def _no_place_away_from_edges(job: PlannedJob) -> Evidence:
    away = job.option.access.away_m2
    return known(
        not away.number
    ), f"outline: {wording.number(away.number, 1)} m2 away from every open edge"


def _access(*chosen: Access) -> Read:
    return lambda job: (
        known(job.option.access.chosen in chosen),
        f"access chosen: {job.option.access.chosen}",
    )


def _needed(item: str) -> Read:
    return lambda job: taken_off(job.need(item) is not None, item)


def _boards(job: PlannedJob) -> Evidence:
    return taken_off(lays_boards(job.option.needs), "deck boards")


def _insulation(job: PlannedJob) -> Evidence:
    laid = any(need.kind is ItemKind.INSULATION for need in job.option.needs)
    return taken_off(laid, "insulation")


def _power_tools(job: PlannedJob) -> Evidence:
    """A saw for boards, a grinder for a chase, a sander or saw for laminate."""
    lays = Known.YES in (_boards(job)[0], _needed("resin")(job)[0])
    if lays:
        return taken_off(True, "something to saw or sand")
    chase, grp = (ROOF_FACTS[key](job) for key in ("wall_chase", "old_grp"))
    return chase if chase[0] is not Known.NO else grp


def _lifts(careful: bool) -> Read:
    """Whether something is too heavy for one person to lift whole or, if `careful`, for two."""

    def read(job: PlannedJob) -> Evidence:
        found = [lift for lift in job.option.lifts if _for_two(lift) and lift.aid is careful]
        heaviest = max((lift.mass_kg.number for lift in found), default=0.0)
        return taken_off(
            bool(found), f"a lift of {wording.number(heaviest)} kg" if found else "a lift so heavy"
        )

    return read


def _for_two(lift: Lift) -> bool:
    return lift.people.number > 1


def _said(what: str, there: Callable[[PlannedJob], bool]) -> Read:
    """Whether a sheet states something about the job; what it does not state is not agreed."""
    return lambda job: (known(there(job)), what)


def _found(job: PlannedJob, *, done: bool) -> bool:
    """Whether there are findings that the build-up puts right, or that it leaves."""
    build_up = job.option.build_up
    return any(found.is_done_in(build_up) is done for found in job.enquiry.findings)


def _heavier_roof(job: PlannedJob) -> Evidence:
    """Whether covering and deck become heavier by more than the firm allows unchecked."""
    change, most = job.option.weight_change_pct, job.settings.number("weight_change_pct")
    if change is None:
        return left_blank("covering and deck")
    return taken_off(change.number > most, f"heavier by more than {wording.plain(most)}%")


def _deposit_asked(job: PlannedJob) -> Evidence:
    home_owner = job.enquiry.customer.kind is CustomerKind.HOME_OWNER
    code = "deposit_pct_home_owner" if home_owner else "deposit_pct_business"
    asked = job.settings.number(code)
    return known(asked > 0), f"deposit: {wording.exact(asked)}%"


WORK_FACTS: Mapping[str, Read] = {
    "work_at_height": _work_at_height,
    "fall_over_2m": _fall_over_2m,
    "ladder_worked_from": _access(Access.LADDER),
    "platform": _access(*PLATFORMS),
    "tower": _access(Access.TOWER),
    "scaffold": _access(Access.SCAFFOLD),
    "off_the_roof": lambda job: (
        known(job.option.access.way is EdgeWay.ONE_TOWER),
        f"way chosen: {job.option.access.way or 'no platform'}",
    ),
    "roof_stood_on": lambda job: (
        known(job.option.access.stood_on),
        f"way chosen: {job.option.access.way or 'no platform'}",
    ),
    "tower_moved": lambda job: (
        known(len(job.option.access.places) > 1),
        f"places of one tower: {len(job.option.access.places)}",
    ),
    "tower_without_room": _tower_without_room,
    "no_place_away_from_edges": _no_place_away_from_edges,
    "boards": _boards,
    "insulation": _insulation,
    "resin": _needed("resin"),
    "topcoat": _needed("topcoat"),
    "catalyst": _needed("catalyst"),
    "acetone": _needed("acetone"),
    "adhesive": _needed("adhesive"),
    "flammables_over": lambda job: taken_off(
        over_guide(job.option, job.settings), "flammable liquids over the guide for one store"
    ),
    "flammables_over_day": lambda job: taken_off(
        bool(day_store(job.option, job.plan, job.settings).over),
        "flammable liquids of one day over the guide",
    ),
    "power_tools": _power_tools,
    "agreed_work": _said(
        "findings and extras",
        lambda job: _found(job, done=True) or any(e.included for e in job.enquiry.extras),
    ),
    "seen_not_ordered": _said("findings", lambda job: _found(job, done=False)),
    "heavier_roof": _heavier_roof,
    "not_accepted": lambda job: (
        known(job.enquiry.accepted is not job.option.build_up),
        f"accepted build-up: {job.enquiry.accepted or 'none'}",
    ),
    "may_cancel": lambda job: (
        known(job.enquiry.customer.kind is CustomerKind.HOME_OWNER),
        f"customer: {job.enquiry.customer.kind}",
    ),
    "deposit_asked": _deposit_asked,
    "colour_open": lambda job: (
        known(job.enquiry.colour_open),
        f"colour: {job.enquiry.colour}",
    ),
    "not_certified_by_us": lambda job: (
        known(not job.settings.text("building_work_scheme")),
        "scheme that certifies its own roofs",
    ),
    "promised": _said("notes for the customer", lambda job: bool(job.enquiry.customer_notes)),
    "two_person_lift": _lifts(careful=False),
    "aid_lift": _lifts(careful=True),
    "two_layers": lambda job: measured(
        job.enquiry.mat_layers, "layers of mat", lambda layers: layers > 1
    ),
}
