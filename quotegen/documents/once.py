"""What the papers of one job share is made once: drawings, and the views they stand in.

The papers are made job by job, and each is filled twice, to tell whether it has changed and to be
printed. So only what was made from the last record is kept: the memory stays flat.
"""

from collections.abc import Callable
from typing import Concatenate, Generic, ParamSpec, TypeVar, cast

Record = TypeVar("Record")
Rest = ParamSpec("Rest")
Made = TypeVar("Made")


class OnceAJob(Generic[Record, Rest, Made]):
    """A function that is worked out once for the same record and the same further arguments.

    The record, its first argument, is known by being the very same object, for its value is deep
    and nothing in it ever changes; the others are known by value.

    >>> doubled = OnceAJob(lambda record, times: [*record * times])
    >>> one = ("a", "b")
    >>> doubled(one, 2)
    ['a', 'b', 'a', 'b']
    >>> doubled(one, 2) is doubled(one, 2), doubled(one, 2) is doubled(one, 3)
    (True, False)
    """

    def __init__(self, make: Callable[Concatenate[Record, Rest], Made]) -> None:
        self._make = make
        self._kept: tuple[object, dict[object, Made]] = (None, {})
        self.__doc__ = make.__doc__

    def __call__(self, record: Record, *rest: Rest.args, **named: Rest.kwargs) -> Made:
        """What the function gives, made now or before."""
        of, made = self._kept
        if of is not record:
            made = {}
            self._kept = (record, made)
        key = (rest, tuple(named.items()))
        if key not in made:
            made[key] = self._make(record, *rest, **named)
        return made[key]


def once_a_job(
    make: Callable[Concatenate[Record, Rest], Made],
) -> Callable[Concatenate[Record, Rest], Made]:
    """Keep what a function makes from the record of a job; see `OnceAJob`."""
    return cast("Callable[Concatenate[Record, Rest], Made]", OnceAJob(make))
