"""Filling a template with a view: sandboxed, escaped, and an undefined name is an error."""

from functools import cache
from pathlib import Path
from typing import Any

from jinja2 import FileSystemLoader, StrictUndefined
from jinja2.sandbox import ImmutableSandboxedEnvironment

from quotegen.resources import templates_folder


def fill(template: str, **names: Any) -> str:
    """The HTML of a paper: `template` with these names filled in."""
    return _environment(templates_folder()).get_template(template).render(**names)


@cache
def _environment(folder: Path) -> ImmutableSandboxedEnvironment:
    return ImmutableSandboxedEnvironment(
        loader=FileSystemLoader(folder),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
