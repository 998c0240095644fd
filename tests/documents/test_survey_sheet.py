"""The survey sheet: every fact that is not known is on it, once, on one page, with a test of it."""

from collections.abc import Iterator
from itertools import product

import pytest
from msgspec.structs import replace

from quotegen.documents.safety.survey_sheet import SURVEY_SHEET, survey_view
from quotegen.model.choices import (
    Access,
    BuildUp,
    Covering,
    CustomerKind,
    EdgeKind,
    Shape,
    Side,
    Size,
    WallJoint,
)
from quotegen.model.enquiry import Customer, Enquiry, Existing, SiteFacts
from quotegen.model.safety import Fact, Known, MethodStatement
from quotegen.reference import house_rules, rules
from quotegen.safety.statement.survey import looks_for, not_known, survey_first
from quotegen.tables import ReferenceFileError
from quotegen.workbook.sheets.details import FINDINGS
from quotegen.workbook.sheets.enquiries import ENQUIRIES
from tests import builders
from tests.documents.conftest import ISSUE
from tests.pdfs import whole_text
from tests.safety import jobs

ALL_LOOKS = {fact for look in rules.looks() for fact in look.facts}


def blank_enquiry(**changes: object) -> Enquiry:
    """A row filled in as far as a price needs it and no further."""
    made = builders.enquiry(
        builders.roof(
            Shape.RECTANGLE,
            sizes={Size.WIDTH: 3000, Size.PROJECTION: 1500},
            edges={
                Side.BACK: EdgeKind.WALL,
                Side.RIGHT: EdgeKind.RAISED,
                Side.FRONT: EdgeKind.GUTTER_DRIP,
                Side.LEFT: EdgeKind.RAISED,
            },
        ),
        customer=Customer("Ms I. Avocet", CustomerKind.HOME_OWNER, "15 Samphire Terrace"),
        occupier=None,
        household=(),
        below=(),
        site=SiteFacts(),
        existing=Existing(None, None, None, None),
        wall_joint=None,
        gutter_mm=None,
        year_built=None,
        deck_c=None,
    )
    bare = replace(made, roof=replace(made.roof, height_mm=None))
    return replace(bare, **changes)


def blanks() -> Iterator[Enquiry]:
    """Rows with nearly everything blank: each build-up, way of access, covering and joint."""
    layers, low = jobs.FELT.layers, builders.given("height", 2400.0, "mm")
    for build_up, access, covering, joint in product(
        (BuildUp.CAP_OVER, BuildUp.NEW_DECK),
        (None, Access.GROUND, Access.TOWER, Access.SCAFFOLD),
        (None, Covering.NONE, Covering.FELT, Covering.LEAD),
        (None, WallJoint.NEW_FLASHING, WallJoint.KEEP_LEAD),
    ):
        there = Existing(covering, layers, None, None)
        made = blank_enquiry(build_ups=(build_up,), access=access, existing=there, wall_joint=joint)
        yield made
        if access is Access.TOWER:
            yield replace(made, roof=replace(made.roof, height_mm=low))


@pytest.fixture(scope="module")
def statements() -> tuple[MethodStatement, ...]:
    firm = builders.settings(supervisor=None, first_aider=None)
    return tuple(jobs.statement(enquiry, firm) for enquiry in blanks())


def unknown(statement: MethodStatement) -> dict[str, Fact]:
    return {k: f for k, f in statement.facts.items() if f.known is Known.UNKNOWN}


def test_every_fact_that_can_be_unknown_has_a_way_to_find_it_out(
    statements: tuple[MethodStatement, ...],
) -> None:
    """Found by blanking; and no row of the table is about a fact that is always known.

    Three readers may answer "not known", but not on a job that is planned: power tools only without
    resin, height and room never where work from the ground or a tower was chosen.
    """
    found = {fact for statement in statements for fact in unknown(statement)}
    assert found - ALL_LOOKS == set()
    assert ALL_LOOKS - found == {"power_tools", "tower_without_room", "work_at_height"}


def test_every_unknown_is_on_the_sheet_once_and_nothing_known(
    statements: tuple[MethodStatement, ...],
) -> None:
    for statement in statements:
        view = survey_view(statement, ISSUE)
        told = [fact.lower() for look in view.looks for fact in look.facts]
        assert sorted(told) == sorted(f.words.lower() for f in unknown(statement).values())
        assert view.why.startswith(f"{not_known(statement.facts)} things")
        assert not_known(statement.facts) == len(told)


def test_the_worst_comes_first(statements: tuple[MethodStatement, ...]) -> None:
    """The first fact of the sheet is one that a risk of the highest rating waits for."""
    for statement in statements:
        first = looks_for(statement)[0].facts[0].key
        waiting = [r for r in statement.risks if r.assumed]
        worst = max(r.before.likelihood * r.before.severity for r in waiting)
        assert any(
            first in r.assumed and r.before.likelihood * r.before.severity == worst for r in waiting
        )


def test_the_answers_go_into_columns_that_there_are() -> None:
    enquiries = {column.heading for column in ENQUIRIES.columns}
    business = {setting.words for setting in house_rules.settings().values()}
    findings = {column.heading for column in FINDINGS.columns}
    there = {"Enquiries": enquiries, "Business": business, "Findings": findings}
    for look in rules.looks():
        assert set(look.cells) <= there[look.sheet], look.key


def test_nobody_is_told_to_break_anything() -> None:
    """HSE HSG264: asbestos is sampled by somebody competent; from memory."""
    first = " ".join(note.text for note in rules.look_first())
    assert "Stay off the roof" in first
    assert "Break, drill, scrape and sand nothing" in first
    tests = {look.key: look.test for look in rules.looks()}
    assert "Never break anything" in tests["asbestos"]
    assert "no proof" in tests["year"]


def test_an_unknown_without_a_test_is_our_own_fault(
    statements: tuple[MethodStatement, ...],
) -> None:
    known = replace(statements[0].facts["resin"], known=Known.UNKNOWN)
    doubtful = replace(statements[0], facts={**statements[0].facts, "resin": known})
    with pytest.raises(ReferenceFileError, match="resin"):
        looks_for(doubtful)


def test_the_worst_job_goes_on_one_page(statements: tuple[MethodStatement, ...]) -> None:
    """Every fact of the table unknown at once: more than any row can leave blank."""
    one = statements[0]
    worst = replace(
        one,
        facts={
            key: replace(fact, known=Known.UNKNOWN if key in ALL_LOOKS else Known.NO)
            for key, fact in one.facts.items()
        },
    )
    made = SURVEY_SHEET.make(worst, ISSUE, None)
    assert (made.pages, made.warnings) == (1, ())
    text = "".join(whole_text(made.content).split()).lower()
    for key in ALL_LOOKS:
        assert "".join(worst.facts[key].words.split()).lower() in text, key
    for look in rules.looks():
        assert "".join(look.test.split()).lower() in text, look.key


def test_ten_unknown_are_few_enough_and_eleven_are_not(
    statements: tuple[MethodStatement, ...],
) -> None:
    facts = {k: replace(f, known=Known.NO) for k, f in statements[0].facts.items()}
    firm = jobs.SETTINGS
    for many, survey in ((10, False), (11, True)):
        doubtful = {k: replace(facts[k], known=Known.UNKNOWN) for k in list(facts)[:many]}
        assert survey_first({**facts, **doubtful}, firm) is survey
    stricter = builders.settings(most_unknown=0)
    assert survey_first({**facts, "tower": replace(facts["tower"], known=Known.UNKNOWN)}, stricter)
