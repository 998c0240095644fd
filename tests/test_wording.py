"""One style for figures: everything a person reads is written by `wording` alone."""

import ast
from collections.abc import Iterator
from pathlib import Path

from tests.builders import ROOT

FOR_MACHINES = {
    "documents/data/order_data.py": "JSON",
    "documents/drawing/svg.py": "coordinates of a drawing",
    "takeoff/strip/strip.py": "keys of published values",
    "workbook/writing/dropdowns.py": "formulas of a spreadsheet",
    "documents/printing/pictures.py": "millions of dots",
    "workbook/package/book.py": "mebibytes",
}
"""Where a number is written otherwise, and what for."""


def format_specs(path: Path) -> Iterator[int]:
    """The lines on which an f-string says for itself how a value is written; widths do not."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.FormattedValue) and isinstance(node.format_spec, ast.JoinedStr):
            parts = [
                part.value for part in node.format_spec.values if isinstance(part, ast.Constant)
            ]
            if set("".join(map(str, parts))) & set("efgGE%+,."):
                yield node.lineno


def test_no_figure_is_written_but_by_wording() -> None:
    package = ROOT / "quotegen"
    found = {
        path.relative_to(package).as_posix(): lines
        for path in sorted(package.rglob("*.py"))
        if (lines := list(format_specs(path)))
    }
    assert {name: lines for name, lines in found.items() if name not in FOR_MACHINES} == {}
    assert set(FOR_MACHINES) <= set(found), "a name in the list that needs to be there no longer"


def test_babel_is_asked_by_wording_alone() -> None:
    asked = [
        path.name
        for path in (ROOT / "quotegen").rglob("*.py")
        if "import babel" in (text := path.read_text(encoding="utf-8")) or "from babel" in text
    ]
    assert asked == ["wording.py"]
