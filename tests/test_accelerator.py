"""Nothing that is printed tells anybody to add accelerator: it comes in the resin.

Catalyst and neat accelerator can explode together (HSE CS21), so none is brought to site.
"""

import re
from pathlib import Path

import quotegen
from quotegen.machine.resources import templates_folder
from quotegen.reference import house_rules

ALLOWED = re.compile(
    r"pre-accelerated|accelerator is in resin and topcoat: none brought, none added"
    r"|accelerator neat|never accelerator|apart from resin, accelerator",
    re.IGNORECASE,
)
"""What may be said of it: that it is in the resin, that none is brought, what to keep apart."""
KEYS = re.compile(r'^(key|between) = .*"accelerator"')


def test_every_word_of_accelerator_keeps_it_away() -> None:
    folders = [Path(quotegen.__file__).parent, templates_folder()]
    files = [
        file
        for folder in folders
        for ending in ("toml", "html", "py")
        for file in folder.rglob(f"*.{ending}")
    ]
    said = [
        line.strip()
        for file in files
        for line in file.read_text(encoding="utf-8").splitlines()
        if re.search(r"accelerator|accelerated", line, re.IGNORECASE)
    ]
    assert len(said) > 5
    assert [line for line in said if not ALLOWED.search(line) and not KEYS.search(line)] == []


def test_resin_and_topcoat_are_ordered_pre_accelerated() -> None:
    items = house_rules.items()
    for code in ("resin", "topcoat"):
        assert items[code].asks.startswith("Pre-accelerated")
    assert not [item.code for item in items.values() if "accelerator" in item.words.lower()]
