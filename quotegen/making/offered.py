"""What a quote offers and until when, as its register keeps it.

Quotes that run out are renewed; a price that was accepted stays as it was.
"""

from datetime import date

from quotegen import wording
from quotegen.making.papers import AnyPaper, Paper, Ready, Work
from quotegen.making.remembered import total_words
from quotegen.model.issue import Issue, Memory
from quotegen.model.own.quoted import IssuedQuote, Offer
from quotegen.problems import Problem, problem
from quotegen.units import pence


def issued_quote(work: Work, paper: AnyPaper, issue: Issue) -> IssuedQuote | None:
    """A quote as of a revision, with the price and the cost of its options; None of others."""
    if paper is not Paper.QUOTE or not isinstance(work, Ready):
        return None
    quote = work.quote
    offers = tuple(
        Offer(
            option.build_up,
            option.totals.net.money,
            option.totals.total.money,
            pence(option.cost.money),
            option.deposit.money,
        )
        for option in quote.options
    )
    valid_until = issue.issued + (quote.valid_until - quote.dated)
    return IssuedQuote(work.ref, issue.revision, issue.issued, valid_until, offers)


def renewal(work: Work, paper: AnyPaper, last: Issue | None, on: date) -> Problem | None:
    """What is to be said of a quote's last revision; None while it holds for some time yet.

    One that is answered needs no renewal. How near its end a quote is named is a setting,
    `renewal_days`.
    """
    issued = issued_quote(work, paper, last) if last else None
    if issued is None or not isinstance(work, Ready):
        return None
    enquiry = work.quote.enquiry
    if enquiry.accepted or enquiry.said_no:
        return None
    left = (issued.valid_until - on).days
    if left > work.quote.settings.number("renewal_days"):
        return None
    code = "quote-ran-out" if left < 0 else "quote-runs-out"
    until = wording.date(issued.valid_until)
    return problem(code, enquiry.place, f"revision {issued.revision}", work.ref, until=until)


def price_moved(work: Work, paper: AnyPaper, last: Issue, memory: Memory | None) -> Problem | None:
    """That the accepted option now comes to something else than its customer said yes to.

    The quote that was accepted then stays as it is. None where that is not remembered.
    """
    if paper is not Paper.QUOTE or not isinstance(work, Ready) or memory is None:
        return None
    enquiry = work.quote.enquiry
    if enquiry.accepted is None:
        return None
    name, now = total_words(work.quote.option(enquiry.accepted))
    was = memory.totals.get(name)
    if was is None or was == now:
        return None
    seen = f"revision {last.revision}"
    return problem("accepted-price-moved", enquiry.place, seen, work.ref, was=was, now=now)
