"""What comes off the roof: mass, loose volume, and the waste code it leaves under."""

from msgspec import Struct

from quotegen.model.choices import ComesOff, Covering, Deck, Waste
from quotegen.model.settings import Settings
from quotegen.model.takeoff import Leaves, Strip
from quotegen.problems import Problem, problem
from quotegen.reference import loader as reference
from quotegen.takeoff.basis.job import Job, times
from quotegen.units import Unit
from quotegen.working import Figure, chosen, derive, total

_OLD_DECK = "old deck"


class _Material(Struct, frozen=True):
    """The settings a covering goes by, besides those of lead: mass, and density once loose."""

    mass: str
    bulk: str


_FELT = _Material("mass_felt_kg_m2", "bulk_felt_kg_m3")
_COVERINGS: dict[Covering, tuple[_Material, ...]] = {
    Covering.FELT: (_FELT,),
    Covering.FELT_CHIPPINGS: (_FELT, _Material("mass_chippings_kg_m2", "bulk_chippings_kg_m3")),
    Covering.ASPHALT: (_Material("mass_asphalt_kg_m2", "bulk_asphalt_kg_m3"),),
    Covering.SINGLE_PLY: (_Material("mass_single_ply_kg_m2", "bulk_single_ply_kg_m3"),),
    Covering.OLD_GRP: (_Material("mass_old_grp_kg_m2", "bulk_old_grp_kg_m3"),),
}
_DECK_MASS: dict[Deck, str] = {
    Deck.SHEET: "mass_sheet_deck_kg_m2",
    Deck.BOARDING: "mass_boarding_kg_m2",
    Deck.CHIPBOARD: "mass_chipboard_kg_m2",
}
_HEAVIEST_DECK = "mass_chipboard_kg_m2"
"""For a deck that nobody has looked at; concrete and wood-wool stop the enquiry before this."""
_WASTE: dict[Covering, Waste] = {
    Covering.FELT: Waste.FELT,
    Covering.FELT_CHIPPINGS: Waste.FELT,
    Covering.ASPHALT: Waste.FELT,
    Covering.SINGLE_PLY: Waste.PLASTIC,
    Covering.OLD_GRP: Waste.PLASTIC,
    Covering.LEAD: Waste.LEAD,
}
_BITUMEN = (Covering.FELT, Covering.FELT_CHIPPINGS, Covering.ASPHALT)


def strip_lines(job: Job) -> tuple[Strip, ...]:
    """Each material that comes off, as it would leave on the van."""
    lines = []
    covering = job.enquiry.existing.covering
    if covering is not None and comes_off(job):
        parts = _covering_parts(job)
        lead = covering is Covering.LEAD
        words = old_words(covering)
        volumes = [_loose(job, mass, bulk) for mass, bulk in parts]
        mass = derive(words, Unit.KG, total, parts=[mass for mass, _ in parts])
        volume = derive(f"{words}, loose", Unit.M3, total, parts=volumes)
        leaves = Leaves.SCRAP if lead else Leaves.SACKS
        lines.append(_line(ComesOff.COVERING, mass, volume, _WASTE[covering], leaves))
    if job.layers.strips_deck:
        mass = deck_kg(job)
        volume = _loose(job, mass, "bulk_boards_kg_m3")
        lines.append(_line(ComesOff.DECK, mass, volume, Waste.TIMBER, Leaves.LOOSE))
    return tuple(lines)


def old_words(covering: Covering) -> str:
    """What the covering is called when it has to come off.

    >>> old_words(Covering.FELT), old_words(Covering.OLD_GRP)
    ('old felt', 'old fibreglass')
    """
    return str(covering) if str(covering).startswith("old ") else f"old {covering}"


def comes_off(job: Job) -> bool:
    """Whether the old covering goes: stripped, or stuck to a deck that comes up."""
    stuck = job.enquiry.existing.covering is Covering.OLD_GRP and job.layers.strips_deck
    return job.layers.strips_covering or stuck


def check_bitumen(job: Job) -> list[Problem]:
    """Old felt or asphalt that may hold coal tar or asbestos until a sample is tested."""
    covering, built = job.enquiry.existing.covering, job.enquiry.year_built
    first_clear = float(reference.entry("asbestos.first_clear_year").value)
    late = built is not None and built.number >= first_clear
    if covering not in _BITUMEN or not comes_off(job) or late:
        return []
    code = reference.entry
    found = problem(
        "bitumen-untested",
        job.enquiry.place,
        seen=old_words(covering),
        ref=job.enquiry.ref,
        clean=code("waste_codes.felt").value,
        tar=code("waste_codes.felt_coal_tar").value,
        asbestos=code("waste_codes.asbestos").value,
    )
    return [found]


def covering_kg(job: Job) -> Figure:
    """Mass of the covering that is there now."""
    return derive(
        f"old {job.enquiry.existing.covering}",
        Unit.KG,
        total,
        parts=[mass for mass, _ in _covering_parts(job)],
    )


def deck_kg(job: Job) -> Figure:
    """Mass of the deck that is there now; the heaviest where nobody has looked."""
    deck = job.enquiry.existing.deck
    code = _DECK_MASS.get(deck, _HEAVIEST_DECK) if deck else _HEAVIEST_DECK
    return derive(_OLD_DECK, Unit.KG, times, number=job.deck_m2, each=job.settings[code])


def knows_deck(job: Job) -> bool:
    """Whether the deck that is there now is of a kind with a known mass."""
    return job.enquiry.existing.deck in _DECK_MASS


def lead_kg_m2(settings: Settings) -> Figure:
    """Mass of the lead on the roof by the published table, for the code the firm assumes."""
    code = settings.number("lead_code")
    return reference.figure(f"sheet_lead.code_{code:.0f}_kg_m2")


def is_scrap(line: Strip) -> bool:
    """Whether a material is sold and not tipped: lead."""
    return line.leaves is Leaves.SCRAP


def _covering_parts(job: Job) -> list[tuple[Figure, str]]:
    """The masses of what makes up the covering, each with its setting of loose density."""
    covering = job.enquiry.existing.covering
    if covering is Covering.LEAD:
        once = chosen("layers", 1.0, Unit.LAYERS, "lead is laid in one layer")
        return [(_layers_kg(job, "old lead", once, lead_kg_m2(job.settings)), "bulk_lead_kg_m3")]
    layers = job.enquiry.existing.layers or chosen("layers", 1.0, Unit.LAYERS, "not known: one")
    once = chosen("layers", 1.0, Unit.LAYERS, "what lies on the uppermost layer, once")
    parts = []
    for place, material in enumerate(_COVERINGS[covering or Covering.FELT]):
        each = job.settings[material.mass]
        mass = _layers_kg(job, each.name, once if place else layers, each)
        parts.append((mass, material.bulk))
    return parts


def _layers_kg(job: Job, name: str, layers: Figure, each: Figure) -> Figure:
    return derive(name, Unit.KG, layers_kg, area_m2=job.deck_m2, layers=layers, kg_m2=each)


def _loose(job: Job, mass: Figure, bulk: str) -> Figure:
    name = f"{mass.name}, loose"
    return derive(name, Unit.M3, loose_m3, mass_kg=mass, bulk_kg_m3=job.settings[bulk])


def _line(key: ComesOff, mass: Figure, volume: Figure, waste: Waste, leaves: Leaves) -> Strip:
    entry = reference.entry(f"waste_codes.{waste}")
    return Strip(
        key=key,
        words=mass.name,
        mass_kg=mass,
        volume_m3=volume,
        waste=waste,
        waste_code=entry.value,
        waste_words=entry.words,
        hazardous=entry.value.endswith("*"),
        leaves=leaves,
    )


def layers_kg(area_m2: float, layers: float, kg_m2: float) -> float:
    """Mass of a covering: area x layers x mass of one layer.

    Inputs [m2, layers, kg/m2], result [kg].

    >>> layers_kg(10, 2, 12)
    240
    """
    return area_m2 * layers * kg_m2


def loose_m3(mass_kg: float, bulk_kg_m3: float) -> float:
    """Volume of a material once it is torn up and thrown in: mass / loose density.

    Inputs [kg, kg/m3], result [m3].

    >>> loose_m3(860, 430)
    2.0
    """
    return mass_kg / bulk_kg_m3
