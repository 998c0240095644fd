"""The offers of issued quotes as the register keeps them, in whole pence."""

import sqlite3
from datetime import date
from decimal import Decimal
from itertools import groupby
from typing import Any

from quotegen.model.choices import BuildUp
from quotegen.model.own.quoted import IssuedQuote, Offer
from quotegen.units import PENCE_IN_POUND

_LAST = """
SELECT reference, revision, issued, valid_until, build_up, net_pence, total_pence, cost_pence,
deposit_pence
FROM offers AS offer LEFT JOIN deposits USING (reference, revision, build_up)
WHERE revision = (SELECT MAX(revision) FROM offers WHERE reference = offer.reference)
ORDER BY reference, offer.rowid
"""
_WON = """
SELECT COALESCE(SUM(net_pence), 0)
FROM offers AS offer JOIN jobs USING (reference)
WHERE build_up = json_extract(note, '$.accepted')
AND revision = (SELECT MAX(revision) FROM offers WHERE reference = offer.reference)
"""


def enter_offers(connection: sqlite3.Connection, quote: IssuedQuote) -> None:
    """Enter the options of a quote; what is entered already stays."""
    connection.executemany(
        "INSERT OR IGNORE INTO offers VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
        [
            (
                quote.reference,
                quote.revision,
                quote.issued.isoformat(),
                quote.valid_until.isoformat(),
                str(offer.build_up),
                *map(_pence, (offer.net, offer.total, offer.cost)),
            )
            for offer in quote.offers
        ],
    )
    connection.executemany(
        "INSERT OR IGNORE INTO deposits VALUES (?, ?, ?, ?)",
        [
            (quote.reference, quote.revision, str(offer.build_up), _pence(offer.deposit))
            for offer in quote.offers
            if offer.deposit is not None
        ],
    )


def last_quotes(connection: sqlite3.Connection) -> tuple[IssuedQuote, ...]:
    """The last revision of every quote, its options in the order they were offered."""
    rows = connection.execute(_LAST).fetchall()
    return tuple(
        IssuedQuote(
            reference,
            revision,
            date.fromisoformat(issued),
            date.fromisoformat(valid_until),
            tuple(_offer(row) for row in of),
        )
        for (reference, revision, issued, valid_until), of in groupby(rows, lambda row: row[:4])
    )


def won_pence(connection: sqlite3.Connection) -> int:
    """The price without VAT of every accepted option of a last revision, added up [pence]."""
    return int(connection.execute(_WON).fetchone()[0])


def _pence(amount: Decimal) -> int:
    return int((amount * PENCE_IN_POUND).to_integral_value())


def _pounds(pence: int) -> Decimal:
    return Decimal(pence) / PENCE_IN_POUND


def _offer(row: tuple[Any, ...]) -> Offer:
    build_up, *pence, deposit = row[4:]
    net, total, cost = map(_pounds, pence)
    kept = None if deposit is None else _pounds(deposit)
    return Offer(BuildUp(build_up), net, total, cost, kept)
