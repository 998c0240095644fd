"""The expected day, an empty house and weights, as read from the papers' HTML."""

import re

from msgspec.structs import replace

from quotegen.documents.crew.day_sheet import DAY_SHEET
from quotegen.documents.safety.method import METHOD
from quotegen.model.choices import Occupier
from quotegen.model.safety import MethodStatement
from tests.documents.conftest import ISSUE
from tests.safety import jobs


def words_of(html: str) -> str:
    """The words of a page with single spaces."""
    return " ".join(re.sub(r"<[^>]+>", " ", html).split())


def test_where_no_forecast_covers_the_work_the_day_expected_has_its_limit() -> None:
    """Air of 15 °C at 70 %: dew point 9.6 (tables of moist air, from memory), and 3 more: 12.6."""
    statement = jobs.statement(jobs.plain_enquiry())
    assert not statement.days.forecast
    limit = "on the day expected (dew point 9.6 °C) the deck is under 12.6 °C; measure again"
    unmeasured = "deck, air and humidity have not been measured that day"
    assert limit in words_of(DAY_SHEET.html(statement, ISSUE))
    assert unmeasured in words_of(DAY_SHEET.html(statement, ISSUE)), "measured on any day"
    days = replace(statement.days, forecast=True)
    covered = words_of(DAY_SHEET.html(replace(statement, days=days), ISSUE))
    assert "on the day expected" not in covered
    assert unmeasured in covered


def who_is_there(statement: MethodStatement) -> str:
    found = re.search(r"Building built 2010; (.{60})", words_of(METHOD.html(statement, ISSUE)))
    assert found is not None
    return found[1]


def test_nobody_is_said_to_be_in_an_empty_house() -> None:
    """Nor is it asked who is: the household of a tenant that nobody wrote down is not known."""
    empty = jobs.plain_enquiry(household=())
    assert who_is_there(jobs.statement(empty)).startswith("empty Days")
    let = replace(empty, occupier=Occupier.TENANT)
    assert who_is_there(jobs.statement(let)).startswith("tenant, household not known Days")


def test_only_a_roof_known_to_be_heavier_says_so() -> None:
    statement = jobs.statement(jobs.plain_enquiry())
    change = statement.option.weight_change_pct
    assert change is not None
    for said, value in ((True, 12.0), (False, 0.0), (False, -57.0)):
        option = replace(statement.option, weight_change_pct=replace(change, value=value))
        words = words_of(METHOD.html(replace(statement, option=option), ISSUE))
        assert ("Covering and deck alone become about 12% heavier" in words) is said, value
        assert ("Covering and deck alone" in words) is said, value
    unknown = replace(statement, option=replace(statement.option, weight_change_pct=None))
    assert "Covering and deck alone" not in words_of(METHOD.html(unknown, ISSUE))
