"""Calculation gives keys and figures: no sentence for a person stands in its modules."""

import ast
import re
from collections.abc import Iterator

import pytest

from tests.builders import ROOT

ROOMS = ("takeoff", "pricing", "days")
FEWEST_WORDS = 3
VERBS = frozenset(
    {
        "is", "are", "was", "were", "be", "been", "has", "have",
        "had", "do", "does", "did", "will", "would", "can", "could",
        "may", "might", "must", "shall", "should", "needs", "stays", "stay",
        "becomes", "become", "costs", "comes", "goes", "takes", "stands", "protects",
        "asked",
    }
)  # fmt: skip
"""Words by which a sentence says something; the name of a figure, or where it is from, has none."""
NO_SENTENCES = {
    "U-value, fixings and ceiling left out": "the name of a figure",
    "a distance nobody has measured": "what a problem saw, in the words of its kind",
    "no price list has it": "where a figure is from",
    "trim that is bonded": "the name of a figure",
}
"""What looks like a sentence, and what it is."""


def said_in(tree: ast.Module) -> Iterator[tuple[int, str]]:
    """The texts of a module by their lines, each value put into one as `…`.

    Left out are docstrings, what a fault of ours says, and, unless it has a capital in front, what
    is handed to `chosen`: the name of a figure and where it is from.
    """
    skipped: set[ast.AST] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "chosen":
            for argument in node.args:
                if not _has_capital(argument):
                    skipped.update(ast.walk(argument))
        if isinstance(node, ast.Raise):
            skipped.update(ast.walk(node))
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            skipped.add(node.value)
        if isinstance(node, ast.JoinedStr) and node not in skipped:
            parts = [p.value if isinstance(p, ast.Constant) else "…" for p in node.values]
            skipped.update(p for p in node.values if isinstance(p, ast.Constant))
            yield node.lineno, "".join(map(str, parts))
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and node not in skipped:
            yield node.lineno, node.value


def _has_capital(argument: ast.expr) -> bool:
    """Whether a text in a call begins as a sentence does."""
    first = argument.values[0] if isinstance(argument, ast.JoinedStr) else argument
    return isinstance(first, ast.Constant) and str(first.value)[:1].isupper()


def is_sentence(text: str) -> bool:
    """Whether a text tells a person something and does not only name a figure or a place.

    It has at least three words and a capital in front, a stop inside or at its end, or a verb.
    """
    words = re.findall(r"[A-Za-z’']+", text)
    if len(words) < FEWEST_WORDS:
        return False
    opened = re.match(r"[“\"]?[A-Z]", text) is not None
    stopped = re.search(r"[.;!?](\s|$)", text) is not None
    return opened or stopped or not VERBS.isdisjoint(word.lower() for word in words)


def test_no_sentence_for_a_person_stands_in_the_calculation() -> None:
    paths = [path for room in ROOMS for path in sorted((ROOT / "quotegen" / room).rglob("*.py"))]
    found = [
        (text, f"{path.relative_to(ROOT)}:{line}")
        for path in paths
        for line, text in said_in(ast.parse(path.read_text(encoding="utf-8")))
        if is_sentence(text)
    ]
    assert len(paths) > 50
    assert [place for text, place in found if text not in NO_SENTENCES] == []
    assert set(NO_SENTENCES) <= {text for text, _ in found}, "in the list and needed no longer"


@pytest.mark.parametrize(
    ("code", "sentence"),
    [
        ('x = f"The edge is {h} m up and nobody works at height."', True),
        ('x = f"{what} off the van: check its date; the data sheets decide"', True),
        ('x = "the front is not narrower than the wall"', True),
        ('x = "Carry down, bag and take away"', True),
        ('x = f"{n} mm of upstand are left at the wall"', True),
        ('x = chosen("a", 1.0, unit, "The height of the edge is not known")', True),
        ('x = chosen("a", 1.0, unit, "laps are counted over all layers")', False),
        ('x = derive("length of the roll", unit, f, a=b)', False),
        ('raise TypeError(f"{key} is filled by other figures.")', False),
        ('"""A formula is a docstring here."""', False),
    ],
)
def test_a_sentence_is_known_from_the_name_of_a_figure(code: str, sentence: bool) -> None:
    assert any(is_sentence(text) for _, text in said_in(ast.parse(code))) is sentence
