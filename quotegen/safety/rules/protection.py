"""What to wear, task by task, and the classes that decide it."""

from collections.abc import Iterable, Mapping, Sequence

from quotegen import wording
from quotegen.model.safety import Fact, Protection
from quotegen.phrases import capital
from quotegen.reference import rules
from quotegen.reference.life import marked
from quotegen.reference.loader import entry
from quotegen.reference.rule_keys import GloveSentence
from quotegen.reference.rule_records import GloveRule
from quotegen.safety.facts.facts import holds
from quotegen.safety.rules.text import Numbers, TextPlace, printed, told
from quotegen.tables import ReferenceFileError

_MATERIALS_NAMED = 2


def filter_type(boils_c: float, type_a_above_c: float) -> str:
    """The type of gas filter for an organic vapour by its boiling point: A above it, AX up to it.

    Inputs [degC]. AX filters are used once. Source: BS EN 14387.

    >>> filter_type(145, 65), filter_type(56, 65)
    ('A', 'AX')
    """
    return "A" if boils_c > type_a_above_c else "AX"


def least_permeation_level(spell_min: float, levels_min: Sequence[float]) -> int:
    """The lowest level at which every glove outlasts a spell of work.

    A glove of level n has a breakthrough of more than the n-th time, so the first time that is
    no shorter than the spell gives the level. Inputs [min]; a spell up to the last time.
    Source: BS EN ISO 374-1:2016, permeation performance levels.

    >>> least_permeation_level(60, (10, 30, 60, 120, 240, 480))
    3
    """
    return next(level for level, least in enumerate(levels_min, 1) if least >= spell_min)


def mask_ceiling_ppm(limit_ppm: float, factor: float, filter_most_ppm: float) -> float:
    """The most vapour a mask is good for: factor x limit, but no more than its filter can take.

    Inputs [ppm, times, ppm], result [ppm]. Source: HSE HSG53, assigned protection factors;
    BS EN 14387, classes of gas filters.

    >>> mask_ceiling_ppm(100, 10, 5000), mask_ceiling_ppm(1000, 10, 5000)
    (1000, 5000)
    """
    return min(factor * limit_ppm, filter_most_ppm)


def glove_materials(against: Sequence[str], least_level: int) -> tuple[str, ...]:
    """The materials that reach a level against every one of these substances, handiest first.

    >>> glove_materials(["styrene"], 3)
    ('laminate', 'fluoro')
    """
    tables = [entry(f"gloves.{substance}").value for substance in against]
    return tuple(
        material
        for material in entry("gloves.materials").value
        if all(table[material] >= least_level for table in tables)
    )


def glove_letter(substance: str) -> str:
    """The letter to look for in a glove's marking, with its chemical; empty where there is none.

    >>> glove_letter("styrene"), glove_letter("catalyst")
    ('F (toluene)', '')
    """
    chemical = entry("gloves.nearest").value.get(substance)
    letters = entry("gloves.letters").value
    return next((f"{at} ({name})" for at, name in letters.items() if name == chemical), "")


def glove_line(rule: GloveRule) -> str:
    """The gloves for a task: materials that hold, level and time, and letter.

    The two handiest are named, and the one that is bought since it holds in every task. That
    nothing holds is our own fault: the task or the table is wrong.
    """
    level = _level(rule)
    found = glove_materials(rule.against, level)
    if not found:
        raise ReferenceFileError(f"no glove reaches level {level} against {rule.against}")
    named = dict.fromkeys([*found[:_MATERIALS_NAMED], *(one for one in found if one in _for_all())])
    names = entry("gloves.materials").value
    letters = _letters(rule.against)
    return told(
        GloveSentence.FOR_TASK if letters else GloveSentence.FOR_TASK_UNMARKED,
        materials=capital(" or ".join(names[material] for material in named)),
        level=_as_read(level, rule.against),
        spell=wording.count(rule.spell_min, "minute", "minutes"),
        against=" and ".join(rule.against),
        **_lettered(letters),
    )


def _for_all() -> tuple[str, ...]:
    """The handiest material that holds in every task of the trade; none if none does."""
    tasks = [task.gloves for task in rules.protection() if task.gloves]
    against = list(dict.fromkeys(one for task in tasks for one in task.against))
    return glove_materials(against, max(map(_level, tasks)))[:1]


def gloves_for_all(facts: Mapping[str, Fact]) -> str:
    """The gloves to buy: the handiest material that holds in every task of the job, and its marks.

    It reaches the highest level any task asks for against the substances of them all. That nothing
    does is our own fault: a task or the table is wrong. The standard alone where no task of the
    facts asks for any.
    """
    tasks = [task.gloves for task in rules.protection() if task.gloves and holds(task.when, facts)]
    if not tasks:
        return told(GloveSentence.FOR_NONE)
    against = list(dict.fromkeys(one for task in tasks for one in task.against))
    level = max(_level(task) for task in tasks)
    found = glove_materials(against, level)
    if not found:
        raise ReferenceFileError(f"no glove reaches level {level} against {against}")
    letters = _letters(against)
    return told(
        GloveSentence.FOR_ALL if letters else GloveSentence.FOR_ALL_UNMARKED,
        material=capital(entry("gloves.materials").value[found[0]]),
        level=_as_read(level, against),
        **_lettered(letters),
    )


def _as_read(level: int, against: Iterable[str]) -> str:
    """A level, with the sign where nobody has read which materials reach it."""
    return marked(str(level), *(entry(f"gloves.{substance}") for substance in against))


def _lettered(letters: str) -> Mapping[str, str]:
    """What a sentence on marked gloves says that one on gloves without a letter does not."""
    return {"letters": letters} if letters else {}


def _level(rule: GloveRule) -> int:
    """The level that gloves need for the task's spell of work."""
    return least_permeation_level(rule.spell_min, entry("protection.permeation_minutes").value)


def _letters(against: Iterable[str]) -> str:
    """The letters to look for in the marking; empty where there are none."""
    return " and ".join(letter for one in against if (letter := glove_letter(one)))


def protection_of(
    facts: Mapping[str, Fact], words: Mapping[str, str], numbers: Numbers
) -> tuple[Protection, ...]:
    """What to wear for each task that the facts bring in."""
    return tuple(
        Protection(
            key=rule.key,
            task=rule.task,
            eyes=" ".join(printed(rule.eyes, facts, words)),
            gloves=glove_line(rule.gloves) if rule.gloves else "",
            hands=" ".join(printed(rule.hands, facts, words)),
            breathing=" ".join(printed(rule.breathing, facts, words)),
            other=" ".join(printed(rule.other, facts, words)),
            number=numbers[TextPlace("protection", rule.key)],
        )
        for rule in rules.protection()
        if holds(rule.when, facts)
    )
