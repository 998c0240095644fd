"""Figures of one job in all its papers, read back from the finished files and compared.

The papers share nothing here but their printed content.
"""

import json
import re
from collections import Counter
from collections.abc import Iterator
from decimal import Decimal
from email import policy
from email.parser import BytesParser
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace
from openpyxl import load_workbook

from quotegen.app import make_papers
from quotegen.demo.scenario import demo_date
from quotegen.making.papers import Paper
from quotegen.working_out import Batch
from tests.pdfs import reader_of, whole_text

REFS = ("MH-101", "MH-104")
"""A bay, and a large roof of many mixes."""
FILLS = r"(?: = [\d ×+]+)?"
MIX_ROW = re.compile(
    r"(\d+) mix(?:es)? of ([\d.]+) l = [\d.]+ kg((?: DO NOT MIX| \d+ ml(?: = [\d ×+]+ ml)?)+)"
)
CARD_ROW = re.compile(rf"(?:\d+) °C(?: test)? (\d+) ml{FILLS} \d+ min")
BY_DAY = re.compile(
    r"(\w{3} \d+ \w{3}): (Laminating resin|Topcoat) (\d+ × \d+ kg(?: and \d+ × \d+ kg)?)"
)
DAY_MIX = re.compile(r"\b([RT]\d+) (?:Resin|Topcoat), ([\d.]+) l\b")


@pytest.fixture(scope="module")
def folder(demo_batch: Batch, tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("set")
    batch = replace(demo_batch, worked=tuple(w for w in demo_batch.worked if w.ref in REFS))
    outcomes = list(make_papers(batch, list(Paper), made / "papers", demo_date()))
    assert not any(outcome.layout_warnings for outcome in outcomes)
    return made / "papers"


def file_of(folder: Path, ref: str, paper: Paper) -> Path:
    (path,) = (folder / ref).glob(f"{ref}-{paper}-r0.*")
    return path


def read(folder: Path, ref: str, paper: Paper) -> str:
    """All text of a PDF with single spaces."""
    return whole_text(file_of(folder, ref, paper).read_bytes())


def quoted(folder: Path, ref: str) -> dict[str, Any]:
    """The data carried in the quote."""
    files = reader_of(file_of(folder, ref, Paper.QUOTE).read_bytes()).attachments
    found: dict[str, Any] = json.loads(next(iter(files.values()))[0])
    return found


def statement_doses(text: str) -> Iterator[tuple[int, str, list[str]]]:
    """Each row of the mix tables: how many mixes, litres, millilitres."""
    for count, litres, cells in MIX_ROW.findall(text):
        doses = re.sub(r" = [\d ×+]+ ml", "", cells)
        yield int(count), litres, re.findall(r"(\d+) ml", doses)


@pytest.mark.parametrize("ref", REFS)
def test_totals(folder: Path, ref: str) -> None:
    """Quote, its data, the cost sheet: the same to the penny, option by option."""
    options = quoted(folder, ref)["options"]
    paid = [f"£{Decimal(option['to_pay']):,.2f}" for option in options]
    net = [f"£{Decimal(option['net']):,.2f}" for option in options]
    quote, costs = read(folder, ref, Paper.QUOTE), read(folder, ref, Paper.COST_SHEET)
    for amount in (*paid, *net):
        assert amount in quote
    assert f"To pay {' '.join(paid)}" in costs
    assert f"Price without VAT {' '.join(net)}" in costs


@pytest.mark.parametrize("ref", REFS)
def test_areas(folder: Path, ref: str) -> None:
    area = f"{quoted(folder, ref)['roof']['area_m2']:.2f} m²"
    for paper in (Paper.QUOTE, Paper.METHOD, Paper.CUTTING_LIST, Paper.COST_SHEET):
        assert area in read(folder, ref, paper), paper


@pytest.mark.parametrize("ref", REFS)
def test_mixes(folder: Path, ref: str) -> None:
    """Every millilitre of the method statement is on the mix card, and as often."""
    rows = list(statement_doses(read(folder, ref, Paper.METHOD)))
    said = Counter(ml for _, _, doses in rows for ml in doses)
    card = read(folder, ref, Paper.SITE_CARD)
    shown = Counter(CARD_ROW.findall(card))
    assert said == shown
    assert sum(said.values()) >= 10


@pytest.mark.parametrize("ref", REFS)
def test_litres(folder: Path, ref: str) -> None:
    """The mixes of the day sheet are those of the statement: as many, and of these litres."""
    written = Counter(litres for _, litres in DAY_MIX.findall(read(folder, ref, Paper.DAY_SHEET)))
    rows = [(n, litres) for n, litres, _ in statement_doses(read(folder, ref, Paper.METHOD))]
    listed: Counter[str] = Counter()
    for count, litres in rows:
        listed[litres] += count
    assert written
    assert not written - listed  # a hot deck's smaller mixes stand in the statement besides
    card = read(folder, ref, Paper.SITE_CARD)
    for mark, _ in DAY_MIX.findall(read(folder, ref, Paper.DAY_SHEET)):
        assert re.search(rf"\b{mark}\b", card), mark


@pytest.mark.parametrize("ref", REFS)
def test_packs(folder: Path, ref: str) -> None:
    """What the merchant is asked for is what the cost sheet pays for and the workbook lists."""
    book = load_workbook(file_of(folder, ref, Paper.ORDER_BOOK), data_only=True)
    ordered = read(folder, ref, Paper.ORDER)
    costs = read(folder, ref, Paper.COST_SHEET)
    lines = [
        [cell.value for cell in row]
        for sheet in book.worksheets
        for row in sheet.iter_rows()
        if isinstance(row[0].value, int)
    ]
    assert lines
    for _, item, _, packs, *_ in lines:
        assert str(item) in ordered
        bought = re.search(rf"{re.escape(str(item))} \([^)]*\)((?: –| \d+ for £[\d,.]+)+)", costs)
        assert bought is not None, item
        last = re.findall(r"–|(\d+) for £", bought[1])[-1]
        assert last == str(packs), item
    assert "£" not in ordered


@pytest.mark.parametrize(("ref", "days"), [("MH-101", 0), ("MH-104", 2)])
def test_flammable_liquids_by_day(folder: Path, ref: str, days: int) -> None:
    """What the order wants on a day is brought on it by the statement, day sheet and van list."""
    named = BY_DAY.findall(read(folder, ref, Paper.ORDER))
    assert len(named) == days
    statement, sheet = (read(folder, ref, paper) for paper in (Paper.METHOD, Paper.DAY_SHEET))
    goods = read(folder, ref, Paper.VAN_LIST)
    for day, item, packs in named:
        small = f"{item[0].lower()}{item[1:]}"
        assert f"{day}: {small} {packs}" in statement
        assert f"Brought today: {small} {packs}." in sheet
        assert re.search(rf"Goods for {day} (?:(?!Goods for).)*{item} {packs}", goods)


@pytest.mark.parametrize("ref", REFS)
def test_gear_of_a_day(folder: Path, ref: str) -> None:
    """Filters of the van list by its days are no more than are ordered; two people have two."""
    goods, ordered = read(folder, ref, Paper.VAN_LIST), read(folder, ref, Paper.ORDER)
    assert "Vapour filters, pairs 2 a day" in goods
    (bought,) = re.findall(r"mask: _+\. (\d+) 1 (\d+)", ordered)
    assert bought == ("4", "4")  # two days of resin or topcoat


@pytest.mark.parametrize("ref", REFS)
def test_the_e_mail_carries_the_very_papers(folder: Path, ref: str) -> None:
    (draft,) = (folder / ref).glob("*.eml")
    message = BytesParser(policy=policy.default).parsebytes(draft.read_bytes())
    carried = {part.get_filename(): part.get_content() for part in message.iter_attachments()}
    quote = file_of(folder, ref, Paper.QUOTE)
    assert (quote.name in carried) == (draft.name == f"{ref}-{Paper.EMAIL}-r0.eml")
    for name, content in carried.items():
        assert content == (folder / ref / str(name)).read_bytes()
        assert reader_of(content).pages
