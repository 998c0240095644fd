"""The firm's tables, row by row: catalyst doses, curing times, material losses.

A row with a problem gives nothing. The house rows then stand for its material, so that the rest can
still be checked; what is wrong stops every paper.
"""

from collections.abc import Iterable, Mapping, Sequence
from enum import StrEnum
from functools import cache
from typing import Generic, TypeVar

from msgspec import Struct

from quotegen import wording
from quotegen.model.settings import AtDeck, Curing, FirmTables, Loss, Lost, Mixed
from quotegen.phrases import capital
from quotegen.problems import Place, Problem, problem
from quotegen.reference.firm import house_tables
from quotegen.tables import Number, member
from quotegen.units import Unit
from quotegen.workbook.package.book import RawSheet
from quotegen.workbook.reading.rows import HEADING_ROW, Row, read_rows
from quotegen.workbook.sheets.columns import Column, Sheet
from quotegen.workbook.sheets.firm_tables import CATALYST_DOSES, CURING_TIMES, MATERIAL_LOSSES
from quotegen.working import Figure, Origin, Source

OWN_FIGURE = "the firm's own"
_HOUSE = "house rules"
_Member = TypeVar("_Member", bound=StrEnum)


class _ByDeck(Struct, Generic[_Member], frozen=True):
    """A sheet by deck temperature: its columns, and what one of its figures is called."""

    sheet: Sheet
    of: Column[_Member]
    deck_c: Column[Figure]
    amount: Column[Figure]
    basis: Column[str]
    name: str


_DOSES = _ByDeck(
    CATALYST_DOSES,
    CATALYST_DOSES.material,
    CATALYST_DOSES.deck_c,
    CATALYST_DOSES.dose_pct,
    CATALYST_DOSES.basis,
    "dose",
)
_CURING = _ByDeck(
    CURING_TIMES,
    CURING_TIMES.stage,
    CURING_TIMES.deck_c,
    CURING_TIMES.hours,
    CURING_TIMES.basis,
    "hours",
)


def read_firm_tables(book: str, found: Mapping[str, RawSheet]) -> tuple[FirmTables, list[Problem]]:
    """The tables of a workbook, with everything wrong on their sheets.

    `found` are the workbook's sheets by declared name; the house rows stand for one not there.
    """
    house = house_firm_tables()
    doses, wrong_doses = _read_by_deck(book, found, _DOSES, house.doses)
    curing, wrong_curing = _read_by_deck(book, found, _CURING, house.curing)
    losses, wrong_losses = _read_losses(book, found, house.losses)
    return FirmTables(doses, curing, losses), [*wrong_doses, *wrong_curing, *wrong_losses]


@cache
def house_firm_tables() -> FirmTables:
    """The rows used where a firm has none of its own."""
    doses = [(row.material, row.deck_c, row.dose_pct, row.basis) for row in house_tables.doses()]
    curing = [(row.stage, row.deck_c, row.hours, row.basis) for row in house_tables.curing()]
    losses = {
        member(Lost, row.material, "losses.toml"): _house_loss(row) for row in house_tables.losses()
    }
    return FirmTables(
        _house_by_deck(_DOSES, Mixed, doses), _house_by_deck(_CURING, Curing, curing), losses
    )


def standing(written: str, of_house: str, unchanged: bool) -> str:
    """Where a figure on a sheet comes from: for the firm's own, what is written beside it.

    The basis of the house counts for nothing beside a figure that is not the house's.
    """
    if unchanged:
        return of_house
    return written if written not in ("", of_house) else OWN_FIGURE


def _read_by_deck(
    book: str,
    found: Mapping[str, RawSheet],
    table: _ByDeck[_Member],
    house: Mapping[_Member, tuple[AtDeck, ...]],
) -> tuple[dict[_Member, tuple[AtDeck, ...]], list[Problem]]:
    groups, problems = _groups(book, found, table.sheet, table.of, table.deck_c)
    own = {one: _rows_by_deck(table, rows, house[one]) for one, rows in groups.items()}
    return {**house, **own}, problems


def _rows_by_deck(
    table: _ByDeck[_Member], rows: Iterable[Row], house: Sequence[AtDeck]
) -> tuple[AtDeck, ...]:
    """The rows of one material or stage, the coldest deck first."""
    of_house = {row.deck_c: row.amount for row in house}
    made = []
    for row in rows:
        deck_c, amount = row[table.deck_c].number, row[table.amount]
        figure = _own(row, table.amount, table.basis, amount, of_house.get(deck_c))
        name = _called(table.name, deck_c)
        made.append(AtDeck(row.place(table.amount), deck_c, figure.renamed(name)))
    return tuple(sorted(made, key=lambda row: row.deck_c))


def _read_losses(
    book: str, found: Mapping[str, RawSheet], house: Mapping[Lost, Loss]
) -> tuple[dict[Lost, Loss], list[Problem]]:
    sheet = MATERIAL_LOSSES
    groups, problems = _groups(book, found, sheet, sheet.material, None)
    own = {one: _loss(one, row, house[one]) for one, (row,) in groups.items()}
    return {**house, **own}, problems


def _loss(one: Lost, row: Row, house: Loss) -> Loss:
    """The losses of one material; those of a cut-up roof are as on a plain one where left blank."""
    sheet = MATERIAL_LOSSES
    plain = _own(row, sheet.plain_pct, sheet.basis, row[sheet.plain_pct], house.plain)
    apart = row.get(sheet.cut_up_pct)
    cut_up = _own(row, sheet.cut_up_pct, sheet.basis, apart, house.cut_up) if apart else None
    return _named_loss(one, row.place(sheet.plain_pct), plain, cut_up)


def _own(
    row: Row,
    column: Column[Figure],
    basis: Column[str],
    typed: Figure,
    house: Figure | None,
) -> Figure:
    """A figure of the sheet with what it rests on, beside the house's where that has one."""
    of_house = house.basis.note if house and isinstance(house.basis, Origin) else ""
    unchanged = house is not None and house.value == typed.value
    place = row.place(column)
    note = standing(row.get(basis) or "", of_house, unchanged)
    origin = Origin(Source.CELL, f"{place.sheet}!{place.cell}", note)
    return Figure(typed.name, typed.value, typed.unit, origin)


def _house_by_deck(
    table: _ByDeck[_Member],
    kind: type[_Member],
    rows: Iterable[tuple[str, Number, Number, str]],
) -> dict[_Member, tuple[AtDeck, ...]]:
    """The house rows of a table, given as key, deck temperature, amount and basis."""
    place = Place(_HOUSE, table.sheet.name, "", table.amount.heading)
    made: dict[_Member, list[AtDeck]] = {one: [] for one in kind}
    for key, deck_c, amount, basis in rows:
        one = member(kind, key, table.sheet.name)
        origin = Origin(Source.SETTING, f"{table.sheet.name}, {_called(one, deck_c)}", basis)
        name = _called(table.name, deck_c)
        figure = Figure(name, float(amount), table.amount.unit, origin)
        made[one].append(AtDeck(place, float(deck_c), figure))
    return {one: tuple(sorted(found, key=lambda row: row.deck_c)) for one, found in made.items()}


def _house_loss(row: house_tables.HouseLoss) -> Loss:
    sheet = MATERIAL_LOSSES
    one = member(Lost, row.material, "losses.toml")
    origin = Origin(Source.SETTING, f"{sheet.name}, {one}", row.basis)

    def figure(percent: Number) -> Figure:
        return Figure(one, float(percent), Unit.PERCENT, origin)

    apart = row.cut_up_pct
    place = Place(_HOUSE, sheet.name, "", sheet.material.heading)
    return _named_loss(one, place, figure(row.plain_pct), None if apart is None else figure(apart))


def _named_loss(one: Lost, place: Place, plain: Figure, cut_up: Figure | None) -> Loss:
    words = capital(one)
    if cut_up is None:
        return Loss(place, plain.renamed(words), plain.renamed(words))
    return Loss(
        place, plain.renamed(f"{words}: plain roof"), cut_up.renamed(f"{words}: cut-up roof")
    )


def _groups(
    book: str,
    found: Mapping[str, RawSheet],
    sheet: Sheet,
    of: Column[_Member],
    deck_c: Column[Figure] | None,
) -> tuple[dict[_Member, list[Row]], list[Problem]]:
    """The rows of each member of a table in which nothing is wrong, and what is with the others.

    Without a column of deck temperatures a member has one row. A row with nothing but a note under
    “Basis” is the firm's own. Where it cannot be told what a row is for, none is given.
    """
    if sheet.name not in found:
        return {}, []
    read, problems = read_rows(book, found[sheet.name], sheet)
    needed = [column for column in sheet.columns if column.required]
    rows = [row for row in read if any(map(row.typed, needed))]
    whole = not any(heading.stops for heading in problems)
    if whole and not rows:
        empty = Place(book, sheet.name, f"A{HEADING_ROW + 1}", of.heading)
        return {}, [*problems, problem("table-empty", empty)]
    groups: dict[_Member, list[Row]] = {}
    faulty: set[_Member | None] = set()
    first: dict[str, Row] = {}
    for row in rows:
        one = row.get(of)
        problems += row.problems
        if not whole or row.problems or one is None:
            faulty.add(one)
            continue
        named = _called(one, row[deck_c].number) if deck_c else str(one)
        if named in first:
            where = str(first[named].place(of))
            problems.append(row.problem("table-row-twice", deck_c or of, named, first=where))
            faulty.add(one)
        first.setdefault(named, row)
        groups.setdefault(one, []).append(row)
    if not whole or None in faulty:
        return {}, problems
    problems += _absent(rows[-1], of, {*groups, *faulty})
    return {one: kept for one, kept in groups.items() if one not in faulty}, problems


def _absent(last: Row, of: Column[_Member], there: Iterable[object]) -> list[Problem]:
    """A problem, on the line below the last, for each member that no row is for."""
    below = f"{last.letters[of]}{last.number + 1}"
    place = Place(last.book, last.sheet.name, below, of.heading)
    return [problem("table-row-missing", place, one) for one in of.choices if one not in {*there}]


def _called(what: str, deck_c: float) -> str:
    """What a row is about: its material or stage, and the deck.

    >>> _called("dose", 7.5)
    'dose at 7.5 °C'
    """
    return f"{what} at {wording.exact(deck_c)} °C"
