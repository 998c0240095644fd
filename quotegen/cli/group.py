"""The group of all commands, and the report of a fault of the program."""

import sys

import click

from quotegen.cli.asking import FAULT
from quotegen.machine.process import set_process


@click.group()
@click.version_option(package_name="quotegen")
def cli() -> None:
    """From a workbook row to a quote and a safe method for a fibreglass flat roof."""


def main() -> None:
    """Run a command; report a fault of the program in one line, without a traceback."""
    set_process()
    try:
        cli()
    except Exception as error:
        click.echo(f"quotegen has failed: {type(error).__name__}: {error}", err=True)
        click.echo("No half-written file was left behind. Please report this.", err=True)
        sys.exit(FAULT)
