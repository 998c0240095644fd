"""What a business owes for paying late: statutory interest and a fixed sum. Nobody else owes it."""

from datetime import date, timedelta
from decimal import Decimal

from quotegen.model.own.invoiced import NO_MONEY, Invoice
from quotegen.reference.loader import entry, figure
from quotegen.units import as_decimal, pence


def late_pct(invoice: Invoice) -> float:
    """Statutory interest on an invoice: the margin over the reference rate of the half year in
    which it becomes late [% a year].
    """
    late_from = invoice.due + timedelta(days=1)
    reference = figure("late_payment.reference_rate_pct", late_from).number
    return reference + figure("late_payment.over_reference_pct", late_from).number


def late_interest(debt: Decimal, pct: float, days: int, days_in_year: float) -> Decimal:
    """Simple interest on a debt: that of a day in whole pence, times the days late [GBP].

    Inputs [GBP, % a year, days, days]. Source: gov.uk, Late commercial payments: charging interest
    and debt recovery, its worked example.

    >>> late_interest(Decimal("1000.00"), 8.5, 50, 365)
    Decimal('11.50')
    """
    of_a_day = pence(debt * as_decimal(pct) / 100 / as_decimal(days_in_year))
    return of_a_day * days


def interest_owed(invoice: Invoice, paid: Decimal, paid_on: date | None, on: date) -> Decimal:
    """The interest on an invoice by a day, on what was unpaid at the time [GBP]."""
    if not invoice.business:
        return NO_MONEY
    pct, year = late_pct(invoice), figure("late_payment.days_in_year", on).number
    until = min(paid_on, on) if paid_on else on
    before = late_interest(invoice.to_pay, pct, _days(invoice.due, until), year)
    rest = max(invoice.to_pay - paid, NO_MONEY)
    after = late_interest(rest, pct, _days(max(invoice.due, until), on), year)
    return before + after


def fixed_sum(invoice: Invoice, paid: Decimal, paid_on: date | None, on: date) -> Decimal:
    """The fixed sum for an invoice not paid whole when due, by the size of the rest [GBP]."""
    in_time = paid_on is not None and paid_on <= invoice.due
    debt = invoice.to_pay - paid if in_time else invoice.to_pay
    if not invoice.business or on <= invoice.due or debt <= 0:
        return NO_MONEY
    sums = entry("late_payment.fixed_sums", on).value
    return pence(max(as_decimal(fixed) for least, fixed in sums if debt >= as_decimal(least)))


def _days(begin: date, end: date) -> int:
    return max((end - begin).days, 0)
