"""The notice to the occupier as a PDF: one page to put through the door.

The notice to those in the building: when we come, what they notice, what we ask of them.
"""

from collections.abc import Iterator, Mapping
from enum import Enum
from typing import Any

from msgspec import Struct

from quotegen import wording
from quotegen.days.first_day import first_day_of
from quotegen.documents.drawing.day_chart import clock
from quotegen.documents.printing.design import Design
from quotegen.documents.printing.paper import PictureBox, one_line
from quotegen.documents.shared.before_words import open_words
from quotegen.model.days import WorkDay
from quotegen.model.issue import Issue
from quotegen.model.safety import MethodStatement
from quotegen.model.takeoff import Phase
from quotegen.phrases import capital
from quotegen.units import whole_number

NO_START = "The start, in the workbook"
TOO_WET = "Dry days: the forecast has no room for the job"
MOVED = "Another day: the work cannot begin on the one in the workbook"


class Noticed(Enum):
    """What those in the building notice of the work."""

    NOISE = "noise and dust"
    SMELL = "strong smell"


_NOTICED: Mapping[Phase, Noticed] = {
    Phase.OPEN: Noticed.NOISE,
    Phase.SAND: Noticed.NOISE,
    Phase.LAY: Noticed.SMELL,
    Phase.COAT: Noticed.SMELL,
}


class NoticeDay(Struct, frozen=True):
    """One day: when we are there and what is noticed."""

    day: str
    begins: str
    ends: str
    noticed: str


class Request(Struct, frozen=True):
    """One thing the people there are asked, under its word."""

    title: str
    text: str


class TenantNoticeView(Struct, frozen=True):
    """Everything the notice shows but for the head.

    `dated` says that the days are agreed; without them the paper is no notice, and says why from
    what is `open`.
    """

    site_address: str
    roof: str
    dated: bool
    takes: str
    open: tuple[str, ...]
    days: tuple[NoticeDay, ...]
    requests: tuple[Request, ...]
    phone: str
    ask_for: str
    emergency_phone: str


def tenant_notice_view(statement: MethodStatement, _issue: Issue) -> TenantNoticeView:
    """The notice in ready words, of the job alone: nothing of the customer or of money.

    Nobody is given a notice with blank days: without agreed ones it has no days and no requests.
    """
    settings = statement.settings
    dated = first_day_of(statement).agreed
    open_days = whole_number(statement.option.programme.days.number)
    days = tuple(_dated_days(statement)) if dated else ()
    requests = tuple(Request(note.title, note.text) for note in statement.notice if dated)
    return TenantNoticeView(
        site_address=one_line(statement.enquiry.site_address),
        roof=str(statement.enquiry.roof.kind),
        dated=dated,
        takes=wording.count(float(open_days), "day", "days"),
        open=() if dated else tuple(_still_open(statement)),
        days=days,
        requests=requests,
        phone=settings.text("firm_phone"),
        ask_for=settings.text("supervisor"),
        emergency_phone=settings.text("emergency_phone"),
    )


def _still_open(statement: MethodStatement) -> Iterator[str]:
    """Why no day is agreed: what the start waits for, then what the row or the weather lacks."""
    yield from (capital(words) for words in open_words(statement.before))
    if statement.enquiry.start_on is None:
        yield NO_START
    elif statement.days.refused is not None:
        yield TOO_WET
    elif statement.before.settled:
        yield MOVED


def _dated_days(statement: MethodStatement) -> Iterator[NoticeDay]:
    for one in statement.days.worked:
        assert one.day is not None
        yield NoticeDay(
            day=wording.long_day(one.day),
            begins=clock(min(spell.span.from_h for spell in one.spells)),
            ends=clock(max(spell.span.to_h for spell in one.spells)),
            noticed=_noticed(one),
        )


def _noticed(one: WorkDay) -> str:
    """What is noticed on a day, the smell with the time it begins."""
    begins: dict[Noticed, float] = {}
    for spell in one.spells:
        if noticed := _NOTICED.get(spell.phase):
            begins[noticed] = min(spell.span.from_h, begins.get(noticed, spell.span.from_h))
    return capital(
        ", ".join(
            f"{noticed.value} from about {clock(from_h)}"
            if noticed is Noticed.SMELL
            else noticed.value
            for noticed, from_h in begins.items()
        )
    )


def _fill(statement: MethodStatement, issue: Issue, _box: PictureBox) -> Mapping[str, Any]:
    return {"notice": tenant_notice_view(statement, issue)}


TENANT_NOTICE = Design(
    "Notice of roof work",
    "safety/tenant_notice.html",
    lambda statement: (statement.enquiry, statement.settings),
    _fill,
)
