"""The rows of Outline, Openings, Findings and Extras that belong to one enquiry."""

from collections.abc import Sequence

from quotegen.model.choices import Answer, EdgeKind, OpeningKind, PriceBasis
from quotegen.model.enquiry import Extra, Finding, Opening, OutlineRow, Spot
from quotegen.problems import Problem
from quotegen.workbook.rows import Row
from quotegen.working import Figure

_WALK = ("length_mm", "turn_deg")
_OFFSETS = ("along_mm", "out_mm")
_OPENING_SIZES = {
    OpeningKind.ROOFLIGHT: ("length_mm", "width_mm", "kerb_mm"),
    OpeningKind.PIPE: ("length_mm",),
    OpeningKind.OUTLET: (),
}
_SPOT = ("along_mm", "out_mm")
_UNIT_OF_BASIS = {
    PriceBasis.FIXED: "",
    PriceBasis.FASCIA: "m",
    PriceBasis.JOIST: "each",
    PriceBasis.BOARD: "each",
    PriceBasis.FIRRINGS: "m",
}


def check_outline(rows: Sequence[Row]) -> list[Problem]:
    """What the rows of one outline lack: a measurement, a kind of edge, one way of measuring.

    Whether the outline closes is for the take-off to say.
    """
    by_offsets = any(field in rows[0].raw for field in _OFFSETS)
    expected, other = (_OFFSETS, _WALK) if by_offsets else (_WALK, _OFFSETS)
    problems: list[Problem] = []
    for row in rows:
        problems += row.problems
        strays = [field for field in other if field in row.raw]
        if strays:
            problems.append(row.problem("outline-mixed", strays[0], row.ref, row=row.number))
        else:
            problems += (found for field in expected for found in row.missing(field))
        if not row.filled("kind"):
            problems.append(row.problem("edge-kind-missing", "kind", edge=f"row {row.number}"))
    return problems


def outline_row(row: Row) -> OutlineRow:
    """One row of an outline in which nothing is wrong."""
    return OutlineRow(
        place=row.place(measured_field(row)),
        kind=EdgeKind(row.text("kind")),
        length_mm=row.figure("length_mm"),
        turn_deg=row.figure("turn_deg"),
        along_mm=row.figure("along_mm"),
        out_mm=row.figure("out_mm"),
    )


def measured_field(row: Row) -> str:
    """The field of the first measurement of an outline row."""
    return _OFFSETS[0] if _OFFSETS[0] in row.raw else _WALK[0]


def check_opening(row: Row) -> list[Problem]:
    """What an opening lacks, and sizes it has no use for."""
    problems = list(row.problems)
    if "kind" in row.values:
        kind = OpeningKind(row.text("kind"))
        for field in _OPENING_SIZES[OpeningKind.ROOFLIGHT]:
            if field in _OPENING_SIZES[kind]:
                problems += row.missing(field)
            elif field in row.raw:
                problems.append(row.problem("size-not-used", field, shape=str(kind)))
    return problems + _check_spot(row)


def _check_spot(row: Row) -> list[Problem]:
    """A place half given, or one place for several openings."""
    if not any(field in row.raw for field in _SPOT):
        return []
    problems = [row.problem("opening-half-placed", f) for f in _SPOT if not row.filled(f)]
    count = row.figure("count")
    if count and count.number > 1:
        problems.append(row.problem("opening-place-shared", "count", f"{count.number:.0f}"))
    return problems


def opening(row: Row) -> Opening:
    """An opening in which nothing is wrong; a pipe is as wide as it is long."""
    kind = OpeningKind(row.text("kind"))
    sizes = {field: row.figure(field) for field in _OPENING_SIZES[kind]}
    if kind is OpeningKind.PIPE:
        sizes["width_mm"] = sizes["length_mm"]
    return Opening(
        place=row.place("kind"),
        kind=kind,
        count=_known(row, "count"),
        spot=_spot(row),
        **sizes,
    )


def _spot(row: Row) -> Spot | None:
    along_mm, out_mm = (row.figure(field) for field in _SPOT)
    if along_mm is None or out_mm is None:
        return None
    return Spot(row.place(_SPOT[0]), along_mm, out_mm)


def check_finding(row: Row) -> list[Problem]:
    """What a finding lacks: a price once the customer wants one, and what that price needs."""
    problems = list(row.problems)
    if row.text("answer") in (Answer.DO_IT, Answer.PRICE_APART):
        problems += row.missing("basis")
    if "basis" in row.values:
        fixed = PriceBasis(row.text("basis")) is PriceBasis.FIXED
        needed, unused = ("fixed_price", "quantity") if fixed else ("quantity", "fixed_price")
        problems += row.missing(needed)
        if unused in row.raw:
            problems.append(row.problem("size-not-used", unused, shape=row.text("basis")))
    return problems


def finding(row: Row) -> Finding:
    """A finding in which nothing is wrong."""
    basis = PriceBasis(row.text("basis")) if "basis" in row.values else None
    fixed = basis is PriceBasis.FIXED
    return Finding(
        place=row.place("seen"),
        seen=row.text("seen"),
        if_left=row.text("if_left"),
        advised=row.text("advised"),
        basis=basis,
        quantity=row.figure("quantity", _UNIT_OF_BASIS[basis]) if basis and not fixed else None,
        fixed_price=row.figure("fixed_price") if fixed else None,
        answer=Answer(row.text("answer")) if "answer" in row.values else None,
        photo=row.text("photo"),
        photo_at=row.place("photo"),
    )


def extra(row: Row) -> Extra:
    """An extra in which nothing is wrong."""
    return Extra(
        place=row.place("words"),
        words=row.text("words"),
        quantity=_known(row, "quantity", row.text("unit")),
        unit=row.text("unit"),
        price_each=_known(row, "price_each"),
        included=row.yes("included") is True,
    )


def _known(row: Row, field: str, unit: str | None = None) -> Figure:
    """A number the declaration requires; without it the row would not have come this far."""
    found = row.figure(field, unit)
    if found is None:
        raise TypeError(f"{row.place(field)} holds no number")
    return found
