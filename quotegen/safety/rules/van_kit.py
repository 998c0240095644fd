"""The firm's own kit that goes on the van, by the facts of the job."""

from collections.abc import Mapping, Sequence

from quotegen.model.roof import Point
from quotegen.model.safety import Fact, Kit
from quotegen.model.takeoff import Phase
from quotegen.reference import rules
from quotegen.safety.facts.facts import holds
from quotegen.safety.facts.job import PlannedJob
from quotegen.safety.rules.text import with_figures
from quotegen.tables import member
from quotegen.units import round_up

_PERSON = "person"


def kit_of(job: PlannedJob, facts: Mapping[str, Fact], words: Mapping[str, str]) -> tuple[Kit, ...]:
    """The firm's own things that the facts call for."""
    people = int(job.option.programme.crew.number)
    return tuple(
        Kit(
            key=rule.key,
            part=rule.part,
            words=with_figures(rule.words, words),
            many=rule.many * (people if rule.each == _PERSON else 1),
            phases=phases_of(rule.phases),
        )
        for rule in rules.van_kit()
        if holds(rule.when, facts)
    )


def phases_of(keys: Sequence[str]) -> tuple[Phase, ...]:
    """The parts of the work that a row of the table names."""
    return tuple(member(Phase, key, "van.toml, phases") for key in keys)


def closing_sheet_m(points: Sequence[Point], past_mm: float) -> tuple[float, float]:
    """The sheet that closes a roof: its length and width + what runs past each edge.

    Rounded up to half metres. Inputs [mm], result [m].

    >>> closing_sheet_m([(0.0, 0.0), (2400.0, 0.0), (1800.0, 600.0), (600.0, 600.0)], 500.0)
    (3.5, 2.0)
    """
    across, out = zip(*points, strict=True)
    return (
        round_up((max(across) - min(across) + 2 * past_mm) / 1000, 0.5),
        round_up((max(out) - min(out) + 2 * past_mm) / 1000, 0.5),
    )
