"""The facts of the roof itself: deck, covering, edges, wall and openings."""

from collections.abc import Mapping

from quotegen import wording
from quotegen.model.choices import (
    BuildUp,
    Covering,
    DeckCondition,
    EdgeKind,
    OpeningKind,
    WallJoint,
)
from quotegen.model.roof import CornerKind
from quotegen.model.safety import Known
from quotegen.safety.facts.job import (
    Evidence,
    PlannedJob,
    Read,
    known,
    left_blank,
    one_of,
    taken_off,
)
from quotegen.safety.facts.site_facts import before_2000
from quotegen.takeoff.access.ladder_limits import FRAGILE_DECKS
from quotegen.takeoff.basis.job import layers_of

BITUMEN = (Covering.FELT, Covering.FELT_CHIPPINGS, Covering.ASPHALT)
HEAVY_COVERINGS = (Covering.LEAD, Covering.ASPHALT, Covering.FELT_CHIPPINGS)


def _fragile_deck(job: PlannedJob) -> Evidence:
    existing = job.enquiry.existing
    if existing.deck in FRAGILE_DECKS:
        return Known.YES, f"deck: {existing.deck}"
    if existing.deck is None and existing.condition is DeckCondition.SOUND:
        return left_blank("deck")
    return one_of(
        existing.condition, "condition of the deck", DeckCondition.SOFT, DeckCondition.ROTTEN
    )


def _open_joists(job: PlannedJob) -> Evidence:
    existing = job.enquiry.existing
    if not layers_of(job.option.build_up, existing).strips_deck and existing.deck is None:
        if existing.covering is None:
            return left_blank("covering and deck")
        return taken_off(existing.covering is Covering.NONE, "no covering and no deck yet")
    strips = layers_of(job.option.build_up, existing).strips_deck
    return taken_off(strips, "old deck comes off")


def _deck_stays(job: PlannedJob) -> Evidence:
    """Under insulation a deck known to be sound stays; an unknown one may prove to be sound."""
    existing, build_up = job.enquiry.existing, job.option.build_up
    if build_up is BuildUp.NEW_DECK:
        return Known.NO, f"build-up: {build_up}"
    if build_up is BuildUp.NEW_DECK_INSULATED and existing.condition is None:
        return left_blank("condition of the deck")
    if existing.deck is None and existing.covering in (None, Covering.NONE):
        return left_blank("deck")
    return taken_off(not layers_of(build_up, existing).strips_deck, "old deck stays")


def _rooflights(job: PlannedJob) -> Evidence:
    """Yes if openings are listed; otherwise only a plain no counts as none."""
    openings, there = job.enquiry.openings, job.enquiry.site.through_roof
    if openings:
        lights = any(opening.kind is OpeningKind.ROOFLIGHT for opening in openings)
        return known(lights), f"openings: {', '.join(opening.kind for opening in openings)}"
    if there is False:
        return Known.NO, "anything through the roof: no"
    return left_blank("openings")


def _anything_through(job: PlannedJob) -> Evidence:
    """Yes if openings are listed or the cell says so; only a plain no means none."""
    openings, there = job.enquiry.openings, job.enquiry.site.through_roof
    if openings:
        return Known.YES, f"openings: {', '.join(opening.kind for opening in openings)}"
    if there is None:
        return left_blank("openings")
    return known(there), f"anything through the roof: {'yes' if there else 'no'}"


def _wall_edge(job: PlannedJob) -> Evidence:
    there = bool(job.outline.edges_of(EdgeKind.WALL))
    return known(there), f"outline: {'a' if there else 'no'} wall edge"


def _wall_joint(careful: WallJoint) -> Read:
    def read(job: PlannedJob) -> Evidence:
        if _wall_edge(job)[0] is Known.NO:
            return _wall_edge(job)
        return one_of(job.enquiry.wall_joint, "joint with the wall", careful)

    return read


def _lead(job: PlannedJob) -> Evidence:
    covering = job.enquiry.existing.covering
    if covering is Covering.LEAD:
        return Known.YES, f"covering: {Covering.LEAD}"
    joint, seen = _wall_joint(WallJoint.KEEP_LEAD)(job)
    if joint is Known.NO and covering is None:
        return left_blank("covering")
    chased, _ = _wall_joint(WallJoint.NEW_FLASHING)(job)
    if chased is Known.YES and covering is not Covering.NONE:
        return Known.UNKNOWN, f"{seen}; what the old one is of is not asked"
    return joint, seen


def _odd_corners(job: PlannedJob) -> Evidence:
    odd = any(corner.kind is CornerKind.MITRED for corner in job.outline.corners)
    return known(odd), f"outline: {'a' if odd else 'no'} corner off the square"


def _gutters(job: PlannedJob) -> Evidence:
    """Blank means none, unless an edge drips to a gutter: then nobody has looked."""
    length = job.enquiry.gutter_mm
    if length is None and job.outline.edges_of(EdgeKind.GUTTER_DRIP):
        return left_blank("gutter to lift")
    there = length is not None and length.number > 0
    return known(there), f"gutter to lift: {wording.exact(length.number if length else 0)} mm"


def _tiles(job: PlannedJob) -> Evidence:
    if job.outline.edges_of(EdgeKind.TILES):
        return Known.YES, "outline: an edge under tiles"
    length = job.enquiry.tiles_mm
    there = length is not None and length.number > 0
    return known(there), f"tiles to lift: {wording.exact(length.number if length else 0)} mm"


def _covering(*careful: Covering) -> Read:
    return lambda job: one_of(job.enquiry.existing.covering, "covering", *careful)


def _strip(job: PlannedJob) -> Evidence:
    if not job.option.strip and job.enquiry.existing.covering is None:
        return left_blank("covering")
    return taken_off(bool(job.option.strip), "strip-out")


def _coal_tar(job: PlannedJob) -> Evidence:
    """Old felt or asphalt may hold coal tar until a sample has been tested."""
    covering, seen = _covering(*BITUMEN)(job)
    old, built = before_2000(job)
    if Known.NO in (covering, old):
        return Known.NO, seen if covering is Known.NO else built
    return Known.UNKNOWN, f"{seen}, {built}, not tested"


def _hazardous_waste(job: PlannedJob) -> Evidence:
    if any(strip.hazardous for strip in job.option.strip):
        return taken_off(True, "hazardous strip-out")
    if job.enquiry.existing.covering is None:
        return left_blank("covering")
    return _coal_tar(job)


ROOF_FACTS: Mapping[str, Read] = {
    "fragile_deck": _fragile_deck,
    "rooflights": _rooflights,
    "openings": _anything_through,
    "open_joists": _open_joists,
    "deck_stays": _deck_stays,
    "lead": _lead,
    "lead_roof": _covering(Covering.LEAD),
    "keep_lead": _wall_joint(WallJoint.KEEP_LEAD),
    "wall_edge": _wall_edge,
    "wall_chase": _wall_joint(WallJoint.NEW_FLASHING),
    "odd_corners": _odd_corners,
    "strip": _strip,
    "hazardous_waste": _hazardous_waste,
    "old_grp": _covering(Covering.OLD_GRP),
    "bitumen_roof": _covering(*BITUMEN),
    "coal_tar": _coal_tar,
    "chippings": _covering(Covering.FELT_CHIPPINGS),
    "heavy_strip": _covering(*HEAVY_COVERINGS),
    "gutters": _gutters,
    "tiles": _tiles,
}
