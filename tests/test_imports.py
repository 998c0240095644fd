"""Each floor imports only floors below it: the table of the developers' page, checked."""

import ast
import subprocess
import sys
from pathlib import Path

from tests.builders import ROOT

FLOORS = {
    "units": 0,
    "problem_kinds": 0,
    "problems": 0,
    "working": 0,
    "files": 0,
    "phrases": 0,
    "resources": 0,
    "once": 0,
    "process": 0,
    "reference": 1,
    "model": 1,
    "takeoff": 2,
    "workbook": 2,
    "pricing": 3,
    "safety": 3,
    "documents": 4,
    "register": 4,
    "papers": 5,
    "made_from": 5,
    "drawing_up": 5,
    "workers": 5,
    "issuing": 5,
    "working_out": 5,
    "app": 5,
    "trial": 5,
    "demo": 5,
    "cli": 6,
    "__main__": 7,
}
# Within a floor only these may import one another, in this direction.
BESIDE = {
    ("problems", "problem_kinds"),
    ("papers", "working_out"),
    ("drawing_up", "papers"),
    ("workers", "drawing_up"),
    ("workers", "papers"),
    ("issuing", "drawing_up"),
    ("issuing", "papers"),
    ("issuing", "workers"),
    ("app", "papers"),
    ("app", "issuing"),
    ("app", "made_from"),
    ("app", "workers"),
    ("app", "working_out"),
    ("trial", "papers"),
    ("trial", "drawing_up"),
    ("trial", "working_out"),
}
OUTSIDE = {
    "takeoff": {"shapely", "highspy"},
    "workbook": {"openpyxl"},
    "documents": {
        "jinja2",
        "weasyprint",
        "babel",
        "markupsafe",
        "PIL",
        "pillow_heif",
        "font_source_sans_pro",
        "shapely",
    },
    "cli": {"click", "rich"},
}
MODULES = sorted((ROOT / "quotegen").rglob("*.py"))


def room_of(dotted: str) -> str:
    return dotted.split(".")[1] if "." in dotted else ""


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
        return package in sys.stdlib_module_names or package in OUTSIDE.get(room, set())
    other = room_of(name)
    return other == room or FLOORS[other] < FLOORS[room] or (room, other) in BESIDE


def test_modules_import_only_from_below() -> None:
    wrong = []
    for path in MODULES:
        relative = path.relative_to(ROOT / "quotegen").with_suffix("")
        room = relative.parts[0]
        if room != "__init__":
            names = sorted(imports_of(path))
            wrong += [f"{relative} imports {n}" for n in names if not may_import(room, n)]
    assert len(MODULES) > 150
    assert wrong == []


def test_every_room_is_on_a_floor() -> None:
    rooms = {
        p.stem if p.is_file() else p.name
        for p in (ROOT / "quotegen").iterdir()
        if p.suffix == ".py" or (p / "__init__.py").is_file()
    }
    assert rooms - {"__init__"} == set(FLOORS)


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
        "from quotegen.cli import cli\n"
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
        "babel",
        "jinja2",
        "PIL",
        "rich.progress",
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
        "quotegen.papers",
        "quotegen.documents.paper",
    }
    assert drawing.isdisjoint(loaded)
    papers_alone = {
        "highspy",
        "quotegen.model.safety",
        "quotegen.reference.rule_records",
        "quotegen.pricing.sensitivity",
        "quotegen.takeoff.together",
    }
    assert papers_alone.isdisjoint(loaded), "records that only papers and other commands are of"
    assert "openpyxl" not in loaded, "a third of a second, and our own reader needs none of it"
