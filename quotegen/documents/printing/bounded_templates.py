"""Filling in the owner's templates within bounds on loops and on text.

Anything that can make much of little is counted before it is done: operators, loops, calls,
includes, lists, and filters that widen a text. Printed or joined text is counted as it comes.
Filters and text methods that no paper needs are not available.
"""

import re
from collections.abc import Callable, Generator, Iterable, Iterator, Mapping, Sized
from functools import wraps
from typing import Any

from jinja2 import BaseLoader, nodes
from jinja2.compiler import CodeGenerator
from jinja2.environment import TemplateModule
from jinja2.filters import FILTERS
from jinja2.runtime import Context
from jinja2.sandbox import ImmutableSandboxedEnvironment
from jinja2.visitor import NodeTransformer

MOST_TURNS = 200_000
"""The most loop turns for one paper altogether; a `range` counts twice, when made and when run
through.
"""

TURNS_OF_CALL, TURNS_OF_PART = 5, 50
"""The turns charged for a call and for another template, by the time they take."""

MOST_TEXT = 2_000_000
"""The most characters for filling in one paper, counted again at every step they pass through. The
longest of ours has under 100,000.
"""

MOST_BITS = 4_096
"""The longest integer, in binary digits."""

_WIDEST = 3
"""The most digits in the width of a format."""

_COUNTED, _RUN = "count what is made", "count the turns"

_FILTERS = (
    "abs attr batch capitalize count d default dictsort e escape first float forceescape format"
    " groupby indent int items join last length list lower map max min reject rejectattr replace"
    " reverse safe select selectattr sort string striptags title trim truncate unique upper"
    " wordcount"
)
"""The filters available; the rest can make much of little, or depend on chance."""

_TEXT_METHODS = (
    "capitalize casefold count endswith find index isalnum isalpha isascii isdecimal isdigit"
    " islower isnumeric isspace istitle isupper lower lstrip partition removeprefix removesuffix"
    " rfind rindex rpartition rsplit rstrip split splitlines startswith strip striptags swapcase"
    " title upper"
)
"""The text methods available; none of them makes the text longer."""

_FORMAT = re.compile(r"%(?:\([^)]*\))?[-#0 +]*(\*|\d*)(?:\.(\*|\d*))?")
"""One placeholder of a format: its width and precision."""


class TurnsUsedUpError(Exception):
    """More loops, calls and includes in a template than a paper can need."""


class TooMuchTextError(Exception):
    """A longer text or number from a template than a paper can need."""


class Spending:
    """The budget left for filling in one paper.

    `taken` tells whether an owner's template takes part; our own templates are never stopped.
    """

    def __init__(self, taken: Callable[[], bool]) -> None:
        self._taken = taken
        self.start()

    def start(self) -> None:
        """Reset the budget for another paper."""
        self._turns = MOST_TURNS
        self._text = MOST_TEXT

    def turns(self, number: int) -> None:
        """Spend turns; raise `TurnsUsedUpError` if too few are left."""
        if number > self._turns and self._taken():
            raise TurnsUsedUpError(f"more than {MOST_TURNS} turns of loops and calls")
        self._turns -= number

    def text(self, number: int) -> None:
        """Spend characters; raise `TooMuchTextError` if too few are left."""
        if number > self._text and self._taken():
            raise TooMuchTextError(f"more than {MOST_TEXT} characters in all its steps")
        self._text -= number

    def value(self, value: Any) -> Any:
        """Spend the printed length of a value, and return the value."""
        self.text(self.weight(value))
        return value

    def weight(self, value: Any) -> int:
        """The size of a value in characters and parts, counted no further than the budget left."""
        if isinstance(value, str | bytes):
            return len(value)
        if isinstance(value, TemplateModule):
            raise TooMuchTextError("a template that is imported cannot be printed itself")
        if isinstance(value, Mapping):
            return self._weight_of(part for pair in value.items() for part in pair)
        if isinstance(value, list | tuple | set | frozenset):
            return self._weight_of(value)
        return 1

    def _weight_of(self, parts: Iterable[Any]) -> int:
        total = 1
        for part in parts:
            total += 1 + self.weight(part)
            if total > self._text:
                break
        return total

    def range(self, *args: int) -> range:
        """Python's `range`, with its turns spent."""
        asked = range(*args)
        self.turns(len(asked) if not asked[MOST_TURNS:] else MOST_TURNS + 1)
        return asked

    def run(self, items: Any) -> Any:
        """The items of a loop, with their turns spent: at once, or one by one."""
        if isinstance(items, Sized):
            self.turns(len(items))
            return items
        return self._each(items)

    def _each(self, items: Iterable[Any]) -> Iterator[Any]:
        for item in items:
            self.turns(1)
            yield item


class BoundedEnvironment(ImmutableSandboxedEnvironment):
    """A Jinja sandbox in which everything is counted."""

    intercepted_binops = frozenset({"+", "*", "**", "%"})

    def __init__(self, spending: Spending, loader: BaseLoader, **options: Any) -> None:
        super().__init__(loader=loader, finalize=spending.value, **options)
        self.spending = spending
        self.code_generator_class = _Counted
        self.globals = {
            name: self.globals[name] for name in ("dict", "cycler", "joiner", "namespace")
        } | {"range": spending.range}
        kept = {name: FILTERS[name] for name in _FILTERS.split()}
        self.filters = {
            name: _spent(spending, filtered, _WIDENED.get(name)) for name, filtered in kept.items()
        } | {_COUNTED: spending.value, _RUN: spending.run}

    def call_binop(self, context: Context, operator: str, left: Any, right: Any) -> Any:
        """Apply an operator, after checking the size of its result."""
        if isinstance(left, int) and isinstance(right, int):
            _short_enough(operator, left, right)
        elif operator == "*":
            texts = [side for side in (left, right) if not isinstance(side, int)]
            times = [max(side, 0) for side in (left, right) if isinstance(side, int)]
            for text, number in zip(texts, times, strict=False):
                self.spending.text(number * self.spending.weight(text))
        elif operator == "%" and isinstance(left, str):
            self.spending.text(_formatted(self.spending, left, right))
        else:
            self.spending.value((left, right))
        return super().call_binop(context, operator, left, right)

    def is_safe_attribute(self, obj: Any, attr: str, value: Any) -> bool:
        """Allow only attributes of texts and numbers that cannot make much of them."""
        if isinstance(obj, str) and hasattr(str, attr):
            return attr in _TEXT_METHODS.split()
        if isinstance(obj, int | float | bytes) and hasattr(type(obj), attr):
            return False
        return super().is_safe_attribute(obj, attr, value)

    def wrap_str_format(self, value: Any) -> None:
        """Return None, so that `format` is judged like any other text method."""

    def call(__self, __context: Context, __obj: Any, *args: Any, **names: Any) -> Any:  # noqa: N805
        """Make a call, counting it and its result."""
        __self.spending.turns(TURNS_OF_CALL)
        return __self.spending.value(super().call(__context, __obj, *args, **names))

    def get_template(self, *args: Any, **names: Any) -> Any:
        """Load a template of ours or the owner's, counted because one may include another."""
        self.spending.turns(TURNS_OF_PART)
        return super().get_template(*args, **names)

    def concat(self, parts: Iterable[str]) -> str:
        """Join the parts of a text, counting them as they come.

        An excess is raised inside the template, so that its line is known.
        """
        found = []
        try:
            for part in parts:
                self.spending.text(len(part))
                found.append(part)
        except TooMuchTextError as error:
            if isinstance(parts, Generator):
                parts.throw(error)
            raise
        return "".join(found)


class _Counting(NodeTransformer):
    """Adds the counting to a parsed template."""

    def visit_For(self, node: nodes.For) -> nodes.Node:  # noqa: N802
        self.generic_visit(node)
        node.iter = _through(_RUN, node.iter)
        return node

    def visit_Concat(self, node: nodes.Concat) -> nodes.Node:  # noqa: N802
        self.generic_visit(node)
        node.nodes = [_through(_COUNTED, part) for part in node.nodes]
        return node

    def visit_Getitem(self, node: nodes.Getitem) -> nodes.Node:  # noqa: N802
        self.generic_visit(node)
        return _through(_COUNTED, node) if isinstance(node.arg, nodes.Slice) else node

    def visit_List(self, node: nodes.Expr) -> nodes.Expr:  # noqa: N802
        self.generic_visit(node)
        return _through(_COUNTED, node)

    visit_Dict = visit_List  # noqa: N815

    def visit_Tuple(self, node: nodes.Tuple) -> nodes.Node:  # noqa: N802
        self.generic_visit(node)
        return _through(_COUNTED, node) if node.ctx == "load" else node


class _Counted(CodeGenerator):
    """Generates a template's code with the counting in it."""

    def visit_Template(self, node: nodes.Template, frame: Any = None) -> None:  # noqa: N802
        super().visit_Template(_Counting().visit(node), frame)


def _through(name: str, node: nodes.Node) -> nodes.Filter:
    return nodes.Filter(node, name, [], [], None, None, lineno=node.lineno)


def _short_enough(operator: str, left: int, right: int) -> None:
    """Whether the result of an operator on integers stays within the longest allowed."""
    bits = left.bit_length()
    asked = bits * abs(right) if operator == "**" else bits + right.bit_length()
    if operator in ("**", "*") and asked > MOST_BITS:
        raise TooMuchTextError(f"a number of more than {MOST_BITS} binary digits")


def _spent(spending: Spending, filtered: Any, added: Callable[..., int] | None) -> Any:
    """Wrap a filter to spend its input, what it may add, and its output."""

    @wraps(filtered)
    def counted(*args: Any, **names: Any) -> Any:
        own = args[1 if getattr(filtered, "jinja_pass_arg", None) else 0 :]
        for given in (*own, *names.values()):
            spending.value(given)
        if added:
            spending.text(added(spending, *own, **names))
        made = filtered(*args, **names)
        if isinstance(made, Iterator):
            return spending.run(made)
        return spending.value(made)

    return counted


def _formatted(spending: Spending, text: str, given: Any) -> int:
    """The greatest length of `text % given`."""
    total = len(text)
    for place in _FORMAT.finditer(text):
        widths = [width for width in place.groups() if width]
        if any(width == "*" or len(width) > _WIDEST for width in widths):
            raise TooMuchTextError(f"a width of more than {_WIDEST} digits")
        total += sum(map(int, widths)) + spending.weight(given)
    return total


def _format_adds(spending: Spending, text: Any, *args: Any, **names: Any) -> int:
    return _formatted(spending, str(text), names or args)


def _indent_adds(_: Spending, text: Any, width: Any = 4, *_args: Any, **_names: Any) -> int:
    each = width if isinstance(width, int) else len(str(width))
    return (str(text).count("\n") + 1) * max(each, 0)


def _replace_adds(_: Spending, text: Any, old: Any, new: Any, *_args: Any, **_names: Any) -> int:
    return str(text).count(str(old)) * len(str(new))


def _batch_adds(_: Spending, _items: Any, linecount: int, *_args: Any, **_names: Any) -> int:
    return max(linecount, 0)


def _join_adds(spending: Spending, items: Any, d: Any = "", *_args: Any, **_names: Any) -> int:
    parts = len(items) if isinstance(items, Sized) else MOST_TURNS
    return parts * spending.weight(d)


_WIDENED: Mapping[str, Callable[..., int]] = {
    "format": _format_adds,
    "indent": _indent_adds,
    "replace": _replace_adds,
    "batch": _batch_adds,
    "join": _join_adds,
}
"""The characters that each filter may add to its text."""
