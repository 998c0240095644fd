"""One bay, worked out and drawn once for all tests of the papers."""

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from msgspec.structs import replace

from quotegen.days.days import plan_days
from quotegen.demo.scenario import demo_date, write_demo
from quotegen.documents.crew.cutting_list import CUTTING_LIST
from quotegen.documents.crew.day_sheet import DAY_SHEET
from quotegen.documents.crew.order import ORDER
from quotegen.documents.crew.van_list import VAN_LIST
from quotegen.documents.customer.cancellation import CANCELLATION
from quotegen.documents.customer.hand_over import HAND_OVER, HandOver
from quotegen.documents.customer.quote import QUOTE
from quotegen.documents.customer.schedule import SCHEDULE
from quotegen.documents.customer.variation_slip import VARIATION_SLIP
from quotegen.documents.owner.cost_sheet import COST_SHEET, CostSubject
from quotegen.documents.printing.pdf import Rendered
from quotegen.documents.safety.method import METHOD
from quotegen.documents.safety.phase_plan import PHASE_PLAN
from quotegen.documents.safety.site_card import SITE_CARD
from quotegen.documents.safety.tenant_notice import TENANT_NOTICE
from quotegen.learning.compared import learned_from
from quotegen.learning.holding import holdings
from quotegen.machine.resources import price_lists_folder
from quotegen.model.choices import Answer, BuildUp, CustomerKind, DeckCondition, PriceBasis
from quotegen.model.enquiry import Customer, Enquiry, Extra, Finding
from quotegen.model.issue import Issue
from quotegen.model.prestart.record import BeforeStart, OfferedStart
from quotegen.model.quote import Quote
from quotegen.model.safety import ConstructionPlan, MethodStatement
from quotegen.model.several import QuotedRoof, Schedule
from quotegen.pricing.quote import make_quote
from quotegen.pricing.schedule import make_schedule
from quotegen.pricing.sensitivity import sensitivity
from quotegen.problems import Place, problem
from quotegen.safety.statement.construction_plan import make_plan
from quotegen.safety.statement.statement import make_statement
from quotegen.takeoff.measure import measure
from quotegen.units import Unit
from quotegen.working import Scalar
from quotegen.working_out import Batch, work_out
from tests.builders import BOOK, TODAY, canted_bay, enquiry, given, prices, settings
from tests.pdfs import whole_text

ISSUE = Issue("T-01", 0, TODAY)
SEEN = "Fascia soft for the left 600 mm"
HOSTILE = '<script>alert("x")</script> & <b>bold</b>'


def finding(advised: str, answer: Answer | None, seen: str = SEEN, photo: str = "") -> Finding:
    """A finding at a fixed price of 96 pounds."""
    place = Place(BOOK, "Findings", "A2", "Reference")
    price = given("price", Decimal("96.00"), "GBP", "Findings!G2")
    return Finding(
        place, seen, "It drops the gutter", advised, PriceBasis.FIXED, None, price, answer, photo
    )


def bay_enquiry(**changes: object) -> Enquiry:
    """The bay of the worked example with three build-ups, findings of every answer and an extra."""
    extra = Extra(
        Place(BOOK, "Extras", "A2"), "Leaf guard", given("quantity", 3.0, "m"), Unit.M,
        given("price", Decimal("6.00"), "GBP"), included=False,
    )  # fmt: skip
    changes.setdefault("build_ups", tuple(BuildUp))
    changes.setdefault("insulation_mm", given("insulation", 100.0, "mm"))
    changes.setdefault(
        "findings",
        (
            finding("Replace the fascia", Answer.DECLINED),
            finding("Renew the joint", Answer.DO_IT),
            finding("Renew the joint", Answer.DO_IT),
            finding("Point three courses", None),
        ),
    )
    changes.setdefault("extras", (extra,))
    return enquiry(canted_bay(), **changes)


def priced(asked: Enquiry, **setting_changes: Scalar | None) -> Quote:
    """The quote of an enquiry with the invented firm's settings and prices, worked out once."""
    alike = repr((asked, setting_changes))
    if alike not in _PRICED:
        _PRICED[alike] = _worked_out(asked, setting_changes)
    return _PRICED[alike]


_PRICED: dict[str, Quote] = {}


def _worked_out(asked: Enquiry, setting_changes: dict[str, Scalar | None]) -> Quote:
    firm = settings(**setting_changes)
    take_off, _ = measure(asked, firm, prices(), TODAY)
    assert take_off is not None
    quote, _ = make_quote(take_off, firm, prices(), TODAY)
    return quote


def text_of(paper: Rendered) -> str:
    """All text of a paper with single spaces, in reading order."""
    return whole_text(paper.content)


def squeezed(text: str) -> str:
    """A text without its spaces, to be found wherever its lines break."""
    return "".join(text.split())


@pytest.fixture(scope="session")
def bay_quote() -> Quote:
    return priced(bay_enquiry(), vat_number="GB 000 0000 00", firm_email="roofs@example.com")


@pytest.fixture(scope="session")
def quote_paper(bay_quote: Quote) -> Rendered:
    return QUOTE.make(bay_quote, ISSUE, None)


def agreed(statement: MethodStatement) -> MethodStatement:
    """The statement with nothing open and its first day agreed: Monday 7 December 2026."""
    monday = date(2026, 12, 7)
    days = plan_days(statement.option, statement.settings, monday, monday, 10.0)
    enquiry = replace(statement.enquiry, start_on=monday)
    before = BeforeStart(TODAY, ())
    return replace(statement, enquiry=enquiry, days=days, accepted=True, before=before)


@pytest.fixture(scope="session")
def cancellation_paper(bay_quote: Quote) -> Rendered:
    at_home = Customer("Mr D. Dunlin", CustomerKind.HOME_OWNER, "31 Saltmarsh Close")
    quote = replace(bay_quote, enquiry=replace(bay_quote.enquiry, customer=at_home))
    return CANCELLATION.make(quote, ISSUE, None)


@pytest.fixture(scope="session")
def bay_statement(bay_quote: Quote) -> MethodStatement:
    return make_statement(bay_quote.take_off, bay_quote.settings, TODAY)


@pytest.fixture(scope="session")
def method_paper(bay_statement: MethodStatement) -> Rendered:
    return METHOD.make(bay_statement, ISSUE, None)


@pytest.fixture(scope="session")
def bay_plan(bay_statement: MethodStatement) -> ConstructionPlan:
    return make_plan(bay_statement)


@pytest.fixture(scope="session")
def phase_plan_paper(bay_plan: ConstructionPlan) -> Rendered:
    return PHASE_PLAN.make(bay_plan, ISSUE, None)


@pytest.fixture(scope="session")
def tenant_notice_paper(bay_statement: MethodStatement) -> Rendered:
    return TENANT_NOTICE.make(agreed(bay_statement), ISSUE, None)


@pytest.fixture(scope="session")
def variation_slip_paper(bay_quote: Quote) -> Rendered:
    return VARIATION_SLIP.make(bay_quote, ISSUE, None)


@pytest.fixture(scope="session")
def mix_card_paper(bay_statement: MethodStatement) -> Rendered:
    return SITE_CARD.make(bay_statement, ISSUE, None)


@pytest.fixture(scope="session")
def van_list_paper(bay_statement: MethodStatement) -> Rendered:
    return VAN_LIST.make(bay_statement, ISSUE, None)


@pytest.fixture(scope="session")
def day_sheet_paper(bay_statement: MethodStatement) -> Rendered:
    return DAY_SHEET.make(bay_statement, ISSUE, None)


@pytest.fixture(scope="session")
def order_paper(bay_statement: MethodStatement) -> Rendered:
    return ORDER.make(bay_statement, ISSUE, None)


@pytest.fixture(scope="session")
def cutting_list_paper(bay_statement: MethodStatement) -> Rendered:
    return CUTTING_LIST.make(bay_statement, ISSUE, None)


@pytest.fixture(scope="session")
def bay_costs(bay_quote: Quote) -> CostSubject:
    shifts = sensitivity(bay_quote, prices())
    warned = problem("reverse-charge-possible", Place(BOOK, "Enquiries", "A2"), ref="T-01")
    held = holdings(bay_quote, learned_from(None, bay_quote.settings))
    return CostSubject(bay_quote, shifts, (warned,), held)


@pytest.fixture(scope="session")
def cost_sheet_paper(bay_costs: CostSubject) -> Rendered:
    return COST_SHEET.make(bay_costs, ISSUE, None)


@pytest.fixture(scope="session")
def hand_over_paper(bay_quote: Quote, bay_statement: MethodStatement) -> Rendered:
    return HAND_OVER.make(HandOver(bay_quote, bay_statement), ISSUE, None)


@pytest.fixture(scope="session")
def roofs(bay_quote: Quote) -> Schedule:
    """Two roofs of one landlord, and one that is not priced yet."""
    second = bay_enquiry(
        ref="T-02",
        site_address="6 Kittiwake Street, Mizzlehaven ZZ1 4AA",
        build_ups=(BuildUp.NEW_DECK,),
        start_on=date(2026, 12, 3),
        existing=replace(bay_quote.enquiry.existing, condition=DeckCondition.ROTTEN),
    )
    third = bay_enquiry(ref="T-03", site_address="8 Kittiwake Street, Mizzlehaven ZZ1 4AA")
    settled = {BuildUp.NEW_DECK: BeforeStart(date(2026, 11, 23), ())}
    agreed = replace(priced(second), start=OfferedStart(settled, date(2026, 12, 3)))
    quoted = [QuotedRoof(bay_quote, 2), QuotedRoof(agreed, 0)]
    return make_schedule(quoted, [third])


@pytest.fixture(scope="session")
def schedule_paper(roofs: Schedule) -> Rendered:
    return SCHEDULE.make(roofs, ISSUE, None)


def first_issue(statement: MethodStatement) -> Issue:
    """The issue of a demo paper on the first run, so that one drawing serves twice."""
    return Issue(statement.enquiry.ref, 0, demo_date())


@pytest.fixture(scope="session")
def demo_batch(tmp_path_factory: pytest.TempPathFactory) -> Batch:
    """All demo enquiries worked out with both demo price lists."""
    book = write_demo(tmp_path_factory.mktemp("demo"))
    assert isinstance(book, Path)
    return work_out(book, sorted(price_lists_folder().glob("*.xlsx")), demo_date())


@pytest.fixture(scope="session")
def demo_statements(demo_batch: Batch) -> list[MethodStatement]:
    """The method statement of every demo enquiry; nothing stops any of them."""
    made = [one.statement for one in demo_batch.worked if one.statement]
    assert len(made) == len(demo_batch.worked) >= 8
    return made


@pytest.fixture(
    scope="session",
    params=[
        "schedule_paper",
        "quote_paper",
        "cancellation_paper",
        "method_paper",
        "phase_plan_paper",
        "tenant_notice_paper",
        "variation_slip_paper",
        "hand_over_paper",
        "day_sheet_paper",
        "mix_card_paper",
        "van_list_paper",
        "cost_sheet_paper",
        "order_paper",
        "cutting_list_paper",
    ],
)
def paper(request: pytest.FixtureRequest) -> Rendered:
    """Each of the papers in turn."""
    made: Rendered = request.getfixturevalue(request.param)
    return made
