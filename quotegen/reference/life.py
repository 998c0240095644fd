"""Published values and rules by the day: which of several is in force, which are to be read again.

Whatever looks one up does so on the day in force: that of the paper, or for the work that of the
work. It is set with `on_day` where a quote is priced, a statement made and a paper drawn up.
"""

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import date, timedelta
from itertools import pairwise
from typing import Any, Protocol, TypeVar

from msgspec import field

from quotegen.machine.day import DAY
from quotegen.tables import UNREAD, Confirmed, ReferenceFileError, Said, Table, dated_if_read

UNREAD_SIGN = "†"
"""What stands on a paper beside a value that nobody has read; its foot says what the sign means."""

REVIEW_AFTER = timedelta(days=2 * 365)
"""How long what was read is taken to hold, where the row says nothing else: a house figure."""

_LOOKED_UP: ContextVar[dict[str, Any] | None] = ContextVar("what was looked up", default=None)


class Lived(Table, frozen=True, kw_only=True):
    """What was published: its source, how it was confirmed, and from when to when it holds.

    `checked` is the day it was read, None where nobody has read it, and `address` the public page
    it was read on. It is in force from `begins` (`from` in a file) to `until`, both days included;
    blank is from ever or for ever. `review_by` is the day it is to be read again by; blank is two
    years after it was read.
    """

    source: Said
    confirmed: Confirmed
    checked: date | None = None
    address: str = ""
    begins: date | None = field(default=None, name="from")
    until: date | None = None
    review_by: date | None = None

    def __post_init__(self) -> None:
        dated_if_read(self.confirmed, self.checked)

    @property
    def to_be_read_by(self) -> date | None:
        """The day by which it is to be read again; None for what nobody has read."""
        return self.review_by or (self.checked + REVIEW_AFTER if self.checked else None)

    def holds_on(self, day: date) -> bool:
        """Whether it is in force on a day, as far as its own dates go."""
        begun = self.begins is None or self.begins <= day
        return begun and (self.until is None or day <= self.until)


def marked(words: str, *lives: Lived) -> str:
    """The words of a value with the sign after them where nobody has read what it comes from."""
    return words + UNREAD_SIGN if any(life.confirmed == UNREAD for life in lives) else words


class Keyed(Protocol):
    """A row with a key and a life."""

    @property
    def key(self) -> str:
        """The key of the row."""

    @property
    def begins(self) -> date | None:
        """The first day it is in force."""

    @property
    def until(self) -> date | None:
        """The last day it is in force."""

    def holds_on(self, day: date) -> bool:
        """Whether it is in force on a day."""


_Row = TypeVar("_Row", bound=Keyed)


@contextmanager
def on_day(day: date) -> Iterator[dict[str, Any]]:
    """Look everything up as in force on a day; gives what is looked up meanwhile, by its key."""
    looked_up: dict[str, Any] = {}
    day_before, up_before = DAY.set(day), _LOOKED_UP.set(looked_up)
    try:
        yield looked_up
    finally:
        DAY.reset(day_before)
        _LOOKED_UP.reset(up_before)


def note_looked_up(key: str, found: object) -> None:
    """Keep what was looked up, for whoever set the day."""
    noted = _LOOKED_UP.get()
    if noted is not None:
        noted[key] = found


def in_turn(rows: Iterable[_Row], where: str) -> tuple[_Row, ...]:
    """The rows of one key in order of time; a gap or an overlap between two is refused."""
    ordered = sorted(rows, key=lambda row: row.begins or date.min)
    for earlier, later in pairwise(ordered):
        if later.begins is None:
            raise ReferenceFileError(f"{where} stands twice without dates")
        if earlier.until is not None and earlier.until != later.begins - timedelta(days=1):
            raise ReferenceFileError(
                f"{where}: one ends on {earlier.until.isoformat()}, "
                f"the next begins on {later.begins.isoformat()}"
            )
        if earlier.begins == later.begins:
            raise ReferenceFileError(f"{where} stands twice from {later.begins.isoformat()}")
    return tuple(ordered)


def in_force(rows: Sequence[_Row], day: date | None, where: str) -> _Row:
    """The one of the rows of a key that is in force on a day.

    Raises `ReferenceFileError` for several without a day, and where none is in force.
    """
    if day is None:
        if len(rows) > 1:
            raise ReferenceFileError(f"{where} depends on the date")
        return rows[0]
    begun = [row for row in rows if row.begins is None or row.begins <= day]
    if not begun or not begun[-1].holds_on(day):
        raise ReferenceFileError(f"{where} has no value on {day.isoformat()}")
    return begun[-1]


def all_in_force(rows: Sequence[_Row], day: date | None) -> tuple[_Row, ...]:
    """Of the rows of a table those in force on a day; all without one.

    Of two with one key the later takes over on the day it begins.
    """
    if day is None:
        return tuple(rows)
    last = {row.key: row for row in rows if row.begins is None or row.begins <= day}
    return tuple(row for row in rows if last.get(row.key) is row and row.holds_on(day))
