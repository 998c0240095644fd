"""What to wear, task by task, and the classes that decide it."""

from collections.abc import Mapping, Sequence

from quotegen.model.safety import Fact, Protection
from quotegen.reference import rules
from quotegen.safety.facts import holds
from quotegen.safety.text import printed


def filter_type(boils_c: float, type_a_above_c: float) -> str:
    """The type of gas filter for an organic vapour by its boiling point: A above it, AX up to it.

    Inputs [degC]. AX filters are used once. Source: BS EN 14387.

    >>> filter_type(145, 65), filter_type(56, 65)
    ('A', 'AX')
    """
    return "A" if boils_c > type_a_above_c else "AX"


def least_permeation_level(spell_min: float, levels_min: Sequence[float]) -> int:
    """The lowest level whose every glove outlasts a spell of work.

    A glove of level n has a breakthrough of more than the n-th time, so the first time that is
    no shorter than the spell gives the level. Inputs [min]; a spell up to the last time.
    Source: BS EN ISO 374-1:2016, permeation performance levels.

    >>> least_permeation_level(60, (10, 30, 60, 120, 240, 480))
    3
    """
    return next(level for level, least in enumerate(levels_min, 1) if least >= spell_min)


def protection_of(facts: Mapping[str, Fact], words: Mapping[str, str]) -> tuple[Protection, ...]:
    """What to wear for each task that the facts bring in."""
    return tuple(
        Protection(
            task=rule.task,
            eyes=" ".join(printed(rule.eyes, facts, words)),
            hands=" ".join(printed(rule.hands, facts, words)),
            breathing=" ".join(printed(rule.breathing, facts, words)),
            other=" ".join(printed(rule.other, facts, words)),
        )
        for rule in rules.protection()
        if holds(rule.when, facts)
    )
