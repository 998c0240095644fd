"""The work in order, with hold points and the figures of the job."""

from collections.abc import Mapping

from quotegen.model.safety import Fact, WorkStep
from quotegen.model.takeoff import Phase
from quotegen.reference import rules
from quotegen.safety.facts import holds
from quotegen.safety.text import printed


def work_steps(facts: Mapping[str, Fact], words: Mapping[str, str]) -> tuple[WorkStep, ...]:
    """The steps whose facts are present; a step with nothing to say is left out."""
    made = (
        WorkStep(
            title=rule.title,
            phase=Phase(rule.phase),
            lines=printed(rule.lines, facts, words),
            hold_point=" ".join(printed(rule.hold, facts, words)),
        )
        for rule in rules.steps()
        if holds(rule.when, facts)
    )
    return tuple(step for step in made if step.lines or step.hold_point)
