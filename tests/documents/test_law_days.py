"""The demo's papers before and after the laws that change in the spring of 2027: only what should.

Only the day of the law and of the paper moves: the roofs, the prices and the days of the work stay
those of the demo, and the dates that the papers print are left out.
"""

import re
from collections.abc import Mapping, Sequence
from datetime import date, timedelta

import pytest
from msgspec.structs import replace

from quotegen.demo.scenario import demo_date
from quotegen.documents.safety.standing_sheet import STANDING_SHEET
from quotegen.making.papers import Paper, Ready, ready_for
from quotegen.model.issue import Issue
from quotegen.model.settings import PriceBook, Settings
from quotegen.pricing.quote import make_quote
from quotegen.reference.between import changes_between
from quotegen.reference.life import on_day
from quotegen.reference.loader import entry
from quotegen.safety.statement.standing import make_sheet
from quotegen.safety.statement.statement import make_statement
from quotegen.working_out import Batch
from tests.documents.said_papers import blocks_of, paper_set

GUIDE_FROM, RELIEF_UNTIL = date(2027, 3, 24), date(2027, 3, 31)
BEFORE, AFTER = GUIDE_FROM - timedelta(days=1), RELIEF_UNTIL + timedelta(days=1)
DATE = re.compile(r"\b\d{1,2} (?:March|April|May)(?: 2027)?\b|\b2027-0\d-\d\d\b")
SHEET = "standing sheet"

Texts = Mapping[tuple[str, str], str]


@pytest.fixture(scope="module")
def said(demo_batch: Batch) -> Mapping[date, Texts]:
    """What every paper of the demo says before the new guide, under it, and after the relief."""
    ready = [one for worked in demo_batch.worked if (one := ready_for(worked, demo_batch.prices))]
    assert len(ready) == 10
    return {day: _texts(ready, demo_batch.prices, day) for day in (BEFORE, RELIEF_UNTIL, AFTER)}


def _texts(ready: Sequence[Ready], prices: PriceBook, day: date) -> Texts:
    """The papers of some jobs and the standing sheet, made and filled in under the law of a day."""
    found: dict[tuple[str, str], str] = {}
    with on_day(day):
        for one in ready:
            texts = paper_set(_made(one, prices, day), day).texts
            found |= {(one.ref, paper): text for paper, text in texts.items()}
        sheet = make_sheet(ready[0].quote.settings, ready[0].quote.enquiry)
        html = STANDING_SHEET.html(sheet, Issue(SHEET, 0, day))
        found[SHEET, SHEET] = " ".join(blocks_of(html))
    return {of: DATE.sub("DATE", text) for of, text in found.items()}


def _insured(firm: Settings) -> Settings:
    """The firm with an insurance that runs on: the demo's own ends on 31 March 2027."""
    until = replace(firm["insurance_until"], value="2028-03-31")
    return replace(firm, figures={**firm.figures, "insurance_until": until})


def _made(ready: Ready, prices: PriceBook, day: date) -> Ready:
    """A job priced on a day, and its statement written, under the law in force."""
    take_off, settings = ready.quote.take_off, _insured(ready.quote.settings)
    quote, _ = make_quote(take_off, settings, prices, day)
    statement = make_statement(take_off, settings, demo_date())
    kept = {name: getattr(ready.quote, name) for name in ("start", "advised", "unknown")}
    return replace(ready, quote=replace(quote, **kept), statement=statement)


def test_over_24_march_the_quotes_of_insulated_roofs_name_the_new_guide_and_nothing_else_changes(
    said: Mapping[date, Texts],
) -> None:
    """Approved Document L, volume 1: a new edition from 24 March 2027 (trade pages)."""
    before, after = said[BEFORE], said[RELIEF_UNTIL]
    old, new = (DATE.sub("DATE", entry("thermal.edition", day).value) for day in (BEFORE, AFTER))
    changed = {of for of in before if before[of] != after.get(of)}
    assert before.keys() == after.keys()
    assert changed == {of for of in before if old in before[of]}
    assert {paper for _, paper in changed} == {Paper.QUOTE}
    assert 5 <= len(changed) < 10, "only those that ask for insulation"
    assert [of for of in changed if before[of].replace(old, new) != after[of]] == []


def test_over_31_march_no_paper_changes_for_none_ever_applied_the_relief(
    said: Mapping[date, Texts],
) -> None:
    """VAT Notice 708/6: the relief on insulation ends on 31 March 2027. A re-roof is one supply at
    20 % before and after.
    """
    before, after = said[RELIEF_UNTIL], said[AFTER]
    assert before.keys() == after.keys()
    assert [of for of in before if before[of] != after[of]] == []
    assert any("VAT at 20%" in text for text in after.values())


def test_each_of_the_two_changes_on_its_own_day() -> None:
    """The first day of the guide, and the first day after the relief: no day sooner, none later."""
    for last, first, key in (
        (BEFORE, GUIDE_FROM, "edition"),
        (RELIEF_UNTIL, AFTER, "insulation_relief_pct"),
    ):
        assert [one.key for one in changes_between(last, first)] == [key]
    assert changes_between(GUIDE_FROM, RELIEF_UNTIL) == []
