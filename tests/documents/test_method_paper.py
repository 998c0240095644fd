"""The method statement as printed: cautions first, figures as in the record, nothing lost."""

from datetime import date

import pytest
from msgspec.structs import replace

from quotegen.documents.drawing.day_chart import why_refused
from quotegen.documents.drawing.signs import pictogram, pictogram_words, sign
from quotegen.documents.printing.pdf import Rendered
from quotegen.documents.safety.access_view import access_rows
from quotegen.documents.safety.method import METHOD, method_view
from quotegen.documents.shared.mix_view import no_mix
from quotegen.model.choices import Access, Below
from quotegen.model.days import Span, Spell, WorkDay, WorkPlan
from quotegen.model.safety import Known, MethodStatement
from quotegen.model.takeoff import Phase
from quotegen.phrases import capital
from quotegen.reference import loader
from quotegen.safety.rules.ladders import ladder_for
from quotegen.safety.statement.statement import make_statement
from tests.builders import TODAY, given, settings
from tests.documents.conftest import ISSUE, first_issue, text_of
from tests.documents.said_papers import blocks_of
from tests.pdfs import whole_text
from tests.safety import jobs


def test_the_first_page_holds_what_has_to_be_read_first(
    method_paper: Rendered, bay_statement: MethodStatement
) -> None:
    text = text_of(method_paper)
    first = text[: text.index("Page 1 of")]
    headings = [
        "Read this first",
        "What is most likely to hurt someone here",
        "Emergency",
        "Stop, and neither laminate nor topcoat, when",
    ]
    places = [first.index(heading) for heading in headings]
    assert places == sorted(places)
    assert "data sheet" in first[places[0] : places[1]]
    assert "4 Kittiwake Street" in first
    assert all(capital(injury) in first for injury in bay_statement.injuries)
    assert "no forecast: measure on the day" in first


def test_it_has_no_more_than_eight_pages_and_is_signed_beside_the_emergencies(
    method_paper: Rendered,
) -> None:
    assert method_paper.pages <= 8
    last = text_of(method_paper).rpartition(f"Page {method_paper.pages - 1} of")[2]
    assert last.index("If it goes wrong") < last.index("Read, understood and kept to")


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
    assert "Thu 3 Dec, laminate 10:00 to 11:15; Fri 4 Dec, topcoat 09:30 to 10:00</p>" in html


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


def test_every_control_step_hold_point_caution_and_emergency_is_printed(
    method_paper: Rendered, bay_statement: MethodStatement
) -> None:
    text = text_of(method_paper)
    wanted = [
        *bay_statement.cautions,
        *bay_statement.people,
        *bay_statement.waste_notes,
        *(note.text for note in bay_statement.emergency),
        *(line for step in bay_statement.steps for line in step.lines),
        *(step.hold_point for step in bay_statement.steps if step.hold_point),
        *(risk.hazard for risk in bay_statement.risks),
        *(control.text for risk in bay_statement.risks for control in risk.controls),
        *(words for one in bay_statement.substances for _, words in one.first_aid),
        *(one.amount for one in bay_statement.substances),
        *(one.waste for one in bay_statement.substances),
        *(note.text for note in bay_statement.marks),
        *(note.text for note in bay_statement.stored),
        *(one.keep_from for one in bay_statement.substances),
    ]
    squeezed = "".join(text.split())
    missing = [words for words in wanted if "".join(words.split()) not in squeezed]
    assert missing == []


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
    assert "Cars stand near" in looking.words
    assert looking.words.index("There are rooflights in the roof") < looking.words.index(
        "Cars stand near"
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
    assert rows["It stands"].startswith("From the first day to the last day")
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


def test_the_mix_tables_hold_the_millilitres_of_the_take_off(
    method_paper: Rendered, bay_statement: MethodStatement
) -> None:
    text = text_of(method_paper)
    for mixes in bay_statement.option.mixes:
        size = mixes.size
        laid = [one for one in size.doses if mixes.material == "resin" or one.deck_c >= 8]
        cells = " ".join(no_mix() if one.ml is None else in_fills(one.ml) for one in laid)
        words = "mix" if size.count == 1 else "mixes"
        row = f"{size.count} {words} of {size.litres.number:.1f} l = {size.mass_kg.number:.2f} kg"
        assert row in text
        assert cells in text


def in_fills(ml: float) -> str:
    """A dose with what a syringe of 50 ml is filled for it."""
    full, rest = divmod(int(ml), 50)
    fills = [f"{full} × 50" if full > 1 else "50"] * bool(full) + [str(rest)] * bool(rest)
    return f"{ml:g} ml = {' + '.join(fills)} ml" if ml > 50 else f"{ml:g} ml"


def test_topcoat_has_its_own_lowest_deck_in_the_statement(
    method_paper: Rendered, bay_statement: MethodStatement
) -> None:
    """8 °C and not the 5 °C of the resin (from memory), from the one setting."""
    assert "for topcoat: the deck is under 8 °C" in text_of(method_paper)
    warmer = replace(bay_statement, settings=settings(**jobs.NAMED, topcoat_least_c=12))
    html = METHOD.html(warmer, ISSUE)
    assert "for topcoat: the deck is under 12 °C" in html
    assert "under 8 °C" not in html


def test_outside_the_limits_the_table_says_do_not_mix(bay_statement: MethodStatement) -> None:
    mixes = bay_statement.option.mixes[0]
    size = mixes.size
    refused = replace(size.doses[0], percent=None, ml=None, pot_life_min=None)
    no_dose = replace(mixes, size=replace(size, doses=(refused, *size.doses[1:])))
    option = replace(bay_statement.option, mixes=(no_dose,))
    html = METHOD.html(replace(bay_statement, option=option), ISSUE)
    before = METHOD.html(replace(bay_statement, option=replace(option, mixes=(mixes,))), ISSUE)
    assert html.count(no_mix()) == before.count(no_mix()) + 2
    assert before.count(no_mix()) == 1
    assert "under 5 °C" in before


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
