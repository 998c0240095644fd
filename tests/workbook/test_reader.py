"""A whole workbook: its content, and every mistake in it at once."""

from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from quotegen.model.choices import (
    Answer,
    Below,
    BuildUp,
    CustomerKind,
    EdgeKind,
    PriceBasis,
    Shape,
    Side,
    Size,
)
from quotegen.problems import stopping
from quotegen.reference import house_rules
from quotegen.workbook.reading.reader import WorkbookRead, read_workbook
from quotegen.workbook.writing.blank import write_blank
from quotegen.working import Origin, Source
from tests import builders
from tests.workbook.books import (
    FIRM,
    at,
    cell_of,
    enquiry_row,
    settings_of,
    type_into,
    where_and_what,
    write_book,
    write_prices,
)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "jobs.xlsx"


def codes(read: WorkbookRead) -> set[str]:
    return {found.code for found in read.problems}


def test_a_blank_workbook_lacks_only_what_only_the_firm_knows(path: Path) -> None:
    assert write_blank(path) is None
    read = read_workbook(path)
    required = {s.code for s in house_rules.settings().values() if s.required}
    assert {p.code for p in read.problems} == {"setting-missing"}
    assert {p.seen for p in read.problems} == required
    assert all(p.place.cell.startswith("C") and not p.ref for p in read.problems)
    assert read.refs == ()
    assert read.enquiries == ()


def test_a_canted_bay_filled_in_by_hand(path: Path) -> None:
    write_blank(path)
    book = load_workbook(path)
    for name in ("Business", "Waste"):
        for row in book[name].iter_rows(min_row=2):
            if (code := str(row[0].value)) in FIRM:
                row[2].value = FIRM[code]
    book.save(path)
    by_hand: dict[str, Any] = {
        **enquiry_row("T-01"),
        "width_mm": "2.4 m",
        "projection_mm": 600,
        "front_width_mm": "1,200mm",
        "dated": "25/11/2026",
        "below": "Garden, doorway",
        "flue_near": "no",
    }
    type_into(path, {at("Enquiries", field, 3): value for field, value in by_hand.items()})
    before = path.read_bytes()
    read = read_workbook(path)
    assert path.read_bytes() == before, "the user's workbook is only ever read"
    assert read.problems == ()
    (bay,) = read.enquiries
    assert (bay.ref, bay.dated, bay.customer.kind) == (
        "T-01",
        date(2026, 11, 25),
        CustomerKind.LANDLORD,
    )
    assert bay.roof.shape is Shape.CANTED_BAY
    assert {size: figure.value for size, figure in bay.roof.sizes.items()} == {
        Size.WIDTH: 2400.0,
        Size.PROJECTION: 600.0,
        Size.FRONT_WIDTH: 1200.0,
    }
    cell = f"Enquiries!{cell_of('Enquiries', 'width_mm', 3)}"
    assert bay.roof.sizes[Size.WIDTH].basis == Origin(Source.CELL, cell, "Width along wall (mm)")
    assert bay.roof.edges[Side.BACK] is EdgeKind.WALL
    assert bay.build_ups == (BuildUp.CAP_OVER, BuildUp.NEW_DECK)
    assert bay.below == (Below.GARDEN, Below.DOORWAY)
    assert bay.site.flue_near is False
    assert bay.site.overhead_cables is None, "blank is unknown, never no"
    assert read.left_out == frozenset()
    assert bay.board_mm == settings_of(read)["new_board_mm"]


MISTAKES: dict[str, tuple[Any, str]] = {
    at("Enquiries", "dated", 2): ("31/02/2026", "cell-not-a-date"),
    at("Enquiries", "customer_name", 2): (None, "cell-missing"),
    at("Enquiries", "customer_kind", 2): ("somebody", "cell-not-a-choice"),
    at("Enquiries", "width_mm", 2): (2.4, "cell-unit-doubtful"),
    at("Enquiries", "projection_mm", 2): ("TBC", "cell-not-a-length"),
    at("Enquiries", "front_width_mm", 2): (None, "size-missing"),
    at("Enquiries", "notch_depth_mm", 2): (900, "size-not-used"),
    at("Enquiries", "edge_left", 2): (None, "edge-kind-missing"),
    at("Enquiries", "edge_front", 2): ("gutter", "cell-not-a-choice"),
    at("Enquiries", "condition", 2): ("soft in places", "cap-over-unsound"),
    at("Enquiries", "layers", 2): (1.5, "cell-not-whole"),
    at("Enquiries", "year_built", 2): (34, "cell-out-of-range"),
    at("Enquiries", "mat_g_m2", 2): (500, "cell-not-a-choice"),
    at("Enquiries", "ladder_reason", 2): (None, "access-reason-missing"),
    at("Enquiries", "wall_joint", 2): (None, "cell-missing"),
    at("Enquiries", "household", 2): ("children; none of these", "answers-disagree"),
    at("Enquiries", "through_roof", 2): ("no", "answers-disagree"),
    at("Enquiries", "bill_address", 3): (None, "cell-missing"),
    at("Enquiries", "height_mm", 3): ("#REF!", "cell-error-value"),
    at("Enquiries", "gutter_mm", 3): ("=1000*3", "cell-formula-not-calculated"),
    at("Enquiries", "insulation_mm", 3): (None, "cell-missing"),
    at("Enquiries", "ref", 4): (None, "reference-missing"),
    at("Enquiries", "ref", 5): ("T/05", "reference-malformed"),
    at("Enquiries", "ref", 7): ("t-06", "reference-twice"),
    at("Enquiries", "shape", 8): ("measured outline", "outline-missing"),
    at("Outline", "length_mm", 4): (700, "outline-mixed"),
    at("Outline", "kind", 5): (None, "edge-kind-missing"),
    at("Openings", "width_mm", 2): (None, "cell-missing"),
    at("Findings", "fixed_price", 2): (None, "cell-missing"),
    at("Findings", "quantity", 3): ("2,4", "cell-not-a-number"),
    at("Findings", "ref", 4): ("T-99", "reference-unknown"),
    at("Extras", "price_each", 2): ("cheap", "cell-not-a-number"),
    at("Rates", "value", 2): (1800, "cell-not-a-choice"),
    at("Rates", "code", 4): ("bord_mm", "setting-unknown"),
    at("Business", "value", 2): (None, "setting-missing"),
    at("Terms", "kind", 2): ("maybe", "cell-not-a-choice"),
    "Outline!H1": ("My own column", "heading-unknown"),
}


def test_a_workbook_full_of_mistakes_names_every_one_at_its_cell(path: Path) -> None:
    finding = {"ref": "T-02", "seen": "Rot.", "if_left": "More rot.", "advised": "Mend it."}
    write_book(
        path,
        enquiry_row("T-01", access="ladder"),
        enquiry_row("T-02", build_ups="new deck with insulation"),
        enquiry_row("T-03"),
        enquiry_row("T-04"),
        enquiry_row("T-06"),
        enquiry_row("T-07"),
        enquiry_row("T-08", width_mm=None, projection_mm=None, front_width_mm=None,
                    edge_back=None, edge_right=None, edge_front=None, edge_left=None),
        enquiry_row("T-09", shape="five-facet bay", width_mm=None, projection_mm=None,
                    front_width_mm=None, edge_back=None, edge_right=None, edge_front=None,
                    edge_left=None),
        enquiry_row("T-10"),
        outline=[
            {"ref": "T-09", "along_mm": along, "out_mm": out, "kind": "free drip"}
            for along, out in ((0, 0), (3000, 0), (2000, 800), (1000, 800))
        ],
        openings=[{"ref": "T-01", "kind": "rooflight", "count": 1, "length_mm": 900,
                   "width_mm": 600, "kerb_mm": 150}],
        findings=[
            {**finding, "basis": "fixed price", "fixed_price": 60, "answer": "do it"},
            {**finding, "basis": "fascia, per metre", "quantity": 2},
            {**finding, "ref": "T-10"},
        ],
        extras=[{"ref": "T-02", "words": "Guard", "quantity": 1, "unit": "m", "price_each": 6,
                 "included": "no"}],
    )  # fmt: skip
    type_into(path, {cell: value for cell, (value, _) in MISTAKES.items()})
    read = read_workbook(path)
    expected = {(cell, code) for cell, (_, code) in MISTAKES.items()}
    expected.add((at("Enquiries", "ref", 6), "reference-twice"))
    assert where_and_what(read.problems) == expected
    assert all(found.place.heading and found.message and found.cure for found in read.problems)
    assert [enquiry.ref for enquiry in read.enquiries] == ["T-10"]
    assert read.refs == ("T-01", "T-02", "T/05", "T-06", "t-06", "T-08", "T-09", "T-10")


def test_a_row_without_a_reference_stops_no_other_enquiry(path: Path) -> None:
    write_book(path, enquiry_row("T-01"), enquiry_row("T-02"))
    type_into(path, {at("Enquiries", "ref", 3): None})
    read = read_workbook(path)
    assert codes(read) == {"reference-missing"}
    assert [enquiry.ref for enquiry in read.enquiries] == ["T-01"]
    assert stopping(read.problems, "T-01") == []


def test_other_sheets_find_their_enquiry_whatever_the_capitals(path: Path) -> None:
    extra = {"ref": "t-01", "words": "Guard", "quantity": 3.5, "unit": "m", "price_each": 6.5,
             "included": "yes"}  # fmt: skip
    write_book(path, extras=[extra], openings=[{"ref": "t-01", "kind": "pipe", "count": 2}])
    read = read_workbook(path)
    # The stop is under the spelling of the Enquiries sheet, so that it stops that enquiry.
    assert where_and_what(read.problems) == {(at("Openings", "length_mm", 2), "cell-missing")}
    assert stopping(read.problems, "T-01")
    type_into(path, {at("Openings", "length_mm", 2): "11 cm"})
    (bay,) = read_workbook(path).enquiries
    assert bay.openings[0].length_mm == bay.openings[0].width_mm
    (guard,) = bay.extras
    assert (guard.quantity.value, guard.quantity.unit) == (3.5, "m")
    assert (guard.price_each.money, guard.included) == (Decimal("6.5"), True)


@pytest.mark.parametrize(
    "typed, unit", [("m²", "m2"), (" Each ", "each"), ("Visit", "visit"), ("furlong", None)]
)
def test_an_extra_is_counted_in_a_unit(path: Path, typed: str, unit: str | None) -> None:
    write_book(path, extras=[{"ref": "T-01", "words": "Guard", "quantity": 3, "unit": typed,
                              "price_each": 6.5, "included": "yes"}])  # fmt: skip
    read = read_workbook(path)
    wrong = {(at("Extras", "unit", 2), "extra-unit-unknown")}
    assert where_and_what(read.problems) == (set() if unit else wrong)
    assert [guard.quantity.unit for bay in read.enquiries for guard in bay.extras] == [
        named for named in [unit] if named
    ]


@pytest.mark.parametrize(
    ("cells", "expected"),
    [
        ({"along_mm": 1200}, {("out_mm", "opening-half-placed")}),
        ({"out_mm": "0.3 m"}, {("along_mm", "opening-half-placed")}),
        ({"along_mm": 1200, "out_mm": 300, "count": 2}, {("count", "opening-place-shared")}),
        (
            {"along_mm": 1200, "count": 2},
            {("out_mm", "opening-half-placed"), ("count", "opening-place-shared")},
        ),
        # What cannot be read is said once, and is not called blank as well.
        ({"along_mm": 1200, "out_mm": "far"}, {("out_mm", "cell-not-a-length")}),
        ({"along_mm": 2.4, "out_mm": 300}, {("along_mm", "cell-unit-doubtful")}),
        ({"count": 2}, set()),
        ({"along_mm": 0, "out_mm": 300}, set()),
    ],
)
def test_the_place_of_an_opening_is_given_whole_and_for_one_alone(
    path: Path, cells: dict[str, object], expected: set[tuple[str, str]]
) -> None:
    pipe = {"ref": "T-01", "kind": "pipe", "count": 1, "length_mm": 110}
    write_book(path, openings=[pipe])
    type_into(path, {at("Openings", field, 2): value for field, value in cells.items()})
    read = read_workbook(path)
    wanted = {(at("Openings", field, 2), code) for field, code in expected}
    assert where_and_what(read.problems) == wanted
    assert all(found.stops and found.message and found.cure for found in read.problems)


def test_the_place_of_an_opening_comes_from_its_two_cells(path: Path) -> None:
    pipe = {"ref": "T-01", "kind": "pipe", "count": 1, "length_mm": 110}
    write_book(path, openings=[pipe | {"along_mm": "1.2 m", "out_mm": 300}, pipe])
    (bay,) = read_workbook(path).enquiries
    placed, unplaced = (one.spot for one in bay.openings)
    assert unplaced is None
    assert placed is not None
    assert (placed.along_mm.number, placed.out_mm.number) == (1200.0, 300.0)
    assert str(placed.place).startswith(at("Openings", "along_mm", 2))


def test_findings_with_and_without_prices(path: Path) -> None:
    seen = {"ref": "T-01", "seen": "Rot.", "if_left": "More rot.", "advised": "Mend it."}
    write_book(
        path,
        findings=[
            {**seen, "basis": "fascia, per metre", "quantity": "1.2", "answer": "price it apart"},
            {**seen, "basis": "fixed price", "fixed_price": 165, "answer": "declined"},
            {**seen},
            {**seen, "basis": "joist, each", "quantity": 2, "answer": "do it"},
        ],
    )
    read = read_workbook(path)
    assert read.problems == ()
    fascia, fixed, advice, joist = read.enquiries[0].findings
    assert fascia.quantity is not None
    assert (fascia.quantity.value, fascia.quantity.unit) == (1.2, "m")
    assert fixed.fixed_price is not None
    assert (fixed.fixed_price.money, fixed.answer) == (Decimal(165), Answer.DECLINED)
    assert (advice.basis, advice.answer, advice.quantity) == (None, None, None)
    assert joist.quantity is not None
    assert (joist.basis, joist.quantity.unit) == (PriceBasis.JOIST, "each")
    type_into(path, {at("Findings", "answer", 4): "do it"})
    again = read_workbook(path)
    assert where_and_what(again.problems) == {(at("Findings", "basis", 4), "cell-missing")}


def test_defaults_and_own_figures_each_say_where_they_stand(path: Path) -> None:
    write_book(path, firm={"profit_pct": 18})
    type_into(path, {at("Rates", "value", 2): None})
    settings = settings_of(read_workbook(path))
    whole = builders.settings()
    assert {c: type(f.value) for c, f in settings.figures.items()}.items() <= {
        c: type(f.value) for c, f in whole.figures.items()
    }.items()
    first = house_rules.of_sheet("Rates")[0][0]
    assert settings[first.code].value == first.default
    assert settings[first.code].basis == Origin(Source.SETTING, f"Rates, {first.code}", first.basis)
    profit = settings["profit_pct"]
    assert isinstance(profit.basis, Origin)
    assert profit.value == 18.0
    assert profit.basis.source is Source.CELL
    assert profit.basis.place.startswith("Business!C")
    assert profit.basis.note == "the firm's own"
    crew = settings["crew"]
    assert isinstance(crew.basis, Origin)
    assert crew.basis.note == house_rules.settings()["crew"].basis
    assert settings.yes("vat_registered") is True
    assert settings["labour_cost_per_hour"].money == Decimal(28)


def test_a_setting_twice_and_terms_left_empty(path: Path) -> None:
    write_book(path, terms=[])
    type_into(path, {"Rates!A4": "mat_g_m2"})
    read = read_workbook(path)
    assert where_and_what(read.problems) == {("Rates!A4", "setting-twice")}
    assert settings_of(read).terms == builders.settings().terms


def test_sheets_missing_twice_and_unknown(path: Path) -> None:
    write_book(path)
    book = load_workbook(path)
    del book["Extras"]
    book.create_sheet("outline ")
    book.create_sheet("My sums")
    book.save(path)
    read = read_workbook(path)
    found = {(p.code, p.place.sheet) for p in read.problems}
    assert found == {
        ("sheet-missing", "Extras"),
        ("sheet-twice", "outline "),
        ("sheet-unknown", "My sums"),
    }
    assert read.enquiries == ()
    assert stopping(read.problems, "T-01")


def test_headings_missing_and_twice(path: Path) -> None:
    write_book(path)
    heading = at("Enquiries", "projection_mm", 1)
    type_into(path, {heading: "Width  along wall (MM)", at("Findings", "ref", 1): "Number"})
    read = read_workbook(path)
    assert {(p.code, p.place.sheet, p.place.heading) for p in read.problems} == {
        ("heading-twice", "Enquiries", "Width along wall (MM)"),
        ("heading-missing", "Enquiries", "Projection from wall (mm)"),
        ("heading-missing", "Findings", "Reference"),
        ("heading-unknown", "Findings", "Number"),
    }
    assert read.enquiries == ()


def test_an_example_row_is_never_an_enquiry_and_a_job_typed_over_it_is_told_of(path: Path) -> None:
    write_blank(path)
    type_into(path, {at("Enquiries", "email", 2): None})
    assert codes(read_workbook(path)) == {"setting-missing"}
    path.unlink()
    write_book(path, enquiry_row("example", dated=None), enquiry_row("T-02"))
    read = read_workbook(path)
    assert read.refs == ("T-02",)
    assert [(p.code, p.stops) for p in read.problems] == [("example-filled-in", False)]


def test_a_home_owner_may_leave_the_bill_to_the_site_address(path: Path) -> None:
    write_book(path, enquiry_row("T-01", customer_kind="home-owner", bill_address=None))
    (found,) = read_workbook(path).enquiries
    assert found.customer.bill_address == found.site_address


def test_an_accepted_build_up_must_be_one_of_those_priced(path: Path) -> None:
    write_book(path, enquiry_row("T-01", accepted="new deck with insulation"))
    read = read_workbook(path)
    assert where_and_what(read.problems) == {(at("Enquiries", "accepted", 2), "cell-not-a-choice")}


@pytest.mark.parametrize(("condition", "stops"), [("sound", False), ("rotten", True), (None, True)])
def test_insulation_over_the_old_deck_asks_for_a_sound_one_as_a_cap_does(
    path: Path, condition: str | None, stops: bool
) -> None:
    asked = {"build_ups": "cap over with insulation", "insulation_mm": 100, "condition": condition}
    write_book(path, enquiry_row("T-01", **asked))
    wanted = {(at("Enquiries", "condition", 2), "cap-over-unsound")} if stops else set()
    assert where_and_what(read_workbook(path).problems) == wanted


def test_an_older_cell_with_a_new_deck_and_insulation_still_means_that(path: Path) -> None:
    """Whatever the deck is like; before, it could mean that a sound one stayed."""
    write_book(
        path,
        enquiry_row("T-01", build_ups="new deck with insulation", insulation_mm=100,
                    condition="rotten"),
    )  # fmt: skip
    (found,) = read_workbook(path).enquiries
    assert found.build_ups == (BuildUp.NEW_DECK_INSULATED,)


@pytest.mark.parametrize("build_up", ["cap over with insulation", "new deck with insulation"])
def test_a_build_up_with_insulation_asks_how_thick(path: Path, build_up: str) -> None:
    write_book(path, enquiry_row("T-01", build_ups=build_up, condition="sound"))
    found = where_and_what(read_workbook(path).problems)
    assert {place for place, _ in found} == {at("Enquiries", "insulation_mm", 2)}


_BOARDS = {"ref": "T-01", "seen": "Split boards.", "if_left": "They move.", "advised": "Mend.",
           "basis": "board, each", "quantity": 3}  # fmt: skip


def test_a_build_up_that_rests_on_declined_work_is_not_offered(path: Path) -> None:
    """Old boards carry what goes over them; a new deck takes them up."""
    row = enquiry_row("T-01", build_ups="cap over; new deck", condition="sound")
    write_book(path, row, findings=[{**_BOARDS, "answer": "declined"}])
    read = read_workbook(path)
    assert where_and_what(read.problems) == {(at("Findings", "answer", 2), "rests-on-declined")}
    assert not stopping(read.problems, "T-01")
    assert read.enquiries[0].build_ups == (BuildUp.NEW_DECK,)


@pytest.mark.parametrize("answer", [None, "price it apart", "do it"])
def test_it_is_offered_until_the_work_is_declined(path: Path, answer: str | None) -> None:
    row = enquiry_row("T-01", build_ups="cap over; new deck", condition="sound")
    write_book(path, row, findings=[{**_BOARDS, "answer": answer}])
    read = read_workbook(path)
    assert read.problems == ()
    assert read.enquiries[0].build_ups == (BuildUp.CAP_OVER, BuildUp.NEW_DECK)


def test_it_is_offered_where_the_row_says_that_the_roof_does_not_rest_on_it(path: Path) -> None:
    row = enquiry_row("T-01", build_ups="cap over; new deck", condition="sound")
    write_book(path, row, findings=[{**_BOARDS, "answer": "declined", "structural": "no"}])
    assert read_workbook(path).problems == ()


def test_nothing_is_left_to_offer_where_all_of_it_rests_on_declined_work(path: Path) -> None:
    joists = {**_BOARDS, "basis": "joist, each", "answer": "declined"}
    write_book(path, enquiry_row("T-01", build_ups="new deck"), findings=[joists])
    read = read_workbook(path)
    assert where_and_what(read.problems) == {
        (at("Findings", "answer", 2), "rests-on-declined"),
        (at("Enquiries", "build_ups", 2), "nothing-to-offer"),
    }
    assert stopping(read.problems, "T-01")
    assert read.enquiries == ()


def test_the_accepted_build_up_must_not_rest_on_declined_work(path: Path) -> None:
    row = enquiry_row("T-01", build_ups="cap over; new deck", condition="sound",
                      accepted="cap over")  # fmt: skip
    write_book(path, row, findings=[{**_BOARDS, "answer": "declined"}])
    read = read_workbook(path)
    assert (at("Enquiries", "accepted", 2), "cell-not-a-choice") in where_and_what(read.problems)
    assert read.enquiries == ()


def test_work_the_roof_rests_on_needs_a_price(path: Path) -> None:
    found = {"ref": "T-01", "seen": "It leaks.", "if_left": "Wet.", "advised": "A new rooflight.",
             "structural": "yes"}  # fmt: skip
    write_book(path, enquiry_row("T-01"), findings=[found])
    read = read_workbook(path)
    assert where_and_what(read.problems) == {(at("Findings", "basis", 2), "cell-missing")}


def test_an_l_shape_says_where_its_notch_is(path: Path) -> None:
    write_book(
        path,
        enquiry_row("T-01", shape="L-shape", front_width_mm=None, notch_width_mm=900,
                    notch_depth_mm=300, edge_notch="raised edge"),
    )  # fmt: skip
    read = read_workbook(path)
    assert where_and_what(read.problems) == {(at("Enquiries", "notch_at", 2), "cell-missing")}
    type_into(path, {at("Enquiries", "notch_at", 2): "Left"})
    (found,) = read_workbook(path).enquiries
    assert found.roof.notch_at is Side.LEFT


def test_an_outline_for_a_shape_that_has_none_is_pointed_out(path: Path) -> None:
    write_book(path, outline=[{"ref": "T-01", "length_mm": 900, "turn_deg": 90,
                               "kind": "free drip"}])  # fmt: skip
    read = read_workbook(path)
    assert where_and_what(read.problems) == {(at("Outline", "length_mm", 2), "size-not-used")}
    assert [enquiry.ref for enquiry in read.enquiries] == ["T-01"], "a warning does not stop it"


def test_merged_cells_are_asked_about_and_stop_only_their_own_rows(path: Path) -> None:
    """A gutter merged over two roofs would be priced for the first and given away on the second."""
    write_book(path, enquiry_row("T-01", gutter_mm=3000), enquiry_row("T-02"), enquiry_row("T-03"))
    book = load_workbook(path)
    cells = [cell_of("Enquiries", "gutter_mm", line) for line in (2, 3)]
    book["Enquiries"].merge_cells(":".join(cells))
    book["Enquiries"].merge_cells("A30:C31")
    book.save(path)
    read = read_workbook(path)
    assert where_and_what(read.problems) == {(f"Enquiries!{cells[1]}", "cell-merged")}
    assert [enquiry.ref for enquiry in read.enquiries] == ["T-01", "T-03"]


def test_a_reference_merged_over_its_findings_is_asked_about(path: Path) -> None:
    finding = {"ref": "T-01", "seen": "Rot.", "if_left": "More rot.", "advised": "Mend it."}
    write_book(path, findings=[finding, {**finding, "ref": None}])
    book = load_workbook(path)
    book["Findings"].merge_cells("A2:A3")
    book.save(path)
    assert where_and_what(read_workbook(path).problems) == {("Findings!A3", "cell-merged")}


def test_hidden_and_filtered_rows_are_read(path: Path) -> None:
    write_book(path, enquiry_row("T-01"), enquiry_row("T-02"))
    book = load_workbook(path)
    book["Enquiries"].row_dimensions[3].hidden = True
    book["Enquiries"].auto_filter.ref = "A1:H3"
    book.save(path)
    assert read_workbook(path).refs == ("T-01", "T-02")


def test_a_year_of_building_after_the_visit_is_refused(path: Path) -> None:
    """2034 typed for 1934 would count an old roof as too new for asbestos."""
    write_book(path, enquiry_row("T-01", year_built=2034), enquiry_row("T-02", year_built=2026))
    read = read_workbook(path)
    assert where_and_what(read.problems) == {
        (at("Enquiries", "year_built", 2), "cell-out-of-range")
    }
    assert read.problems[0].message == "2034 is outside 1500 to 2026"
    assert [enquiry.ref for enquiry in read.enquiries] == ["T-02"]


@pytest.mark.parametrize("ref", ["../x", "/etc/x", "CON", "nul.1", "T-01.", "x" * 10_000, "T\n1"])
def test_a_reference_that_can_be_no_file_name(path: Path, ref: str) -> None:
    write_book(path, enquiry_row(ref), enquiry_row("CONSERVATORY-1"))
    read = read_workbook(path)
    assert [p.code for p in read.problems] == ["reference-malformed"]
    assert len(read.problems[0].ref) <= 60
    assert "\n" not in read.problems[0].message
    assert [enquiry.ref for enquiry in read.enquiries] == ["CONSERVATORY-1"]


def test_headings_pushed_down_by_a_title_are_found(path: Path) -> None:
    write_book(path)
    book = load_workbook(path)
    book["Enquiries"].insert_rows(1)
    book["Enquiries"]["A1"] = "My jobs"
    book.save(path)
    read = read_workbook(path)
    assert read.problems == ()
    assert [(one.ref, one.place.cell) for one in read.enquiries] == [("T-01", "A3")]


def test_a_price_list_is_no_workbook_of_enquiries(path: Path) -> None:
    write_prices(path, {})
    assert [p.code for p in read_workbook(path).problems if p.stops] == ["sheets-missing"]


def test_a_row_marked_for_no_documents_is_left_out_sound_or_not(path: Path) -> None:
    write_book(
        path,
        enquiry_row("T-01", make_documents="no"),
        enquiry_row("T-02", make_documents="no", width_mm=None),
        enquiry_row("T-03"),
    )
    assert read_workbook(path).left_out == {"T-01", "T-02"}


def test_all_that_a_bare_rectangle_lacks_is_asked_for_at_once(path: Path) -> None:
    """Nobody should fill in four cells, check, and be asked for three more."""
    bare = enquiry_row("T-01", shape="rectangle", front_width_mm=None, **dict.fromkeys(
        ("bill_address", "edge_back", "edge_right", "edge_front", "edge_left", "wall_joint",
         "covering", "deck")))  # fmt: skip
    write_book(path, bare)
    read = read_workbook(path)
    lacking = {"bill_address": "cell-missing", "covering": "cell-missing", "deck": "cell-missing",
               "wall_joint": "wall-joint-if-wall"}  # fmt: skip
    lacking |= dict.fromkeys(
        ("edge_back", "edge_right", "edge_front", "edge_left"), "edge-kind-missing"
    )
    expected = {(at("Enquiries", field, 2), code) for field, code in lacking.items()}
    assert where_and_what(read.problems) == expected
    assert [p.code for p in read.problems if not p.stops] == ["wall-joint-if-wall"]


@pytest.mark.parametrize(
    ("cells", "asked"),
    [
        ({"covering": "none", "deck": None}, set()),
        ({"covering": "felt", "deck": None}, {"deck"}),
        ({"edge_back": "free drip", "wall_joint": None}, set()),
        ({"edge_left": "wall upstand", "wall_joint": None}, {"wall_joint"}),
    ],
)
def test_what_is_not_needed_is_not_asked_for(
    path: Path, cells: dict[str, object], asked: set[str]
) -> None:
    write_book(path, enquiry_row("T-01", **cells))
    expected = {(at("Enquiries", field, 2), "cell-missing") for field in asked}
    assert where_and_what(read_workbook(path).problems) == expected


def test_a_ladder_needs_its_own_reason(path: Path) -> None:
    write_book(
        path,
        enquiry_row("T-01", access="ladder", ladder_reason="Ten minutes of measuring."),
        enquiry_row("T-02", access="ladder", customer_notes="We bring a ladder."),
    )
    found = where_and_what(read_workbook(path).problems)
    assert found == {(at("Enquiries", "ladder_reason", 3), "access-reason-missing")}


def test_a_note_beneath_the_settings_is_the_firms_own(path: Path) -> None:
    write_book(path)
    before = read_workbook(path)
    type_into(path, {at("Rates", "words", 300): "Rates as agreed in the spring"})
    assert read_workbook(path) == before
    type_into(path, {at("Rates", "value", 300): 7})
    problems = read_workbook(path).problems
    assert where_and_what(problems) == {(at("Rates", "code", 300), "cell-missing")}
