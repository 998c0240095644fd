"""What a take-off allows for each thing recorded, and which settings that comes from."""

from collections.abc import Mapping

from quotegen.model.choices import BuildUp, RoofKind
from quotegen.model.enquiry import Enquiry
from quotegen.model.own.done import Recorded
from quotegen.model.settings import DefaultedSettings
from quotegen.model.takeoff import OptionTakeOff, TakeOff
from quotegen.takeoff.layers.laminate import mass_kg

_RATES: Mapping[Recorded, tuple[str, ...]] = {
    Recorded.SET_UP: tuple(f"hours_setup_{kind}" for kind in RoofKind),
    Recorded.TOWER: ("hours_tower",),
    Recorded.COME_BACK: ("hours_return",),
    Recorded.STRIP_COVERING: (
        "hours_strip_felt",
        "hours_strip_chippings",
        "hours_strip_asphalt",
        "hours_strip_lead",
        "hours_strip_single_ply",
        "hours_strip_old_grp",
        "hours_strip_least",
    ),
    Recorded.STRIP_DECK: ("hours_strip_deck",),
    Recorded.CARRY_AWAY: ("hours_waste", "hours_waste_least"),
    Recorded.TIP_RUNS: ("hours_tip_run",),
    Recorded.JOIST_CHECK: ("hours_joist_check",),
    Recorded.NOGGINS: ("hours_noggin",),
    Recorded.CAP: ("hours_cap",),
    Recorded.DECK: ("hours_deck", "hours_deck_least"),
    Recorded.INSULATION: ("hours_insulation",),
    Recorded.EDGE_TIMBER: ("hours_edge_timber",),
    Recorded.TRIM: ("hours_edge_trim", "hours_wall_trim", "hours_flat_trim"),
    Recorded.CORNERS: ("hours_corner",),
    Recorded.MITRES: ("hours_mitre",),
    Recorded.MADE_UP: ("hours_made_up",),
    Recorded.BANDAGE: ("hours_bandage",),
    Recorded.FLASHING: ("hours_flashing",),
    Recorded.LEAD: ("hours_lead_dress",),
    Recorded.KERBS: ("hours_kerb",),
    Recorded.PIPES: ("hours_pipe",),
    Recorded.OUTLETS: ("hours_outlet",),
    Recorded.EXPANSION: ("hours_expansion",),
    Recorded.LAMINATE: ("hours_laminate", "hours_laminate_cut_up", "hours_laminate_least"),
    Recorded.SAND: ("hours_sand", "hours_sand_least"),
    Recorded.TOPCOAT: ("hours_topcoat", "hours_topcoat_least"),
    Recorded.GUTTER: ("hours_gutter",),
    Recorded.TILES: ("hours_tiles",),
}
"""The settings that the hours of each task are in proportion to, the least hours among them.

A deck over insulation shares its rate with any other deck, and follows that one.
"""


def rates_of(recorded: Recorded) -> tuple[str, ...]:
    """The codes of the settings that a task's hours are in proportion to; none for the others."""
    return _RATES.get(recorded, ())


def build_up_done(enquiry: Enquiry) -> BuildUp | None:
    """The build-up that was done: the one accepted, or the only one quoted; None if not known."""
    if enquiry.accepted:
        return enquiry.accepted
    return enquiry.build_ups[0] if len(enquiry.build_ups) == 1 else None


def allowed_by(take_off: TakeOff, settings: DefaultedSettings) -> dict[Recorded, float]:
    """What the build-up that was done allowed, by what is recorded: person-hours, kg or days."""
    build_up = build_up_done(take_off.enquiry)
    option = next((o for o in take_off.options if o.build_up is build_up), None)
    return _allowed(option, settings) if option else {}


def _allowed(option: OptionTakeOff, settings: DefaultedSettings) -> dict[Recorded, float]:
    found: dict[Recorded, float] = {}
    for line in option.labour:
        recorded = Recorded.__members__.get(line.key.name)
        if recorded:
            found[recorded] = found.get(recorded, 0.0) + line.hours.number
    resin_kg = mass_kg(option.resin.mixed_l.number, settings.number("resin_kg_per_l"))
    topcoat_kg = mass_kg(option.resin.topcoat_l.number, settings.number("topcoat_kg_per_l"))
    found[Recorded.RESIN_KG] = resin_kg
    found[Recorded.TOPCOAT_KG] = topcoat_kg
    found[Recorded.DAYS] = option.programme.days.number
    return {recorded: amount for recorded, amount in found.items() if amount > 0}
