"""The demo's papers before and after the laws that change in the spring of 2027: only what should.

Only the day of the law and of the paper moves: the roofs, the prices and the days of the work stay
those of the demo, and the dates that the papers print are left out.
"""

import re
from collections.abc import Mapping
from datetime import date, timedelta

import pytest
from msgspec.structs import replace

from quotegen.demo.scenario import demo_date
from quotegen.making.papers import Paper, Ready, ready_for
from quotegen.model.settings import PriceBook, Settings
from quotegen.pricing.quote import make_quote
from quotegen.reference.between import changes_between
from quotegen.reference.life import on_day
from quotegen.reference.loader import entry
from quotegen.safety.statement.statement import make_statement
from quotegen.working_out import Batch
from tests.documents.said_papers import paper_set

GUIDE_FROM, RELIEF_UNTIL = date(2027, 3, 24), date(2027, 3, 31)
BEFORE, AFTER = GUIDE_FROM - timedelta(days=1), RELIEF_UNTIL + timedelta(days=1)
DATE = re.compile(r"\b\d{1,2} (?:March|April|May)(?: 2027)?\b|\b2027-0\d-\d\d\b")

Texts = Mapping[tuple[str, Paper], str]


@pytest.fixture(scope="module")
def said(demo_batch: Batch) -> tuple[Texts, Texts]:
    """What every paper of the demo says before the first of the two changes and after the last."""
    ready = [one for worked in demo_batch.worked if (one := ready_for(worked, demo_batch.prices))]
    assert len(ready) == 10
    before, after = (
        {
            (one.ref, paper): DATE.sub("DATE", text)
            for one in ready
            for paper, text in paper_set(_on(day, one, demo_batch.prices), day).texts.items()
        }
        for day in (BEFORE, AFTER)
    )
    return before, after


def _insured(firm: Settings) -> Settings:
    """The firm with an insurance that runs on: the demo's own ends on 31 March 2027."""
    until = replace(firm["insurance_until"], value="2028-03-31")
    return replace(firm, figures={**firm.figures, "insurance_until": until})


def _on(day: date, ready: Ready, prices: PriceBook) -> Ready:
    """A job priced, and its statement written, under the law of a day."""
    take_off, settings = ready.quote.take_off, _insured(ready.quote.settings)
    with on_day(day):
        quote, _ = make_quote(take_off, settings, prices, day)
        statement = make_statement(take_off, settings, demo_date())
    kept = {name: getattr(ready.quote, name) for name in ("start", "advised", "unknown")}
    return replace(ready, quote=replace(quote, **kept), statement=statement)


def test_over_the_two_days_the_quotes_name_the_new_guide_and_no_paper_says_anything_else(
    said: tuple[Texts, Texts],
) -> None:
    """Approved Document L, volume 1: a new edition from 24 March 2027 (trade pages). The relief on
    insulation ends on 31 March 2027 (VAT Notice 708/6), and no paper ever applies it: a re-roof is
    one supply at 20 % before and after.
    """
    before, after = said
    old, new = (DATE.sub("DATE", entry("thermal.edition", day).value) for day in (BEFORE, AFTER))
    assert before.keys() == after.keys()
    changed = [one for one in before if before[one] != after[one]]
    assert changed == [one for one in before if old in before[one]]
    assert len(changed) >= 5
    assert {paper for _, paper in changed} == {Paper.QUOTE}
    for one in changed:
        assert before[one].replace(old, new) == after[one]
    assert any("VAT at 20%" in text for text in after.values())


def test_each_of_the_two_changes_on_its_own_day() -> None:
    """The first day of the guide, and the first day after the relief: no day sooner, none later."""
    for last, first, key in (
        (BEFORE, GUIDE_FROM, "edition"),
        (RELIEF_UNTIL, AFTER, "insulation_relief_pct"),
    ):
        assert [one.key for one in changes_between(last, first)] == [key]
    assert changes_between(GUIDE_FROM, RELIEF_UNTIL) == []
