"""The construction phase plan against CDM 2015 (SI 2015/51): who is responsible, and when."""

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any

import pytest
from msgspec.structs import replace

from quotegen.model.choices import Access, CustomerKind, Occupier
from quotegen.model.enquiry import Customer, SiteFacts
from quotegen.model.safety import ConstructionPlan, Known, PlanEntry
from quotegen.reference import rules
from quotegen.reference.rule_records import NoteRule
from quotegen.safety.facts.project import notice_of
from quotegen.safety.rules.text import with_figures
from quotegen.safety.statement.construction_plan import make_plan, plan_words
from quotegen.working import Step
from tests import builders
from tests.safety import jobs

PARTS = {"people", "notice", "running", "welfare", "rules", "emergency", "particular", "signing"}
LANDLORD = Customer("Ms R. Petrel", CustomerKind.LANDLORD, "9 Gull Row, Mizzlehaven")
AGENT = Customer("Cormorant Lettings", CustomerKind.AGENT, "22 Harbour Parade, Mizzlehaven")
AT_HOME = Customer("Mr D. Dunlin", CustomerKind.HOME_OWNER, "31 Saltmarsh Close")
BUILDER = Customer("Knot & Plover Builders", CustomerKind.TRADE, "2 Fish Street")
TOWER = {"access": Access.TOWER, "roof": builders.canted_bay()}
SCAFFOLD = {"access": Access.SCAFFOLD}
LINES = [(part, note) for part, notes in rules.plan().items() for note in notes]
CONDITIONAL = [
    (part, note)
    for part, note in LINES
    if note.line.when.facts and "notice_due" not in note.line.when.facts
]
NAMES = [f"{part}: {note.line.text[:30]}" for part, note in CONDITIONAL]


def plan(**changes: Any) -> ConstructionPlan:
    """The plan of the plain job with these changes."""
    return make_plan(jobs.statement(jobs.plain_enquiry(**changes)))


def said(entries: tuple[PlanEntry, ...]) -> Mapping[str, str]:
    return {entry.title: " ".join(entry.texts) for entry in entries}


def all_text(made: ConstructionPlan) -> str:
    """Every sentence of a plan in one text."""
    return "\n".join(text for part in PARTS for text in texts(made, part))


def of_kind(kind: CustomerKind) -> jobs.Change:
    """A customer of this kind, at home where they can be."""

    def change(made: jobs.Made) -> jobs.Made:
        customer = replace(made.enquiry.customer, kind=kind)
        occupier = Occupier.OWNER if kind is CustomerKind.HOME_OWNER else made.enquiry.occupier
        return replace(made, enquiry=replace(made.enquiry, customer=customer, occupier=occupier))

    return change


def changed(made: jobs.Made, keys: Iterable[str], changes: Mapping[str, jobs.Change]) -> jobs.Made:
    for key in keys:
        made = changes[key](made)
    return made


def prints(made: jobs.Made, part: str, note: NoteRule) -> bool:
    """Whether a line of the table stands in its part of the plan of a job."""
    statement = made.statement()
    wanted = with_figures(note.line.text, plan_words(statement, notice_of(statement.option)))
    return wanted in texts(make_plan(statement), part)


def texts(made: ConstructionPlan, part: str) -> tuple[str, ...]:
    """Every sentence of one part of a plan."""
    plain = {"notice": made.notice_lines, "rules": made.site_rules, "particular": made.particular}
    if part in plain:
        return plain[part]
    entries: tuple[PlanEntry, ...] = getattr(made, part)
    return tuple(text for entry in entries for text in entry.texts)


BRINGS: Mapping[str, jobs.Change] = {
    **jobs.BRINGS,
    "home_client": of_kind(CustomerKind.HOME_OWNER),
    "business_client": of_kind(CustomerKind.LANDLORD),
    "agent_client": of_kind(CustomerKind.AGENT),
    "trade_client": of_kind(CustomerKind.TRADE),
    "sole_contractor": jobs.BRINGS["tower"],
    "leading_contractor": jobs.BRINGS["scaffold"],
}
LACKS: Mapping[str, jobs.Change] = {
    **jobs.LACKS,
    "home_client": of_kind(CustomerKind.LANDLORD),
    "business_client": of_kind(CustomerKind.TRADE),
    "agent_client": of_kind(CustomerKind.LANDLORD),
    "trade_client": of_kind(CustomerKind.LANDLORD),
    "sole_contractor": jobs.BRINGS["scaffold"],
    "leading_contractor": jobs.BRINGS["tower"],
}


def test_the_parts_of_the_table_are_those_of_the_paper() -> None:
    # Regulation 12(2): the arrangements, the site rules, and measures for the work of schedule 3.
    assert set(rules.plan()) == PARTS


@pytest.mark.parametrize("part, note", CONDITIONAL, ids=NAMES)
def test_every_conditional_line_fires_on_a_job_that_has_its_facts(
    part: str, note: NoteRule
) -> None:
    when = note.line.when
    made = changed(jobs.PLAIN, (*when.all_of, *when.any_of[:1]), BRINGS)
    assert prints(made, part, note)


@pytest.mark.parametrize("part, note", CONDITIONAL, ids=NAMES)
def test_every_conditional_line_is_absent_where_a_fact_it_needs_is(
    part: str, note: NoteRule
) -> None:
    when = note.line.when
    everything = changed(jobs.PLAIN, (*when.all_of, *when.any_of[:1]), BRINGS)
    lacking = [(key,) for key in when.all_of] + ([when.any_of] if when.any_of else [])
    for keys in lacking:
        assert not prints(changed(everything, keys, LACKS), part, note), keys


def test_a_notice_that_is_due_says_who_gives_it() -> None:
    # Regulation 6(2) and (3); for a domestic client 7(1).
    made = jobs.statement(jobs.plain_enquiry(customer=AT_HOME, occupier=Occupier.OWNER, **TOWER))
    due = replace(made.facts["notice_due"], known=Known.YES)
    lines = make_plan(replace(made, facts={**made.facts, "notice_due": due})).notice_lines
    assert [line for line in lines if "F10" in line]
    assert [line for line in lines if "whoever has the client's duties" in line]
    assert not [line for line in make_plan(made).notice_lines if "F10" in line]


def test_a_home_owner_with_one_contractor_passes_the_duties_to_us() -> None:
    # Regulation 7(1)(a): with one contractor the contractor carries out the client's duties.
    made = plan(customer=AT_HOME, occupier=Occupier.OWNER, **TOWER)
    people = said(made.people)
    assert "Mr D. Dunlin, 31 Saltmarsh Close." in people["Client"]
    assert "passes the client's duties to us as the contractor" in people["Client"]
    # Regulation 5(1): nobody is appointed as long as there is one contractor.
    assert people["Principal contractor and designer"].startswith("None: we are the only")
    assert not {"Principal contractor", "Principal designer", "How appointed"} & set(people)
    assert set(said(made.signing)) == {"Contractor"}


def test_a_landlord_keeps_the_duties_and_signs_for_them() -> None:
    # Regulation 4: a client in the way of business; 15(1): we see that the client knows them.
    made = plan(customer=LANDLORD, **TOWER)
    people = said(made.people)
    assert "Keeps the client's duties" in people["Client"]
    assert "own home" not in all_text(made)
    assert said(made.signing)["Client"] == "Knows the client's duties and has this plan."


@pytest.mark.parametrize("occupier", [Occupier.TENANT, Occupier.BUSINESS])
def test_a_home_that_is_let_or_a_shop_is_no_home_of_the_client(occupier: Occupier) -> None:
    # Regulation 2: a domestic client's project is not in the way of business.
    made = plan(customer=AT_HOME, occupier=occupier, **TOWER)
    assert "Keeps the client's duties" in all_text(made)
    assert "own home" not in all_text(made)


def test_a_scaffolder_for_a_landlord_calls_for_appointments_before_the_start() -> None:
    # Regulation 5(1): two contractors, both appointed in writing by the client; 5(3) and (4): the
    # client answers for both until then.
    made = plan(customer=LANDLORD, **SCAFFOLD)
    people = said(made.people)
    for part in ("Principal contractor", "Principal designer"):
        assert people[part].startswith("Tern & Daughter Roofing")
        assert "unless another is named here: ____" in people[part]
    assert "the client appoints both in writing" in people["How appointed"]
    assert "no start without the signature" in people["How appointed"]
    assert "Appoints the principal contractor" in said(made.signing)["Client"]
    assert "Firm and telephone: ____" in people["Scaffolder"]
    assert "Scaffolder" in said(made.signing)
    assert "With the scaffolder" in said(made.running)


def test_a_scaffolder_for_a_home_owner_makes_us_principal_contractor_by_law() -> None:
    # Regulation 7(2): where a domestic client appoints nobody, the contractor in control of the
    # construction phase and the designer in control before it are the principal ones.
    made = plan(customer=AT_HOME, occupier=Occupier.OWNER, **SCAFFOLD)
    people = said(made.people)
    assert "to the principal contractor" in people["Client"]
    assert "the law names whoever is in control" in people["How appointed"]
    assert "no start without the signature" not in all_text(made)
    assert said(made.signing)["Client"].startswith("Only where someone else is named")


def test_an_agent_and_an_owner_agree_which_is_the_client() -> None:
    # Regulation 4(8).
    assert "Owner or agent" in said(plan(customer=AGENT, **TOWER).people)["Client"]
    assert "Owner or agent" not in all_text(plan(customer=LANDLORD, **TOWER))


@pytest.mark.parametrize("access", [TOWER, SCAFFOLD])
def test_under_a_builder_we_are_not_principal_contractor(access: dict[str, Any]) -> None:
    # Regulation 15(3): a contractor among others follows the principal contractor's directions.
    made = plan(customer=BUILDER, **access)
    people = said(made.people)
    assert people["Client"].startswith("Whoever Knot & Plover Builders is working for: ____")
    assert people["Principal contractor and designer"].startswith("Not us.")
    assert "Tern & Daughter Roofing, unless" not in all_text(made)
    assert "Principal contractor" in said(made.signing)
    assert any("The whole project counts" in line for line in made.notice_lines)


def test_the_file_is_there_only_with_more_than_one_contractor() -> None:
    # Regulation 12(5): the principal designer prepares it, so there is none without one.
    title = "Health and safety file"
    assert title not in said(plan(customer=LANDLORD, **TOWER).running)
    assert (
        "principal designer keeps one" in said(plan(customer=LANDLORD, **SCAFFOLD).running)[title]
    )
    assert "file of the project" in said(plan(customer=BUILDER, **TOWER).running)[title]


def test_welfare_is_arranged_for_every_job() -> None:
    # Schedule 2: toilet, washing, drinking water, changing and drying, rest with boiling water.
    welfare = said(plan(**TOWER).welfare)
    assert list(welfare) == ["Toilet", "Washing", "Drink", "Rest, clothes"]
    assert "hot and cold or warm; soap; towels" in welfare["Washing"]
    assert "boil water" in welfare["Drink"]


def test_the_work_the_law_singles_out_is_named() -> None:
    # Schedule 3, paragraphs 1, 2 and 4.
    assert plan(**TOWER).particular == ("falling from a height", "dangerous substances")
    cables = replace(jobs.NOTHING_NEAR, overhead_cables=True)
    assert "power lines" in plan(site=cables, **TOWER).particular


def test_the_dangers_are_those_of_the_statement_rated_highest() -> None:
    made = plan(**TOWER)
    scores = [risk.before.likelihood * risk.before.severity for risk in made.statement.risks]
    worst = [
        risk
        for risk in made.statement.risks
        if risk.before.likelihood * risk.before.severity == max(scores)
    ]
    assert set(made.dangers) == set(worst)
    assert "fall-from-edge" in {risk.key for risk in made.dangers}


def test_first_aid_and_the_hospital_are_there_with_what_is_not_known_left_blank() -> None:
    unnamed = builders.settings(first_aider=None)
    made = make_plan(jobs.statement(jobs.plain_enquiry(**TOWER), unnamed))
    emergency = said(made.emergency)
    assert "4 Kittiwake Street" in emergency["Ring 999"]
    assert emergency["Nearest A&E"].startswith("____")
    assert "____" in emergency["First aid"]


@pytest.mark.parametrize("customer", [LANDLORD, AGENT, AT_HOME, BUILDER])
@pytest.mark.parametrize("access", list(Access))
def test_no_text_has_a_gap_left_in_it(customer: Customer, access: Access) -> None:
    made = plan(customer=customer, access=access, ladder_reason="narrow alley", site=SiteFacts())
    text = all_text(made)
    assert "{" not in text
    assert "None" not in text.replace("None: we are", "")
    assert "  " not in text


def test_the_plan_says_when_its_rules_were_last_checked() -> None:
    bases = [note.basis for _, note in LINES]
    assert all(basis.source and basis.confirmed for basis in bases)
    read = [basis.checked for basis in bases if basis.checked is not None]
    assert plan(**TOWER).checked == min(read)
    assert plan(**TOWER).checked >= date(2026, 1, 1)


def test_the_person_days_recompute_from_their_working() -> None:
    figure = plan(**TOWER).notice.person_days
    assert isinstance(figure.basis, Step)
    assert figure.basis.recompute() == figure.value
