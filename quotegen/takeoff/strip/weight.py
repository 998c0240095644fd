"""How much heavier or lighter the roof becomes."""

from collections.abc import Sequence

from quotegen.model.choices import Covering
from quotegen.model.takeoff import Strip
from quotegen.reference.remarks import Remark, remark
from quotegen.reference.rule_keys import Told
from quotegen.takeoff.basis.job import Job
from quotegen.takeoff.strip.strip import comes_off, covering_kg, deck_kg, knows_deck
from quotegen.units import Unit
from quotegen.working import Figure, alike, derive, total


def weight_change(job: Job, lines: Sequence[Strip], laminate_kg: Figure) -> Figure | None:
    """Change of weight of the roof, in per cent of the old one: negative where it becomes lighter.

    None when it is not known what is there now.
    """
    existing = job.enquiry.existing
    if existing.covering is None or not knows_deck(job):
        return None
    stays = [] if job.layers.strips_deck else [deck_kg(job)]
    if not comes_off(job) and existing.covering is not Covering.NONE:
        stays.append(covering_kg(job))
    old_kg = derive("old roof", Unit.KG, total, parts=[*(s.mass_kg for s in lines), *stays])
    new_kg = derive("new roof", Unit.KG, total, parts=[laminate_kg, *_new_parts(job), *stays])
    if not old_kg.number:
        return None
    return derive("change of weight", Unit.PERCENT, change_pct, old=old_kg, new=new_kg)


def lighter_note(job: Job, change: Figure | None) -> list[Remark]:
    """That a roof loses much of its weight, by the limit that prompts a check of a heavier one."""
    if change is None or -change.number <= job.settings.number("weight_change_pct"):
        return []
    return [remark(Told.LIGHTER, change=change)]


def _new_parts(job: Job) -> list[Figure]:
    settings = job.settings
    board = settings["cap_board_mm"] if job.layers.cap_boards else job.enquiry.board_mm
    parts = [
        _slab(job, "new boards", board, settings["board_kg_m3"]) for _ in range(job.layers.boards)
    ]
    if job.layers.insulation and job.enquiry.insulation_mm:
        density = settings["insulation_kg_m3"]
        parts.append(_slab(job, "insulation", job.enquiry.insulation_mm, density))
    return parts


def _slab(job: Job, name: str, thickness: Figure, density: Figure) -> Figure:
    return derive(
        name, Unit.KG, slab_kg, area_m2=job.deck_m2, thickness_mm=thickness, kg_m3=density
    )


def slab_kg(area_m2: float, thickness_mm: float, kg_m3: float) -> float:
    """Mass of a slab: area x thickness x density.

    Inputs [m2, mm, kg/m3], result [kg].

    >>> round(slab_kg(2.44 * 1.22, 18, 650), 1)
    34.8
    """
    return area_m2 * thickness_mm / 1000 * kg_m3


@alike("old", "new", result=False)
def change_pct(old: float, new: float) -> float:
    """Change in per cent of the old: 100 x (new - old) / old.

    >>> change_pct(40, 6)
    -85.0
    """
    return 100 * (new - old) / old
