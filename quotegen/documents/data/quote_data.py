"""The quote as data, carried inside its PDF: what it offers and charges, never our costs."""

import json
from typing import Any

from quotegen import wording
from quotegen.documents.printing.pdf import Attachment
from quotegen.documents.shared.remark_words import said
from quotegen.model.issue import Issue
from quotegen.model.quote import PriceLine, Quote, QuotedOption, Totals

QUOTE_FORMAT = 1
_MM_DIGITS, _AREA_DIGITS = 1, 4


def quote_file(quote: Quote, issue: Issue) -> Attachment:
    """The data of a revision as a JSON file."""
    content = json.dumps(quote_data(quote, issue), ensure_ascii=False, indent=1)
    return Attachment(
        name=f"{issue.reference}-quote-r{issue.revision}.json",
        description="The figures of this quotation as data",
        content=content.encode(),
    )


def quote_data(quote: Quote, issue: Issue) -> dict[str, Any]:
    """The content of the quote: customer, roof, options with their lines, and all prices."""
    outline = quote.take_off.outline
    return {
        "format": QUOTE_FORMAT,
        "reference": issue.reference,
        "revision": issue.revision,
        "dated": quote.dated.isoformat(),
        "valid_until": quote.valid_until.isoformat(),
        "currency": wording.CURRENCY,
        "customer": quote.enquiry.customer.name,
        "site_address": quote.enquiry.site_address,
        "roof": {
            "kind": str(quote.enquiry.roof.kind),
            "shape": str(outline.shape),
            "area_m2": round(outline.area_m2.number, _AREA_DIGITS),
            "edges": [
                {
                    "name": edge.name,
                    "kind": str(edge.kind),
                    "length_mm": round(edge.length.number, _MM_DIGITS),
                }
                for edge in outline.edges
            ],
        },
        "options": [_option(option) for option in quote.options],
        "findings": [
            {
                "seen": finding.seen,
                "advised": finding.advised,
                "answer": str(finding.answer) if finding.answer else None,
                "price": _totals(finding.totals) if finding.totals else None,
                "in_total_of": [str(build_up) for build_up in finding.done_in],
            }
            for finding in quote.findings
        ],
        "extras": [
            {"words": extra.words, "included": extra.included, "price": _totals(extra.totals)}
            for extra in quote.extras
        ],
        "agreed_rates": [
            {"words": said(rate.said), "unit": rate.unit, "price": _totals(rate.totals)}
            for rate in quote.provisional_rates
        ],
    }


def _option(option: QuotedOption) -> dict[str, Any]:
    return {
        "build_up": str(option.build_up),
        "lines": [_line(line) for line in option.lines],
        **_totals(option.totals),
        "deposit": str(option.deposit.money),
        "balance": str(option.balance.money),
        "guarantee_years": option.guarantee_years.number,
    }


def _line(line: PriceLine) -> dict[str, str]:
    return {"words": line.words, "net": str(line.amount.money)}


def _totals(totals: Totals) -> dict[str, str | None]:
    return {
        "net": str(totals.net.money),
        "vat": str(totals.vat.money) if totals.vat else None,
        "to_pay": str(totals.total.money),
    }
