"""The rows of Outline, Openings, Findings, Extras and Before the start of one enquiry."""

from collections.abc import Sequence

from msgspec.structs import replace

from quotegen import wording
from quotegen.model.choices import Answer, BuildUp, OpeningKind, PriceBasis
from quotegen.model.enquiry import Extra, Finding, Opening, OutlineRow, Spot, is_open, rests_on
from quotegen.model.prestart.row import IN_A_CELL, BeforeRow
from quotegen.problems import Problem
from quotegen.reference.rule_keys import BeforeKey
from quotegen.units import Unit
from quotegen.workbook.reading.rows import Row, unit_typed
from quotegen.workbook.sheets.columns import AnyColumn, Column
from quotegen.workbook.sheets.details import (
    BEFORE_START,
    EXTRA_UNITS,
    EXTRAS,
    FINDINGS,
    OPENINGS,
    OUTLINE,
)
from quotegen.workbook.sheets.enquiries import ENQUIRIES
from quotegen.working import Figure

_WALK = (OUTLINE.length_mm, OUTLINE.turn_deg)
_OFFSETS = (OUTLINE.along_mm, OUTLINE.out_mm)
_OPENING_SIZES = {
    OpeningKind.ROOFLIGHT: (OPENINGS.length_mm, OPENINGS.width_mm, OPENINGS.kerb_mm),
    OpeningKind.PIPE: (OPENINGS.length_mm,),
    OpeningKind.OUTLET: (),
}
_SPOT = (OPENINGS.along_mm, OPENINGS.out_mm)
_UNIT_OF_BASIS = {
    PriceBasis.FASCIA: Unit.M,
    PriceBasis.JOIST: Unit.EACH,
    PriceBasis.BOARD: Unit.EACH,
    PriceBasis.FIRRINGS: Unit.M,
}
_CELLS: dict[BeforeKey, AnyColumn] = {
    BeforeKey.ACCEPTANCE: ENQUIRIES.accepted,
    BeforeKey.COLOUR: ENQUIRIES.colour,
    BeforeKey.SURVEY: ENQUIRIES.asbestos_surveyed,
}
"""The cell of the Enquiries sheet that alone answers a thing."""


def check_outline(rows: Sequence[Row]) -> list[Problem]:
    """The gaps in the rows of an outline: a measurement, a kind of edge, one way of measuring.

    The take-off checks that the outline closes.
    """
    by_offsets = any(rows[0].typed(column) for column in _OFFSETS)
    expected, other = (_OFFSETS, _WALK) if by_offsets else (_WALK, _OFFSETS)
    problems: list[Problem] = []
    for row in rows:
        problems += row.problems
        strays = [column for column in other if row.typed(column)]
        if strays:
            problems.append(row.problem("outline-mixed", strays[0], row.ref, row=row.number))
        else:
            problems += (found for column in expected for found in row.missing(column))
        if not row.filled(OUTLINE.kind):
            edge = f"row {row.number}"
            problems.append(row.problem("edge-kind-missing", OUTLINE.kind, edge=edge))
    return problems


def outline_row(row: Row) -> OutlineRow:
    """The record of a sound outline row."""
    return OutlineRow(
        place=row.place(measured_column(row)),
        kind=row[OUTLINE.kind],
        length_mm=row.get(OUTLINE.length_mm),
        turn_deg=row.get(OUTLINE.turn_deg),
        along_mm=row.get(OUTLINE.along_mm),
        out_mm=row.get(OUTLINE.out_mm),
    )


def measured_column(row: Row) -> Column[Figure]:
    """The column of the first measurement of an outline row."""
    return _OFFSETS[0] if row.typed(_OFFSETS[0]) else _WALK[0]


def check_opening(row: Row) -> list[Problem]:
    """Missing values of an opening, and sizes it has no use for."""
    problems = list(row.problems)
    kind = row.get(OPENINGS.kind)
    if kind:
        for column in _OPENING_SIZES[OpeningKind.ROOFLIGHT]:
            if column in _OPENING_SIZES[kind]:
                problems += row.missing(column)
            elif row.typed(column):
                problems.append(row.problem("size-not-used", column, shape=str(kind)))
    return problems + _check_spot(row)


def _check_spot(row: Row) -> list[Problem]:
    """A half-given place, or one place for several openings."""
    if not any(row.typed(column) for column in _SPOT):
        return []
    problems = [row.problem("opening-half-placed", c) for c in _SPOT if not row.filled(c)]
    count = row.get(OPENINGS.count)
    if count and count.number > 1:
        seen = wording.number(count.number)
        problems.append(row.problem("opening-place-shared", OPENINGS.count, seen))
    return problems


def opening(row: Row) -> Opening:
    """The record of a sound opening; a pipe is as wide as it is long."""
    kind = row[OPENINGS.kind]
    sizes = {column: row.get(column) for column in _OPENING_SIZES[kind]}
    width = OPENINGS.length_mm if kind is OpeningKind.PIPE else OPENINGS.width_mm
    return Opening(
        place=row.place(OPENINGS.kind),
        kind=kind,
        count=row[OPENINGS.count],
        length_mm=sizes.get(OPENINGS.length_mm),
        width_mm=sizes.get(width),
        kerb_mm=sizes.get(OPENINGS.kerb_mm),
        spot=_spot(row),
    )


def _spot(row: Row) -> Spot | None:
    along_mm, out_mm = row.get(OPENINGS.along_mm), row.get(OPENINGS.out_mm)
    if along_mm is None or out_mm is None:
        return None
    return Spot(row.place(OPENINGS.along_mm), along_mm, out_mm)


def check_finding(row: Row) -> list[Problem]:
    """Missing values of a finding: its price once the customer wants one, and what that needs."""
    problems = list(row.problems)
    answer, structural = row.get(FINDINGS.answer), row.get(FINDINGS.structural)
    if answer in (Answer.DO_IT, Answer.PRICE_APART) or (structural and answer is None):
        problems += row.missing(FINDINGS.basis)
    basis = row.get(FINDINGS.basis)
    if basis:
        needed, unused = FINDINGS.quantity, FINDINGS.fixed_price
        if basis is PriceBasis.FIXED:
            needed, unused = unused, needed
        problems += row.missing(needed)
        if row.typed(unused):
            problems.append(row.problem("size-not-used", unused, shape=str(basis)))
    return problems


def not_offered(rows: Sequence[Row], build_ups: Sequence[BuildUp]) -> list[tuple[Row, BuildUp]]:
    """The build-ups that rest on work that was declined, each with the finding it rests on."""
    return [
        (row, build_up)
        for row in rows
        if row.get(FINDINGS.answer) is Answer.DECLINED
        for build_up in build_ups
        if rests_on(row.get(FINDINGS.basis), row.get(FINDINGS.structural), build_up)
    ]


def finding(row: Row) -> Finding:
    """The record of a sound finding."""
    basis, quantity, fixed_price = row.get(FINDINGS.basis), None, None
    if basis is PriceBasis.FIXED:
        fixed_price = row[FINDINGS.fixed_price]
    elif basis:
        quantity = replace(row[FINDINGS.quantity], unit=_UNIT_OF_BASIS[basis])
    return Finding(
        place=row.place(FINDINGS.seen),
        seen=row[FINDINGS.seen],
        if_left=row[FINDINGS.if_left],
        advised=row[FINDINGS.advised],
        basis=basis,
        quantity=quantity,
        fixed_price=fixed_price,
        answer=row.get(FINDINGS.answer),
        structural=row.get(FINDINGS.structural),
        photo=row.get(FINDINGS.photo) or "",
        photo_at=row.place(FINDINGS.photo),
    )


def check_extra(row: Row) -> list[Problem]:
    """Problems in the cells of an extra, including an unknown unit."""
    typed = row.get(EXTRAS.unit)
    if typed is None or unit_typed(typed) in EXTRA_UNITS:
        return list(row.problems)
    units = ", ".join(EXTRA_UNITS)
    return [*row.problems, row.problem("extra-unit-unknown", EXTRAS.unit, typed, units=units)]


def extra(row: Row) -> Extra:
    """The record of a sound extra."""
    unit = unit_typed(row[EXTRAS.unit])
    return Extra(
        place=row.place(EXTRAS.words),
        words=row[EXTRAS.words],
        quantity=replace(row[EXTRAS.quantity], unit=unit),
        unit=unit,
        price_each=row[EXTRAS.price_each],
        included=row[EXTRAS.included],
    )


def check_before(enquiry: Row, rows: Sequence[Row]) -> list[Problem]:
    """Problems in the rows of one roof: in a cell, about one thing twice, against a cell.

    A day on the row of something a cell answers adds to the answer and never replaces it.
    """
    problems: list[Problem] = []
    seen: set[BeforeKey] = set()
    for row in rows:
        problems += row.problems
        key = row.get(BEFORE_START.key)
        if key is None:
            continue
        if key in seen:
            problems.append(row.problem("before-twice", BEFORE_START.key, key))
        seen.add(key)
        if row.typed(BEFORE_START.done_on) and key in IN_A_CELL and not _answered(enquiry, key):
            heading = _CELLS[key].heading
            problems.append(
                row.problem("ticked-elsewhere", BEFORE_START.done_on, key, heading=heading)
            )
    return problems


def _answered(enquiry: Row, key: BeforeKey) -> bool:
    """Whether the cell says that it is settled."""
    answer = enquiry.get(_CELLS[key])
    if key is BeforeKey.COLOUR:
        return not is_open(str(answer or ""))
    return bool(answer)


def before_row(row: Row) -> BeforeRow:
    """The record of a sound row."""
    return BeforeRow(
        place=row.place(BEFORE_START.done_on),
        key=row[BEFORE_START.key],
        done_on=row.get(BEFORE_START.done_on),
        expected_on=row.get(BEFORE_START.expected_on),
        cost=row.get(BEFORE_START.cost),
    )
