"""What the papers of one job share is made once: drawings, and what is worked out for several.

The papers are made job by job, so only what was made from the last records is kept: the memory
stays flat.
"""

from collections.abc import Callable
from functools import wraps
from typing import ParamSpec, TypeVar

Asked = ParamSpec("Asked")
Made = TypeVar("Made")


def once_a_job(make: Callable[Asked, Made]) -> Callable[Asked, Made]:
    """A function that is worked out once for the same records and the same further arguments.

    What is given by place are records of the job: each is known by being the very same object, for
    its value is deep and nothing in it ever changes. What is given by name is known by its value.

    >>> repeated = once_a_job(lambda record, times: [*record * times])
    >>> record = ("a", "b")
    >>> repeated(record, times=2)
    ['a', 'b', 'a', 'b']
    >>> repeated(record, times=2) is repeated(record, times=2)
    True
    >>> repeated(record, times=2) is repeated(record, times=3)
    False
    """
    kept: tuple[tuple[object, ...], dict[object, Made]] = ((), {})

    @wraps(make)
    def made_once(*records: Asked.args, **values: Asked.kwargs) -> Made:
        nonlocal kept
        last, made = kept
        if [id(one) for one in last] != [id(one) for one in records]:
            made = {}
            kept = (records, made)
        key = tuple(values.items())
        if key not in made:
            made[key] = make(*records, **values)
        return made[key]

    return made_once
