"""Consumables: solvent, sleeves, brushes, and protective gear worn out."""

from quotegen.model.takeoff import Programme, Stage
from quotegen.takeoff.basis.job import Demand, Job
from quotegen.units import Unit
from quotegen.working import Figure, alike, derive


def sundry_demands(job: Job, programme: Programme) -> list[Demand]:
    """All consumables that no other part of the take-off counts."""
    settings = job.settings
    laminating = Stage.LAMINATE
    acetone = derive(
        "acetone",
        Unit.L,
        at_least,
        area_m2=job.laminate_m2,
        m2_each=settings["acetone_m2_per_l"],
        least=settings["acetone_least_l"],
    )
    sleeves = derive(
        "roller sleeves",
        Unit.EACH,
        sleeve_count,
        area_m2=job.laminate_m2,
        m2_each=settings["sleeve_m2"],
        least=settings["sleeves_least"],
    )
    brushes = derive(
        "brushes",
        Unit.EACH,
        brush_count,
        area_m2=job.laminate_m2,
        m2_each=settings["brush_m2"],
        least=settings["brushes_least"],
    )
    abrasive = derive(
        "abrasive sheets",
        Unit.EACH,
        by_area,
        area_m2=job.laminate_m2,
        m2_each=settings["abrasive_m2"],
    )
    return [
        Demand("acetone", laminating, acetone),
        Demand("sleeve", laminating, sleeves),
        Demand("brush", laminating, brushes),
        Demand("bucket", laminating, settings["buckets"]),
        Demand("abrasive", laminating, abrasive),
        *_worn_out(job, programme),
    ]


def _worn_out(job: Job, programme: Programme) -> list[Demand]:
    settings = job.settings
    demands = []
    for item, rate in (("gloves", "gloves_per_person_day"), ("filters", "filters_per_person_day")):
        worn: Figure = derive(
            item,
            Unit.PAIR,
            worn_out,
            crew=programme.crew,
            days=programme.days,
            each_person_day=settings[rate],
        )
        demands.append(Demand(item, Stage.LAMINATE, worn))
    overalls = derive(
        "overalls",
        Unit.EACH,
        for_each_person,
        crew=programme.crew,
        each=settings["overalls_per_person"],
    )
    return [*demands, Demand("overalls", Stage.LAMINATE, overalls)]


@alike("least")
def at_least(area_m2: float, m2_each: float, least: float) -> float:
    """Units for an area, at least the least: area / area each.

    >>> at_least(25.0, 10.0, 1.0), at_least(2.0, 10.0, 1.0)
    (2.5, 1.0)
    """
    return max(least, area_m2 / m2_each)


def by_area(area_m2: float, m2_each: float) -> float:
    """Units for an area: area / area each.

    >>> by_area(14.0, 7.0)
    2.0
    """
    return area_m2 / m2_each


@alike("least")
def brush_count(area_m2: float, m2_each: float, least: float) -> float:
    """Brushes: the least, and one more for each so many m2.

    >>> brush_count(15.0, 15.0, 2.0)
    3.0
    """
    return least + area_m2 / m2_each


@alike("least")
def sleeve_count(area_m2: float, m2_each: float, least: float) -> float:
    """Roller sleeves: area / area each, and one for the topcoat, at least the least.

    >>> sleeve_count(14.0, 7.0, 2.0), sleeve_count(1.0, 7.0, 2.0)
    (3.0, 2.0)
    """
    return max(least, area_m2 / m2_each + 1)


def worn_out(crew: float, days: float, each_person_day: float) -> float:
    """Gear used up: people x days x rate.

    >>> worn_out(2, 1.5, 4)
    12.0
    """
    return crew * days * each_person_day


def for_each_person(crew: float, each: float) -> float:
    """Gear for the job: people x rate.

    >>> for_each_person(2, 1)
    2
    """
    return crew * each
