"""The name of a task: its words in the house table, with the edge or thing it is done to."""

from quotegen.reference.firm.house_words import house_words
from quotegen.reference.remark_keys import Task
from quotegen.reference.remarks import remark, written


def task_name(key: Task, **names: str) -> str:
    """The words of a task, filled in.

    >>> task_name(Task.TRIM, edge="front")
    'Fit the trim, front'
    """
    return written(remark(key, **names), house_words("work.toml", "task", Task))
