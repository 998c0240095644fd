"""The demo: it reads without problems, shows every shape and answer, and ships its price lists."""

from datetime import date
from pathlib import Path

import pytest
from openpyxl import load_workbook

from quotegen.demo.scenario import price_list_rows, write_demo, write_demo_price_lists
from quotegen.model.choices import (
    Access,
    Answer,
    Below,
    BuildUp,
    Covering,
    CustomerKind,
    OpeningKind,
    Shape,
    Size,
)
from quotegen.reference import house_rules
from quotegen.workbook.reading.price_lists import read_price_lists
from quotegen.workbook.reading.reader import WorkbookRead, read_workbook
from tests.builders import ROOT
from tests.workbook.books import settings_of

SHIPPED = ROOT / "price_lists"
Cells = dict[str, dict[str, object]]


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> WorkbookRead:
    path = write_demo(tmp_path_factory.mktemp("demo"))
    assert isinstance(path, Path)
    return read_workbook(path)


def test_the_demo_reads_without_a_problem(demo: WorkbookRead) -> None:
    assert demo.problems == ()
    assert len(demo.enquiries) == len(demo.refs) >= 8


def test_the_demo_has_stock_on_the_van_and_a_charge_for_each_delivery(demo: WorkbookRead) -> None:
    assert len(settings_of(demo).van_stock) >= 4
    lists = price_list_rows().values()
    charges = [row["supplier"] for rows in lists for row in rows if row["item"] == "delivery"]
    assert len(set(charges)) == len(charges) == len(lists)


def test_the_demo_shows_everything_there_is(demo: WorkbookRead) -> None:
    jobs = demo.enquiries
    assert {job.roof.shape for job in jobs} == set(Shape)
    assert {up for job in jobs for up in job.build_ups} == set(BuildUp)
    assert {job.customer.kind for job in jobs} == set(CustomerKind)
    assert {opening.kind for job in jobs for opening in job.openings} == set(OpeningKind)
    assert {opening.spot is None for job in jobs for opening in job.openings} == {True, False}
    answers = {finding.answer for job in jobs for finding in job.findings}
    assert answers == {*Answer, None}
    assert {extra.included for job in jobs for extra in job.extras} == {True, False}
    assert {job.access for job in jobs} == {Access.TOWER, Access.SCAFFOLD, None}
    assert any(Below.PAVEMENT in job.below for job in jobs)
    assert any(job.existing.covering is Covering.LEAD for job in jobs)
    assert any(job.year_built and job.year_built.number < 2000 for job in jobs)
    assert any(job.year_built is None for job in jobs), "unknown facts are left blank in some"
    assert any(Size.LEFT_SET_BACK in job.roof.sizes for job in jobs)
    bays = [job for job in jobs if job.roof.shape is Shape.CANTED_BAY]
    assert any(Size.LEFT_SET_BACK not in job.roof.sizes for job in bays)
    assert settings_of(demo).yes("vat_registered")


def test_a_demo_that_is_there_is_left_as_it_is(tmp_path: Path) -> None:
    path = write_demo(tmp_path)
    assert isinstance(path, Path)
    path.write_bytes(b"played with")
    assert write_demo(tmp_path) == path
    assert path.read_bytes() == b"played with"


def test_the_shipped_price_lists_are_those_of_the_scenario(tmp_path: Path) -> None:
    made = write_demo_price_lists(tmp_path)
    assert isinstance(made, tuple)
    assert {path.name for path in SHIPPED.glob("*.xlsx")} == {path.name for path in made}
    for path in made:
        assert _cells(SHIPPED / path.name) == _cells(path)


def test_the_two_lists_together_price_every_item() -> None:
    read = read_price_lists(sorted(SHIPPED.glob("*.xlsx")))
    assert read.problems == ()
    assert set(read.book.packs) == set(house_rules.items())
    packs = [pack for item in read.book.packs.values() for pack in item]
    assert len({pack.supplier for pack in packs}) == 2
    assert all(date(2026, 10, 1) <= pack.dated <= date(2026, 11, 30) for pack in packs)
    assert any(len({p.supplier for p in item}) == 2 for item in read.book.packs.values())


def test_no_name_or_number_of_the_real_world_has_a_place_in_the_demo(demo: WorkbookRead) -> None:
    # 01632 960xxx is Ofcom's range for drama; example.com is reserved by RFC 2606; no postcode
    # area is called ZZ.
    assert settings_of(demo).text("firm_phone").startswith("01632 960")
    assert settings_of(demo).text("emergency_phone").startswith("01632 960")
    for job in demo.enquiries:
        assert job.customer.email.endswith("example.com")
        assert " ZZ" in job.site_address
        assert " ZZ" in job.customer.bill_address


def test_dates_and_packs_differ_between_the_suppliers() -> None:
    one, two = price_list_rows().values()
    shared = {row["item"] for row in one} & {row["item"] for row in two}
    assert shared
    packs = [{(r["item"], r["pack_size"], r["pack_price"]) for r in rows} for rows in (one, two)]
    assert not packs[0] & packs[1]


def _cells(path: Path) -> Cells:
    book = load_workbook(path)
    return {
        page.title: {
            cell.coordinate: cell.value
            for row in page.iter_rows()
            for cell in row
            if cell.value is not None
        }
        for page in book.worksheets
    }
