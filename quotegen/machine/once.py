"""Results shared by the papers of one job, made once: drawings and shared calculations.

Papers are made job by job, so only the results for the latest records are kept and memory stays
flat.
"""

from collections.abc import Callable
from functools import wraps
from typing import ParamSpec, TypeVar

from quotegen.machine.day import day_in_force

Asked = ParamSpec("Asked")
_Made = TypeVar("_Made")


def once_a_job(make: Callable[Asked, _Made]) -> Callable[Asked, _Made]:
    """Cache a function's result for the same records, keyword arguments and day in force.

    Positional arguments are records of the job, matched by identity, because their values are deep
    and never change. Keyword arguments are matched by value.

    >>> repeated = once_a_job(lambda record, times: [*record * times])
    >>> record = ("a", "b")
    >>> repeated(record, times=2)
    ['a', 'b', 'a', 'b']
    >>> repeated(record, times=2) is repeated(record, times=2)
    True
    >>> repeated(record, times=2) is repeated(record, times=3)
    False
    """
    kept: tuple[tuple[object, ...], dict[object, _Made]] = ((), {})

    @wraps(make)
    def made_once(*records: Asked.args, **values: Asked.kwargs) -> _Made:
        nonlocal kept
        last, made = kept
        if [id(one) for one in last] != [id(one) for one in records]:
            made = {}
            kept = (records, made)
        key = (day_in_force(), *values.items())
        if key not in made:
            made[key] = make(*records, **values)
        return made[key]

    return made_once
