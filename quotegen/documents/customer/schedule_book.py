"""The landlord's schedule as a workbook to sort and add up: the same roofs and sums as the PDF."""

from quotegen import wording
from quotegen.documents.customer.schedule import (
    OUR_RULE,
    SCHEDULE_TITLE,
    before_words,
    found_words,
    marks_of,
    starts_note,
    sum_row,
    sums_notes,
    urgency_words,
)
from quotegen.documents.customer.schedule_answers import ASK, together_view
from quotegen.documents.printing.paper import one_line
from quotegen.documents.printing.table_book import TableDesign
from quotegen.model.issue import Issue
from quotegen.model.several import DoneTogether, Schedule, ScheduledRoof, Sums
from quotegen.workbook.sheets.columns import CellKind
from quotegen.workbook.writing.tables import BookPage, TableColumn, WrittenValue

_NO_QUOTE = "no quote yet"


def _tables(schedule: Schedule, issue: Issue) -> tuple[BookPage, ...]:
    return (
        _roofs_table(schedule, issue),
        _prices_table(schedule, issue),
        _sums_table(schedule, issue),
        *([_together_table(schedule.together)] if schedule.together else []),
        _urgency_table(),
    )


def _roofs_table(schedule: Schedule, issue: Issue) -> BookPage:
    """One row per roof: its findings and its urgency."""
    rows = [_roof_row(roof) for roof in schedule.roofs]
    for enquiry in schedule.unpriced:
        address = one_line(enquiry.site_address)
        rows.append(
            (enquiry.ref, address, str(enquiry.roof.kind), "", "", _NO_QUOTE, None, None, None)
        )
    return BookPage(
        name="Roofs",
        title=f"{SCHEDULE_TITLE}: {one_line(schedule.customer.name)}",
        lines=(
            ("Schedule", f"{issue.reference}, revision {issue.revision}"),
            ("Date", wording.date(issue.issued)),
        ),
        columns=(
            TableColumn("Reference", 12),
            TableColumn("Roof at", 22),
            TableColumn("Roof", 12),
            TableColumn("What was found", 27),
            TableColumn("How urgent", 10),
            TableColumn("Why", 24),
            TableColumn("Start", 16),
            TableColumn("Not in its total", 21),
            TableColumn("Price valid until", 13, CellKind.DATE),
        ),
        rows=tuple(rows),
        landscape=True,
        notes=tuple(note for note in (starts_note(schedule),) if note),
    )


def _roof_row(roof: ScheduledRoof) -> tuple[WrittenValue, ...]:
    enquiry, before = roof.quote.enquiry, before_words(roof)
    return (
        enquiry.ref,
        one_line(enquiry.site_address),
        str(enquiry.roof.kind),
        "\n".join(found_words(roof.quote.take_off)),
        roof.band_words,
        roof.because,
        before.when,
        before.not_in_total,
        roof.quote.valid_until,
    )


def _prices_table(schedule: Schedule, issue: Issue) -> BookPage:
    """One row per option."""
    return BookPage(
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


def _price_rows(roof: ScheduledRoof) -> list[tuple[WrittenValue, ...]]:
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


def _sums_table(schedule: Schedule, issue: Issue) -> BookPage:
    count = len(schedule.roofs)
    return BookPage(
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
                sum_row(one, count).words,
                sum_row(one, count).of,
                one.net.money,
                one.vat.money if one.vat else None,
                one.total.money,
            )
            for one in _all_sums(schedule)
        ),
        landscape=True,
        notes=tuple(sums_notes(schedule)),
    )


def _all_sums(schedule: Schedule) -> tuple[Sums, ...]:
    """The sums of the choices, and the lower one of a single visit where there is one."""
    price = schedule.together.price if schedule.together else None
    return (*schedule.sums, *([price] if price else []))


def _together_table(together: DoneTogether) -> BookPage:
    """What one visit saves, by its rules; an amount that has to be asked for is left blank."""
    view = together_view(together)
    rows = zip(view.savings, together.savings, strict=True)
    return BookPage(
        name="Together",
        title="What one visit to all roofs saves",
        lines=(),
        columns=(
            TableColumn("What is saved", 90),
            TableColumn("Known?", 10),
            TableColumn("Price without VAT", 16, CellKind.MONEY),
        ),
        rows=tuple(
            (row.words, "yes" if one.amount else ASK, one.amount.money if one.amount else None)
            for row, one in rows
        ),
        landscape=True,
        notes=tuple(words for words in (view.saved, view.condition) if words),
    )


def _urgency_table() -> BookPage:
    return BookPage(
        name="Urgency",
        title="How we grade urgency",
        lines=(),
        columns=(
            TableColumn("Band", 12),
            TableColumn("A roof is in the first of these that fits", 120),
        ),
        rows=urgency_words(),
        landscape=True,
        notes=(OUR_RULE,),
    )


SCHEDULE_BOOK = TableDesign(SCHEDULE_TITLE, lambda schedule: schedule.settings, _tables)
