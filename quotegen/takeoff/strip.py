"""What comes off the roof: mass, waste code, and the change of weight."""

from collections.abc import Sequence
from decimal import Decimal

from quotegen.model.enquiry import Covering, Deck
from quotegen.model.takeoff import Stage, Strip
from quotegen.reference import loader as reference
from quotegen.takeoff.job import Demand, Job, times
from quotegen.units import as_decimal, pence
from quotegen.working import Figure, chosen, derive, total

OLD_DECK = "old deck"
_MASS: dict[Covering, tuple[str, ...]] = {
    Covering.FELT: ("mass_felt_kg_m2",),
    Covering.FELT_CHIPPINGS: ("mass_felt_kg_m2", "mass_chippings_kg_m2"),
    Covering.ASPHALT: ("mass_asphalt_kg_m2",),
    Covering.SINGLE_PLY: ("mass_single_ply_kg_m2",),
    Covering.OLD_GRP: ("mass_old_grp_kg_m2",),
}
_DECK_MASS: dict[Deck, str] = {
    Deck.SHEET: "mass_sheet_deck_kg_m2",
    Deck.BOARDING: "mass_boarding_kg_m2",
    Deck.CHIPBOARD: "mass_chipboard_kg_m2",
}
_HEAVIEST_DECK = "mass_chipboard_kg_m2"
"""For a deck that nobody has looked at; concrete and wood-wool stop the enquiry before this."""
_WASTE: dict[Covering, str] = {
    Covering.FELT: "felt",
    Covering.FELT_CHIPPINGS: "felt",
    Covering.ASPHALT: "felt",
    Covering.SINGLE_PLY: "plastic",
    Covering.OLD_GRP: "plastic",
    Covering.LEAD: "lead",
}


def strip_lines(job: Job) -> tuple[Strip, ...]:
    """Each material that comes off, with its mass and the waste code it leaves under."""
    lines = []
    covering = job.enquiry.existing.covering
    if covering is not None and _comes_off(job):
        lines.append(_line(old_words(covering), _covering_kg(job), _WASTE[covering]))
    if job.layers.strips_deck:
        lines.append(_line(OLD_DECK, _deck_kg(job), "timber"))
    return tuple(lines)


def old_words(covering: Covering) -> str:
    """What the covering is called once it is to come off.

    >>> old_words(Covering.FELT), old_words(Covering.OLD_GRP)
    ('old felt', 'old fibreglass')
    """
    return str(covering) if str(covering).startswith("old ") else f"old {covering}"


def _comes_off(job: Job) -> bool:
    stuck = job.enquiry.existing.covering is Covering.OLD_GRP and job.layers.strips_deck
    return job.layers.strips_covering or stuck


def tipped_kg(lines: Sequence[Strip]) -> Figure:
    """Mass that is paid for at the tip; lead is sold as scrap and not counted."""
    return derive(
        "waste to the tip", "kg", total, parts=[s.mass_kg for s in lines if not _is_scrap(s)]
    )


def _is_scrap(line: Strip) -> bool:
    return line.waste_code == str(reference.entry("waste_codes.lead").value)


def tip_charge(job: Job, lines: Sequence[Strip]) -> Figure:
    """What the tip charges for the waste of this build-up."""
    return derive(
        "tip charge",
        "GBP",
        tip_charge_gbp,
        mass_kg=tipped_kg(lines),
        per_tonne=job.settings["tip_charge_per_tonne"],
        least=job.settings["tip_least"],
    )


def sack_demand(job: Job, lines: Sequence[Strip]) -> list[Demand]:
    """Rubble sacks for the covering that goes to the tip; boards go loose."""
    kg = tipped_kg([line for line in lines if line.words != OLD_DECK])
    if not kg.number:
        return []
    sacks = derive("rubble sacks", "each", sack_count, mass_kg=kg, sack_kg=job.settings["sack_kg"])
    return [Demand("sack", Stage.STRIP, sacks)]


def weight_change(job: Job, lines: Sequence[Strip], laminate_kg: Figure) -> Figure | None:
    """How much heavier (lighter: below nothing) the roof becomes in per cent of the old one.

    None when it is not known what is there now.
    """
    existing = job.enquiry.existing
    if existing.covering is None or existing.deck not in _DECK_MASS:
        return None
    stays = [] if job.layers.strips_deck else [_deck_kg(job)]
    if not _comes_off(job) and existing.covering is not Covering.NONE:
        stays.append(_covering_kg(job))
    old_kg = derive("old roof", "kg", total, parts=[*(s.mass_kg for s in lines), *stays])
    new_kg = derive("new roof", "kg", total, parts=[laminate_kg, *_new_parts(job), *stays])
    if not old_kg.number:
        return None
    return derive("change of weight", "%", change_pct, old=old_kg, new=new_kg)


def _new_parts(job: Job) -> list[Figure]:
    settings, deck_m2 = job.settings, job.deck_m2
    parts = []
    board = settings["cap_board_mm"] if job.layers.cap_boards else job.enquiry.board_mm
    for _ in range(job.layers.boards):
        parts.append(
            derive(
                "new boards",
                "kg",
                slab_kg,
                area_m2=deck_m2,
                thickness_mm=board,
                kg_m3=settings["board_kg_m3"],
            )
        )
    if job.layers.insulation and job.enquiry.insulation_mm:
        parts.append(
            derive(
                "insulation",
                "kg",
                slab_kg,
                area_m2=deck_m2,
                thickness_mm=job.enquiry.insulation_mm,
                kg_m3=settings["insulation_kg_m3"],
            )
        )
    return parts


def _covering_kg(job: Job) -> Figure:
    covering = job.enquiry.existing.covering
    layers = job.enquiry.existing.layers or chosen("layers", 1.0, "layers", "not known: one")
    if covering is Covering.LEAD:
        code = job.settings.number("lead_code")
        masses = [reference.figure(f"sheet_lead.code_{code:.0f}_kg_m2")]
        layers = chosen("layers", 1.0, "layers", "lead is laid in one layer")
    else:
        masses = [job.settings[code] for code in _MASS[covering or Covering.FELT]]
    return derive(
        f"old {covering}",
        "kg",
        covering_kg,
        area_m2=job.deck_m2,
        layers=layers,
        first_kg_m2=masses[0],
        dressing_kg_m2=masses[1:],
    )


def _deck_kg(job: Job) -> Figure:
    deck = job.enquiry.existing.deck
    each = job.settings[_DECK_MASS[deck]] if deck in _DECK_MASS else job.settings[_HEAVIEST_DECK]
    return derive("old deck", "kg", times, number=job.deck_m2, each=each)


def _line(words: str, mass: Figure, waste: str) -> Strip:
    entry = reference.entry(f"waste_codes.{waste}")
    return Strip(words, mass, entry.value, entry.words, entry.value.endswith("*"))


def covering_kg(
    area_m2: float, layers: float, first_kg_m2: float, dressing_kg_m2: Sequence[float]
) -> float:
    """Mass of a covering: area x (layers x mass of one + dressing such as chippings, once).

    Inputs [m2, layers, kg/m2], result [kg].

    >>> covering_kg(10, 2, 12, (18,))
    420
    """
    return area_m2 * (layers * first_kg_m2 + sum(dressing_kg_m2))


def slab_kg(area_m2: float, thickness_mm: float, kg_m3: float) -> float:
    """Mass of a slab: area x thickness x density.

    Inputs [m2, mm, kg/m3], result [kg].

    >>> round(slab_kg(2.44 * 1.22, 18, 650), 1)
    34.8
    """
    return area_m2 * thickness_mm / 1000 * kg_m3


def sack_count(mass_kg: float, sack_kg: float) -> float:
    """Sacks for a mass: mass / mass in one sack.

    >>> sack_count(90, 20)
    4.5
    """
    return mass_kg / sack_kg


def change_pct(old: float, new: float) -> float:
    """Change in per cent of the old: 100 x (new - old) / old.

    >>> change_pct(40, 6)
    -85.0
    """
    return 100 * (new - old) / old


def tip_charge_gbp(mass_kg: float, per_tonne: Decimal, least: Decimal) -> Decimal:
    """Tip charge: mass x charge a tonne, at least the least; nothing for no waste.

    Inputs [kg, GBP/t, GBP], result [GBP].

    >>> tip_charge_gbp(100.0, Decimal(140), Decimal(10))
    Decimal('14.00')
    """
    if not mass_kg:
        return Decimal("0.00")
    return pence(max(least, as_decimal(mass_kg) / 1000 * per_tonne))
