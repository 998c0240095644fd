"""No sentence stands in the code of `quotegen/safety`: what protects people has a rule table.

There it has its source and the day it was checked; the code gives the figures that are put in.
What may stay: docstrings, what a fault of our own is raised with, the name of a figure, and in
`facts/` in a few words what an answer was taken from.
"""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.builders import ROOT

SAFETY = ROOT / "quotegen" / "safety"
NAMES_A_FIGURE = frozenset({"derive", "chosen"})
"""What takes the name of a figure first."""

MOST_WORDS = 3
"""So many words are a heading or a name; more say something."""

MOST_OF_A_SOURCE = 10
"""So many words may say what a fact was taken from: “take-off: ” and what of it."""

HOLE = "\N{OBJECT REPLACEMENT CHARACTER}"
"""What stands for a value that an f-string puts in."""

WORD = re.compile(r"[^\W\d_](?:[\w'’-]*\w)?")
STOP = re.compile(rf"[\w){HOLE}][.!?](?:\s|$)")
COMMAND = re.compile(r"\b[A-Z]{2,}\s+[A-Z]{2,}\b")
"""Words shouted, one after another: DO NOT LAY."""


def is_prose(text: str, most_words: int) -> bool:
    """Whether a text is a sentence, a part of one that says something, or a command."""
    said = len(WORD.findall(text)) > 1
    ended = bool(STOP.search(text)) and said
    begun = text[:1].isupper() and len(WORD.findall(text)) > MOST_WORDS
    return ended or begun or bool(COMMAND.search(text)) or len(WORD.findall(text)) > most_words


def whole(node: ast.expr) -> str | None:
    """The text of a string or an f-string, None of anything else."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return node.value
    if isinstance(node, ast.JoinedStr):
        return "".join(HOLE if isinstance(p, ast.FormattedValue) else p.value for p in node.values)  # type: ignore[attr-defined]  # the others are strings
    return None


def texts(node: ast.AST) -> Iterator[tuple[int, str]]:
    """Every text of the code with its line, apart from what may be prose."""
    if isinstance(node, ast.Raise):
        return
    if isinstance(node, ast.Expr) and whole(node.value) is not None:
        return
    if isinstance(node, ast.expr) and (text := whole(node)) is not None:
        yield node.lineno, text
        for held in node.values if isinstance(node, ast.JoinedStr) else ():
            if isinstance(held, ast.FormattedValue):
                yield from texts(held.value)
        return
    called = node.func if isinstance(node, ast.Call) else None
    named = isinstance(called, ast.Name) and called.id in NAMES_A_FIGURE
    for part in ast.iter_child_nodes(node):
        if not (named and isinstance(node, ast.Call) and node.args and part is node.args[0]):
            yield from texts(part)


def prose(code: str, most_words: int) -> list[tuple[int, str]]:
    """What of a module is prose, with its lines."""
    return [(at, text) for at, text in texts(ast.parse(code)) if is_prose(text, most_words)]


def test_no_sentence_stands_in_the_code_of_safety() -> None:
    paths = sorted(SAFETY.rglob("*.py"))
    assert len(paths) > 15
    found = []
    for path in paths:
        most = MOST_OF_A_SOURCE if path.parent.name == "facts" else MOST_WORDS
        place = path.relative_to(ROOT)
        found += [
            f"{place}:{at}: {text}" for at, text in prose(Path(path).read_text("utf-8"), most)
        ]
    assert found == []


@pytest.mark.parametrize(
    "code",
    [
        'SAID = "The mask is on whenever resin is open."',
        'words = f"At the {deck} expected it is too cold: DO NOT LAY. "',
        'words = f", unless a fixed barrier keeps them {zone} from it"',
        'words = f"{materials}, level {level} (over {spell} minutes) against {what}{marked}."',
        'NO_MIX = "DO NOT MIX"',
        'line = f"{first} and after wind or a knock."',
        'said = {"a": ["Measure first."]}',
        "line = f\"{over if late else 'That is too much: more air.'}\"",
        'derive("height", Unit.M, f, note="Nobody stands below it.")',
    ],
)
def test_what_is_a_sentence_is_seen(code: str) -> None:
    assert len(prose(code, MOST_WORDS)) == 1
    assert prose(f'"""{code[:4]} Read it. It says what."""', MOST_WORDS) == []


@pytest.mark.parametrize(
    "code",
    [
        'raise ReferenceFileError("no glove reaches this level. Look again.")',
        'derive("inspections, days after the first use", Unit.DAYS, f)',
        'amount = f"{litres} l"',
        'key = "work_at_height.inspection_days"',
    ],
)
def test_what_is_none_is_let_through(code: str) -> None:
    assert prose(code, MOST_WORDS) == []
