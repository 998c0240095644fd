"""All the commands in their group: importing this defines them."""

from quotegen.cli import firm, jobs, paying
from quotegen.cli.group import cli, main

__all__ = ["cli", "firm", "jobs", "main", "paying"]
