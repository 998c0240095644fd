"""The platform at the edge: its height, its rails, its load."""

from quotegen.model.access import Platform
from quotegen.model.choices import Below, EdgeWay
from quotegen.reference.loader import entry, figure
from quotegen.takeoff.access.guard_rails import planned_rails, rails_above
from quotegen.takeoff.basis.job import Job
from quotegen.units import Unit, mm_to_m
from quotegen.working import Figure, alike, chosen, derive

_PASSED_BELOW = frozenset({Below.PAVEMENT, Below.ROAD, Below.DOORWAY, Below.DRIVE})


def platform_of(job: Job, way: EdgeWay) -> Platform:
    """The platform of a way on this job; heights are None while nobody has measured the edge.

    The rails are measured from where people stand: the boards, or the edge of the roof.
    """
    settings, height_mm = job.settings, job.enquiry.roof.height_mm
    stood_on = way is not EdgeWay.ONE_TOWER
    code = "platform_below_stood_mm" if stood_on else "platform_below_mm"
    below_mm = settings[code].renamed("platform below the edge")
    rails = rails_above(below_mm, settings) if stood_on else planned_rails(settings)
    up_m = top_m = None
    if height_mm is not None:
        up_m = derive(
            "platform above the ground",
            Unit.M,
            platform_up_m,
            height_mm=height_mm,
            below_mm=below_mm,
        )
        top_m = derive(
            "top rail above the ground",
            Unit.M,
            top_rail_m,
            up_m=up_m,
            top_mm=rails.top_mm,
        )
    stacked = job.layers.boards > 0 or job.layers.insulation or job.layers.strips_covering
    kind = "stacked" if stacked else "light"
    load = figure(f"work_at_height.load_{kind}")
    return Platform(
        below_mm=below_mm,
        up_m=up_m,
        top_rail_m=top_m,
        rails=rails,
        load_class=str(entry(f"work_at_height.class_{kind}").value),
        load=load,
        load_kg=derive(
            "load on a square metre", Unit.KG_PER_M2, load_kg_m2, load=load, per_kn=_per_kn()
        ),
        stacked=stacked,
        brick_guards=way is EdgeWay.SCAFFOLD
        and (not job.enquiry.below or bool(_PASSED_BELOW.intersection(job.enquiry.below))),
    )


def _per_kn() -> Figure:
    return chosen(
        "kilograms whose weight is a kilonewton", 1000 / 9.81, Unit.KG, "1000 N / 9.81 m/s2"
    )


@alike("height_mm", "below_mm", result=False)
def platform_up_m(height_mm: float, below_mm: float) -> float:
    """Height of a platform: height of the edge - how far it is below, never under the ground.

    Inputs [mm], result [m]. Common practice, no source.

    >>> platform_up_m(2600, 900), platform_up_m(800, 900)
    (1.7, 0.0)
    """
    return mm_to_m(max(0.0, height_mm - below_mm))


def top_rail_m(up_m: float, top_mm: float) -> float:
    """Height of the top rail: height of the platform + the rail above its boards.

    Inputs [m, mm], result [m]. Source: Work at Height Regulations 2005, schedule 2: 950 mm.

    >>> round(top_rail_m(2.6, 950), 2)
    3.55
    """
    return up_m + mm_to_m(top_mm)


def load_kg_m2(load: float, per_kn: float) -> float:
    """Mass a square metre can carry: load x kilograms for a kilonewton.

    Inputs [kN/m2, kg], result [kg/m2]. BS EN 12811-1, table 3: class 2 1.5, class 3 2.0 kN/m2.

    >>> round(load_kg_m2(2.0, 1000 / 9.81))
    204
    """
    return load * per_kn
