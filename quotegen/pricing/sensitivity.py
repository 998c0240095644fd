"""How cost and price would change if each measured size were a little longer, for the owner."""

from collections.abc import Iterator
from decimal import Decimal

from msgspec import Struct
from msgspec.structs import replace

from quotegen.machine.once import once_a_job
from quotegen.model.choices import BuildUp
from quotegen.model.enquiry import Enquiry, OutlineRow
from quotegen.model.quote import Quote
from quotegen.model.settings import PriceBook
from quotegen.pricing.quote import make_quote
from quotegen.takeoff.measure import measure
from quotegen.working import Figure


class Shift(Struct, frozen=True):
    """How much one build-up changes when one size is longer [GBP, without VAT]."""

    size: str
    build_up: BuildUp
    cost: Decimal
    net: Decimal


@once_a_job
def sensitivity(quote: Quote, prices: PriceBook) -> tuple[Shift, ...]:
    """The change in cost and net price of each option with each size longer by the setting.

    A measured outline has no named sizes: there every length grows in the same proportion, the
    longest by the setting. A size that cannot be longer (a front wider than its wall) is left out.
    """
    settings, on = quote.settings, quote.dated
    more_mm = settings.number("sensitivity_mm")
    shifts = []
    for words, changed in _variants(quote.enquiry, more_mm):
        take_off, _ = measure(changed, settings, prices, on)
        if take_off is None:
            continue
        other, _ = make_quote(take_off, settings, prices, on)
        shifts += [
            Shift(
                words,
                option.build_up,
                after.cost.money - option.cost.money,
                after.totals.net.money - option.totals.net.money,
            )
            for option, after in zip(quote.options, other.options, strict=True)
        ]
    return tuple(shifts)


def _variants(enquiry: Enquiry, more_mm: float) -> Iterator[tuple[str, Enquiry]]:
    roof = enquiry.roof
    for size, figure in roof.sizes.items():
        sizes = {**roof.sizes, size: _longer(figure, more_mm)}
        yield str(size), replace(enquiry, roof=replace(roof, sizes=sizes))
    if roof.outline_rows:
        longest = max(_reach(row) for row in roof.outline_rows)
        factor = 1 + more_mm / longest
        rows = tuple(_scaled(row, factor) for row in roof.outline_rows)
        yield "every length of the outline", replace(enquiry, roof=replace(roof, outline_rows=rows))


def _reach(row: OutlineRow) -> float:
    return max(
        figure.number for figure in (row.length_mm, row.along_mm, row.out_mm) if figure is not None
    )


def _scaled(row: OutlineRow, factor: float) -> OutlineRow:
    def grown(figure: Figure | None) -> Figure | None:
        return figure and _longer(figure, figure.number * (factor - 1))

    return replace(
        row,
        length_mm=grown(row.length_mm),
        along_mm=grown(row.along_mm),
        out_mm=grown(row.out_mm),
    )


def _longer(figure: Figure, more_mm: float) -> Figure:
    return replace(figure, value=figure.number + more_mm)
