"""When a platform is inspected: Work at Height Regulations 2005, regulation 12."""

from datetime import date
from itertools import pairwise
from typing import Any

import pytest
from msgspec.structs import replace

from quotegen.model.choices import Access
from quotegen.model.enquiry import Enquiry
from quotegen.model.safety import Inspections
from quotegen.reference.loader import entry
from quotegen.safety.rules.inspections import calendar_days, inspection_days, inspections_of
from quotegen.working import Figure, Step
from tests import builders
from tests.safety import jobs

MONDAY = date(2026, 3, 2)


def inspected(enquiry: Enquiry, days: float = 2.0, **settings: Any) -> Inspections | None:
    job = jobs.job(enquiry)
    taken = builders.given("working days", days, "days")
    option = replace(job.option, programme=replace(job.option.programme, days=taken))
    return inspections_of(replace(job, option=option, settings=builders.settings(**settings)))


def on_a_tower(**changes: Any) -> Enquiry:
    return jobs.plain_enquiry(roof=builders.canted_bay(), access=Access.TOWER, **changes)


def test_first_used_on_monday_2_march_it_is_due_again_by_monday_9_march() -> None:
    # Regulation 12 (4): not used unless inspected within the previous 7 days.
    found = inspected(on_a_tower(start_on=MONDAY))
    assert found
    assert found.dates == (MONDAY, date(2026, 3, 9))
    assert found.weekly


@pytest.mark.parametrize(
    ("days", "weekends", "dates"),
    # By the calendar of March 2026, Monday the 2nd, by hand.
    [
        (5, "no", (2, 9)),  # Friday the 6th
        (6, "no", (2, 9, 16)),  # over the weekend to Monday the 9th
        (6, "yes", (2, 9)),  # Saturday the 7th
        (8, "yes", (2, 9, 16)),  # Monday the 9th
        (11, "no", (2, 9, 16, 23)),  # Monday the 16th
    ],
)
def test_every_date_while_it_stands_and_one_more(
    days: float, weekends: str, dates: tuple[int, ...]
) -> None:
    found = inspected(on_a_tower(start_on=MONDAY), days, weekend_work=weekends)
    assert found
    assert found.dates == tuple(date(2026, 3, day) for day in dates)


def test_without_a_start_no_date_is_made_up() -> None:
    found = inspected(on_a_tower())
    assert found
    assert (found.dates, found.after_days, found.weekly) == ((), None, True)


def test_a_fall_under_2_m_asks_for_no_weekly_inspection_and_an_unknown_one_does() -> None:
    # Regulation 12 (4): a platform from which a person could fall 2 m or more.
    for height_mm, weekly in ((1990.0, False), (2000.0, True), (None, True)):
        height = None if height_mm is None else builders.given("height", height_mm, "mm")
        roof = builders.canted_bay(height_mm=height)
        found = inspected(replace(on_a_tower(start_on=MONDAY), roof=roof))
        assert found
        assert found.weekly is weekly
        assert found.dates[0] == MONDAY


def test_without_a_platform_there_is_nothing_to_inspect() -> None:
    low = builders.canted_bay(height_mm=builders.given("height", 1800.0, "mm"))
    assert inspected(jobs.plain_enquiry(roof=low, access=Access.GROUND)) is None


def test_the_report_is_due_in_24_hours_and_kept_3_months() -> None:
    # Regulation 12 (7) and (8).
    found = inspected(on_a_tower())
    assert found
    assert (found.report_hours.number, found.kept_months.number) == (24, 3)
    assert entry("work_at_height.inspection_days").value == 7


def test_no_gap_between_inspections_is_over_seven_days() -> None:
    for stands in range(1, 40):
        after = inspection_days(float(stands), 7.0)
        assert after[0] == 0
        assert all(late - early == 7 for early, late in pairwise(after))
        assert after[-1] >= stands > after[-2]


def test_the_days_it_stands_agree_with_the_calendar() -> None:
    for first in range(5):
        for work in range(1, 15):
            day, done = date(2026, 3, 2 + first), 1
            while done < work:
                day = date.fromordinal(day.toordinal() + 1)
                done += day.weekday() < 5
            counted = (day - date(2026, 3, 2 + first)).days + 1
            assert calendar_days(float(work), float(first), False) == counted


def test_the_dates_rest_on_figures_that_recompute() -> None:
    found = inspected(on_a_tower(start_on=MONDAY), 9)
    assert found
    assert isinstance(found.after_days, Figure)
    steps = [f for f in found.after_days.walk() if isinstance(f.basis, Step)]
    assert len(steps) == 2
    assert all(isinstance(f.basis, Step) and f.basis.recompute() == f.value for f in steps)
