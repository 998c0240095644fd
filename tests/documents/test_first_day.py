"""The start of a job, given alike by all its papers."""

from datetime import date

import pytest
from msgspec.structs import replace

from quotegen.days.days import plan_days
from quotegen.days.first_day import first_day_of
from quotegen.documents.crew.day_sheet import DAY_SHEET
from quotegen.documents.safety.method import METHOD
from quotegen.documents.safety.phase_plan import PHASE_PLAN
from quotegen.documents.safety.tenant_notice import TENANT_NOTICE
from quotegen.documents.shared.first_day_words import NO_ROOM, NOT_AGREED, first_day_words
from quotegen.model.days import FirstDay
from quotegen.model.prestart.record import BeforeStart
from quotegen.model.safety import MethodStatement
from quotegen.safety.statement.construction_plan import make_plan
from tests import builders
from tests.documents.conftest import ISSUE
from tests.safety.forecasts import FAIR, MONDAY, WET, Reading, forecast

THURSDAY = date(2026, 12, 10)


def stated(
    statement: MethodStatement, *days: list[Reading], start_on: date | None, accepted: bool
) -> MethodStatement:
    """The statement with its days laid out by a forecast from Monday 7 December."""
    firm = replace(builders.settings(), forecast=forecast(*days))
    planned = plan_days(statement.option, firm, start_on, MONDAY, 10.0)
    enquiry = replace(statement.enquiry, start_on=start_on)
    settled = BeforeStart(MONDAY, ())
    return replace(statement, enquiry=enquiry, days=planned, accepted=accepted, before=settled)


@pytest.mark.parametrize(
    ("start_on", "accepted", "words"),
    [
        (THURSDAY, True, "agreed: Thu 10 Dec"),
        (THURSDAY, False, "provisional: Thu 10 Dec"),
        (None, True, "provisional: Thu 10 Dec"),
        (None, False, "provisional: Thu 10 Dec"),
        (date(2026, 12, 8), True, "provisional: Thu 10 Dec"),  # the weather moves it
    ],
)
def test_all_papers_say_the_same_of_the_first_day(
    bay_statement: MethodStatement, start_on: date | None, accepted: bool, words: str
) -> None:
    week = [[*WET], [*WET], [*WET], [*FAIR], [*FAIR]]
    made = stated(bay_statement, *week, start_on=start_on, accepted=accepted)
    assert first_day_words(first_day_of(made)) == words
    assert words in DAY_SHEET.html(made, ISSUE)
    assert words in PHASE_PLAN.html(make_plan(made), ISSUE)
    assert words in METHOD.html(made, ISSUE).replace("</strong>", "")
    notice = TENANT_NOTICE.html(made, ISSUE)
    assert ("10 December" in notice) is words.startswith("agreed")
    assert ("The days are not agreed yet" in notice) is not words.startswith("agreed")


def test_where_no_day_is_known_or_none_has_room_it_is_said(bay_statement: MethodStatement) -> None:
    refused = stated(bay_statement, [*WET], [*WET], start_on=None, accepted=True)
    assert first_day_of(refused) == FirstDay(refused=True)
    assert NO_ROOM in DAY_SHEET.html(refused, ISSUE)
    assert NO_ROOM in PHASE_PLAN.html(make_plan(refused), ISSUE)
    assert first_day_of(bay_statement) == FirstDay()
    assert NOT_AGREED in DAY_SHEET.html(bay_statement, ISSUE)
    assert NOT_AGREED in METHOD.html(bay_statement, ISSUE)


def test_a_day_is_not_agreed_while_anything_is_open(bay_statement: MethodStatement) -> None:
    made = stated(bay_statement, [*FAIR], [*FAIR], [*FAIR], start_on=MONDAY, accepted=True)
    assert first_day_of(made) == FirstDay(MONDAY, agreed=True)
    assert not bay_statement.before.settled
    waiting = replace(made, before=bay_statement.before)
    assert first_day_of(waiting) == FirstDay(MONDAY)
    assert "The days are not agreed yet" in TENANT_NOTICE.html(waiting, ISSUE)
