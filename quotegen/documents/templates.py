"""Filling a template with a view: sandboxed, escaped, and an undefined name is an error.

A template whose name ends in `.txt` makes plain text, in which nothing has to be escaped.
"""

from functools import cache
from pathlib import Path
from typing import Any

from jinja2 import (
    BaseLoader,
    ChoiceLoader,
    FileSystemLoader,
    PrefixLoader,
    StrictUndefined,
)
from jinja2.sandbox import ImmutableSandboxedEnvironment

from quotegen.resources import templates_folder

PLAIN_TEXT = ".txt"


def fill(template: str, own: Path | None = None, /, **names: Any) -> str:
    """The HTML or the text of a paper: `template` with these names filled in.

    A template of the same name in the owner's own folder takes the place of ours, and may extend
    ours as `ours/NAME`.
    """
    return _environment(templates_folder(), own).get_template(template).render(**names)


@cache
def _environment(folder: Path, own: Path | None) -> ImmutableSandboxedEnvironment:
    ours = FileSystemLoader(folder)
    folders: list[BaseLoader] = [FileSystemLoader(own)] if own else []
    return ImmutableSandboxedEnvironment(
        loader=ChoiceLoader([*folders, ours, PrefixLoader({"ours": ours})]),
        autoescape=_is_markup,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def _is_markup(name: str | None) -> bool:
    return name is None or not name.endswith(PLAIN_TEXT)
