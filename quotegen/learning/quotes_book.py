"""The book of quotes: what waits, what runs out, what was won by kind, month and margin (pandas).

Money is in whole pence until it is shown, so that every sum is exact.
"""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from itertools import pairwise
from typing import Any

import numpy as np
import pandas as pd
from msgspec import Struct
from scipy.stats import beta

from quotegen import wording
from quotegen.model.own.invoiced import Invoice, paid_by, standing_invoices
from quotegen.model.own.quoted import EnquiryNote, IssuedQuote, Standing, became_of
from quotegen.units import PENCE_IN_POUND

SURE = 0.90
"""The share of times that an interval shown holds the true value."""
MARGIN_BANDS = (20.0, 30.0, 40.0)
"""The bounds of the bands that wins are counted by: margin as a percentage of the price."""
RUNS_OUT_DAYS = 7
ANSWERED = (Standing.YES, Standing.NO, Standing.RAN_OUT)
INVOICE_COLUMNS = (
    "number", "reference", "customer", "stage", "issued", "due", "to_pay_pence", "paid_pence",
    "owed_pence", "days_late", "cancelled",
)  # fmt: skip
COLUMNS = (
    "reference", "revision", "customer", "customer_kind", "roof", "issued", "valid_until",
    "standing", "build_up", "net_pence", "total_pence", "cost_pence", "answered_on", "said_no",
    "done_on",
)  # fmt: skip


class Won(Struct, frozen=True):
    """The quotes of one group: how many, what became of them, and what the won ones bring [GBP].

    `share` is won of answered with what it may really be, None where none is answered. `margin` is
    price less cost of what was won, both without VAT.
    """

    group: str
    quotes: int
    won: int
    lost: int
    waiting: int
    net: Decimal
    margin: Decimal
    share: tuple[float, float, float] | None


class QuotesBook(Struct, frozen=True):
    """The book on a day: a row for each quote and each invoice, and what quotes come to by group.

    A credit note and the invoice it cancels are `cancelled`, and nothing is owed of either.
    """

    on: date
    frame: pd.DataFrame
    invoices: pd.DataFrame
    by_kind: tuple[Won, ...]
    by_month: tuple[Won, ...]
    by_margin: tuple[Won, ...]
    reasons: tuple[tuple[str, int], ...]

    @property
    def waiting(self) -> pd.DataFrame:
        """The quotes that wait for an answer, those that run out first at the top."""
        return _of(self.frame, Standing.WAITS).sort_values(["valid_until", "reference"])

    @property
    def running_out(self) -> pd.DataFrame:
        """Those that wait and run out within a week."""
        left = (self.waiting["valid_until"] - pd.Timestamp(self.on)).dt.days
        return self.waiting[left <= RUNS_OUT_DAYS]

    @property
    def net_won(self) -> Decimal:
        """The price without VAT of all that was accepted [GBP]."""
        return _pounds(_of(self.frame, Standing.YES)["net_pence"].sum())

    @property
    def unpaid(self) -> pd.DataFrame:
        """The invoices with something owed, the longest overdue first."""
        open_ones = self.invoices[self.invoices["owed_pence"] != 0]
        return open_ones.sort_values(["due", "number"])

    @property
    def owed(self) -> Decimal:
        """What is unpaid of all invoices that stand [GBP]."""
        return _pounds(self.invoices["owed_pence"].sum())

    @property
    def overdue(self) -> Decimal:
        """The part of it that should have been paid by now [GBP]."""
        late = self.invoices[self.invoices["days_late"] > 0]
        return _pounds(late["owed_pence"].sum())


def quotes_book(
    quotes: Sequence[IssuedQuote],
    notes: Sequence[EnquiryNote],
    on: date,
    invoices: Sequence[Invoice] = (),
) -> QuotesBook:
    """The book of all quotes and invoices on a day, each with the last note of its job."""
    by_ref = {note.reference: note for note in notes}
    frame = pd.DataFrame(
        [_row(quote, by_ref.get(quote.reference), on) for quote in quotes], columns=list(COLUMNS)
    )
    for day in ("issued", "valid_until", "answered_on", "done_on"):
        frame[day] = pd.to_datetime(frame[day])
    months = frame["issued"].dt.to_period("M")
    asked = [one for one in invoices if one.issued <= on]
    standing = {one.number for one in standing_invoices(asked)}
    billed = pd.DataFrame(
        [_billed(one, by_ref.get(one.reference), on, one.number in standing) for one in asked],
        columns=list(INVOICE_COLUMNS),
    )
    for day in ("issued", "due"):
        billed[day] = pd.to_datetime(billed[day])
    lost = _of(frame, Standing.NO)["said_no"].value_counts()
    return QuotesBook(
        on=on,
        frame=frame,
        invoices=billed,
        by_kind=tuple(_groups(frame, frame["roof"])),
        by_month=tuple(_groups(frame, months)),
        by_margin=tuple(_groups(frame, margin_bands(frame))),
        reasons=tuple((str(words), int(many)) for words, many in lost.items()),
    )


def share_won(won: int, answered: int) -> tuple[float, float, float]:
    """The share won and the bounds it lies between, nine times in ten.

    The exact interval of a binomial share. Source: C. J. Clopper and E. S. Pearson, The use of
    confidence or fiducial limits, Biometrika 26, 1934.

    >>> [round(value, 3) for value in share_won(0, 4)]
    [0.0, 0.0, 0.527]
    """
    tail = (1 - SURE) / 2
    low = float(beta.ppf(tail, won, answered - won + 1)) if won else 0.0
    high = float(beta.ppf(1 - tail, won + 1, answered - won)) if won < answered else 1.0
    return won / answered, low, high


def margin_bands(frame: pd.DataFrame) -> "pd.Series[Any]":
    """The band of each quote's margin: price less cost, as a percentage of the price."""
    net = frame["net_pence"].astype(float)
    pct = 100 * (net - frame["cost_pence"]) / net.where(net > 0)
    edges = [-np.inf, *MARGIN_BANDS, np.inf]
    first, *_, last = MARGIN_BANDS
    between = [
        f"margin {wording.exact(low)} to {wording.exact(high)}%"
        for low, high in pairwise(MARGIN_BANDS)
    ]
    names = [
        f"margin under {wording.exact(first)}%",
        *between,
        f"margin {wording.exact(last)}% or more",
    ]
    return pd.cut(pct, edges, right=False, labels=names)


def _row(quote: IssuedQuote, note: EnquiryNote | None, on: date) -> tuple[object, ...]:
    """A quote in one row: the accepted option, or while none is, the first."""
    accepted = note.accepted if note else None
    offer = next((one for one in quote.offers if one.build_up is accepted), quote.offers[0])
    became = became_of(quote, note, on)
    return (
        quote.reference,
        quote.revision,
        note.customer if note else "",
        str(note.customer_kind) if note else "",
        str(note.roof) if note else "not known",
        quote.issued,
        quote.valid_until,
        str(became),
        str(offer.build_up),
        *(int(PENCE_IN_POUND * amount) for amount in (offer.net, offer.total, offer.cost)),
        note.answered_on if note else None,
        note.said_no if note else "",
        note.done_on if note else None,
    )


def _billed(
    invoice: Invoice, note: EnquiryNote | None, on: date, stands: bool
) -> tuple[object, ...]:
    """An invoice or credit note in one row."""
    paid, _ = paid_by(invoice, note, on)
    to_pay_pence, paid_pence = (int(PENCE_IN_POUND * amount) for amount in (invoice.to_pay, paid))
    owed_pence = to_pay_pence - paid_pence if stands else 0
    return (
        invoice.number,
        invoice.reference,
        invoice.customer,
        str(invoice.stage),
        invoice.issued,
        invoice.due,
        to_pay_pence,
        paid_pence if stands else 0,
        owed_pence,
        max((on - invoice.due).days, 0) if owed_pence > 0 else 0,
        "" if stands else "cancelled",
    )


def _groups(frame: pd.DataFrame, by: "pd.Series[Any]") -> list[Won]:
    return [_won(_name(key), part) for key, part in frame.groupby(by, observed=True)]


def _name(key: object) -> str:
    """The name of a group; a month by its first three letters and its year."""
    return key.strftime("%b %Y") if isinstance(key, pd.Period) else str(key)


def _won(name: str, part: pd.DataFrame) -> Won:
    counts = part["standing"].value_counts()
    yes = _of(part, Standing.YES)
    answered = int(sum(counts.get(str(one), 0) for one in ANSWERED))
    won = len(yes)
    return Won(
        group=name,
        quotes=len(part),
        won=won,
        lost=answered - won,
        waiting=len(part) - answered,
        net=_pounds(yes["net_pence"].sum()),
        margin=_pounds(yes["net_pence"].sum() - yes["cost_pence"].sum()),
        share=share_won(won, answered) if answered else None,
    )


def _of(frame: pd.DataFrame, wanted: Standing) -> pd.DataFrame:
    return frame[frame["standing"] == str(wanted)]


def _pounds(total: object) -> Decimal:
    return Decimal(int(str(total))) / PENCE_IN_POUND
