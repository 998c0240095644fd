"""Several roofs: a customer's schedule, and several jobs bought in one order."""

from msgspec import Struct

from quotegen.model.choices import BuildUp
from quotegen.model.days import NO_DAY, FirstDay
from quotegen.model.enquiry import Customer, Enquiry
from quotegen.model.quote import Quote, QuotedOption
from quotegen.model.settings import Settings
from quotegen.model.takeoff import CutList, Order, Purchase
from quotegen.units import Unit
from quotegen.working import Figure


class QuotedRoof(Struct, frozen=True):
    """A roof with its quote as issued, the revision, and the start of work."""

    quote: Quote
    revision: int
    first_day: FirstDay = NO_DAY


class ScheduledRoof(Struct, frozen=True):
    """A roof on the schedule: `band` is the key of its urgency, with its words; `because` why.

    `cheapest` is the option with the lowest price, `fullest` the one that does most.
    """

    quote: Quote
    revision: int
    band: str
    band_words: str
    because: str
    cheapest: QuotedOption
    fullest: QuotedOption
    first_day: FirstDay


class Sums(Struct, frozen=True):
    """One choice of options over several roofs, with its sums in whole pence.

    `build_up` is None where it differs between roofs; `vat` is None where the firm charges none.
    """

    words: str
    build_up: BuildUp | None
    refs: tuple[str, ...]
    net: Figure
    vat: Figure | None
    total: Figure


class Schedule(Struct, frozen=True):
    """All a customer's roofs, most urgent first, with the sums of the possible choices.

    `unpriced` are enquiries of the same customer that have no quote yet.
    """

    customer: Customer
    settings: Settings
    roofs: tuple[ScheduledRoof, ...]
    sums: tuple[Sums, ...]
    unpriced: tuple[Enquiry, ...]


class SharedNeed(Struct, frozen=True):
    """An item that several jobs need, bought once for all."""

    item: str
    words: str
    unit: Unit
    by_job: tuple[tuple[str, Figure], ...]
    gross: Figure
    from_stock: Figure | None
    purchase: Purchase | None


class Together(Struct, frozen=True):
    """Several jobs bought in one order, and the saving.

    `jobs` are references with the build-up bought for; `apart` the cost of buying each separately,
    one after another, with the van's stock used once.
    """

    jobs: tuple[tuple[str, BuildUp], ...]
    needs: tuple[SharedNeed, ...]
    cuts: tuple[CutList, ...]
    order: Order
    apart: tuple[tuple[str, Figure], ...]
    saves: Figure
