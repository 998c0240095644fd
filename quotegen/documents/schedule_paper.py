"""The landlord's schedule as a PDF to read and as a workbook to go on with."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from quotegen.documents.design import Design
from quotegen.documents.paper import PHOTO_WIDTH_MM, PictureBox, one_line
from quotegen.documents.schedule_view import (
    found_words,
    marks_of,
    schedule_view,
    sum_row,
    urgency_words,
)
from quotegen.documents.table_book import TableDesign
from quotegen.documents.wording import Wording
from quotegen.model.issue import Issue
from quotegen.model.schedule import Schedule, ScheduledRoof
from quotegen.model.settings import Settings
from quotegen.workbook.declaration import CellKind
from quotegen.workbook.tables import Table, TableColumn, Value

TITLE = "Schedule of roofs"
_NOT_FIXED = "not fixed"


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
        name, place = finding.photo, finding.place
        url = box.add(name, PHOTO_WIDTH_MM, place, enquiry.ref) if name else ""
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
        _sums_table(schedule, issue, wording),
        _urgency_table(),
    )


def _roofs_table(schedule: Schedule, issue: Issue, wording: Wording) -> Table:
    rows = [row for roof in schedule.roofs for row in _roof_rows(roof, wording)]
    for enquiry in schedule.unpriced:
        address = one_line(enquiry.site_address)
        rows.append((enquiry.ref, address, str(enquiry.roof.kind), "", "", "", None, None, "",
                     "no quote yet", None, None, None))  # fmt: skip
    return Table(
        name="Roofs",
        title=f"{TITLE}: {one_line(schedule.customer.name)}",
        lines=(
            ("Reference", f"{issue.reference}, revision {issue.revision}"),
            ("Date", wording.date(issue.issued)),
        ),
        columns=(
            TableColumn("Reference", 11),
            TableColumn("Roof at", 26),
            TableColumn("Roof", 10),
            TableColumn("What was found", 34),
            TableColumn("How urgent", 10),
            TableColumn("Why", 22),
            TableColumn("Start", 11, CellKind.DATE),
            TableColumn("Price holds until", 11, CellKind.DATE),
            TableColumn("Option", 16),
            TableColumn("Beside the others", 12),
            TableColumn("Without VAT", 11, CellKind.MONEY),
            TableColumn("VAT", 10, CellKind.MONEY),
            TableColumn("To pay", 11, CellKind.MONEY),
        ),
        rows=tuple(rows),
        landscape=True,
    )


def _roof_rows(roof: ScheduledRoof, wording: Wording) -> list[tuple[Value, ...]]:
    quote, enquiry = roof.quote, roof.quote.enquiry
    found = "\n".join(found_words(enquiry, wording))
    return [
        (
            enquiry.ref,
            one_line(enquiry.site_address),
            str(enquiry.roof.kind),
            found,
            roof.band,
            roof.because,
            enquiry.start_on or _NOT_FIXED,
            quote.valid_until,
            str(option.build_up),
            marks_of(roof, option),
            option.totals.net.money,
            option.totals.vat.money if option.totals.vat else None,
            option.totals.total.money,
        )
        for option in quote.options
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
    )


def _urgency_table() -> Table:
    return Table(
        name="Urgency",
        title="How urgency is told",
        lines=(),
        columns=(
            TableColumn("Band", 12),
            TableColumn("A roof is in the first of these that fits", 78),
        ),
        rows=urgency_words(),
    )


SCHEDULE_BOOK = TableDesign(TITLE, _settings, _tables)
