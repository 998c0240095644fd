"""The landlord's schedule as a PDF to read and as a workbook to go on with."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from quotegen.documents.design import Design
from quotegen.documents.first_day_words import first_day_words
from quotegen.documents.paper import PictureBox, one_line
from quotegen.documents.schedule_view import (
    OUR_RULE,
    found_words,
    marks_of,
    schedule_view,
    starts_note,
    sum_row,
    sums_notes,
    urgency_words,
)
from quotegen.documents.table_book import TableDesign
from quotegen.documents.wording import Wording
from quotegen.model.issue import Issue
from quotegen.model.schedule import Schedule, ScheduledRoof
from quotegen.model.settings import Settings
from quotegen.workbook.columns import CellKind
from quotegen.workbook.tables import Table, TableColumn, Value

TITLE = "Schedule of roofs"
_NO_QUOTE = "no quote yet"


@dataclass(frozen=True, slots=True)
class RoofPhotos:
    """The photos of one roof, each with its address and what it shows."""

    heading: str
    photos: tuple[tuple[str, str], ...]


def _fill(schedule: Schedule, issue: Issue, wording: Wording, box: PictureBox) -> Mapping[str, Any]:
    return {
        "schedule": schedule_view(schedule, issue, wording),
        "photos": tuple(shown for roof in schedule.roofs if (shown := _photos(roof, box)).photos),
    }


def _line(schedule: Schedule) -> str:
    return f"{len(schedule.roofs)} roofs of {one_line(schedule.customer.name)}"


def _settings(schedule: Schedule) -> Settings:
    return schedule.settings


def _photos(roof: ScheduledRoof, box: PictureBox) -> RoofPhotos:
    enquiry = roof.quote.enquiry
    photos = []
    for finding in enquiry.findings:
        url = box.photo(finding, enquiry.ref)
        if url:
            photos.append((url, finding.seen))
    return RoofPhotos(f"{enquiry.ref}, {one_line(enquiry.site_address)}", tuple(photos))


SCHEDULE = Design(
    TITLE,
    "schedule.html",
    lambda schedule: (schedule.roofs[0].quote.enquiry, schedule.settings),
    _fill,
    line=_line,
)


def _tables(schedule: Schedule, issue: Issue, wording: Wording) -> tuple[Table, ...]:
    return (
        _roofs_table(schedule, issue, wording),
        _prices_table(schedule, issue),
        _sums_table(schedule, issue, wording),
        _urgency_table(),
    )


def _roofs_table(schedule: Schedule, issue: Issue, wording: Wording) -> Table:
    """One row a roof: what was found on it and how urgent it is."""
    rows = [_roof_row(roof, wording) for roof in schedule.roofs]
    for enquiry in schedule.unpriced:
        address = one_line(enquiry.site_address)
        rows.append((enquiry.ref, address, str(enquiry.roof.kind), "", "", _NO_QUOTE, None, None))
    return Table(
        name="Roofs",
        title=f"{TITLE}: {one_line(schedule.customer.name)}",
        lines=(
            ("Schedule", f"{issue.reference}, revision {issue.revision}"),
            ("Date", wording.date(issue.issued)),
        ),
        columns=(
            TableColumn("Reference", 12),
            TableColumn("Roof at", 26),
            TableColumn("Roof", 12),
            TableColumn("What was found", 44),
            TableColumn("How urgent", 10),
            TableColumn("Why", 24),
            TableColumn("Start", 12),
            TableColumn("Price holds until", 13, CellKind.DATE),
        ),
        rows=tuple(rows),
        landscape=True,
        notes=tuple(note for note in (starts_note(schedule),) if note),
    )


def _roof_row(roof: ScheduledRoof, wording: Wording) -> tuple[Value, ...]:
    enquiry = roof.quote.enquiry
    return (
        enquiry.ref,
        one_line(enquiry.site_address),
        str(enquiry.roof.kind),
        "\n".join(found_words(enquiry, wording)),
        roof.band_words,
        roof.because,
        first_day_words(roof.first_day, wording),
        roof.quote.valid_until,
    )


def _prices_table(schedule: Schedule, issue: Issue) -> Table:
    """One row an option."""
    return Table(
        name="Prices",
        title="What each roof costs",
        lines=(("Schedule", f"{issue.reference}, revision {issue.revision}"),),
        columns=(
            TableColumn("Reference", 12),
            TableColumn("Roof at", 40),
            TableColumn("Option", 26),
            TableColumn("Of its roof", 20),
            TableColumn("Without VAT", 14, CellKind.MONEY),
            TableColumn("VAT", 13, CellKind.MONEY),
            TableColumn("To pay", 14, CellKind.MONEY),
        ),
        rows=tuple(row for roof in schedule.roofs for row in _price_rows(roof)),
        landscape=True,
    )


def _price_rows(roof: ScheduledRoof) -> list[tuple[Value, ...]]:
    enquiry = roof.quote.enquiry
    return [
        (
            enquiry.ref,
            one_line(enquiry.site_address),
            str(option.build_up),
            marks_of(roof, option),
            option.totals.net.money,
            option.totals.vat.money if option.totals.vat else None,
            option.totals.total.money,
        )
        for option in roof.quote.options
    ]


def _sums_table(schedule: Schedule, issue: Issue, wording: Wording) -> Table:
    count = len(schedule.roofs)
    return Table(
        name="Sums",
        title="What the roofs come to",
        lines=(("Schedule", f"{issue.reference}, revision {issue.revision}"),),
        columns=(
            TableColumn("Choice", 30),
            TableColumn("Over which roofs", 40),
            TableColumn("Without VAT", 14, CellKind.MONEY),
            TableColumn("VAT", 13, CellKind.MONEY),
            TableColumn("To pay", 14, CellKind.MONEY),
        ),
        rows=tuple(
            (
                sum_row(one, count, wording).words,
                sum_row(one, count, wording).of,
                one.net.money,
                one.vat.money if one.vat else None,
                one.total.money,
            )
            for one in schedule.sums
        ),
        landscape=True,
        notes=tuple(sums_notes(schedule, wording)),
    )


def _urgency_table() -> Table:
    return Table(
        name="Urgency",
        title="How urgency is told",
        lines=(),
        columns=(
            TableColumn("Band", 12),
            TableColumn("A roof is in the first of these that fits", 120),
        ),
        rows=urgency_words(),
        landscape=True,
        notes=(OUR_RULE,),
    )


SCHEDULE_BOOK = TableDesign(TITLE, _settings, _tables)
