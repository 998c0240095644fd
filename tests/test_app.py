"""From a workbook on disk to papers on disk, as a roofer would use it."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook
from PIL import Image

from quotegen.app import make_papers
from quotegen.machine.files import replace_file
from quotegen.making.issuing import Outcome, State
from quotegen.making.papers import Paper
from quotegen.pricing.sensitivity import sensitivity
from quotegen.register import placing, store
from quotegen.register.store import FILE_NAME, Register, RegisterError
from quotegen.workbook.writing.blank import starting_rows, write_blank
from quotegen.workbook.writing.writing import CellIn, RowsIn, write_price_list
from quotegen.working_out import check_workbook, work_out
from tests.builders import TODAY, prices
from tests.pdfs import whole_text
from tests.workbook.books import (
    BAY,
    FIRM,
    at,
    type_into,
    written,
    written_prices,
)

PRICE_ROWS: RowsIn = [
    {
        "item": pack.item,
        "words": pack.words,
        "unit": pack.unit,
        "pack_size": pack.pack_size,
        "pack_price": pack.pack_price,
        "supplier": pack.supplier,
        "dated": pack.dated,
    }
    for packs in prices().packs.values()
    for pack in packs
]
SURVEYED: dict[str, Any] = {
    **BAY, "covering": "felt", "layers": 2, "deck": "sheet boards", "height_mm": 2600,
    "year_built": 2004, "below": "garden", "through_roof": "no", "household": "none of these",
    "heated_below": "yes", "overhead_cables": "no", "cars_near": "no", "nesting_birds": "no",
    "lone_work": "no", "gutter_mm": 0, "upstand_mm": 180, "level_drop_mm": 15, "travel_min": 20,
}  # fmt: skip
"""A roof of which nothing has to be taken for granted."""


def write_book(
    folder: Path,
    *rows: Mapping[str, CellIn],
    without: str = "",
    before: Sequence[Mapping[str, CellIn]] = (),
) -> Path:
    all_rows = starting_rows(FIRM)
    all_rows["Enquiries"], all_rows["Before the start"] = list(rows), list(before)
    kept = [row for row in PRICE_ROWS if row["item"] != without]
    written_prices(folder / "prices" / "all.xlsx", kept)
    return written(folder / "jobs.xlsx", all_rows)


def run(book: Path, *papers: Paper, on: date = TODAY) -> list[Outcome]:
    batch = work_out(book, (), on)
    return list(make_papers(batch, papers or (Paper.QUOTE,), book.parent / "papers", on))


def text_of(path: Path) -> str:
    return whole_text(path.read_bytes())


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, list[Outcome]]:
    """Both papers of the bay, made once."""
    book = write_book(tmp_path_factory.mktemp("bay"), SURVEYED)
    return book, run(book, Paper.QUOTE, Paper.METHOD)


def fill_in(book: Path, sheet: str, row: int, values: Mapping[str, object]) -> None:
    """Type values under their headings, as a person would."""
    type_into(book, {at(sheet, field, row): value for field, value in values.items()})


def test_a_blank_workbook_filled_in_by_hand(tmp_path: Path) -> None:
    """The bay of the brief: 1.08 m2, cants of 849 mm, mitres at 135 degrees, lines that add up."""
    book = tmp_path / "jobs.xlsx"
    assert write_blank(book) is None
    workbook = load_workbook(book)
    for name in ("Business", "Waste"):
        sheet = workbook[name]
        for row in sheet.iter_rows(min_row=2):
            if (code := str(row[0].value)) in FIRM:
                row[2].value = FIRM[code]
    workbook.save(book)
    fill_in(book, "Enquiries", 3, SURVEYED)
    price_list = tmp_path / "list.xlsx"
    assert write_price_list(price_list, PRICE_ROWS) is None
    batch = work_out(book, [price_list], TODAY)
    assert [p.code for p in batch.problems] == []
    quote = batch.worked[0].quote
    assert quote is not None
    outline = quote.take_off.outline
    assert outline.area_m2.number == pytest.approx(1.08)
    assert [round(edge.length.number) for edge in outline.edges] == [2400, 849, 1200, 849]
    fronts = [c for c in outline.corners if "front" in (c.before, c.after)]
    assert [(round(c.interior_deg), str(c.kind)) for c in fronts] == [(135, "mitred")] * 2
    for option in quote.options:
        net = sum((line.amount.money for line in option.lines), Decimal(0))
        assert option.totals.vat is not None
        assert net + option.totals.vat.money == option.totals.total.money


def test_both_papers_are_made_and_say_the_totals(made: tuple[Path, list[Outcome]]) -> None:
    book, outcomes = made
    assert [(o.state, o.layout_warnings, o.problems) for o in outcomes] == [
        (State.MADE, (), ())
    ] * 3, "the standing sheet comes with the statement, before it"
    quote = work_out(book, (), TODAY).worked[0].quote
    assert quote is not None
    (paper,) = [o.path for o in outcomes if o.paper == Paper.QUOTE]
    assert paper is not None
    text = text_of(paper)
    for option in quote.options:
        assert f"{option.totals.total.money:,}" in text
        assert f"{option.totals.net.money:,}" in text


@pytest.mark.usefixtures("undrawn")
def test_a_second_run_makes_nothing_new_and_a_change_makes_a_revision(tmp_path: Path) -> None:
    book = write_book(tmp_path, SURVEYED)
    first = run(book)[0]
    again = run(book, on=date(2026, 11, 27))[0]
    assert (again.state, again.path) == (State.UNCHANGED, first.path)
    assert first.path is not None
    before = first.path.read_bytes()
    write_book(tmp_path, {**SURVEYED, "colour": "slate"})
    changed = run(book, on=date(2026, 11, 27))[0]
    assert changed.state is State.MADE
    assert changed.issue is not None
    assert (changed.issue.revision, changed.issue.issued) == (1, date(2026, 11, 27))
    assert first.path.read_bytes() == before
    entries = Register(tmp_path / "papers").entries()
    assert [entry.issue.revision for entry in entries] == [0, 1]


@pytest.mark.usefixtures("undrawn")
def test_a_lost_paper_is_made_again_as_it_was(tmp_path: Path) -> None:
    book = write_book(tmp_path, SURVEYED)
    first = run(book)[0]
    assert first.path is not None
    before = first.path.read_bytes()
    first.path.unlink()
    again = run(book, on=date(2026, 12, 24))[0]
    assert again.issue == first.issue
    assert first.path.read_bytes() == before


def test_the_owners_cost_sheet_has_the_warnings_and_a_second_run_changes_nothing(
    tmp_path: Path,
) -> None:
    book = write_book(tmp_path, {**SURVEYED, "upstand_mm": 120})
    batch = work_out(book, (), TODAY)
    (worked,) = batch.worked
    assert worked.quote is not None
    assert worked.problems
    made = run(book, Paper.COST_SHEET, Paper.SITE_CARD)
    assert [(o.state, o.layout_warnings) for o in made] == [(State.MADE, ())] * 2
    assert made[0].path is not None
    text = text_of(made[0].path)
    for warned in worked.problems:
        assert warned.cure in text
    for shift in sensitivity(worked.quote, batch.prices):
        assert f"{abs(shift.net):,.2f}" in text
    again = run(book, Paper.COST_SHEET, Paper.SITE_CARD, on=date(2026, 11, 27))
    assert [o.state for o in again] == [State.UNCHANGED] * 2


@pytest.mark.usefixtures("undrawn")
def test_a_done_job_changes_the_owners_cost_sheet_and_nothing_else(tmp_path: Path) -> None:
    """Eight jobs at double the hours allowed: the price holds less far, the mixes are the same."""
    book = write_book(tmp_path, SURVEYED)
    papers = (Paper.QUOTE, Paper.SITE_CARD, Paper.COST_SHEET)
    assert [o.state for o in run(book, *papers)] == [State.MADE] * 3
    rows = {**starting_rows(FIRM), "Enquiries": [SURVEYED]}
    rows["Done jobs"] = [
        {"ref": f"D-{number}", "done_on": TODAY, "what": "laminate", "amount": 8, "allowed": 4}
        for number in range(8)
    ]
    written(book, rows)
    again = run(book, *papers)
    assert [o.state for o in again] == [State.UNCHANGED, State.UNCHANGED, State.MADE]
    assert again[-1].issue is not None
    assert again[-1].issue.revision == 1


@pytest.mark.usefixtures("undrawn")
def test_one_bad_row_does_not_stop_the_others(tmp_path: Path) -> None:
    bad = {**SURVEYED, "ref": "T-02", "front_width_mm": 3000}
    worse = {**SURVEYED, "ref": "T-03", "width_mm": "TBC"}
    book = write_book(tmp_path, bad, worse, {**SURVEYED, "ref": "T-04"})
    before = book.read_bytes()
    batch = work_out(book, (), TODAY)
    found = {(p.ref, p.code, p.place.sheet) for p in batch.problems}
    assert found == {
        ("T-02", "shape-impossible", "Enquiries"),
        ("T-03", "cell-not-a-length", "Enquiries"),
    }
    outcomes = run(book)
    assert [(o.ref, o.state) for o in outcomes] == [
        ("T-02", State.BLOCKED),
        ("T-03", State.BLOCKED),
        ("T-04", State.MADE),
    ]
    assert book.read_bytes() == before


def test_a_missing_price_stops_only_what_needs_it(tmp_path: Path) -> None:
    room = {**SURVEYED, "room_for_tower": "yes"}
    capped = {**room, "ref": "T-02", "build_ups": "cap over"}
    book = write_book(tmp_path, {**room, "build_ups": "new deck"}, capped, without="tower_hire")
    batch = work_out(book, (), TODAY)
    assert {(p.code, p.seen) for p in batch.problems} == {("price-missing", "tower_hire")}
    book = write_book(
        tmp_path, {**SURVEYED, "build_ups": "new deck"}, capped, without="deck_board_11"
    )
    batch = work_out(book, (), TODAY)
    assert {(p.ref, p.code, p.seen) for p in batch.problems} == {
        ("T-02", "price-missing", "deck_board_11")
    }
    assert [worked.quote is None for worked in batch.worked] == [False, True]


def test_no_price_list_at_all_is_said_once(tmp_path: Path) -> None:
    book = write_book(tmp_path, SURVEYED)
    (tmp_path / "prices" / "all.xlsx").unlink()
    assert [p.code for p in work_out(book, (), TODAY).problems] == ["price-list-none"]
    assert run(book)[0].state is State.BLOCKED


def test_a_reference_nobody_has_is_a_problem(tmp_path: Path) -> None:
    book = write_book(tmp_path, SURVEYED)
    batch = work_out(book, (), TODAY, ["T-99"])
    assert [(p.code, p.seen) for p in batch.problems] == [("reference-unknown", "T-99")]
    assert batch.worked == ()


def test_a_finding_under_a_misspelt_reference_is_told_of_whatever_is_asked_for(
    tmp_path: Path,
) -> None:
    book = write_book(tmp_path, SURVEYED)
    fill_in(book, "Findings", 2, {"ref": "T-O1", "seen": "Soft fascia"})
    batch = work_out(book, (), TODAY, ["T-01"])
    assert "reference-unknown" in {p.code for p in batch.problems}


def test_a_row_that_makes_no_documents_is_left_out_unless_named(tmp_path: Path) -> None:
    book = write_book(tmp_path, {**SURVEYED, "make_documents": "no"})
    assert work_out(book, (), TODAY).worked == ()
    assert len(work_out(book, (), TODAY, ["T-01"]).worked) == 1


@pytest.mark.usefixtures("undrawn")
def test_a_paper_open_elsewhere_is_a_problem_and_not_entered(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    book = write_book(tmp_path, SURVEYED)

    def refuse(path: Path, content: bytes) -> None:
        if path.suffix == ".pdf":
            raise PermissionError(13, "Permission denied")
        replace_file(path, content)

    monkeypatch.setattr(placing, "replace_file", refuse)
    outcome = run(book)[0]
    assert not (tmp_path / "papers" / placing.NOTE_NAME).exists()
    assert outcome.state is State.BLOCKED
    assert [(p.code, p.seen) for p in outcome.problems] == [("output-blocked", "Permission denied")]
    assert Register(tmp_path / "papers").entries() == []


@pytest.mark.usefixtures("undrawn")
def test_a_killed_run_leaves_no_paper_and_no_entry(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    book = write_book(tmp_path, SURVEYED)

    def killed(*_: object) -> Iterator[None]:
        raise KeyboardInterrupt

    with monkeypatch.context() as patched:
        patched.setattr("quotegen.machine.files.os.fsync", killed)
        with pytest.raises(KeyboardInterrupt):
            run(book)
    assert not [p for p in (tmp_path / "papers").rglob("*") if p.suffix in (".pdf", ".part")]
    assert Register(tmp_path / "papers").entries() == []
    assert run(book)[0].state is State.MADE


@pytest.mark.usefixtures("undrawn")
def test_a_sent_paper_outlives_a_lost_register(tmp_path: Path) -> None:
    book = write_book(tmp_path, SURVEYED)
    sent = run(book)[0].path
    assert sent is not None
    before = sent.read_bytes()
    (tmp_path / "papers" / FILE_NAME).unlink()
    write_book(tmp_path, {**SURVEYED, "colour": "slate"})
    again = run(book)[0]
    assert again.state is State.BLOCKED
    assert [p.code for p in again.problems] == ["paper-not-entered"]
    assert sent.read_bytes() == before
    assert Register(tmp_path / "papers").entries() == []
    write_book(tmp_path, SURVEYED)
    assert run(book)[0].state is State.MADE, "the very same paper may be entered again"


@pytest.mark.usefixtures("undrawn")
def test_a_photo_put_in_place_makes_a_revision(tmp_path: Path) -> None:
    book = write_book(tmp_path, SURVEYED)
    finding: dict[str, object] = {"ref": "T-01", "seen": "Soft fascia", "if_left": "It rots.",
               "advised": "Renew it.", "answer": "declined", "photo": "fascia.png"}  # fmt: skip
    fill_in(book, "Findings", 2, finding)
    assert [p.code for p in run(book)[0].problems] == ["photo-missing"]
    again = run(book)[0]
    assert (again.state, [p.code for p in again.problems]) == (State.UNCHANGED, ["photo-missing"])
    for colour in ("red", "blue"):
        Image.new("RGB", (80, 60), colour).save(tmp_path / "fascia.png")
        changed = run(book)[0]
        assert (changed.state, changed.problems) == (State.MADE, ())
    assert changed.issue is not None
    assert changed.issue.revision == 2
    assert run(book)[0].state is State.UNCHANGED


def test_nothing_is_laid_down_where_nothing_is_made(tmp_path: Path) -> None:
    assert run(tmp_path / "mistyped" / "jobs.xlsx") == []
    assert run(write_book(tmp_path, {**SURVEYED, "width_mm": "TBC"}))[0].state is State.BLOCKED
    assert {p.name for p in tmp_path.iterdir()} == {"jobs.xlsx", "prices"}


def test_papers_cannot_go_into_a_file_or_beside_a_damaged_register(tmp_path: Path) -> None:
    book = write_book(tmp_path, SURVEYED)
    papers = tmp_path / "papers"
    papers.write_text("mine")
    assert [p.code for p in run(book)[0].problems] == ["register-blocked"]
    assert papers.read_text() == "mine"
    papers.unlink()
    papers.mkdir()
    (papers / FILE_NAME).write_bytes(b"not a database " * 100)
    assert [p.code for p in run(book)[0].problems] == ["register-blocked"]


@pytest.mark.usefixtures("undrawn")
def test_a_paper_that_cannot_be_entered_is_not_left_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    book = write_book(tmp_path, SURVEYED)

    def full(*_: object) -> None:
        raise RegisterError("database or disk is full")

    monkeypatch.setattr(store, "_enter", full)
    assert [p.code for p in run(book)[0].problems] == ["register-blocked"]
    assert not list((tmp_path / "papers").rglob("*.pdf"))


def test_what_lies_among_the_price_lists(tmp_path: Path) -> None:
    book = write_book(tmp_path, SURVEYED)
    prices_folder = tmp_path / "prices"
    (prices_folder / "all.xlsx").rename(prices_folder / "ALL.XLSX")
    for name in ("~$ALL.XLSX", ".~lock.ALL.XLSX#", "brochure.pdf"):
        (prices_folder / name).write_bytes(b"x")
    assert work_out(book, (), TODAY).problems == ()
    (prices_folder / "old.xls").write_bytes(b"item,price")
    (prices_folder / "old.csv").write_bytes(b"item,price")
    found = {(p.code, p.place.book) for p in work_out(book, (), TODAY).problems if p.stops}
    assert found == {("file-not-a-workbook", "old.xls"), ("heading-missing", "old.csv")}


def test_a_reference_is_found_whatever_its_capitals(tmp_path: Path) -> None:
    batch = work_out(write_book(tmp_path, SURVEYED), (), TODAY, ["t-01", "T-01", "x", "x"])
    assert [worked.ref for worked in batch.worked] == ["T-01"]
    assert [(p.code, p.seen) for p in batch.problems] == [("reference-unknown", "x")]


def test_a_draft_marked_for_no_documents_is_not_counted_as_not_made(tmp_path: Path) -> None:
    book = write_book(tmp_path, {**SURVEYED, "make_documents": "no", "width_mm": None})
    assert run(book) == []
    batch = work_out(book, (), TODAY)
    assert [p.code for p in batch.problems] == ["size-missing"]


def test_checking_finds_what_working_out_finds(tmp_path: Path) -> None:
    rows = [SURVEYED, {**SURVEYED, "ref": "T-02", "upstand_mm": 120}, {**BAY, "ref": "T-03"}]
    rows += [{**SURVEYED, "ref": "T-04", "width_mm": "TBC"}, {**SURVEYED, "ref": "T-04"}]
    book = write_book(tmp_path, *rows, without="acetone")
    found = check_workbook(book, (), TODAY)
    assert {"price-missing", "upstand-too-low", "cell-not-a-length"} <= {p.code for p in found}
    assert found == work_out(book, (), TODAY).problems
    assert [p for n, p in enumerate(found) if p in found[:n]] == [], "each is said once"
