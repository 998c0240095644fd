"""A consumer's right to cancel: the legal period, and the model form as a paper of its own."""

from collections.abc import Mapping
from typing import Any

from msgspec import Struct

from quotegen import wording
from quotegen.documents.printing.design import Design
from quotegen.documents.printing.paper import PictureBox, in_lines, one_line
from quotegen.model.choices import CustomerKind
from quotegen.model.issue import Issue
from quotegen.model.quote import Quote
from quotegen.reference.loader import entry
from quotegen.reference.rule_keys import BeforeKey


class CancellationForm(Struct, frozen=True):
    """The model form in the words of the law, with the firm and the service filled in."""

    only_to_cancel: str
    to: str
    addresses: str
    notice: str
    service: str
    to_fill_in: tuple[str, ...]
    delete: str
    refund_days: str


def cancellation_days(quote: Quote) -> str:
    """The cancellation period of a consumer; empty for a business."""
    if not may_cancel(quote):
        return ""
    days = entry("consumer_contracts.cancellation_days", quote.dated).value
    return wording.count(days, "day", "days")


def cancellation_period(quote: Quote, agreed: bool = False) -> str:
    """Which day the period counts from; empty for a business.

    Once the work is `agreed` its first end is named, as everything that waits for it names it.

    Work with materials may count as a sale of goods, whose days count from the last delivery: we
    give the longer right, wherever the contract is agreed. Source: regulation 30; a council's
    trading standards officers on home improvement.
    """
    days = cancellation_days(quote)
    if not days:
        return ""
    until = _until(quote) if agreed else ""
    return (
        f"{days} of our agreeing it{until} or, if later, of the last of its materials reaching you"
    )


def _until(quote: Quote) -> str:
    """The last of the days from an acceptance; empty before one and once it is past."""
    before = quote.accepted_before
    items = before.open_items if before else ()
    if any(item.key is BeforeKey.ACCEPTANCE for item in items):
        return ""
    ends = (item.until for item in items if item.key is BeforeKey.CANCELLATION)
    return next((f" (until {wording.short_day(end)})" for end in ends if end), "")


def may_cancel(quote: Quote) -> bool:
    """Whether the customer is a consumer, whom the law gives the form, with something to cancel.

    Nobody can say yes to an estimate; should one be accepted all the same, the right is given.
    """
    offered = not quote.unknown or quote.enquiry.accepted is not None
    return offered and quote.enquiry.customer.kind is CustomerKind.HOME_OWNER


def cancellation_form(quote: Quote, issue: Issue) -> CancellationForm:
    """The model form of schedule 3, part B.

    Source: `reference/consumer_contracts.toml`. Only what the quote knows is filled in: the firm,
    and the service concerned.
    """
    form = entry("consumer_contracts.model_form", quote.dated).value
    only_to_cancel, to, notice, *lines, delete = form
    refund_days = entry("consumer_contracts.refund_days", quote.dated).value
    settings = quote.settings
    firm = (settings.text(code) for code in ("firm_name", "firm_address", "firm_email"))
    service = f"Quotation {issue.reference}: {quote.enquiry.roof.kind} roof"
    return CancellationForm(
        only_to_cancel=only_to_cancel,
        to=to,
        addresses="\n".join(in_lines(words) for words in firm if words),
        notice=notice,
        service=f"{service}, {one_line(quote.enquiry.site_address)}",
        to_fill_in=tuple(lines),
        delete=delete,
        refund_days=wording.count(refund_days, "day", "days"),
    )


def _fill(quote: Quote, issue: Issue, _box: PictureBox) -> Mapping[str, Any]:
    return {"form": cancellation_form(quote, issue), "period": cancellation_period(quote)}


CANCELLATION = Design(
    "Cancellation form",
    "customer/cancellation.html",
    lambda quote: (quote.enquiry, quote.settings),
    _fill,
)
