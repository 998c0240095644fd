"""The quote: what the customer is asked to pay, in whole pence that add up."""

from datetime import date

from msgspec import Struct

from quotegen.model.choices import Answer, BuildUp
from quotegen.model.enquiry import Enquiry
from quotegen.model.prestart.record import BeforeStart, OfferedStart
from quotegen.model.settings import Settings, Term
from quotegen.model.takeoff import OptionTakeOff, Stage, TakeOff
from quotegen.reference.remarks import Remark
from quotegen.working import Figure


class TakenAs(Struct, frozen=True):
    """A cell left blank, by its heading: what the price takes it as, and why that matters.

    `name` is what it is called to a customer, empty where none is told.
    """

    heading: str
    words: str
    why: str
    name: str


class PriceLine(Struct, frozen=True):
    """One line of an option, in whole pence without VAT.

    Lines of several options that share a `key` are for the same work.
    """

    key: str
    words: str
    amount: Figure


class CostLine(Struct, frozen=True):
    """One line of the firm's cost, before overhead and profit."""

    stage: Stage
    material: Figure
    labour: Figure
    charges: Figure


class Totals(Struct, frozen=True):
    """Net, VAT and total, each in whole pence. `vat` is None where the firm charges none."""

    net: Figure
    vat_rate: Figure | None
    vat: Figure | None
    total: Figure


class QuotedOption(Struct, frozen=True):
    """One build-up as offered: its lines, totals, stages of payment and guarantee."""

    take_off: OptionTakeOff
    cost_lines: tuple[CostLine, ...]
    cost: Figure
    lines: tuple[PriceLine, ...]
    totals: Totals
    deposit: Figure
    balance: Figure
    guarantee_years: Figure
    includes: tuple[Remark, ...]
    leaves_undone: tuple[Remark, ...]

    @property
    def build_up(self) -> BuildUp:
        """The build-up this option prices."""
        return self.take_off.build_up


class PricedFinding(Struct, frozen=True):
    """A finding with its price (None where it has none) and the customer's answer.

    `done_in` are the build-ups whose totals hold it, `left_by` those that leave it as it is.
    """

    seen: str
    if_left: str
    advised: str
    answer: Answer | None
    totals: Totals | None
    photo: str
    done_in: tuple[BuildUp, ...]
    left_by: tuple[BuildUp, ...]

    @property
    def apart(self) -> bool:
        """Whether it is still to be answered: some build-up leaves it, and nobody declined it."""
        return bool(self.left_by) and self.answer is not Answer.DECLINED


class PricedExtra(Struct, frozen=True):
    """An extra, included in every option or offered separately."""

    words: str
    included: bool
    totals: Totals


class ProvisionalRate(Struct, frozen=True):
    """A rate agreed in advance for work that may prove necessary, and what it is for."""

    said: Remark
    unit: str
    totals: Totals


class Advice(Struct, frozen=True):
    """Which build-up is advised and why; None where none of those priced may be advised.

    `because` are the reasons by the rules and `against` what speaks against it all the same, each a
    sentence. `own_words` are the owner's reasons, which come first where the owner gave any;
    `by_owner` says that the owner chose.
    """

    build_up: BuildUp | None
    because: tuple[Remark, ...] = ()
    against: tuple[Remark, ...] = ()
    own_words: str = ""
    by_owner: bool = False


class Quote(Struct, frozen=True):
    """The whole quote for one enquiry.

    `start` and `advised` are None until its days have been laid out: what is advised depends on
    what a build-up has to wait for. `unknown` counts the facts that are not known, where they are
    so many that the quote is provisional until a visit.
    """

    enquiry: Enquiry
    take_off: TakeOff
    settings: Settings
    dated: date
    valid_until: date
    options: tuple[QuotedOption, ...]
    findings: tuple[PricedFinding, ...]
    extras: tuple[PricedExtra, ...]
    provisional_rates: tuple[ProvisionalRate, ...]
    exclusions: tuple[Term, ...]
    payment_terms: tuple[Term, ...]
    guarantee_terms: tuple[Term, ...]
    general_terms: tuple[Term, ...]
    start: OfferedStart | None = None
    advised: Advice | None = None
    unknown: int = 0
    taken_as: tuple[TakenAs, ...] = ()

    @property
    def accepted_before(self) -> BeforeStart | None:
        """What the accepted build-up waits for; None before a yes and before its days are laid."""
        accepted = self.enquiry.accepted
        return self.start.before.get(accepted) if self.start and accepted else None

    def option(self, build_up: BuildUp) -> QuotedOption:
        """The option for one of the build-ups asked for."""
        return next(o for o in self.options if o.build_up is build_up)
