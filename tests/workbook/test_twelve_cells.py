"""Twelve cells give a first price, and what it takes for granted is said."""

from pathlib import Path
from typing import Any

import pytest

from quotegen.app import make_papers
from quotegen.machine.resources import price_lists_folder
from quotegen.making.issuing import State
from quotegen.making.papers import Paper
from quotegen.model.choices import EdgeKind, EdgesAtOnce, Side, Size
from quotegen.reference.firm.house_taken import edges_at_once, house_taken
from quotegen.reference.remark_keys import TakenKey
from quotegen.workbook.sheets.enquiries import ENQUIRIES
from quotegen.working_out import Batch, work_out
from tests.builders import TODAY
from tests.pdfs import whole_text
from tests.workbook.books import write_book

TWELVE: dict[str, Any] = {
    "ref": "P-01",
    "customer_name": "Mr L. Dunlin",
    "customer_kind": "landlord",
    "site_address": "4 Kittiwake Street, Mizzlehaven ZZ1 4AA",
    "roof_kind": "bay",
    "shape": "canted bay",
    "width_mm": 2400,
    "projection_mm": 600,
    "edges_at_once": "wall behind, gutter all round",
    "height_mm": 2600,
    "covering": "felt",
    "deck": "sheet boards",
}
PORCH: dict[str, Any] = {
    **TWELVE,
    "roof_kind": "porch",
    "shape": "rectangle",
    "projection_mm": 1200,
    "edges_at_once": "wall behind, gutter in front",
}


def priced(folder: Path, row: dict[str, Any], **others: Any) -> Batch:
    """A workbook of one row, worked out with the shipped price lists."""
    book = write_book(folder / "jobs.xlsx", row, **others)
    return work_out(book, _lists(), TODAY)


def _lists() -> list[Path]:
    return sorted(price_lists_folder().glob("*.xlsx"))


def taken(batch: Batch) -> set[str]:
    """The headings of what the price takes for granted."""
    (one,) = batch.worked
    assert one.quote, [p.code for p in batch.problems if p.stops]
    return {each.heading for each in one.quote.taken_as}


def test_the_first_cells_are_the_twelve() -> None:
    assert {column.field for column in ENQUIRIES.columns if column.first} == set(TWELVE)


@pytest.mark.parametrize("row", [TWELVE, PORCH], ids=["canted bay", "rectangle"])
def test_twelve_cells_give_a_price_that_says_what_it_takes_for_granted(
    row: dict[str, Any], tmp_path: Path
) -> None:
    batch = priced(tmp_path, row)
    (one,) = batch.worked
    assert one.quote and one.statement
    assert [str(option.build_up) for option in one.quote.options] == ["new deck"]
    assert one.quote.options[0].totals.total.money > 500
    expected = {
        "Build-ups to price", "Wall joint", "Underneath", "Coverings one on another",
        "Anything through the roof?", "Gutter to lift (mm)", "Upstand at wall (mm)",
        "Level drop (mm)", "Year built", "Travel (minutes each way)",
    }  # fmt: skip
    assert taken(batch) == expected | (
        {"Front width (mm)", "Room for a tower?"} if row is TWELVE else set()
    )
    warned = {p.details["column"] for p in one.problems if p.code == "taken-as"}
    assert warned == taken(batch) - {"Underneath", "Room for a tower?"}
    assert "below-not-known" in {p.code for p in one.problems}
    (outcome,) = make_papers(batch, (Paper.QUOTE,), tmp_path / "papers", TODAY)
    assert outcome.state is State.MADE
    assert outcome.path is not None
    assert "What we have taken for granted" in whole_text(outcome.path.read_bytes())


def test_a_front_nobody_measured_is_worked_out_by_the_angle(tmp_path: Path) -> None:
    """2400 - 2 x 600 / tan 45 = 1200; at 60 degrees 2400 - 1200 / 1.7321 = 1707.2, by hand."""
    for angle, front in ((None, 1200.0), (60, 1707.18)):
        firm = {"bay_cant_deg": angle} if angle else {}
        (one,) = priced(tmp_path, TWELVE, firm=firm).worked
        assert one.quote
        sizes = one.quote.enquiry.roof.sizes
        assert sizes[Size.FRONT_WIDTH].number == pytest.approx(front, abs=0.01)


def test_cants_that_leave_no_front_ask_for_it(tmp_path: Path) -> None:
    batch = priced(tmp_path, {**TWELVE, "projection_mm": 1200})
    (found,) = [p for p in batch.problems if p.stops]
    assert found.code == "shape-impossible" and "measure the front width" in found.message


FILLED: dict[str, tuple[str, Any]] = {
    "Front width (mm)": ("front_width_mm", 1300),
    "Build-ups to price": ("build_ups", "new deck"),
    "Wall joint": ("wall_joint", "new flashing"),
    "Underneath": ("below", "garden"),
    "Room for a tower?": ("room_for_tower", "yes"),
    "Coverings one on another": ("layers", 1),
    "Anything through the roof?": ("through_roof", "no"),
    "Gutter to lift (mm)": ("gutter_mm", 0),
    "Upstand at wall (mm)": ("upstand_mm", 180),
    "Level drop (mm)": ("level_drop_mm", 15),
    "Year built": ("year_built", 2005),
    "Travel (minutes each way)": ("travel_min", 20),
}


@pytest.mark.parametrize("heading", FILLED)
def test_what_is_filled_in_is_no_longer_taken_for_granted(heading: str, tmp_path: Path) -> None:
    field, value = FILLED[heading]
    before = taken(priced(tmp_path / "a", TWELVE))
    after = taken(priced(tmp_path / "b", {**TWELVE, field: value}))
    assert before - after == {heading} and not after - before


def test_a_height_left_blank_is_said_with_what_it_costs(tmp_path: Path) -> None:
    (one,) = priced(tmp_path, {k: v for k, v in TWELVE.items() if k != "height_mm"}).worked
    assert one.quote
    (said,) = [t for t in one.quote.taken_as if t.heading == "Height to edge (mm)"]
    assert str(one.quote.options[0].take_off.access.chosen) in said.words


def test_for_safety_a_blank_cell_stays_unknown(tmp_path: Path) -> None:
    (one,) = priced(tmp_path, TWELVE).worked
    assert one.quote
    enquiry = one.quote.enquiry
    assert enquiry.wall_joint is None and enquiry.existing.layers is None
    assert enquiry.year_built is None and enquiry.site.through_roof is None
    assert enquiry.below == () and enquiry.gutter_mm is None and enquiry.dated is None


def test_an_edge_of_its_own_comes_before_what_is_said_of_all(tmp_path: Path) -> None:
    (one,) = priced(tmp_path, {**PORCH, "edge_left": "free drip"}).worked
    assert one.quote
    edges = one.quote.enquiry.roof.edges
    assert edges[Side.LEFT] is EdgeKind.FREE_DRIP and edges[Side.RIGHT] is EdgeKind.RAISED


def test_the_table_says_all_there_is_to_say() -> None:
    headings = {column.heading for column in ENQUIRIES.columns}
    assert {row.heading for row in house_taken(TakenKey).values()} <= headings
    table = edges_at_once()
    assert set(table) == set(EdgesAtOnce)
    for row in table.values():
        for side in Side:
            EdgeKind(getattr(row, side))
