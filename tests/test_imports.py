"""Each floor imports only from lower floors: the table in the developers' page, checked."""

import ast
import subprocess
import sys
from pathlib import Path

from tests.builders import ROOT

FLOORS = (
    ("tables", "units"),
    ("working", "problem_kinds", "phrases", "machine"),
    ("problems", "wording"),
    ("reference",),
    ("reference.firm",),
    ("model",),
    ("workbook.package", "takeoff.basis"),
    ("workbook.sheets", "takeoff.shape", "takeoff.layers", "takeoff.strip"),
    ("workbook.typed",),
    ("workbook.reading", "takeoff.trims", "days"),
    ("workbook.writing", "takeoff.buying", "takeoff.hours"),
    ("workbook.copies", "takeoff.access"),
    ("takeoff",),
    ("pricing", "safety.facts"),
    ("learning", "paying"),
    ("safety.rules", "prestart"),
    ("safety.statement",),
    ("diary",),
    ("register", "documents.printing", "documents.shared"),
    ("documents.drawing",),
    ("documents.layers", "documents.data"),
    ("documents.customer", "documents.crew", "documents.safety"),
    ("documents.owner", "documents.paying", "demo"),
    ("working_out",),
    ("making",),
    ("app", "invoicing"),
    ("cli",),
    ("__main__",),
)
"""The rooms from the ground up; those of one floor do not know one another."""

STRANGERS = (
    {"takeoff", "workbook"},
    {"pricing", "safety"},
    {"pricing", "workbook"},
    {"paying", "workbook"},
    {"register", "documents"},
)
"""Rooms of which neither imports the other, whatever their floors."""

OUTSIDE = {
    "days": {"astral", "holidays"},
    "takeoff.layers": {"shapely"},
    "takeoff.shape": {"shapely"},
    "takeoff.trims": {"highspy"},
    "workbook.package": {"openpyxl"},
    "workbook.writing": {"openpyxl", "PIL"},
    "workbook.copies": {"openpyxl"},
    "wording": {"babel"},
    "learning": {"numpy", "pandas", "scipy"},
    "documents.printing": {
        "jinja2",
        "weasyprint",
        "markupsafe",
        "PIL",
        "pillow_heif",
        "font_source_sans_pro",
    },
    "documents.drawing": {"markupsafe", "shapely"},
    "documents.layers": {"markupsafe", "shapely"},
    "documents.crew": {"markupsafe"},
    "documents.safety": {"markupsafe"},
    "documents.owner": {"icalendar", "markupsafe", "matplotlib", "pandas"},
    "cli": {"click", "rich"},
}
"""The libraries each room may use, besides that of the records."""

RECORDS = "msgspec"

MOST_FILES = 12
FLOOR_OF = {room: number for number, rooms in enumerate(FLOORS) for room in rooms}
MODULES = sorted((ROOT / "quotegen").rglob("*.py"))


def room_of(dotted: str) -> str:
    """The room of a module, or of a name in one: the longest that the table has."""
    parts = dotted.removeprefix("quotegen.").split(".")
    names = (".".join(parts[:many]) for many in range(len(parts), 0, -1))
    return next((name for name in names if name in FLOOR_OF), "")


def imports_of(path: Path) -> set[str]:
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        if isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path.name}: a relative import hides the floor"
            assert node.module
            if node.module == "quotegen":
                found |= {f"quotegen.{alias.name}" for alias in node.names}
            else:
                found.add(node.module)
    return found


def may_import(room: str, name: str) -> bool:
    if not name.startswith("quotegen."):
        package = name.split(".", maxsplit=1)[0]
        return package in sys.stdlib_module_names or package in {RECORDS, *OUTSIDE.get(room, ())}
    other = room_of(name)
    tops = {room.partition(".")[0], other.partition(".")[0]}
    return other == room or (FLOOR_OF[other] < FLOOR_OF[room] and tops not in STRANGERS)


def test_modules_import_only_from_below() -> None:
    wrong = []
    for path in MODULES:
        dotted = ".".join(path.relative_to(ROOT).with_suffix("").parts)
        if path.name != "__init__.py":
            names = sorted(imports_of(path))
            wrong += [f"{dotted} imports {n}" for n in names if not may_import(room_of(dotted), n)]
    assert len(MODULES) > 150
    assert wrong == []


def test_every_room_is_on_a_floor() -> None:
    rooms = {
        room_of(".".join(p.relative_to(ROOT).with_suffix("").parts))
        for p in MODULES
        if p.name != "__init__.py"
    }
    assert rooms == set(FLOOR_OF)


def test_no_room_is_a_heap() -> None:
    folders = [p.parent for p in MODULES if p.name == "__init__.py"]
    folders += [p.parent for p in (ROOT / "quotegen/reference").rglob("*.toml")]
    for folder in set(folders):
        files = [p.name for p in folder.iterdir() if p.is_file() and p.name != "__init__.py"]
        assert len(files) <= MOST_FILES, folder


def test_modules_stay_small_enough_to_read() -> None:
    lengths = {p.name: len(p.read_text(encoding="utf-8").splitlines()) for p in MODULES}
    assert {name: n for name, n in lengths.items() if n > 500} == {}


def test_init_files_stay_thin() -> None:
    for path in MODULES:
        if path.name == "__init__.py":
            body = ast.parse(path.read_text(encoding="utf-8")).body
            assert len(body) == 1, path
            assert isinstance(body[0], ast.Expr), path


def test_help_imports_nothing_heavy() -> None:
    code = (
        "import sys\n"
        "from click.testing import CliRunner\n"
        "from quotegen.cli.commands import cli\n"
        "assert CliRunner().invoke(cli, ['--help']).exit_code == 0\n"
        "print(*sys.modules)\n"
    )
    loaded = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    ).stdout.split()
    heavy = {
        "weasyprint",
        "openpyxl",
        "shapely",
        "numpy",
        "pandas",
        "scipy",
        "babel",
        "jinja2",
        "PIL",
        "rich.progress",
        "holidays",
        "icalendar",
    }
    assert heavy.isdisjoint(loaded)


def test_checking_a_workbook_draws_nothing() -> None:
    code = "import sys\nimport quotegen.working_out\nprint(*sys.modules)\n"
    loaded = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    ).stdout.split()
    drawing = {
        "weasyprint",
        "babel",
        "jinja2",
        "PIL",
        "holidays",
        "icalendar",
        "quotegen.making.papers",
        "quotegen.documents.printing.paper",
    }
    assert drawing.isdisjoint(loaded)
    papers_alone = {
        "highspy",
        "pandas",
        "scipy",
        "quotegen.learning.compared",
        "quotegen.model.safety",
        "quotegen.reference.rule_records",
        "quotegen.pricing.sensitivity",
        "quotegen.takeoff.together",
    }
    assert papers_alone.isdisjoint(loaded), "records that only papers and other commands are of"
    assert "openpyxl" not in loaded, "a third of a second, and our own reader needs none of it"
