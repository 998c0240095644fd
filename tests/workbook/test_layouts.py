"""A workbook of the layout before the groups, and one saved by another program, read the same."""

from pathlib import Path
from zipfile import ZipFile

import pytest
from click.testing import CliRunner
from openpyxl import Workbook, load_workbook

from quotegen.cli.commands import cli
from quotegen.machine.resources import price_lists_folder
from quotegen.workbook.reading.reader import read_workbook
from quotegen.workbook.sheets.enquiries import ENQUIRIES
from quotegen.workbook.writing.blank import starting_rows
from quotegen.workbook.writing.writing import write_workbook
from tests.builders import TODAY
from tests.spreadsheets import converted
from tests.workbook.books import BAY, FIRM, cell_of, enquiry_row
from tests.workbook.every_column import CANTED, L_SHAPED
from tests.workbook.test_twelve_cells import PORCH, TWELVE

OLD_HEADINGS = (
    "Reference", "Date of visit", "Make documents?", "Customer", "Kind of customer",
    "Address for the bill", "E-mail", "Site address", "Who lives there",
    "Who is in the household", "Kind of roof", "Shape", "Width along wall (mm)",
    "Projection from wall (mm)", "Front width (mm)", "Left set-back (mm)", "Notch width (mm)",
    "Notch depth (mm)", "Notch at", "Back edge", "Right edge", "Front edge", "Left edge",
    "Notch edges", "Falls to", "Level drop (mm)", "Upstand at wall (mm)", "Wall joint",
    "Existing covering", "Coverings one on another", "Deck", "Deck condition",
    "Anything through the roof?", "Joist centres (mm)", "Joists run", "Joist depth (mm)",
    "Joist width (mm)", "Year built", "Build-ups to price", "New deck board (mm)",
    "Insulation (mm)", "Glass mat (g/m2)", "Layers of mat", "Colour", "Gutter to lift (mm)",
    "Tiles to lift (mm)", "Accepted build-up", "Height to edge (mm)", "Access",
    "Reason if a ladder", "Underneath", "Room for a tower?", "Heated room below?",
    "Overhead cables?", "Flue near?", "Cars near?", "Asbestos survey done?", "Nesting birds?",
    "Working alone?", "Start", "If it takes longer", "Expected deck temperature (°C)",
    "Expected air temperature (°C)", "Expected humidity (%)", "Travel (minutes each way)",
    "Notes for the customer", "Private notes",
)  # fmt: skip
"""The headings of row 1 before there were groups, in their order."""

MISSING = ENQUIRIES.missing.heading
"""Worked out by the file and never read, so nobody is told that it is lacking."""

SINCE = {c.field for c in ENQUIRIES.columns if c.heading not in OLD_HEADINGS}
FILLED = (
    BAY,
    {**CANTED, "through_roof": None},
    {**L_SHAPED, "edge_left": "drip to gutter", "through_roof": None},
    enquiry_row("T-09", width_mm="2.4 m"),
)
ROWS = [{field: row[field] for field in row if field not in SINCE} for row in FILLED]


def of_old(path: Path) -> Path:
    """The same rows under the old headings, in row 1 and without those added since."""
    assert write_workbook(path, {**starting_rows(FIRM), "Enquiries": ROWS}) is None
    book: Workbook = load_workbook(path)
    page = book["Enquiries"]
    by_heading = {column.heading: column.field for column in ENQUIRIES.columns}
    at = book.sheetnames.index("Enquiries")
    book.remove(page)
    old = book.create_sheet("Enquiries", at)
    old.append(OLD_HEADINGS)
    for row in ROWS:
        old.append([row.get(by_heading[heading]) for heading in OLD_HEADINGS])
    book.save(path)
    return path


def test_every_heading_of_the_old_layout_is_still_read(tmp_path: Path) -> None:
    assert set(OLD_HEADINGS) <= {column.heading for column in ENQUIRIES.columns}
    new = tmp_path / "new" / "jobs.xlsx"
    assert write_workbook(new, {**starting_rows(FIRM), "Enquiries": ROWS}) is None
    before, after = read_workbook(of_old(tmp_path / "jobs.xlsx")), read_workbook(new)
    known = {problem.code for problem in after.problems}
    told = [(p.code, p.place.heading) for p in before.problems if p.code not in known]
    since = [c.heading for c in ENQUIRIES.columns if c.heading not in (*OLD_HEADINGS, MISSING)]
    assert sorted(told) == sorted(("heading-later", heading) for heading in since)
    assert [one.ref for one in before.enquiries] == [one.ref for one in after.enquiries]
    assert len(before.enquiries) == len(ROWS)
    for old, now in zip(before.enquiries, after.enquiries, strict=True):
        for field in (
            "dated", "customer", "site_address", "build_ups", "site", "household", "below",
            "colour", "accepted", "if_longer", "taken",
        ):  # fmt: skip
            assert getattr(old, field) == getattr(now, field), field
        assert old.roof.edges == now.roof.edges
        sizes = [{s: f.value for s, f in one.roof.sizes.items()} for one in (old, now)]
        assert sizes[0] == sizes[1]


@pytest.mark.parametrize("ways", [("xlsx",), ("ods", "xlsx")], ids="-".join)
def test_saved_by_another_program_the_take_off_is_the_same_to_the_byte(
    ways: tuple[str, ...], tmp_path: Path
) -> None:
    rows = [{**row, "ref": f"T-{n}"} for n, row in enumerate((BAY, TWELVE, PORCH))]
    path = tmp_path / "first" / "jobs.xlsx"
    path.parent.mkdir()
    assert write_workbook(path, {**starting_rows(FIRM), "Enquiries": rows}, folded=True) is None
    file = path
    for number, kind in enumerate(ways):
        file = converted(file, kind, tmp_path / str(number))
    assert taken_off(file) == taken_off(path)
    page = load_workbook(file)["Enquiries"]
    assert page[cell_of("Enquiries", "width_mm", 1)].comment is not None
    assert [cell.value for cell in page[1] if cell.value][:3] == ["The roof", "Who", "Where"]
    assert page.conditional_formatting
    hidden = [one for one in page.column_dimensions.values() if one.hidden]
    assert hidden and all(one.outlineLevel for one in hidden)
    with ZipFile(file) as archive:
        drawn = [name for name in archive.namelist() if name.startswith("xl/media/")]
    assert len(drawn) == 1, "the pictures of the shapes"


def taken_off(path: Path) -> str:
    """What `takeoff --json` prints of every enquiry."""
    lists = [f"--prices={file}" for file in sorted(price_lists_folder().glob("*.xlsx"))]
    done = CliRunner().invoke(
        cli, ["takeoff", str(path), "--json", f"--on={TODAY.isoformat()}", *lists]
    )
    assert done.exit_code == 0, done.stderr
    assert len(done.stdout) > 10_000
    return done.stdout
