"""The notice to the occupier: one page of plain words that follows the facts of the job."""

import re
from datetime import date
from typing import Any

import pytest
from msgspec.structs import replace

from quotegen import wording
from quotegen.documents.customer.quote_start import start_view
from quotegen.documents.drawing.day_chart import clock
from quotegen.documents.printing.pdf import Rendered
from quotegen.documents.safety.tenant_notice import (
    MOVED,
    NO_START,
    TENANT_NOTICE,
    TOO_WET,
    TenantNoticeView,
    tenant_notice_view,
)
from quotegen.documents.shared.before_words import open_words
from quotegen.model.choices import (
    Below,
    BuildUp,
    Covering,
    CustomerKind,
    Deck,
    Household,
    Occupier,
    WallJoint,
)
from quotegen.model.enquiry import Customer, Existing, SiteFacts
from quotegen.model.prestart.record import BeforeStart
from quotegen.model.safety import MethodStatement
from quotegen.model.takeoff import Phase
from quotegen.reference import rules
from quotegen.safety.statement.statement import make_statement
from quotegen.working_out import Batch
from tests.builders import TODAY, canted_bay, given
from tests.documents.conftest import HOSTILE, ISSUE, bay_enquiry, priced, squeezed, text_of
from tests.reading_age import reading_age

AGREED = {"start_on": date(2026, 12, 21), "accepted": BuildUp.NEW_DECK}
OWNER = Customer("Quillfeather Estates", CustomerKind.LANDLORD, "77 Moneybags Row", "q@example.com")
CHEMISTRY = re.compile(
    r"styrene|peroxide|catalyst|acetone|resin|laminat|topcoat|isocyanate|GRP|ppm|COSHH|CDM|RAMS",
    re.IGNORECASE,
)


LEAD_ROOF = Existing(Covering.LEAD, given("layers", 1.0, "layers"), Deck.BOARDING, None)
FREE_OF_LEAD = {
    "year_built": given("year", 2004.0, ""),
    "wall_joint": WallJoint.NEW_FLASHING,
    "existing": Existing(Covering.NONE, None, None, None),
}
"""A house built after lead paint, with nothing old to strip nor at its wall."""


def statement_of(**changes: Any) -> MethodStatement:
    """The statement of the bay with these changes."""
    quote = priced(bay_enquiry(**changes), supervisor="Ada Tern", emergency_phone="01632 960002")
    return make_statement(quote.take_off, quote.settings, TODAY)


def settled(made: MethodStatement) -> MethodStatement:
    """The statement once nothing is open: only then are its days agreed."""
    return replace(made, before=BeforeStart(TODAY, ()))


def notice_of(**changes: Any) -> TenantNoticeView:
    return tenant_notice_view(settled(statement_of(**changes)), ISSUE)


def requests(**changes: Any) -> set[str]:
    """The keys of what is asked."""
    return {note.key for note in statement_of(**changes).notice}


def unknown(**changes: Any) -> MethodStatement:
    """A let house of which nothing is known, so that everything is asked."""
    return statement_of(
        occupier=Occupier.TENANT,
        household=(),
        below=(),
        site=SiteFacts(),
        build_ups=(BuildUp.NEW_DECK,),
        **changes,
    )


@pytest.fixture(scope="module")
def dated() -> MethodStatement:
    return settled(statement_of(**AGREED, occupier=Occupier.TENANT, customer=OWNER))


@pytest.fixture(scope="module")
def paper(dated: MethodStatement) -> Rendered:
    return TENANT_NOTICE.make(dated, ISSUE, None)


def test_everything_there_is_to_ask_fits_on_one_page() -> None:
    made = settled(unknown(**AGREED))
    assert {note.key for note in made.notice} == {note.key for note in rules.notes("notice")}
    full = TENANT_NOTICE.make(made, ISSUE, None)
    assert (full.pages, full.warnings) == (1, ())


def test_all_that_is_asked_is_printed(dated: MethodStatement, paper: Rendered) -> None:
    text = squeezed(text_of(paper))
    assert len(dated.notice) > 5
    assert [note.key for note in dated.notice if squeezed(note.text) not in text] == []
    assert (paper.pages, paper.warnings) == (1, ())


def test_days_and_hours_are_those_of_the_day_sheet(dated: MethodStatement, paper: Rendered) -> None:
    text = text_of(paper)
    worked = dated.days.worked
    assert worked
    for day in worked:
        assert day.day is not None
        assert wording.long_day(day.day) in text
        assert clock(day.spells[0].span.from_h) in text
        assert clock(day.spells[-1].span.to_h) in text
        smells = [s.span.from_h for s in day.spells if s.phase in (Phase.LAY, Phase.COAT)]
        if smells:
            assert f"trong smell from about {clock(min(smells))}" in text


def test_without_agreed_days_it_is_no_notice_and_says_why() -> None:
    made = statement_of(start_on=None)
    view = tenant_notice_view(made, ISSUE)
    assert (view.dated, view.days, view.requests) == (False, (), ())
    assert view.open[-1] == NO_START
    assert len(view.open) == 1 + len(open_words(made.before)) > 1
    text = squeezed(text_of(TENANT_NOTICE.make(made, ISSUE, None)))
    assert squeezed("do not hand this out") in text
    assert squeezed("What we ask of you") not in text
    assert squeezed("Given to you on") not in text
    for words in view.open:
        assert squeezed(words) in text


@pytest.mark.parametrize(
    ("changes", "refused", "why"),
    [
        ({"start_on": None}, None, NO_START),
        (AGREED, Phase.LAY, TOO_WET),
        ({**AGREED, "start_on": date(2026, 12, 20)}, None, MOVED),  # a Sunday
    ],
)
def test_with_nothing_open_it_still_says_why_there_is_no_day(
    changes: dict[str, Any], refused: Phase | None, why: str
) -> None:
    made = settled(statement_of(**{**AGREED, **changes}))
    made = replace(made, days=replace(made.days, refused=refused))
    assert tenant_notice_view(made, ISSUE).open == (why,)


@pytest.mark.parametrize("known", AGREED)
def test_a_start_wished_for_or_a_choice_alone_is_not_an_agreed_day(known: str) -> None:
    made = statement_of(**{known: AGREED[known]})
    assert not tenant_notice_view(made, ISSUE).dated
    html = TENANT_NOTICE.html(made, ISSUE)
    assert "The days are not agreed yet." in html
    assert "December" not in html.partition("<body")[2].partition("</p>")[2]


def test_days_the_forecast_has_no_room_for_are_not_promised(dated: MethodStatement) -> None:
    refused = replace(dated, days=replace(dated.days, refused=Phase.LAY))
    view = tenant_notice_view(refused, ISSUE)
    assert not view.dated
    assert "21 December" not in TENANT_NOTICE.html(refused, ISSUE)


def test_it_says_nothing_of_the_owner_of_money_or_of_chemistry(
    dated: MethodStatement, paper: Rendered
) -> None:
    text = text_of(paper)
    for private in (OWNER.name, "Quillfeather", OWNER.bill_address, OWNER.email):
        assert private not in TENANT_NOTICE.html(dated, ISSUE)
    assert "£" not in text
    assert not CHEMISTRY.search(text), CHEMISTRY.search(text)
    for note in rules.notes("notice"):
        assert not CHEMISTRY.search(note.line.text), note.key


def test_its_sentences_are_short() -> None:
    # Common practice, no source: about twenty words is what is read at once.
    for note in rules.notes("notice"):
        for sentence in re.split(r"[.?!:]\s", note.line.text):
            assert len(sentence.split()) <= 22, sentence


def test_the_number_to_ring_is_there_and_who_answers(paper: Rendered) -> None:
    text = text_of(paper)
    assert "Ring us: 01632 960001 (Ada Tern)" in text
    assert "Danger: 999, then 01632 960002" in text


def test_the_keep_out_is_that_of_the_statement(dated: MethodStatement, paper: Rendered) -> None:
    assert dated.keep_out is not None
    # 2.6 m to the edge, three quarters of it is 1.95 m, at least 2 m: house rule.
    assert dated.keep_out.out_m.number == 2.0
    assert "under the roof or within 2 m of it" in text_of(paper)
    not_measured = settled(statement_of(**AGREED, roof=canted_bay(height_mm=None)))
    assert "within our barriers" in TENANT_NOTICE.html(not_measured, ISSUE)
    assert "not known" not in TENANT_NOTICE.html(not_measured, ISSUE)


@pytest.mark.parametrize(
    ("key", "bringing", "lacking"),
    [
        ("door", {"below": (Below.DOORWAY,)}, {"below": (Below.GARDEN,)}),
        ("glass-roof", {"below": (Below.GLASS,)}, {"below": (Below.GARDEN,)}),
        ("cars", {"site": SiteFacts(cars_near=True)}, {"site": SiteFacts(cars_near=False)}),
        ("cars", {"site": SiteFacts(cars_near=None)}, {"site": SiteFacts(cars_near=False)}),
        (
            "boiler-and-fires",
            {"site": SiteFacts(flue_near=True)},
            {"site": SiteFacts(flue_near=False)},
        ),
        (
            "children",
            {"occupier": Occupier.OWNER, "household": (Household.CHILDREN,)},
            {"occupier": Occupier.OWNER, "household": (Household.NONE,)},
        ),
        (
            "elderly-or-unwell",
            {"occupier": Occupier.OWNER, "household": (Household.VULNERABLE,)},
            {"occupier": Occupier.OWNER, "household": (Household.NONE,)},
        ),
        ("lead-dust", {"year_built": given("year", 1896.0, "")}, FREE_OF_LEAD),
        ("lead-dust", {"year_built": None}, FREE_OF_LEAD),
        ("lead-dust", {**FREE_OF_LEAD, "wall_joint": WallJoint.KEEP_LEAD}, FREE_OF_LEAD),
        ("lead-dust", {**FREE_OF_LEAD, "existing": LEAD_ROOF}, FREE_OF_LEAD),
        (
            "power",
            {"site": SiteFacts(overhead_cables=None)},
            {"site": SiteFacts(overhead_cables=False)},
        ),
        ("short-notice", {"occupier": Occupier.TENANT}, {"occupier": Occupier.OWNER}),
        ("pets", {"occupier": Occupier.OWNER}, {"occupier": Occupier.EMPTY}),
    ],
)
def test_a_request_follows_from_its_fact(
    key: str, bringing: dict[str, Any], lacking: dict[str, Any]
) -> None:
    assert key in requests(**bringing)
    assert key not in requests(**lacking)


def test_nothing_typed_into_the_workbook_is_taken_for_html() -> None:
    made = settled(statement_of(**AGREED, site_address=HOSTILE))
    html = TENANT_NOTICE.html(made, ISSUE)
    assert "<script>" not in html
    assert "&lt;script&gt;" in html
    paper = TENANT_NOTICE.make(made, ISSUE, None)
    assert HOSTILE in text_of(paper)
    assert paper.warnings == ()


def test_a_child_of_twelve_can_read_it(dated: MethodStatement) -> None:
    """Flesch-Kincaid, as `tests/reading_age.py` has it; the goal is in docs/how_we_write.md."""
    assert reading_age([note.text for note in dated.notice]) <= 12


def test_whoever_turns_the_boiler_off_is_told_that_it_may_get_cold(demo_batch: Batch) -> None:
    """The crew keeps it off on every day of the work, so quote and notice both say so.

    Gas Safety (Installation and Use) Regulations 1998, regulation 8, from memory; that people are
    told of it beforehand is common practice, no source.
    """
    seen = 0
    for one in demo_batch.worked:
        if one.statement is None or one.quote is None or not one.quote.enquiry.site.flue_near:
            continue
        (step,) = [step for step in one.statement.steps if step.key == "arrive"]
        assert "Its appliance is turned off and stays off." in " ".join(step.lines)
        (note,) = [note for note in one.statement.notice if note.key == "boiler-and-fires"]
        assert "on all our days there may be no heating or hot water" in note.text
        letters = [str(option.build_up) for option in one.quote.options]
        assert "stays off all that time: no heating" in start_view(one.quote, letters).words
        seen += 1
    assert seen
