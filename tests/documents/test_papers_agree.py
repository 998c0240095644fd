"""Every figure that two papers of a job print is the same on both.

Read from what the papers say (`said_papers`), over the demo's jobs and fifty generated ones. The
papers share nothing here but their words.
"""

import json
import re
from decimal import Decimal

import pytest
from msgspec.structs import replace

from quotegen import wording
from quotegen.days.first_day import first_day_of
from quotegen.demo.scenario import demo_date
from quotegen.documents.shared.before_words import hold_lines, waits_for
from quotegen.documents.shared.first_day_words import first_day_words
from quotegen.making.papers import Paper, ready_for
from quotegen.model.choices import Access, BuildUp, IfLonger
from quotegen.model.takeoff import Phase
from quotegen.model.weather import Sky
from quotegen.reference import house_rules
from quotegen.safety.facts.day_store import day_store
from quotegen.working_out import Batch
from tests import builders
from tests.documents.said_papers import PaperSet, made_sets, paper_set, ready_of
from tests.safety import jobs
from tests.safety.forecasts import MONDAY, forecast

MONEY = re.compile(r"£[\d,]+\.\d\d")
FILLS = r"(?: = [\d ×+]+(?: ml)?)?"
FRONT_MIX = re.compile(r"\b(Resin|Topcoat) ([\d.]+) l = ([\d.]+) kg (?:(\d+) ml)?")
CARD_SIZE = re.compile(r"([\d.]+) l = ([\d.]+) kg each mix, (H?[RT])1(?:–H?[RT](\d+))?")
FAIR_DAY = [(0, 8.0, 80.0, Sky.DRY), (9, 11.0, 62.0, Sky.DRY), (13, 11.0, 62.0, Sky.DRY)]
CARD_ROW = re.compile(rf"(?:\d+) °C(?: test)? (\d+) ml{FILLS} \d+ min")


@pytest.fixture(scope="module")
def all_sets(demo_batch: Batch) -> tuple[PaperSet, ...]:
    """The papers of the demo's jobs and of the generated ones."""
    ready = [ready_for(worked, demo_batch.prices) for worked in demo_batch.worked]
    demo = tuple(paper_set(one, demo_date()) for one in ready if one)
    assert len(demo) == 10
    return (*demo, *made_sets())


@pytest.fixture(scope="module")
def sets(all_sets: tuple[PaperSet, ...]) -> tuple[PaperSet, ...]:
    """The papers of the jobs of which enough is known for a statement: all but one."""
    surveyed = [one.ref for one in all_sets if Paper.SURVEY_SHEET in one.texts]
    assert surveyed == ["MH-110"]
    return tuple(one for one in all_sets if one.ref not in surveyed)


def test_the_lot_has_every_kind_of_job(all_sets: tuple[PaperSet, ...]) -> None:
    """Chosen or not, with a forecast or not, with room in it or not, lived in or not."""
    lot = [one.ready.statement for one in all_sets]
    assert len(lot) >= 60
    assert {made.accepted for made in lot} == {True, False}
    assert {made.days.forecast for made in lot} == {True, False}
    assert {len(made.days.worked) for made in lot} >= {2, 3, 4}
    assert {Paper.TENANT_NOTICE in one.texts for one in all_sets} == {True, False}


def test_no_place_holder_is_printed_for_what_it_stands_for(all_sets: tuple[PaperSet, ...]) -> None:
    """Such as "{extra} extra": words that were meant to be filled in."""
    for one in all_sets:
        for paper, text in one.texts.items():
            assert not re.search(r"\{\w*\}", text), (one.ref, paper)


def test_nothing_is_lifted_that_is_not_there(all_sets: tuple[PaperSet, ...]) -> None:
    """A length of 0 mm in a cell is none of it: no quote promises 0 m of gutter."""
    for one in all_sets:
        assert " 0 m of " not in one.texts[Paper.QUOTE], one.ref


def test_prices(all_sets: tuple[PaperSet, ...]) -> None:
    """Quote, cost sheet, e-mail: each option to the penny; once accepted, that option alone."""
    for one in all_sets:
        quote, costs = one.texts[Paper.QUOTE], one.texts[Paper.COST_SHEET]
        totals = [option.totals for option in one.ready.quote.options]
        paid = [f"£{sums.total.money:,.2f}" for sums in totals]
        net = [f"£{sums.net.money:,.2f}" for sums in totals]
        assert f"Price without VAT {' '.join(net)}" in costs, one.ref
        assert set(paid) | set(net) <= set(MONEY.findall(quote)), one.ref
        statement = one.ready.statement
        chosen = one.ready.quote.option(statement.build_up).totals.total.money
        told = {f"£{chosen:,.2f}"} if statement.accepted else set(paid)
        assert told == set(paid) & set(MONEY.findall(one.letter)), one.ref


def test_areas(sets: tuple[PaperSet, ...]) -> None:
    for one in sets:
        area = f"{wording.number(one.ready.quote.take_off.outline.area_m2.number, 2)} m²"
        for paper in (Paper.QUOTE, Paper.METHOD, Paper.COST_SHEET):
            assert area in one.texts[paper], (one.ref, paper)


def test_doses(sets: tuple[PaperSet, ...]) -> None:
    """Every millilitre on the card in front of the statement is in a row of the mix card."""
    found = 0
    for one in sets:
        rows = {row.split(" ml")[0] for row in CARD_ROW.findall(one.texts[Paper.SITE_CARD])}
        assert rows, one.ref
        for *_, ml in FRONT_MIX.findall(one.texts[Paper.METHOD]):
            if ml:
                assert ml in rows, one.ref
                found += 1
    assert found > 20


def test_sizes_of_mixes(sets: tuple[PaperSet, ...]) -> None:
    """How many litres and kilograms a mix is: statement and mix card say the same."""
    for one in sets:
        shown = {size[:2] for size in CARD_SIZE.findall(one.texts[Paper.SITE_CARD])}
        said = [(litres, kg) for _, litres, kg, _ in FRONT_MIX.findall(one.texts[Paper.METHOD])]
        assert 1 <= len(said) <= 2, one.ref
        assert set(said) <= shown, one.ref


def test_packs(sets: tuple[PaperSet, ...]) -> None:
    """The merchant's workbook lists what the order on paper asks for."""
    for one in sets:
        order = one.texts[Paper.ORDER]
        for page in json.loads(one.texts[Paper.ORDER_BOOK]):
            for row in page["rows"]:
                if isinstance(row[0], int):
                    assert str(row[1]) in order, (one.ref, row)
        assert not any(Decimal(sum_[1:].replace(",", "")) for sum_ in MONEY.findall(order))


def days_words(days: int) -> str:
    return wording.count(days, "day", "days")


def test_days(sets: tuple[PaperSet, ...]) -> None:
    """Quote, e-mail, statement, phase plan, notice, cost sheet and day sheet: as many days."""
    for one in sets:
        made = one.ready.statement
        if made.days.refused:
            continue
        days = days_words(len(made.days.worked))
        texts = one.texts
        for paper, text in ((Paper.QUOTE, texts[Paper.QUOTE]), ("letter", one.letter)):
            said = re.search(r"about (?:(\d+) to )?(\d+) days? on site, in dry", text)
            assert said, (one.ref, paper)
            least, most = int(said[1] or said[2]), int(said[2])
            assert least <= len(made.days.worked) <= most, (one.ref, paper)
            assert least == most or not made.accepted, (one.ref, paper)
        assert re.search(rf"(?:about|on site on) {days} ", texts[Paper.METHOD]), one.ref
        assert re.search(rf"Time (?:about )?{days} for ", texts[Paper.PHASE_PLAN]), one.ref
        named = sorted(set(map(int, re.findall(r"\bDay (\d+)\b", texts[Paper.DAY_SHEET]))))
        assert named == list(range(1, len(made.days.worked) + 1)), one.ref
        quoted = next(o for o in one.ready.quote.options if o.build_up is made.build_up)
        assert quoted.take_off.programme.days.number == len(made.days.worked), one.ref
        people = wording.count(made.option.programme.crew.number, "person", "people")
        assert f"{people}, {days}" in texts[Paper.COST_SHEET], one.ref
        if Paper.TENANT_NOTICE in texts and "The work takes" in texts[Paper.TENANT_NOTICE]:
            assert f"The work takes about {days}:" in texts[Paper.TENANT_NOTICE], one.ref


def test_first_day(sets: tuple[PaperSet, ...]) -> None:
    """Every paper of the crew names one first day, agreed or not, and no order stands before it."""
    for one in sets:
        first = first_day_words(first_day_of(one.ready.statement))
        for paper in (Paper.DAY_SHEET, Paper.VAN_LIST, Paper.PHASE_PLAN):
            assert f"First day {first}" in one.texts[paper], (one.ref, paper)
        worked = one.ready.statement.days.worked
        if worked and worked[0].day:
            wanted = f"Needed by {wording.long_day(worked[0].day)}"
            assert wanted in one.texts[Paper.ORDER], one.ref
            assert worked[0].day >= one.ready.statement.before.earliest, one.ref


def test_what_is_waited_for(sets: tuple[PaperSet, ...]) -> None:
    """Day sheet, van list and order wait for the same; the statement and the quote name it too.

    While anything is open no day is agreed and no order stands.
    """
    open_ones = 0
    for one in sets:
        made, waiting = one.ready.statement, waits_for(one.ready.statement)
        for paper, words in (
            (Paper.DAY_SHEET, "No start yet: waiting for"),
            (Paper.VAN_LIST, "No start yet: waiting for"),
            (Paper.ORDER, "Do not order yet: waiting for"),
        ):
            text = one.texts[paper]
            assert (f"{words} {waiting}" in text) == bool(waiting), (one.ref, paper)
        assert ("This is a firm order." in one.texts[Paper.ORDER]) == (not waiting), one.ref
        assert not (waiting and first_day_of(made).agreed), one.ref
        for hold in hold_lines(made.before):
            assert hold in one.texts[Paper.METHOD], one.ref
        open_ones += bool(waiting)
    assert open_ones > 0


def test_every_open_night_is_closed(sets: tuple[PaperSet, ...]) -> None:
    """From the first strip until the laminate is hard each day ends with a close-up or laid."""
    nights = 0
    for one in sets:
        plan = one.ready.statement.days
        assert one.texts[Paper.DAY_SHEET].count("Close up, every evening") == plan.open_nights
        nights += plan.open_nights
        stripped = [day for day in plan.worked if any(s.phase is Phase.OPEN for s in day.spells)]
        for day in stripped:
            assert {Phase.LAY, Phase.CLOSE} & {spell.phase for spell in day.spells}, one.ref
            assert Phase.WASTE in {spell.phase for spell in day.spells}, one.ref
    assert nights


def test_stores(sets: tuple[PaperSet, ...]) -> None:
    """What is brought by the day stands alike on order, van list and statement."""
    for one in sets:
        made = one.ready.statement
        store = day_store(made.option, made.days, made.settings)
        by_day = "by-day" in {note.key for note in made.stored}
        assert ("Not before" in one.texts[Paper.ORDER]) == by_day, one.ref
        for day in store.days:
            for brought in day.brought:
                item = house_rules.items()[brought.item].words
                assert item in one.texts[Paper.VAN_LIST], (one.ref, item)


def test_papers_that_would_disagree_are_not_made() -> None:
    """Gusts over 26 mph until 13:00 put the laminate off by a day, which nobody has priced.

    Without an answer there are no papers; with either the quote has the days of the day sheet, and
    only charged days cost the customer more.
    """
    blowy = [
        replace(row, gust_mph=builders.given("gust", 30 if row.from_hour in (0, 9) else 10, "mph"))
        for row in forecast(
            *[[(0, 8, 80, Sky.DRY), (9, 11, 62, Sky.DRY), (13, 11, 62, Sky.DRY)]] * 6
        )
    ]
    firm = replace(jobs.SETTINGS, forecast=tuple(blowy))
    asked = jobs.plain_enquiry(
        roof=builders.canted_bay(), accepted=BuildUp.NEW_DECK, start_on=MONDAY, access=Access.TOWER,
        deck_c=jobs.number(9.0, "°C"),
    )  # fmt: skip
    assert ready_of(asked, firm) is None
    paid = {}
    for answer in IfLonger:
        ready = ready_of(replace(asked, if_longer=answer), firm)
        assert ready
        made = paper_set(ready, builders.TODAY)
        days = len(ready.statement.days.worked)
        assert f"about {days_words(days)} on site, in dry weather" in made.texts[Paper.QUOTE]
        assert f"Day {days}" in made.texts[Paper.DAY_SHEET]
        paid[answer] = ready.quote.options[0].totals.net.money
    assert paid[IfLonger.CHARGE] > paid[IfLonger.KEEP]
