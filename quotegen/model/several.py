"""Several roofs: the schedule of all a customer has, and several jobs bought in one order."""

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
    """A roof with its quote as it went out, the revision of that, and when the work begins."""

    quote: Quote
    revision: int
    first_day: FirstDay = NO_DAY


class ScheduledRoof(Struct, frozen=True):
    """A roof on the schedule: `band` is the key of how urgent it is, with its words; `because` why.

    `cheapest` asks for the least money, `fullest` does the most.
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
    """One way to choose over several roofs, and what that comes to in whole pence.

    `build_up` is None where it is not the same for all; `vat` where the firm charges none.
    """

    words: str
    build_up: BuildUp | None
    refs: tuple[str, ...]
    net: Figure
    vat: Figure | None
    total: Figure


class Schedule(Struct, frozen=True):
    """Every roof of a customer, the most urgent first, with the sums of the choices open.

    `unpriced` are enquiries of the same customer that have no quote yet.
    """

    customer: Customer
    settings: Settings
    roofs: tuple[ScheduledRoof, ...]
    sums: tuple[Sums, ...]
    unpriced: tuple[Enquiry, ...]


class SharedNeed(Struct, frozen=True):
    """One thing that several jobs take, bought once for all of them."""

    item: str
    words: str
    unit: Unit
    by_job: tuple[tuple[str, Figure], ...]
    gross: Figure
    from_stock: Figure | None
    purchase: Purchase | None


class Together(Struct, frozen=True):
    """Several jobs bought in one order, and what that saves.

    `jobs` are references with the build-up bought for; `apart` what each would cost to buy by
    itself, one after another, with the van's stock used once.
    """

    jobs: tuple[tuple[str, BuildUp], ...]
    needs: tuple[SharedNeed, ...]
    cuts: tuple[CutList, ...]
    order: Order
    apart: tuple[tuple[str, Figure], ...]
    saves: Figure
