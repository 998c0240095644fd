"""Each floor imports only floors below it: the table of the developers' page, checked."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

from tests.builders import ROOT

FLOORS = {
    "units": 0,
    "problem_kinds": 0,
    "problems": 0,
    "working": 0,
    "files": 0,
    "phrases": 0,
    "resources": 0,
    "reference": 1,
    "model": 1,
    "takeoff": 2,
    "workbook": 2,
    "pricing": 3,
    "safety": 3,
    "documents": 4,
    "register": 4,
    "papers": 5,
    "issuing": 5,
    "working_out": 5,
    "app": 5,
    "demo": 5,
    "cli": 6,
    "__main__": 7,
}
# Within a floor only these may import one another, in this direction.
BESIDE = {
    ("problems", "problem_kinds"),
    ("issuing", "papers"),
    ("app", "papers"),
    ("app", "issuing"),
    ("app", "working_out"),
}
OUTSIDE = {
    "takeoff": {"shapely", "highspy"},
    "workbook": {"openpyxl"},
    "documents": {"jinja2", "weasyprint", "babel", "markupsafe", "PIL", "font_source_sans_pro"},
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


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(ROOT)))
def test_a_module_imports_only_from_below(path: Path) -> None:
    relative = path.relative_to(ROOT / "quotegen").with_suffix("")
    room = relative.parts[0]
    if room == "__init__":
        return
    for name in imports_of(path):
        if not name.startswith("quotegen."):
            package = name.split(".")[0]
            allowed = OUTSIDE.get(room, set())
            assert package in sys.stdlib_module_names or package in allowed, (relative, name)
            continue
        other = room_of(name)
        if other == room:
            continue
        below = FLOORS[other] < FLOORS[room] or (room, other) in BESIDE
        assert below, f"{relative} imports {name}"


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
    drawing = {"weasyprint", "babel", "jinja2", "PIL", "quotegen.papers", "quotegen.documents"}
    assert drawing.isdisjoint(loaded)
    assert "openpyxl" not in loaded, "a third of a second, and our own reader needs none of it"
