"""The hours of moving one tower along the edges."""

from collections.abc import Mapping

from quotegen.model.access import AccessPlan
from quotegen.model.takeoff import Labour, Phase, Stage
from quotegen.reference.remark_keys import Task
from quotegen.takeoff.basis.job import Job
from quotegen.takeoff.basis.task_names import task_name
from quotegen.takeoff.hours.hours import count_hours
from quotegen.units import Unit
from quotegen.working import Figure, alike, chosen, derive


def moving_labour(job: Job, access: AccessPlan) -> list[Labour]:
    """The moves of a tower by phase of the work; none where it has one place or stands still."""
    if len(access.places) < 2:
        return []
    places = chosen("places of the tower", float(len(access.places)), Unit.EACH, "on the outline")
    lines = []
    for phase, times in _rounds(job).items():
        moves = derive(f"moves: {phase}", Unit.EACH, tower_moves, places=places, rounds=times)
        task = task_name(Task.MOVE_TOWER, phase=str(phase))
        hours = derive(
            task.lower(),
            Unit.PERSON_HOURS,
            count_hours,
            number=moves,
            each_hours=job.settings["hours_tower_move"],
        )
        lines.append(Labour(Task.MOVE_TOWER, task, Stage.ACCESS, hours, phase))
    return lines


def _rounds(job: Job) -> Mapping[Phase, Figure]:
    """How often the tower goes round the roof in each phase.

    Once to strip, if anything comes off; once for boards and trims; once to laminate; once for
    flashings, sanding and topcoat. Common practice, no source.
    """
    strips = job.layers.strips_covering or job.layers.strips_deck
    words = "strip, then boards and trims" if strips else "boards and trims"
    opened = chosen("rounds", 1.0 + float(strips), Unit.EACH, words)
    once = chosen("rounds", 1.0, Unit.EACH, "once round")
    return {Phase.OPEN: opened, Phase.LAY: once, Phase.COAT: once}


@alike("places", "rounds")
def tower_moves(places: float, rounds: float) -> float:
    """Moves of a tower: (places - 1) x rounds, as each round begins where the last one ended.

    >>> tower_moves(3, 2), tower_moves(1, 2)
    (4, 0)
    """
    return (places - 1) * rounds
