"""Consumables: solvent, sleeves, brushes, buckets, and protective gear worn out."""

from collections.abc import Sequence

from quotegen.model.takeoff import Labour, Phase, Programme, ResinPlan, Stage
from quotegen.takeoff.basis.job import Demand, Job
from quotegen.takeoff.layers.mixes import bucket_limit_l
from quotegen.units import Unit, whole_number
from quotegen.working import Figure, alike, derive, total


def sundry_demands(
    job: Job, programme: Programme, labour: Sequence[Labour], resin: ResinPlan
) -> list[Demand]:
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
        Demand("bucket", laminating, _buckets(job, resin)),
        Demand("abrasive", laminating, abrasive),
        *_worn_out(job, programme, labour),
    ]


def _buckets(job: Job, resin: ResinPlan) -> Figure:
    settings = job.settings
    return derive(
        "mixing buckets",
        Unit.EACH,
        bucket_count,
        mixed_l=[resin.mixed_l, resin.topcoat_l],
        limit_l=bucket_limit_l(settings, hot=False),
        mixes_each=settings["mixes_per_bucket"],
        least=settings["buckets"],
    )


def _worn_out(job: Job, programme: Programme, labour: Sequence[Labour]) -> list[Demand]:
    """Gloves by the days on site; over-gloves and filters by those of laminate and topcoat.

    Filters are new on each such day, and for each layer of mat.
    """
    settings, crew = job.settings, programme.crew
    lay, coat = (_days_of(job, programme, labour, phase) for phase in (Phase.LAY, Phase.COAT))
    layers = derive(
        "days of laminate by layers",
        Unit.DAYS,
        days_by_layers,
        days=lay,
        layers=job.enquiry.mat_layers,
    )
    days = {
        "gloves": programme.days,
        "over_gloves": derive("days of laminate and topcoat", Unit.DAYS, total, parts=[lay, coat]),
        "filters": derive("changes of filters", Unit.DAYS, total, parts=[layers, coat]),
    }
    demands = [
        Demand(
            item,
            Stage.LAMINATE,
            derive(
                item,
                Unit.PAIR,
                worn_out,
                crew=crew,
                days=counted,
                each_person_day=settings[f"{item}_per_person_day"],
            ),
        )
        for item, counted in days.items()
    ]
    overalls = derive(
        "overalls",
        Unit.EACH,
        for_each_person,
        crew=crew,
        each=settings["overalls_per_person"],
    )
    return [*demands, Demand("overalls", Stage.LAMINATE, overalls)]


def _days_of(job: Job, programme: Programme, labour: Sequence[Labour], phase: Phase) -> Figure:
    """The days that one part of the work takes, each begun one counted whole."""
    return derive(
        f"days of {phase}",
        Unit.DAYS,
        days_begun,
        hours=[line.hours for line in labour if line.phase is phase],
        crew=programme.crew,
        day_h=job.settings["day_hours"],
    )


def days_begun(hours: Sequence[float], crew: float, day_h: float) -> float:
    """Days of some tasks: person-hours / (people x hours in a day), in whole days begun.

    Inputs [person-hours, people, h], result [days].

    >>> days_begun((9.0, 3.0), 2, 8), days_begun((18.0,), 2, 8), days_begun((), 2, 8)
    (1.0, 2.0, 0.0)
    """
    return float(whole_number(sum(hours) / (crew * day_h)))


def days_by_layers(days: float, layers: float) -> float:
    """Days on which filters are changed for laminate: one for each day and layer.

    >>> days_by_layers(1, 2)
    2
    """
    return days * layers


def bucket_count(
    mixed_l: Sequence[float], limit_l: float, mixes_each: float, least: float
) -> float:
    """Mixing buckets: each material's mixes / mixes from one bucket, at least the least.

    A material's mixes are its litres / the largest mix. Inputs [l, l, each, each], result [each].

    >>> bucket_count((51.0, 13.2), 4.0, 3, 2), bucket_count((2.7, 0.9), 4.0, 3, 2)
    (7.0, 2.0)
    """
    many = sum(whole_number(whole_number(litres / limit_l) / mixes_each) for litres in mixed_l)
    return float(max(least, many))


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
