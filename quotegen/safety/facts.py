"""The named facts of one job, each with what it was taken from.

A blank cell is "not known", and not known counts as the answer that needs more care. What the
facts are called and how they read stands in `reference/rules/facts.toml`; this module says how
each is read off the enquiry and the take-off.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TypeAlias

from quotegen.model.enquiry import (
    Access,
    Below,
    Covering,
    Deck,
    DeckCondition,
    EdgeKind,
    Enquiry,
    Occupier,
    OpeningKind,
    WallJoint,
)
from quotegen.model.roof import Outline
from quotegen.model.safety import Fact, Known
from quotegen.model.settings import Settings
from quotegen.model.takeoff import Need, OptionTakeOff
from quotegen.reference import rules
from quotegen.reference.loader import entry
from quotegen.reference.rules import Condition
from quotegen.safety.masses import lays_boards, pack_kg, sheet_kg
from quotegen.takeoff.job import layers_of
from quotegen.units import mm_to_m
from quotegen.working import Figure


@dataclass(frozen=True, slots=True)
class Job:
    """What the facts of one job are read off: the enquiry, and one build-up of its take-off."""

    enquiry: Enquiry
    outline: Outline
    option: OptionTakeOff
    settings: Settings

    def need(self, item: str) -> Need | None:
        """The need of the take-off for an item, None where the job takes none of it."""
        return next((need for need in self.option.needs if need.item == item), None)


Answer: TypeAlias = tuple[Known, str]

BLANK = "blank"
FRAGILE_DECKS = frozenset({Deck.CHIPBOARD, Deck.WOODWOOL})
PASSERS_BY = frozenset({Below.PAVEMENT, Below.ROAD, Below.DOORWAY, Below.DRIVE})
HEAVY_COVERINGS = frozenset({Covering.LEAD, Covering.ASPHALT, Covering.FELT_CHIPPINGS})


def facts_of(job: Job) -> Mapping[str, Fact]:
    """Every named fact of a job, in the order of the table.

    A fact that is declared but not read here, or the other way about, is our own fault.
    """
    declared = rules.facts()
    if set(declared) != set(_READ):
        raise KeyError(f"facts declared or read alone: {sorted(set(declared) ^ set(_READ))}")
    found = {}
    for key, rule in declared.items():
        known, seen = _READ[key](job)
        found[key] = Fact(key, rule.words, known, seen)
    return found


def holds(condition: Condition, facts: Mapping[str, Fact]) -> bool:
    """True when every fact of `all_of` and, if there are any, one of `any_of` is present."""
    one = not condition.any_of or any(facts[key].present for key in condition.any_of)
    return one and all(facts[key].present for key in condition.all_of)


def because(condition: Condition, facts: Mapping[str, Fact]) -> tuple[Fact, ...]:
    """The facts that make a condition hold, known or not."""
    return tuple(facts[key] for key in condition.facts if facts[key].present)


def _known(yes: bool) -> Known:
    return Known.YES if yes else Known.NO


def _answer(value: bool | None, heading: str) -> Answer:
    if value is None:
        return Known.UNKNOWN, f"{heading}: {BLANK}"
    return _known(value), f"{heading}: {'yes' if value else 'no'}"


def _is(value: object | None, heading: str, *careful: object) -> Answer:
    if value is None:
        return Known.UNKNOWN, f"{heading}: {BLANK}"
    return _known(value in careful), f"{heading}: {value}"


def _measured(figure: Figure | None, heading: str, careful: Callable[[float], bool]) -> Answer:
    if figure is None:
        return Known.UNKNOWN, f"{heading}: {BLANK}"
    return _known(careful(figure.number)), f"{heading}: {figure.number:g} {figure.unit}".rstrip()


def _taken_off(yes: bool, what: str) -> Answer:
    return _known(yes), f"take-off: {'' if yes else 'not: '}{what}"


def _below(job: Job, *places: Below) -> Answer:
    seen = job.enquiry.below
    if not seen:
        return Known.UNKNOWN, f"what is below: {BLANK}"
    return _known(any(place in seen for place in places)), f"what is below: {', '.join(seen)}"


def _needed(item: str) -> Callable[[Job], Answer]:
    return lambda job: _taken_off(job.need(item) is not None, item)


def _any_need(job: Job, beginning: str, what: str) -> Answer:
    return _taken_off(any(n.item.startswith(beginning) for n in job.option.needs), what)


def _access(*chosen: Access) -> Callable[[Job], Answer]:
    return lambda job: (
        _known(job.option.access.chosen in chosen),
        f"access chosen: {job.option.access.chosen}",
    )


def _open_joists(job: Job) -> Answer:
    layers = layers_of(job.option.build_up, job.enquiry.existing)
    return _taken_off(layers.strips_deck or _bare(job), "old deck comes off, or there is none yet")


def _deck_stays(job: Job) -> Answer:
    layers = layers_of(job.option.build_up, job.enquiry.existing)
    return _taken_off(not (layers.strips_deck or _bare(job)), "old deck stays")


def _bare(job: Job) -> bool:
    """Whether the joists lie open from the start: no covering, and no deck named."""
    existing = job.enquiry.existing
    return existing.covering is Covering.NONE and existing.deck is None


def _work_at_height(job: Job) -> Answer:
    height = job.enquiry.roof.height_mm
    if job.option.access.chosen is not Access.GROUND:
        return Known.YES, f"access chosen: {job.option.access.chosen}"
    reach_mm = job.settings.number("ground_reach_mm")
    return _measured(height, "height to edge", lambda height_mm: height_mm > reach_mm)


def _fall_over_2m(job: Job) -> Answer:
    limit_m = entry("work_at_height.inspection_height_m").value
    height = job.enquiry.roof.height_mm
    return _measured(height, "height to edge", lambda height_mm: mm_to_m(height_mm) >= limit_m)


def _fragile_deck(job: Job) -> Answer:
    existing = job.enquiry.existing
    if existing.deck in FRAGILE_DECKS:
        return Known.YES, f"deck: {existing.deck}"
    if existing.deck is None and existing.condition is DeckCondition.SOUND:
        return Known.UNKNOWN, f"deck: {BLANK}"
    return _is(
        existing.condition, "condition of the deck", DeckCondition.SOFT, DeckCondition.ROTTEN
    )


def _people_below(job: Job) -> Answer:
    place, _ = _below(job, *PASSERS_BY)
    home, seen = _occupied(job)
    if Known.YES in (place, home):
        return Known.YES, _below(job)[1] if place is Known.YES else seen
    return (Known.UNKNOWN if Known.UNKNOWN in (place, home) else Known.NO), seen


def _occupied(job: Job) -> Answer:
    occupier = job.enquiry.occupier
    if occupier is None:
        return Known.UNKNOWN, f"who lives there: {BLANK}"
    return _known(occupier is not Occupier.EMPTY), f"who lives there: {occupier}"


def _household(*careful: Occupier) -> Callable[[Job], Answer]:
    """A tenancy says nothing of who is in the household, so there it is not known."""

    def read(job: Job) -> Answer:
        if job.enquiry.occupier is Occupier.TENANT:
            return Known.UNKNOWN, f"who lives there: {Occupier.TENANT}, household not known"
        return _is(job.enquiry.occupier, "who lives there", *careful)

    return read


def _lead(job: Job) -> Answer:
    enquiry = job.enquiry
    if enquiry.existing.covering is Covering.LEAD:
        return Known.YES, f"covering: {Covering.LEAD}"
    joint, seen = _wall_joint(job, WallJoint.KEEP_LEAD)
    if joint is Known.NO and enquiry.existing.covering is None:
        return Known.UNKNOWN, f"covering: {BLANK}"
    return joint, seen


def _wall_joint(job: Job, careful: WallJoint) -> Answer:
    if not job.outline.edges_of(EdgeKind.WALL):
        return Known.NO, "outline: no wall edge"
    return _is(job.enquiry.wall_joint, "joint with the wall", careful)


def _before_2000(job: Job) -> Answer:
    first_clear_year = entry("asbestos.first_clear_year").value
    return _measured(job.enquiry.year_built, "year built", lambda year: year < first_clear_year)


def _no_survey(job: Job) -> Answer:
    old, built = _before_2000(job)
    if old is Known.NO:
        return Known.NO, built
    surveyed = job.enquiry.site.asbestos_surveyed
    if surveyed is None:
        return Known.UNKNOWN, f"asbestos surveyed: {BLANK}"
    return _known(not surveyed), f"asbestos surveyed: {'yes' if surveyed else 'no'}"


def _hot_day(job: Job) -> Answer:
    hot_from_c = job.settings.number("hot_from_c")
    return _measured(job.enquiry.deck_c, "deck expected", lambda deck_c: deck_c >= hot_from_c)


def _cold_day(job: Job) -> Answer:
    cold_below_c = entry("dew_point.cold_below_c").value
    return _measured(job.enquiry.deck_c, "deck expected", lambda deck_c: deck_c < cold_below_c)


def _heavy(kg: Callable[[Job], Figure | None], what: str) -> Callable[[Job], Answer]:
    def read(job: Job) -> Answer:
        mass = kg(job)
        if mass is None:
            return Known.NO, f"take-off: no {what}"
        limit_kg = entry("manual_handling.two_people_kg").value
        return _known(mass.number > limit_kg), f"{what}: {mass.number:.0f} kg"

    return read


def _strip(job: Job) -> Answer:
    if not job.option.strip and job.enquiry.existing.covering is None:
        return Known.UNKNOWN, f"covering: {BLANK}"
    return _taken_off(bool(job.option.strip), "strip-out")


def _hazardous_waste(job: Job) -> Answer:
    hazardous = any(strip.hazardous for strip in job.option.strip)
    if not hazardous and job.enquiry.existing.covering is None:
        return Known.UNKNOWN, f"covering: {BLANK}"
    return _taken_off(hazardous, "hazardous strip-out")


def _measured_over_none(figure: Figure | None, heading: str) -> Answer:
    """A length that is only filled in where there is something: blank is none."""
    return _known(figure is not None and figure.number > 0), f"{heading}: {figure and figure.value}"


def _tiles(job: Job) -> Answer:
    edges = bool(job.outline.edges_of(EdgeKind.TILES))
    known, seen = _measured_over_none(job.enquiry.tiles_mm, "tiles to lift")
    return (Known.YES, "outline: an edge under tiles") if edges else (known, seen)


def _opening(kind: OpeningKind) -> Callable[[Job], Answer]:
    def read(job: Job) -> Answer:
        there = any(opening.kind is kind for opening in job.enquiry.openings)
        return _known(there), f"openings: {kind if there else f'no {kind}'}"

    return read


def _site(name: str, heading: str) -> Callable[[Job], Answer]:
    return lambda job: _answer(getattr(job.enquiry.site, name), heading)


def _covering(*careful: Covering) -> Callable[[Job], Answer]:
    return lambda job: _is(job.enquiry.existing.covering, "covering", *careful)


_READ: Mapping[str, Callable[[Job], Answer]] = {
    "work_at_height": _work_at_height,
    "fall_over_2m": _fall_over_2m,
    "ladder_worked_from": _access(Access.LADDER),
    "platform": _access(Access.TOWER, Access.SCAFFOLD),
    "tower": _access(Access.TOWER),
    "scaffold": _access(Access.SCAFFOLD),
    "fragile_deck": _fragile_deck,
    "rooflights": _opening(OpeningKind.ROOFLIGHT),
    "open_joists": _open_joists,
    "people_below": _people_below,
    "pavement_below": lambda job: _below(job, Below.PAVEMENT, Below.ROAD),
    "doorway_below": lambda job: _below(job, Below.DOORWAY),
    "glass_below": lambda job: _below(job, Below.GLASS),
    "lower_roof_below": lambda job: _below(job, Below.LOWER_ROOF),
    "occupied": _occupied,
    "tenant": lambda job: _is(job.enquiry.occupier, "who lives there", Occupier.TENANT),
    "children": _household(Occupier.CHILDREN),
    "vulnerable": _household(Occupier.VULNERABLE),
    "overhead_cables": _site("overhead_cables", "overhead cables"),
    "flue_near": _site("flue_near", "flue near"),
    "cars_near": _site("cars_near", "cars near"),
    "nesting_birds": _site("nesting_birds", "nesting birds"),
    "lone_work": _site("lone_work", "working alone"),
    "lead": _lead,
    "lead_roof": _covering(Covering.LEAD),
    "keep_lead": lambda job: _wall_joint(job, WallJoint.KEEP_LEAD),
    "before_2000": _before_2000,
    "no_asbestos_survey": _no_survey,
    "wall_chase": lambda job: _wall_joint(job, WallJoint.NEW_FLASHING),
    "strip": _strip,
    "hazardous_waste": _hazardous_waste,
    "old_grp": _covering(Covering.OLD_GRP),
    "bitumen_roof": _covering(Covering.FELT, Covering.FELT_CHIPPINGS, Covering.ASPHALT),
    "chippings": _covering(Covering.FELT_CHIPPINGS),
    "boards": lambda job: _taken_off(lays_boards(job.option), "deck boards"),
    "deck_stays": _deck_stays,
    "insulation": lambda job: _any_need(job, "insulation_", "insulation"),
    "resin": _needed("resin"),
    "topcoat": _needed("topcoat"),
    "catalyst": _needed("catalyst"),
    "acetone": _needed("acetone"),
    "adhesive": _needed("adhesive"),
    "hot_day": _hot_day,
    "cold_day": _cold_day,
    "heavy_sheet": _heavy(lambda job: sheet_kg(job.enquiry, job.option, job.settings), "board"),
    "heavy_pack": _heavy(lambda job: pack_kg(job.enquiry, job.option, job.settings), "tin"),
    "heavy_strip": _covering(*HEAVY_COVERINGS),
    "gutters": lambda job: _measured_over_none(job.enquiry.gutter_mm, "gutter off and on"),
    "tiles": _tiles,
    "two_layers": lambda job: _measured(
        job.enquiry.mat_layers, "layers of mat", lambda layers: layers > 1
    ),
}
