"""The invoices of a register: numbered in one series without a gap, each entered once for good."""

import sqlite3
from datetime import date

from msgspec import json

from quotegen.model.own.invoiced import Invoice
from quotegen.units import PENCE_IN_POUND

INVOICE_TABLES = """
CREATE TABLE IF NOT EXISTS invoices (
    number INTEGER NOT NULL PRIMARY KEY,
    reference TEXT NOT NULL,
    stage TEXT NOT NULL,
    issued TEXT NOT NULL,
    to_pay_pence INTEGER NOT NULL,
    credits INTEGER UNIQUE REFERENCES invoices (number),
    content TEXT NOT NULL
) STRICT;
CREATE TRIGGER IF NOT EXISTS invoices_follow BEFORE INSERT ON invoices
WHEN NEW.number <> (SELECT MAX(number) + 1 FROM invoices)
BEGIN SELECT RAISE(ABORT, 'an invoice has the number after the last'); END;
CREATE TRIGGER IF NOT EXISTS invoices_never_change BEFORE UPDATE ON invoices
BEGIN SELECT RAISE(ABORT, 'an issued invoice is never changed'); END;
CREATE TRIGGER IF NOT EXISTS invoices_never_go BEFORE DELETE ON invoices
BEGIN SELECT RAISE(ABORT, 'an issued invoice is never removed'); END;
"""
_PAID = """
CASE WHEN stage = 'deposit' THEN
    CASE WHEN json_extract(note, '$.deposit_paid_on') <= :on THEN to_pay_pence ELSE 0 END
WHEN json_extract(note, '$.paid_on') <= :on THEN
    COALESCE(CAST(ROUND(json_extract(note, '$.paid') * 100) AS INTEGER), to_pay_pence)
ELSE 0 END
"""
_OWED = f"""
SELECT COALESCE(SUM(to_pay_pence - {_PAID}), 0) FROM invoices LEFT JOIN jobs USING (reference)
WHERE issued <= :on AND credits IS NULL AND number NOT IN
    (SELECT credits FROM invoices WHERE credits IS NOT NULL AND issued <= :on)
"""


def enter_invoice(connection: sqlite3.Connection, invoice: Invoice) -> None:
    """Enter an invoice or a credit note under its number."""
    connection.execute(
        "INSERT INTO invoices VALUES (?, ?, ?, ?, ?, ?, ?)",
        (
            invoice.number,
            invoice.reference,
            str(invoice.stage),
            invoice.issued.isoformat(),
            int(invoice.to_pay * PENCE_IN_POUND),
            invoice.credits,
            json.encode(invoice).decode(),
        ),
    )


def all_invoices(connection: sqlite3.Connection) -> tuple[Invoice, ...]:
    """Every invoice and credit note in the order of their numbers."""
    rows = connection.execute("SELECT content FROM invoices ORDER BY number").fetchall()
    return tuple(json.decode(row[0], type=Invoice) for row in rows)


def owed_pence(connection: sqlite3.Connection, on: date) -> int:
    """What is unpaid of all invoices that stand, as the rows last told it, by a day [pence]."""
    return int(connection.execute(_OWED, {"on": on.isoformat()}).fetchone()[0])
