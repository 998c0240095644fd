"""What has to be lifted on a job, its weight, and how many people lift it.

Compared with the guide figures of the lifting filter, which are not limits in law: size, wind,
stairs and the person may call for more care than the weight alone.
"""

from collections.abc import Mapping, Sequence

from quotegen import wording
from quotegen.model.choices import BuildUp
from quotegen.model.enquiry import Enquiry
from quotegen.model.settings import Settings
from quotegen.model.takeoff import Leaves, Lift, Need, Strip
from quotegen.phrases import small
from quotegen.reference import house_rules
from quotegen.reference import loader as reference
from quotegen.reference.item_kinds import ItemKind
from quotegen.takeoff.strip.strip import is_scrap, lead_kg_m2
from quotegen.takeoff.strip.weight import slab_kg
from quotegen.units import Unit, mm2_to_m2, mm_to_m
from quotegen.working import Figure, Origin, Source, chosen, derive

BOARD, INSULATION, TIN, MAT, LEAD, SACK = "board", "insulation", "tin", "mat", "lead", "sack"
_TINS = (ItemKind.RESIN, ItemKind.TOPCOAT)
_BOARD_SIZES: Mapping[ItemKind, tuple[str, str]] = {
    ItemKind.DECK_BOARD: ("board_length_mm", "board_width_mm"),
    ItemKind.TONGUED_BOARD: ("tongued_length_mm", "tongued_width_mm"),
}


def lifts_of(
    enquiry: Enquiry,
    build_up: BuildUp,
    needs: Sequence[Need],
    lines: Sequence[Strip],
    settings: Settings,
) -> tuple[Lift, ...]:
    """Everything that is lifted in a build-up, the heaviest of each kind first."""
    found = [
        *_boards(enquiry, build_up, needs, settings),
        *_insulation(needs, settings),
        *_tins(needs),
        *_rolls(enquiry, needs),
        *_lead(lines, settings),
        *_sacks(lines, settings),
    ]
    return tuple(sorted(found, key=lambda lift: (_ORDER.index(lift.kind), -lift.mass_kg.number)))


_ORDER = (BOARD, INSULATION, TIN, MAT, LEAD, SACK)


def lays_boards(needs: Sequence[Need]) -> bool:
    """Whether deck boards of any kind are among the needs."""
    return any(need.kind in _BOARD_SIZES for need in needs)


def _lift(kind: str, words: str, mass: Figure) -> Lift:
    guide = reference.figure("manual_handling.two_people_kg")
    people = derive("people to lift it", Unit.PEOPLE, people_to_lift, mass_kg=mass, guide_kg=guide)
    team = derive(
        "guide figure for two people",
        Unit.KG,
        team_kg,
        one_kg=guide,
        people=chosen("people", 2.0, Unit.PEOPLE, "a lift by two"),
        share=reference.figure("manual_handling.team_of_two_share"),
    )
    return Lift(kind, words, mass, people, mass.number > team.number)


def _boards(
    enquiry: Enquiry, build_up: BuildUp, needs: Sequence[Need], settings: Settings
) -> list[Lift]:
    capped = build_up is BuildUp.CAP_OVER
    thickness = settings["cap_board_mm"] if capped else enquiry.board_mm
    return [
        _lift(
            BOARD,
            f"one whole {small(need.words)}",
            _sheet_kg(settings[length], settings[width], thickness, settings["board_kg_m3"]),
        )
        for need in needs
        for kind, (length, width) in _BOARD_SIZES.items()
        if need.kind is kind
    ]


def _insulation(needs: Sequence[Need], settings: Settings) -> list[Lift]:
    """A sheet of each thickness that is laid."""
    return [
        _lift(
            INSULATION,
            f"one whole {small(need.words)}",
            _sheet_kg(
                settings["insulation_length_mm"],
                settings["insulation_width_mm"],
                chosen(need.words, size, Unit.MM, "the list of items"),
                settings["insulation_kg_m3"],
            ),
        )
        for need in needs
        if need.kind is ItemKind.INSULATION
        and (size := house_rules.items()[need.item].size) is not None
    ]


def _sheet_kg(length: Figure, width: Figure, thickness: Figure, density: Figure) -> Figure:
    area = derive("area of one sheet", Unit.M2, sheet_area_m2, length_mm=length, width_mm=width)
    return derive(
        "mass of one sheet", Unit.KG, slab_kg, area_m2=area, thickness_mm=thickness, kg_m3=density
    )


def _tins(needs: Sequence[Need]) -> list[Lift]:
    """The contents of each size of tin that is bought."""
    return [
        _lift(TIN, f"one tin of {wording.exact(size.number)} kg of {small(need.words)}", size)
        for need in needs
        if need.kind in _TINS
        for size in _pack_sizes(need)
    ]


def _rolls(enquiry: Enquiry, needs: Sequence[Need]) -> list[Lift]:
    return [
        _lift(
            MAT,
            f"one roll of {wording.exact(size.number)} m² of {small(need.words)}",
            derive("mass of a roll", Unit.KG, roll_kg, area_m2=size, mat_g_m2=enquiry.mat_g_m2),
        )
        for need in needs
        if need.kind is ItemKind.MAT
        for size in _pack_sizes(need)
    ]


def _pack_sizes(need: Need) -> list[Figure]:
    bought = need.purchase.packs if need.purchase else ()
    return [
        Figure(
            f"one pack of {need.words}",
            count.pack.pack_size,
            need.unit,
            Origin(Source.PRICE, f"{count.pack.place.book}, {count.pack.place}"),
        )
        for count in bought
    ]


def _lead(lines: Sequence[Strip], settings: Settings) -> list[Lift]:
    if not any(is_scrap(line) for line in lines):
        return []
    each = lead_kg_m2(settings)
    metre = chosen("length of the roll", 1.0, Unit.M, "each metre of a strip rolled up")
    width = settings["lead_strip_mm"]
    mass = derive(
        "mass of rolled lead", Unit.KG, rolled_lead_kg, length_m=metre, width_mm=width, kg_m2=each
    )
    words = f"old lead rolled up, each metre of a strip {wording.mm(width.number)} wide"
    return [_lift(LEAD, words, mass)]


def _sacks(lines: Sequence[Strip], settings: Settings) -> list[Lift]:
    sacked = any(line.leaves is Leaves.SACKS for line in lines)
    return [_lift(SACK, "one rubble sack", settings["sack_kg"])] if sacked else []


def sheet_area_m2(length_mm: float, width_mm: float) -> float:
    """The area of one sheet: length x width.

    Inputs [mm], result [m2].

    >>> round(sheet_area_m2(2440, 1220), 4)
    2.9768
    """
    return mm2_to_m2(length_mm * width_mm)


def roll_kg(area_m2: float, mat_g_m2: float) -> float:
    """Mass of a roll of mat: area x mass of a square metre.

    Inputs [m2, g/m2], result [kg].

    >>> roll_kg(30, 450)
    13.5
    """
    return area_m2 * mat_g_m2 / 1000


def rolled_lead_kg(length_m: float, width_mm: float, kg_m2: float) -> float:
    """Mass of a strip of sheet lead: length x width x mass of a square metre.

    Inputs [m, mm, kg/m2], result [kg].

    >>> round(rolled_lead_kg(6, 240, 20.41), 2)
    29.39
    """
    return length_m * mm_to_m(width_mm) * kg_m2


def people_to_lift(mass_kg: float, guide_kg: float) -> float:
    """One person up to the guide figure that serves everyone, two above it.

    Inputs [kg], result [people]. Source: HSE INDG143, lifting and lowering filter.

    >>> people_to_lift(15.0, 16.0), people_to_lift(34.8, 16.0)
    (1.0, 2.0)
    """
    return 1.0 if mass_kg <= guide_kg else 2.0


def team_kg(one_kg: float, people: float, share: float) -> float:
    """Guide figure for a team: people x figure of one x share of the sum a team can manage.

    Inputs [kg, people, share], result [kg]. Source: HSE L23, handling by a team.

    >>> round(team_kg(16.0, 2.0, 0.667), 2)
    21.34
    """
    return people * one_kg * share
