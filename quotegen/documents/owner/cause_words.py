"""What changes a cost, in a roofer's words."""

from quotegen.model.own.done import Recorded
from quotegen.reference.remark_keys import Task

_CAUSES = {
    "job": "all tasks slower or quicker",
    "materials": "materials used",
    "size": "the roof larger or smaller than measured",
    "rot": "rot found",
    "weather": "days lost to the weather",
}
_TASK = "task:"


def cause_words(cause: str) -> str:
    """What a cause of a `Driver` is called.

    >>> cause_words("rot"), cause_words("task:laminate"), cause_words("task:move-tower")
    ('rot found', 'hours: laminate', 'hours: move tower')
    """
    if not cause.startswith(_TASK):
        return _CAUSES[cause]
    task = Task(cause.removeprefix(_TASK))
    recorded = Recorded.__members__.get(task.name)
    return f"hours: {recorded or task.replace('-', ' ')}"
