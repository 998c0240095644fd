"""What a business owes for paying late: statutory interest and a fixed sum. Nobody else owes it."""

from datetime import date, timedelta
from decimal import Decimal

from quotegen.model.own.invoiced import NO_MONEY, Invoice, PayStage
from quotegen.reference.loader import entry, figure
from quotegen.units import as_decimal, pence


def last_day_in_time(invoice: Invoice, done_on: date | None) -> date | None:
    """The day after which statutory interest runs; None for a consumer, or while it cannot run.

    For a deposit, a payment in advance, it runs once the work is done: `done_on`, None where that
    is not known. Source: Late Payment of Commercial Debts (Interest) Act 1998, sections 4 and 11.
    """
    if not invoice.business:
        return None
    if invoice.stage is PayStage.DEPOSIT:
        return None if done_on is None else max(done_on, invoice.due)
    return invoice.due


def late_pct(in_time: date) -> float:
    """Statutory interest on what was to be paid by a day: the margin over the reference rate of the
    half year in which the interest starts to run [% a year].
    """
    runs_from = in_time + timedelta(days=1)
    reference = figure("late_payment.reference_rate_pct", runs_from).number
    return reference + figure("late_payment.over_reference_pct", runs_from).number


def late_interest(debt: Decimal, pct: float, days: int, days_in_year: float) -> Decimal:
    """Simple interest on a debt: that of a day in whole pence, times the days late [GBP].

    Inputs [GBP, % a year, days, days]. Source: gov.uk, Late commercial payments: charging interest
    and debt recovery, its worked example.

    >>> late_interest(Decimal("1000.00"), 8.5, 50, 365)
    Decimal('11.50')
    """
    of_a_day = pence(debt * as_decimal(pct) / 100 / as_decimal(days_in_year))
    return of_a_day * days


def interest_owed(
    to_pay: Decimal, in_time: date, paid: Decimal, paid_on: date | None, on: date
) -> Decimal:
    """The interest by a day on what was to be paid by another, on what was unpaid at the time."""
    pct, year = late_pct(in_time), figure("late_payment.days_in_year", on).number
    until = min(paid_on, on) if paid_on else on
    before = late_interest(to_pay, pct, _days(in_time, until), year)
    rest = max(to_pay - paid, NO_MONEY)
    after = late_interest(rest, pct, _days(max(in_time, until), on), year)
    return before + after


def fixed_sum(debt: Decimal, on: date) -> Decimal:
    """The fixed sum for a debt that was not paid in time, by its size [GBP].

    Source: Late Payment of Commercial Debts (Interest) Act 1998, section 5A.
    """
    sums = entry("late_payment.fixed_sums", on).value
    return pence(
        max(
            (as_decimal(fixed) for least, fixed in sums if debt >= as_decimal(least)),
            default=NO_MONEY,
        )
    )


def _days(begin: date, end: date) -> int:
    return max((end - begin).days, 0)
