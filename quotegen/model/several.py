"""Several roofs: a customer's schedule, and several jobs bought in one order."""

from msgspec import Struct

from quotegen.model.choices import BuildUp
from quotegen.model.enquiry import Customer, Enquiry
from quotegen.model.quote import Quote, QuotedOption, Totals
from quotegen.model.settings import Settings
from quotegen.model.takeoff import CutList, Order, Purchase
from quotegen.reference.remarks import Remark, RemarkKey
from quotegen.units import Unit
from quotegen.working import Figure


class QuotedRoof(Struct, frozen=True):
    """A roof with its quote as issued, and the revision."""

    quote: Quote
    revision: int


class ScheduledRoof(Struct, frozen=True):
    """A roof on the schedule: `band` is the key of its urgency, with its words; `because` why.

    `cheapest` is the option with the lowest price, `fullest` the one that does most. `advised` is
    the one accepted or else the one we advise, None where none may be advised.
    """

    quote: Quote
    revision: int
    band: str
    band_words: str
    because: str
    cheapest: QuotedOption
    fullest: QuotedOption
    advised: QuotedOption | None


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


class TogetherKey(RemarkKey):
    """What doing several roofs together saves, or why nothing can be said of it."""

    ONE_DELIVERY = "one-delivery", "fewer"
    NO_DELIVERY = "no-delivery"
    ONE_TOWER = "one-tower", "weeks", "fewer"
    SCAFFOLD_SHARED = "scaffold-shared"
    SCAFFOLD_EACH = "scaffold-each"
    REACHED_OTHERWISE = "reached-otherwise"
    FEWER_DAYS = "fewer-days", "days", "fewer"
    SHORT_WAY = "short-way"
    WAY_BETWEEN = "way-between"


class Saving(Struct, frozen=True):
    """One thing that doing several roofs together saves, and the rule it follows.

    `amount` is its price without VAT; None where it cannot be known and has to be asked.
    """

    said: Remark
    amount: Figure | None


class DoneTogether(Struct, frozen=True):
    """Several roofs done in one visit, each in the option advised or accepted.

    `totals` is the saving with VAT, None where no part of it is known to be more than nothing;
    `price` the roofs' sum less the saving.
    """

    refs: tuple[str, ...]
    savings: tuple[Saving, ...]
    totals: Totals | None
    price: Sums | None


class Schedule(Struct, frozen=True):
    """All a customer's roofs, most urgent first, with the sums of the possible choices.

    `unpriced` are enquiries of the same customer that have no quote yet; `together` is None where
    fewer than two roofs have an option that is advised, or the firm does not pass the saving on.
    """

    customer: Customer
    settings: Settings
    roofs: tuple[ScheduledRoof, ...]
    sums: tuple[Sums, ...]
    unpriced: tuple[Enquiry, ...]
    together: DoneTogether | None


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
