"""Whether anyone may work from a ladder at all, and its load.

The grounds for refusing are in `ladder.toml` of the rules with their sources; this module says how
each is read off the job. Giving a reason never outweighs one of them: the law allows a ladder only
if the risk is low and, as well as that, the use is short or nothing else can stand there.
"""

from collections.abc import Callable, Mapping, Sequence

from quotegen.model.access import LadderUse
from quotegen.model.choices import Access, Deck, DeckCondition
from quotegen.model.settings import Settings
from quotegen.model.takeoff import Labour, Phase, Stage
from quotegen.reference.loader import entry, figure
from quotegen.reference.remark_keys import Task
from quotegen.reference.remarks import Remark, remark
from quotegen.reference.rule_keys import LadderGround
from quotegen.takeoff.basis.job import Job
from quotegen.takeoff.hours.programme import crew_on_job
from quotegen.takeoff.shape.edge_zone import all_within
from quotegen.units import Unit
from quotegen.working import Figure, derive, total

FRAGILE_DECKS = frozenset({Deck.CHIPBOARD, Deck.WOODWOOL})
LEANING = frozenset({Access.SCAFFOLD, Access.LADDER})
_MINUTES_IN_HOUR = 60


def judge_ladder(job: Job, lines: Sequence[Labour]) -> LadderUse:
    """What a ladder would be used for on this job, and every reason to refuse it."""
    tasks = [line for line in lines if _at_the_roof(line)]
    longest_min = derive(
        "longest task at the roof",
        Unit.MIN,
        longest_task_min,
        task_hours=[line.hours for line in tasks],
        crew=crew_on_job(job),
    )
    task = max(tasks, key=lambda line: line.hours.number).task if tasks else ""
    refusals = (
        _refusal(ground, job, task, longest_min)
        for ground, refused in _REFUSED.items()
        if refused(job, longest_min.number)
    )
    return LadderUse(task, longest_min, tuple(refusals))


def ladder_load(settings: Settings) -> Figure:
    """Everything on the ladder at once: the heaviest of the crew, kit, and what is in hand."""
    return derive(
        "load on the ladder",
        Unit.KG,
        total,
        parts=[
            settings["heaviest_person_kg"],
            settings["ladder_kit_kg"],
            figure("ladders.carried_kg"),
        ],
    )


def _at_the_roof(line: Labour) -> bool:
    """Whether a task keeps someone at the roof: not setting up, waiting, or driving."""
    away = line.phase is Phase.WAIT or line.key is Task.TIP_RUNS
    return not (line.stage is Stage.ACCESS or away)


def _no_room(job: Job) -> bool:
    return job.enquiry.site.room_for_tower is False


def _deck_unsound(job: Job, _minutes: float) -> bool:
    existing = job.enquiry.existing
    known = existing.deck is not None and existing.deck not in FRAGILE_DECKS
    return not (known and existing.condition is DeckCondition.SOUND)


def _too_high(job: Job, _minutes: float) -> bool:
    height = job.enquiry.roof.height_mm
    return height is not None and height.number > job.settings.number("ladder_height_mm")


def _too_long(job: Job, minutes: float) -> bool:
    return minutes > float(entry("ladders.short_minutes").value) and not _no_room(job)


_REFUSED: Mapping[LadderGround, Callable[[Job, float], bool]] = {
    LadderGround.HEIGHT_NOT_KNOWN: lambda job, _: job.enquiry.roof.height_mm is None,
    LadderGround.TOO_HIGH: _too_high,
    LadderGround.DECK_NOT_KNOWN_SOUND: _deck_unsound,
    LadderGround.OUT_OF_REACH: lambda job, _: (
        not all_within(job.outline, job.settings.number("ladder_reach_mm"))
    ),
    LadderGround.CABLES: lambda job, _: job.enquiry.site.overhead_cables is not False,
    LadderGround.TOO_LONG: _too_long,
    LadderGround.TOO_LONG_EVEN_SO: lambda job, minutes: (
        _no_room(job) and minutes > job.settings.number("ladder_longest_min")
    ),
}


def _refusal(ground: LadderGround, job: Job, task: str, longest_min: Figure) -> Remark:
    """A ground for refusing, with the figures its words can use."""
    settings, height = job.settings, job.enquiry.roof.height_mm
    figures: dict[str, Figure | str] = {
        "task": task,
        "minutes": longest_min,
        "height_limit": settings["ladder_height_mm"],
        "reach_limit": settings["ladder_reach_mm"],
        "long_limit": settings["ladder_longest_min"],
        "short_limit": figure("ladders.short_minutes"),
    }
    if height:
        figures["height"] = height
    return remark(ground, **{name: figures[name] for name in ground.figures})


def longest_task_min(task_hours: Sequence[float], crew: float) -> float:
    """The longest task by the clock: the most person-hours of one task / people, in minutes.

    One person is at the ladder while the others hand up, so the time of the task is the time at
    the ladder. Inputs [person-hours, people], result [min]; nothing to do is no time.

    >>> longest_task_min((0.4, 1.25, 0.6), 2), longest_task_min((), 2)
    (37.5, 0.0)
    """
    return max(task_hours, default=0.0) / crew * _MINUTES_IN_HOUR
