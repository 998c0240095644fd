"""Generated pages are fresh, and the links between pages lead somewhere."""

import importlib.util
import re
from pathlib import Path
from types import ModuleType

import pytest

from tests.builders import ROOT

DOCS = ROOT / "docs"
WRITTEN = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted(DOCS.glob("*.md"))]
LINK = re.compile(r"!?\[[^\]]*\]\(([^)#]+)[^)]*\)")


def make_pages() -> ModuleType:
    spec = importlib.util.spec_from_file_location("make_pages", DOCS / "make_pages.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_made_pages_are_fresh() -> None:
    stale = [
        name
        for name, text in make_pages().pages().items()
        if (DOCS / name).read_text(encoding="utf-8") != text
    ]
    assert stale == [], "run: python docs/make_pages.py"


@pytest.mark.parametrize("path", WRITTEN, ids=lambda p: p.name)
def test_links_lead_somewhere(path: Path) -> None:
    for target in LINK.findall(path.read_text(encoding="utf-8")):
        if "://" not in target:
            assert (path.parent / target).exists(), f"{path.name} links to {target}"
