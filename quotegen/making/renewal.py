"""Quotes that have run out, or soon will: told when they are made again, and renewed if asked."""

from datetime import date

from quotegen import wording
from quotegen.making.papers import AnyPaper, Paper, Ready, Work
from quotegen.model.issue import Issue
from quotegen.problems import Problem, problem


def renewal(work: Work, paper: AnyPaper, last: Issue | None, on: date) -> Problem | None:
    """What is to be said of a quote's last revision; None while it holds for some time yet.

    An accepted quote needs no renewal. How near its end a quote is named is a setting,
    `renewal_days`.
    """
    if last is None or paper is not Paper.QUOTE or not isinstance(work, Ready):
        return None
    quote = work.quote
    if quote.enquiry.accepted is not None:
        return None
    valid_until = last.issued + (quote.valid_until - quote.dated)
    left = (valid_until - on).days
    if left > quote.settings.number("renewal_days"):
        return None
    code = "quote-ran-out" if left < 0 else "quote-runs-out"
    seen = f"revision {last.revision}"
    return problem(code, quote.enquiry.place, seen, work.ref, until=wording.date(valid_until))
