"""Every figure that two papers of a job print is the same on both.

Read from what the papers say (`said_papers`), over the demo's jobs and fifty generated ones. The
papers share nothing here but their words.
"""

import json
import re
from collections import Counter
from collections.abc import Iterator
from decimal import Decimal

import pytest

from quotegen import wording
from quotegen.demo.scenario import demo_date
from quotegen.making.papers import Paper, ready_for
from quotegen.working_out import Batch
from tests.documents.said_papers import PaperSet, made_sets, paper_set

MONEY = re.compile(r"£[\d,]+\.\d\d")
FILLS = r"(?: = [\d ×+]+)?"
MIX_ROW = re.compile(
    r"(\d+) mix(?:es)? of ([\d.]+) l = ([\d.]+) kg((?: DO NOT MIX| \d+ ml(?: = [\d ×+]+ ml)?)+)"
)
CARD_SIZE = re.compile(r"([\d.]+) l = ([\d.]+) kg each mix, (H?[RT])1(?:–H?[RT](\d+))?")
CARD_ROW = re.compile(rf"(?:\d+) °C(?: test)? (\d+) ml{FILLS} \d+ min")


@pytest.fixture(scope="module")
def sets(demo_batch: Batch) -> tuple[PaperSet, ...]:
    """The papers of the demo's jobs and of the generated ones."""
    ready = [ready_for(worked, demo_batch.prices) for worked in demo_batch.worked]
    demo = tuple(paper_set(one, demo_date()) for one in ready if one)
    assert len(demo) == 10
    return (*demo, *made_sets())


def test_the_lot_has_every_kind_of_job(sets: tuple[PaperSet, ...]) -> None:
    """Chosen or not, with a forecast or not, with room in it or not, lived in or not."""
    lot = [one.ready.statement for one in sets]
    assert len(lot) >= 60
    assert {made.accepted for made in lot} == {True, False}
    assert {made.days.forecast for made in lot} == {True, False}
    assert {len(made.days.worked) for made in lot} >= {2, 3, 4}
    assert {Paper.TENANT_NOTICE in one.texts for one in sets} == {True, False}


def test_nothing_is_lifted_that_is_not_there(sets: tuple[PaperSet, ...]) -> None:
    """A length of 0 mm in a cell is none of it: no quote promises 0 m of gutter."""
    for one in sets:
        assert " 0 m of " not in one.texts[Paper.QUOTE], one.ref


def test_prices(sets: tuple[PaperSet, ...]) -> None:
    """Quote, cost sheet, e-mail: each option to the penny."""
    for one in sets:
        quote, costs = one.texts[Paper.QUOTE], one.texts[Paper.COST_SHEET]
        totals = [option.totals for option in one.ready.quote.options]
        paid = [f"£{sums.total.money:,.2f}" for sums in totals]
        net = [f"£{sums.net.money:,.2f}" for sums in totals]
        assert f"Price without VAT {' '.join(net)}" in costs, one.ref
        assert set(paid) | set(net) <= set(MONEY.findall(quote)), one.ref
        assert set(paid) <= set(MONEY.findall(email_words(one))), one.ref


def email_words(one: PaperSet) -> str:
    """The e-mail as its reader sees it (RFC 2045, 6.7)."""
    return one.texts[Paper.EMAIL].replace("= ", "").replace("=C2=A3", "£")


def test_areas(sets: tuple[PaperSet, ...]) -> None:
    for one in sets:
        area = f"{wording.number(one.ready.quote.take_off.outline.area_m2.number, 2)} m²"
        for paper in (Paper.QUOTE, Paper.METHOD, Paper.COST_SHEET):
            assert area in one.texts[paper], (one.ref, paper)


def statement_doses(text: str) -> Iterator[str]:
    for *_, cells in MIX_ROW.findall(text):
        yield from re.findall(r"(\d+) ml", re.sub(r" = [\d ×+]+ ml", "", cells))


def test_doses(sets: tuple[PaperSet, ...]) -> None:
    """Every millilitre of the statement's tables is on the mix card, and as often."""
    for one in sets:
        said = Counter(statement_doses(one.texts[Paper.METHOD]))
        assert said == Counter(CARD_ROW.findall(one.texts[Paper.MIX_CARD])), one.ref
        assert said, one.ref


def test_sizes_of_mixes(sets: tuple[PaperSet, ...]) -> None:
    """How many mixes, of how many litres and kilograms: statement and card say the same."""
    for one in sets:
        said = [row[:3] for row in MIX_ROW.findall(one.texts[Paper.METHOD])]
        shown = [
            (last or "1", litres, kilograms)
            for litres, kilograms, _, last in CARD_SIZE.findall(one.texts[Paper.MIX_CARD])
        ]
        assert said == shown, one.ref
        assert 2 <= len(said) <= 4, one.ref


def test_packs(sets: tuple[PaperSet, ...]) -> None:
    """The merchant's workbook lists what the order on paper asks for."""
    for one in sets:
        order = one.texts[Paper.ORDER]
        for page in json.loads(one.texts[Paper.ORDER_BOOK]):
            for row in page["rows"]:
                if isinstance(row[0], int):
                    assert str(row[1]) in order, (one.ref, row)
        assert not any(Decimal(sum_[1:].replace(",", "")) for sum_ in MONEY.findall(order))
