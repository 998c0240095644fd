"""What the commands ask for alike, and their exit codes."""

from datetime import date, datetime
from pathlib import Path

import click

CLEAN, DATA_PROBLEMS, FAULT, INTERRUPTED = 0, 1, 2, 130
FILE_PATH = click.Path(path_type=Path)

book_argument = click.argument("book", type=FILE_PATH)
ref_option = click.option("--ref", "refs", multiple=True, metavar="R", help="Only this enquiry.")
prices_option = click.option(
    "--prices",
    "price_lists",
    multiple=True,
    type=FILE_PATH,
    metavar="LIST",
    help="A price list. Without one, all those in the folder `prices` beside BOOK.",
)
out_option = click.option(
    "--out",
    type=FILE_PATH,
    metavar="FOLDER",
    help="Where the papers go. If not given, `papers` beside BOOK.",
)
on_option = click.option(
    "--on",
    type=click.DateTime(["%Y-%m-%d"]),
    metavar="YYYY-MM-DD",
    help="The date on the papers. If not given, today.",
)
renew_option = click.option(
    "--renew",
    is_flag=True,
    help="Issue again, from this day, the quotes that have run out or soon will.",
)
at_once_option = click.option(
    "--at-once",
    type=click.IntRange(1),
    metavar="N",
    envvar="QUOTEGEN_AT_ONCE",
    help="How many papers to draw at once. If not given, one for each core.",
)
json_option = click.option("--json", "as_json", is_flag=True, help="Print data instead of words.")


def asked_day(on: datetime | None) -> date:
    """The day asked for, or else today."""
    return on.date() if on else date.today()  # noqa: DTZ011 - the roofer's own calendar day
