"""The words that docs/how_we_write.md says we do not use, looked for in everything that people see.

The list is a house judgement: common practice, no source. It is read from the page itself, so the
page and the check cannot differ.
"""

import re
import tomllib
from collections.abc import Iterator
from pathlib import Path

import click
import pytest

from quotegen.cli.commands import cli
from quotegen.machine.resources import templates_folder
from quotegen.workbook.sheets.declaration import sheets

_ROOT = Path(__file__).parent.parent
_PACKAGE = _ROOT / "quotegen"
_PAGE = _ROOT / "docs" / "how_we_write.md"
_HEADING = "## Words that give us away"
# Names of the world outside: titles of laws and standards, addresses, and keys that nobody reads.
_NOT_OURS = {"source", "address", "key", "code", "was"}
_TEMPLATE_CODE = re.compile(r"{%.*?%}|{{.*?}}|{#.*?#}|<style.*?</style>", re.DOTALL)
_TAG = re.compile(r"<[^>]*>")


def phrases(page: str) -> list[str]:
    """The left column of the table of words, its cells split at their commas."""
    rows = page.partition(_HEADING)[2].splitlines()
    cells = [row.split("|")[1].strip() for row in rows if row.startswith("| ")]
    return [one.strip() for cell in cells[1:] for one in cell.split(",")]


def found(words: str, unwanted: list[str]) -> list[str]:
    """The unwanted phrases in some words: as whole words, whatever their capitals."""
    plain = " ".join(words.split())
    return [one for one in unwanted if re.search(rf"\b{re.escape(one)}\b", plain, re.IGNORECASE)]


def _strings(value: object, field: str = "") -> Iterator[str]:
    if isinstance(value, dict):
        for name, held in value.items():
            yield from _strings(held, name)
    elif isinstance(value, list):
        for held in value:
            yield from _strings(held, field)
    elif isinstance(value, str) and field not in _NOT_OURS:
        yield value


def _of_tables() -> Iterator[tuple[str, str]]:
    for path in sorted(_PACKAGE.rglob("*.toml")):
        for words in _strings(tomllib.loads(path.read_text(encoding="utf-8"))):
            yield path.name, words


def _of_templates() -> Iterator[tuple[str, str]]:
    for path in sorted(templates_folder().rglob("*")):
        if path.suffix in {".html", ".txt"}:
            text = path.read_text(encoding="utf-8")
            yield path.name, _TAG.sub(" ", _TEMPLATE_CODE.sub(" ", text))


def _of_sheets() -> Iterator[tuple[str, str]]:
    for sheet in sheets().values():
        yield sheet.name, sheet.about
        for column in sheet.columns:
            yield f"{sheet.name}, {column.heading}", f"{column.heading}. {column.prompt}"


def _of_commands() -> Iterator[tuple[str, str]]:
    assert isinstance(cli, click.Group)
    for name, command in cli.commands.items():
        yield name, command.get_help(click.Context(command, info_name=name))


def _seen() -> list[tuple[str, str]]:
    return [*_of_tables(), *_of_templates(), *_of_sheets(), *_of_commands()]


def test_nothing_people_see_has_a_word_we_do_not_use() -> None:
    unwanted = phrases(_PAGE.read_text(encoding="utf-8"))
    assert len(unwanted) > 30, "the table of docs/how_we_write.md was not found"
    said = _seen()
    assert len(said) > 2000, "most of what people see was not found"
    assert [(place, one, words) for place, words in said for one in found(words, unwanted)] == []


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        ("The survey is\n  wanting.", ["is wanting"]),
        ("Holds until 23 December", ["holds until"]),
        ("The trim is 1200 mm at the least", ["at the least"]),
        ("Measure from the house wall", []),
        ("Marshall the marshalling yard; at least 40 mm", []),
    ],
)
def test_a_phrase_is_found_as_whole_words(words: str, expected: list[str]) -> None:
    assert found(words, phrases(_PAGE.read_text(encoding="utf-8"))) == expected


def test_the_phrases_are_those_of_the_page() -> None:
    before = "| before | after |\n|---|---|\n| old, x | new |\n\n"
    table = "| not | but |\n|---|---|\n| a thing, the other | another |\n"
    assert phrases(f"{before}{_HEADING}\n\n{table}") == ["a thing", "the other"]
