"""The work in order, with hold points and the figures of the job."""

from collections.abc import Mapping

from quotegen.model.safety import Fact, SheetLine, WorkStep
from quotegen.model.takeoff import Phase
from quotegen.reference import rules
from quotegen.safety.facts.facts import holds
from quotegen.safety.rules.text import Numbers, TextPlace, printed, with_figures
from quotegen.tables import member


def work_steps(
    facts: Mapping[str, Fact], words: Mapping[str, str], numbers: Numbers
) -> tuple[WorkStep, ...]:
    """The steps whose facts are present; a step with nothing to say is left out."""
    phases = {
        rule.key: member(Phase, rule.phase, f"steps.toml, {rule.key}, phase")
        for rule in rules.steps()
    }
    made = (
        WorkStep(
            key=rule.key,
            title=rule.title,
            phase=phases[rule.key],
            lines=printed((line for line in rule.lines if not line.sheet), facts, words),
            hold_point=" ".join(printed(rule.hold, facts, words)),
            on_sheet=tuple(
                SheetLine(
                    numbers[TextPlace("steps", rule.key, at)], "", with_figures(line.text, words)
                )
                for at, line in enumerate(rule.lines)
                if line.sheet and holds(line.when, facts)
            ),
        )
        for rule in rules.steps()
        if holds(rule.when, facts)
    )
    return tuple(step for step in made if step.lines or step.hold_point)
