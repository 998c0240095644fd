"""The method statement as printed: cautions first, figures as in the record, nothing lost."""

from datetime import date

import pytest
from msgspec.structs import replace

from quotegen.documents.drawing.day_chart import why_refused
from quotegen.documents.drawing.signs import pictogram, pictogram_words, sign
from quotegen.documents.printing.pdf import Rendered
from quotegen.documents.safety.access_view import access_rows
from quotegen.documents.safety.method import METHOD, method_view
from quotegen.model.choices import Access, Below
from quotegen.model.days import Span, Spell, WorkDay, WorkPlan
from quotegen.model.safety import Known, MethodStatement
from quotegen.model.takeoff import Phase
from quotegen.reference import loader
from quotegen.safety.rules.ladders import ladder_for
from quotegen.safety.statement.statement import make_statement
from tests.builders import TODAY, given, settings
from tests.documents.conftest import ISSUE, first_issue, text_of
from tests.documents.said_papers import blocks_of
from tests.pdfs import page_texts, whole_text
from tests.safety import jobs

BAY = "MH-101"
"""The bay of the demo."""
MOST_WORDS = 2165


def test_nobody_signs_on_a_page_of_its_own(demo_statements: list[MethodStatement]) -> None:
    """Common practice, no source: a name stands on a page with something that is signed for."""
    for made in demo_statements:
        *_, last = page_texts(METHOD.make(made, first_issue(made), None).content)
        assert "Read, understood and kept to" in last
        assert made.risks[-1].hazard in " ".join(last.split()), made.enquiry.ref


def test_after_the_card_comes_what_is_not_known_then_what_comes_first(
    method_paper: Rendered,
) -> None:
    text = text_of(method_paper)
    places = [
        text.index(words)
        for words in (
            "Site card",
            "STOP. Lay nothing if",
            "Not known, so taken as true",
            "data sheets, on site, come first",
            "Access and ladders",
            "The work in order",
            "What to wear",
            "Dangerous substances",
            "Lifts and waste",
            "If it goes wrong",
            "Risks and what is done about them",
            "Read, understood and kept to",
        )
    ]
    assert places == sorted(places)
    assert "4 Kittiwake Street" in text


def test_it_has_no_more_pages_than_will_be_read(demo_statements: list[MethodStatement]) -> None:
    """A card and three pages for a bay; a card and five for whatever else."""
    for made in demo_statements:
        paper = METHOD.make(made, first_issue(made), None)
        assert paper.pages <= (4 if made.enquiry.ref == BAY else 6), made.enquiry.ref


def test_the_bay_says_no_more_than_will_be_read(demo_statements: list[MethodStatement]) -> None:
    """With its card; it said 7,134 words before there was a standing sheet."""
    bay = next(made for made in demo_statements if made.enquiry.ref == BAY)
    said = " ".join(blocks_of(METHOD.html(bay, first_issue(bay)))).split()
    assert len(said) <= MOST_WORDS


def test_the_first_page_says_when_it_is_laid_and_coated(bay_statement: MethodStatement) -> None:
    # 3 and 4 December 2026 are a Thursday and a Friday.
    laid = Spell(Phase.LAY, Span(10.0, 11.25), None), Spell(Phase.WAIT, Span(11.25, 15.0), None)
    coated = (Spell(Phase.COAT, Span(9.5, 10.0), None),)
    days = tuple(
        WorkDay(date(2026, 12, day), number, (), (), (), (), None, spells)
        for number, (day, spells) in enumerate([(3, laid), (4, coated), (5, ())], 1)
    )
    plan = WorkPlan(days, Span(8.0, 17.0), forecast=True, refused=None)
    html = METHOD.html(replace(bay_statement, days=plan), ISSUE)
    assert "Thu 3 Dec, laminate 10:00 to 11:15; Fri 4 Dec, topcoat 09:30 to 10:00</td>" in html


@pytest.mark.parametrize("below", [Known.NO, Known.UNKNOWN, Known.YES])
def test_days_over_a_pavement_wait_for_the_licence(
    bay_statement: MethodStatement, below: Known
) -> None:
    """No platform on the highway without its licence: Highways Act 1980, section 169."""
    lies = {Known.NO: (Below.GARDEN,), Known.UNKNOWN: (), Known.YES: (Below.PAVEMENT,)}
    enquiry = replace(bay_statement.enquiry, below=lies[below])
    take_off = replace(bay_statement.take_off, enquiry=enquiry)
    html = METHOD.html(make_statement(take_off, bay_statement.settings, TODAY), ISSUE)
    held = "until we have the council&#39;s licence for the platform on the pavement" in html
    assert held is (below is not Known.NO)


def test_work_the_forecast_has_no_room_for_is_not_begun(bay_statement: MethodStatement) -> None:
    for phase in Phase:
        plan = replace(bay_statement.days, refused=phase)
        html = METHOD.html(replace(bay_statement, days=plan), ISSUE)
        said = f">Do not start: {why_refused(phase)}.</p>"
        assert said in html
        assert "<strong>Days" not in html


def test_it_says_when_nobody_has_chosen_yet(bay_statement: MethodStatement) -> None:
    assert "Nobody has chosen yet" in METHOD.html(bay_statement, ISSUE)
    chosen = replace(bay_statement, accepted=True)
    assert "Nobody has chosen yet" not in METHOD.html(chosen, ISSUE)


def test_what_is_not_known_is_listed(
    method_paper: Rendered, bay_statement: MethodStatement
) -> None:
    text = text_of(method_paper)
    unknown = [f.words for f in bay_statement.facts.values() if f.known is Known.UNKNOWN]
    assert unknown
    squeezed = "".join(text.split()).lower()
    assert all("".join(words.split()).lower() in squeezed for words in unknown)


def test_what_is_not_known_stands_by_how_it_is_found_out_the_worst_first(
    bay_statement: MethodStatement,
) -> None:
    unknown = {f.key: f for f in bay_statement.facts.values() if f.known is Known.UNKNOWN}
    looking, asking = method_view(bay_statement, ISSUE).unknown
    assert len(looking.words) + len(asking.words) == len(unknown)
    assert "Cars are parked nearby" in looking.words
    assert looking.words.index("There are rooflights in the roof") < looking.words.index(
        "Cars are parked nearby"
    )
    assert "A tenant lives there" in asking.words


def test_each_risk_says_how_much_of_it_is_not_known(bay_statement: MethodStatement) -> None:
    views = method_view(bay_statement, ISSUE).risks
    doubts = {r.key: view.doubt for r, view in zip(bay_statement.risks, views, strict=True)}
    assert doubts["cables"] == "not known"
    for risk in bay_statement.risks:
        assert (doubts[risk.key] == "") == (risk.assumed == ())
    assert "part not known" in doubts.values()


@pytest.mark.parametrize(
    ("tar", "code"),
    [(Known.NO, "17 03 02"), (Known.UNKNOWN, "17 03 01*"), (Known.YES, "17 03 01*")],
)
def test_old_felt_leaves_as_hazardous_until_it_is_tested(
    bay_statement: MethodStatement, tar: Known, code: str
) -> None:
    """17 03 01* holds coal tar, 17 03 02 does not (List of Wastes, Decision 2000/532/EC)."""
    facts = dict(bay_statement.facts)
    facts["coal_tar"] = replace(facts["coal_tar"], known=tar)
    view = method_view(replace(bay_statement, facts=facts), ISSUE)
    (felt,) = [row for row in view.waste if "felt" in row.name]
    assert felt.words.startswith(code)
    assert "17 03 02" in felt.words


def test_a_platform_says_from_when_to_when_it_stands(bay_statement: MethodStatement) -> None:
    rows = {row.name: row.words for row in access_rows(bay_statement)}
    assert rows["It stands"].startswith("the first day to the last day")
    day = WorkDay(
        date(2026, 12, 3), 1, (), (), (), (), None, (Spell(Phase.LAY, Span(9, 10), None),)
    )
    access = replace(bay_statement.option.access, chosen=Access.SCAFFOLD)
    dated = replace(
        bay_statement,
        days=replace(bay_statement.days, days=(day, replace(day, day=date(2026, 12, 4)))),
        option=replace(bay_statement.option, access=access),
    )
    rows = {row.name: row.words for row in access_rows(dated)}
    assert rows["It stands"] == (
        "Up and handed over before Thu 3 Dec; not struck before Fri 4 Dec is done."
    )


def test_topcoat_has_its_own_lowest_deck_in_the_statement(
    method_paper: Rendered, bay_statement: MethodStatement
) -> None:
    """8 °C and not the 5 °C of the resin (from memory), from the one setting."""
    assert "Deck, for topcoat under 8 °C" in text_of(method_paper)
    warmer = replace(bay_statement, settings=settings(**jobs.NAMED, topcoat_least_c=12))
    html = METHOD.html(warmer, ISSUE)
    assert "Deck, for topcoat <strong>under 12 °C</strong>" in html
    assert "under 8 °C" not in html


def test_the_ladder_figures_are_those_of_the_record(
    method_paper: Rendered, bay_statement: MethodStatement
) -> None:
    # 1 m above an edge at 2.6 m at one in four (LA455): 3.71 m, so a ladder of 3.8 m by hand.
    height = given("height", 2600.0, "mm")
    ladder, note = ladder_for(height, Access.SCAFFOLD, settings())
    html = METHOD.html(replace(bay_statement, ladder=ladder, ladder_note=note), ISSUE)
    assert "0.65 m" in html
    assert "3.8 m" in html
    assert bay_statement.ladder is None
    assert "No leaning ladder is used" in text_of(method_paper)


def test_every_pictogram_of_the_reference_tables_can_be_drawn() -> None:
    codes = [key for key in loader.subject("pictograms") if key.startswith("GHS")]
    assert codes
    for code in codes:
        assert code in pictogram(code)
        assert pictogram_words(code) in pictogram(code)


@pytest.mark.parametrize("key", ["eyes", "hands", "breathing", "other"])
def test_every_sign_says_what_it_means(key: str) -> None:
    assert "<title>Sign: wear " in sign(key)


def test_no_word_is_split(demo_statements: list[MethodStatement]) -> None:
    """What the page prints are the words of its HTML; only marks of lists and pages come to them.

    "not known" was once printed as "n" and, a line on, "ot known".
    """
    bay = demo_statements[0]
    paper = METHOD.make(bay, first_issue(bay), None)
    said = set(" ".join(blocks_of(METHOD.html(bay, first_issue(bay)))).split())
    printed = set(whole_text(paper.content).split())
    assert "not" in printed
    assert printed - said <= {"1.", "2.", "3.", "•", "Page", f"statement{bay.enquiry.ref},"}
