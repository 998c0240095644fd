"""Figures of one job in all its papers, read back from the finished files and compared.

The papers share nothing here but their printed content.
"""

import json
import re
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
FILLS = r"(?: = [\d ×+]+(?: ml)?)?"
FRONT_MIX = re.compile(rf"(Resin|Topcoat) ([\d.]+) l = [\d.]+ kg (\d+) ml{FILLS} (\d+) min")
CARD_MIXES = re.compile(r"([\d.]+) l = [\d.]+ kg each mix, (H?[RT])(\d+)(?:– ?H?[RT](\d+))?")
CARD_ROW = re.compile(rf"(?:\d+) °C(?: test)? (\d+) ml{FILLS} (\d+) min")
BY_DAY = re.compile(
    r"(\w{3} \d+ \w{3}): (Laminating resin|Topcoat) (\d+ × \d+ kg(?: and \d+ × \d+ kg)?)"
)
DAY_MIX = re.compile(r"\b(H?[RT]\d+) (?:Resin|Topcoat), ([\d.]+) l\b")


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


def litres_on_card(card: str) -> dict[str, str]:
    """The litres of every mix of the mix card, by its mark."""
    return {
        f"{letter}{number}": litres
        for litres, letter, first, last in CARD_MIXES.findall(card)
        for number in range(int(first), int(last or first) + 1)
    }


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
    """Every dose on the front of the method statement stands on the mix card, in its own table."""
    doses = FRONT_MIX.findall(read(folder, ref, Paper.METHOD))
    card = read(folder, ref, Paper.SITE_CARD)
    back = card.partition("Mix card")[2]
    assert len(doses) == 2
    assert FRONT_MIX.findall(card.partition("Mix card")[0]) == doses
    for material, litres, ml, minutes in doses:
        tables = back.partition(f"{material[0]} {material.upper()} ")[2]
        _, mine, table = tables.partition(f" {litres} l = ")
        assert mine
        own = table.partition("each mix, ")[2].partition("each mix, ")[0]
        assert (ml, minutes) in CARD_ROW.findall(own)
    assert len(CARD_ROW.findall(back)) >= 10


@pytest.mark.parametrize("ref", REFS)
def test_litres(folder: Path, ref: str) -> None:
    """The mixes of the day sheet are those of the mix card by their marks, of the same litres."""
    written = DAY_MIX.findall(read(folder, ref, Paper.DAY_SHEET))
    listed = litres_on_card(read(folder, ref, Paper.SITE_CARD))
    assert written
    assert [(mark, listed.get(mark)) for mark, _ in written] == written


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
