"""How much heavier or lighter the roof becomes, and the load then on its joists."""

from collections.abc import Iterator, Sequence

from quotegen.model.choices import Covering, JoistRun
from quotegen.model.enquiry import Enquiry
from quotegen.model.roof import Outline
from quotegen.model.takeoff import Strip
from quotegen.reference import loader as reference
from quotegen.reference.remarks import Remark, remark
from quotegen.reference.rule_keys import Told
from quotegen.takeoff.basis.job import Job
from quotegen.takeoff.strip.strip import comes_off, covering_kg, deck_kg, knows_deck
from quotegen.units import Unit
from quotegen.working import Figure, alike, chosen, derive, total


def weight_change(job: Job, lines: Sequence[Strip], laminate_kg: Figure) -> Figure | None:
    """How much heavier covering and deck become, in per cent of the old (lighter is negative).

    Of what is taken off, put on and stays above the joists; they and the ceiling are left out.
    None when it is not known what is there now.
    """
    stays = _stays(job)
    if stays is None:
        return None
    old_kg = derive("old roof", Unit.KG, total, parts=[*(s.mass_kg for s in lines), *stays])
    if not old_kg.number:
        return None
    new_kg = _new_kg(job, laminate_kg, stays)
    return derive("change of weight", Unit.PERCENT, change_pct, old=old_kg, new=new_kg)


def load_on_joists(job: Job, laminate_kg: Figure) -> Figure | None:
    """The dead load of the finished covering and deck on the joists, spread over the deck [kN/m2].

    Without joists, ceiling, snow and people. None when it is not known what stays.
    """
    stays = _stays(job)
    if stays is None:
        return None
    return derive(
        "load on the joists",
        Unit.KN_PER_M2,
        load_kn_m2,
        mass_kg=_new_kg(job, laminate_kg, stays),
        area_m2=job.deck_m2,
        fall_m_s2=reference.figure("flat_roofs.free_fall_m_s2"),
    )


def joist_span_mm(enquiry: Enquiry, outline: Outline) -> Figure | None:
    """The longest the joists can be [mm]: the outline from end to end the way they run.

    None where nobody saw which way that is.
    """
    run = enquiry.roof.joist_run
    if run is None:
        return None
    along = [point[0 if run is JoistRun.ALONG else 1] for point in outline.points]
    reach = max(along) - min(along)
    return chosen("span of the joists", reach, Unit.MM, "the outline the way the joists run")


def weight_notes(job: Job, change: Figure | None, load: Figure | None) -> Iterator[Remark]:
    """The load on the joists, with what is known of them, and a note if a roof becomes much
    lighter.

    Lighter is judged by the same limit as a heavier roof that needs a check.
    """
    roof, span = job.enquiry.roof, joist_span_mm(job.enquiry, job.outline)
    depth, width, centres = roof.joist_depth_mm, roof.joist_width_mm, roof.joist_centres_mm
    if load and depth and width and centres and span:
        joists = {"depth": depth, "width": width, "centres": centres, "span": span}
        yield remark(Told.LOAD_ON_JOISTS, load=load, **joists)
    elif load:
        yield remark(Told.LOAD, load=load)
    if change and -change.number > job.settings.number("weight_change_pct"):
        yield remark(Told.LIGHTER, change=change)


def _stays(job: Job) -> list[Figure] | None:
    """What stays above the joists; None when it is not known what is there now."""
    existing = job.enquiry.existing
    if existing.covering is None or not knows_deck(job):
        return None
    stays = [] if job.layers.strips_deck else [deck_kg(job)]
    if not comes_off(job) and existing.covering is not Covering.NONE:
        stays.append(covering_kg(job))
    return stays


def _new_kg(job: Job, laminate_kg: Figure, stays: Sequence[Figure]) -> Figure:
    return derive("new roof", Unit.KG, total, parts=[laminate_kg, *_new_parts(job), *stays])


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


def load_kn_m2(mass_kg: float, area_m2: float, fall_m_s2: float) -> float:
    """Load of a mass spread over an area: mass x free fall / 1000 / area.

    Inputs [kg, m2, m/s2], result [kN/m2].

    >>> round(load_kn_m2(150, 10, 9.81), 4)
    0.1472
    """
    return mass_kg * fall_m_s2 / 1000 / area_m2


@alike("old", "new", result=False)
def change_pct(old: float, new: float) -> float:
    """Change in per cent of the old: 100 x (new - old) / old.

    >>> change_pct(40, 6)
    -85.0
    """
    return 100 * (new - old) / old
