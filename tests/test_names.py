"""Each public name of the product is made in one module, so that it means one thing."""

import ast
from collections import defaultdict
from collections.abc import Iterator

from tests.builders import ROOT


def names_made(tree: ast.Module) -> Iterator[str]:
    """The classes, functions, constants and types that a module makes at its top."""
    for node in tree.body:
        if isinstance(node, ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef):
            yield node.name
        elif isinstance(node, ast.Assign | ast.AnnAssign):
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            for target in targets:
                yield from (x.id for x in ast.walk(target) if isinstance(x, ast.Name))


def test_no_public_name_is_made_twice() -> None:
    made: defaultdict[str, list[str]] = defaultdict(list)
    for path in sorted((ROOT / "quotegen").rglob("*.py")):
        dotted = ".".join(path.relative_to(ROOT).with_suffix("").parts)
        for name in set(names_made(ast.parse(path.read_text(encoding="utf-8")))):
            if not name.startswith("_"):
                made[name].append(dotted)
    assert len(made) > 1000
    assert {name: where for name, where in made.items() if len(where) > 1} == {}
