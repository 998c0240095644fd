"""Fixings and hours of an expansion joint; its trim is cut with the others."""

from quotegen.model.settings import Lost
from quotegen.model.takeoff import Labour, Stage
from quotegen.reference.remark_keys import Task
from quotegen.takeoff.basis.job import Demand, Job, times
from quotegen.takeoff.basis.task_names import task_name
from quotegen.takeoff.shape.expansion_lines import joint_m
from quotegen.takeoff.trims.trim_fixings import at_spacing, per_length
from quotegen.units import Unit
from quotegen.working import derive


def expansion_demands(job: Job) -> list[Demand]:
    """What goes with the trim of the joints: adhesive and nails for both flanges, and bandage."""
    length = joint_m(job.outline)
    if length is None:
        return []
    settings = job.settings
    flanges = derive(
        "flanges of expansion joints",
        Unit.M,
        times,
        number=length,
        each=settings["expansion_flanges"],
    )
    tubes = derive(
        "adhesive for expansion joints",
        Unit.TUBE,
        per_length,
        length_m=flanges,
        m_each=settings["adhesive_m_per_tube"],
    )
    nails = derive(
        "nails for expansion joints",
        Unit.EACH,
        at_spacing,
        length_m=flanges,
        spacing_mm=settings["trim_nail_mm"],
    )
    bandage = flanges.renamed("bandage along expansion joints")
    return [
        Demand("adhesive", Stage.EDGES, tubes, job.waste(Lost.ADHESIVE)),
        Demand("clout", Stage.EDGES, nails, job.waste(Lost.FIXINGS)),
        Demand("bandage", Stage.EDGES, bandage, job.waste(Lost.BANDAGE)),
    ]


def expansion_labour(job: Job) -> list[Labour]:
    """Hours to fit the joints and to bandage both sides, by length."""
    length = joint_m(job.outline)
    if length is None:
        return []
    rate = job.settings["hours_expansion"]
    hours = derive("fit the expansion joint", Unit.PERSON_HOURS, times, number=length, each=rate)
    return [Labour(Task.EXPANSION, task_name(Task.EXPANSION), Stage.EDGES, hours)]
