"""All the commands in their group: importing this defines them."""

from quotegen.cli import firm, jobs
from quotegen.cli.group import cli, main

__all__ = ["cli", "firm", "jobs", "main"]
