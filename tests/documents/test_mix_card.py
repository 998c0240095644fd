"""The mix card read back: millilitres as taken off, a box for every mix, the same warnings."""

import re
from io import BytesIO
from typing import Any

import pytest
from msgspec.structs import replace
from pypdf import PdfReader

from quotegen.documents.printing.pdf import Rendered
from quotegen.documents.safety.mix_card import mix_card_view
from quotegen.documents.safety.site_card import SITE_CARD
from quotegen.documents.shared.mix_view import never_together, no_mix
from quotegen.machine.resources import templates_folder
from quotegen.model.choices import Size
from quotegen.model.enquiry import Enquiry
from quotegen.model.safety import MethodStatement
from quotegen.model.settings import Mixed, pairs
from quotegen.reference.rule_keys import EmergencyKey, SubstanceKey
from quotegen.safety.statement.statement import make_statement
from quotegen.takeoff.measure import measure
from tests import builders
from tests.builders import given
from tests.documents.conftest import ISSUE, text_of
from tests.safety import jobs

ROW = re.compile(r"(\d+) °C(?: test)? ([\d.]+) ml (?:= ([\d ×+]+) )?(\d+) min")
COLDEST_C = {"resin": 5.0, "topcoat": 8.0}
MARK = re.compile(r"\bH?[RT]\d+\b")
LARGEST_ONE_PAGE_L = 30.0


def roof_of(width_mm: float, projection_mm: float) -> Any:
    return builders.roof(sizes={Size.WIDTH: width_mm, Size.PROJECTION: projection_mm})


JOBS = {
    "bay": builders.enquiry(builders.canted_bay(), deck_c=given("deck expected", 9.0, "°C")),
    "garage": builders.enquiry(roof_of(2600, 5200)),
    "extension": builders.enquiry(roof_of(6000, 4500), deck_c=given("deck", 27.0, "°C")),
    "two layers": builders.enquiry(
        roof_of(3200, 2600), mat_layers=given("layers of mat", 2.0, "layers")
    ),
    "large": builders.enquiry(roof_of(9000, 5500)),
}


def statement_of(asked: Enquiry) -> MethodStatement:
    firm = builders.settings(**jobs.NAMED)
    taken, _ = measure(asked, firm, builders.prices(), builders.TODAY)
    assert taken is not None
    return make_statement(taken, firm, builders.TODAY)


@pytest.fixture(scope="module", params=JOBS)
def card(request: pytest.FixtureRequest) -> tuple[MethodStatement, Rendered]:
    """The card of each job with the statement it was made from."""
    statement = statement_of(JOBS[request.param])
    return statement, SITE_CARD.make(statement, ISSUE, None)


def test_the_millilitres_and_minutes_read_back_are_those_taken_off(
    card: tuple[MethodStatement, Rendered],
) -> None:
    statement, paper = card
    printed = [
        (float(deck), float(ml), float(minutes))
        for deck, ml, _, minutes in ROW.findall(text_of(paper))
    ]
    taken_off = [
        (dose.deck_c, dose.ml, dose.pot_life_min)
        for mixes in statement.option.mixes
        for dose in mixes.size.doses
        if dose.deck_c >= COLDEST_C[mixes.material]
    ]
    assert [row[:2] for row in printed] == [row[:2] for row in taken_off]
    for (*_, minutes), (*_, life) in zip(printed, taken_off, strict=True):
        assert life is not None
        assert minutes == pytest.approx(life, abs=0.5)


def test_every_dose_is_made_of_full_syringes_and_whole_marks(
    card: tuple[MethodStatement, Rendered],
) -> None:
    """A syringe of 50 ml with a mark each 1 ml (house figures): the fills add up to the dose."""
    _, paper = card
    rows = ROW.findall(text_of(paper))
    assert rows
    for _, ml, fills, _ in rows:
        assert float(ml) % 1 == 0
        if not fills:
            assert float(ml) <= 50
            continue
        *many, last = fills.split(" + ")
        times, _, holds = (many[0] if many else last).rpartition(" × ")
        whole = int(times or 1) * int(holds)
        assert int(holds) == 50
        rest = int(last) if many else 0
        assert 0 <= rest < 50
        assert whole + rest == int(ml)


def test_each_dose_is_the_share_by_mass_of_what_the_card_says_to_weigh(
    card: tuple[MethodStatement, Rendered],
) -> None:
    """Catalyst weighs 1.17 kg/l (data sheets, from memory): grams over grams, from the words."""
    statement, _ = card
    settings = statement.settings
    view = mix_card_view(statement, ISSUE)
    for material in view.materials:
        doses = pairs(settings.tables.doses[Mixed(material.key)])
        for band in material.bands:
            amount = re.fullmatch(r"([\d.]+) l = ([\d.]+) kg", band.amount)
            assert amount is not None
            litres, kg = float(amount[1]), float(amount[2])
            assert kg == pytest.approx(litres * {"resin": 1.1, "topcoat": 1.2}[material.key])
            for row in band.rows:
                deck_c = min(float(row.deck.partition(" ")[0]), 30.0)
                (pct,) = [share for at_c, share in doses if at_c == deck_c]
                share = float(row.ml) * 1.17 / (kg * 1000) * 100
                assert 1 - 1e-9 <= share <= 4 + 1e-9
                assert share == pytest.approx(pct, abs=1.17 / (kg * 1000) * 100)  # one mark


def test_every_mix_has_its_box_in_laying_order(card: tuple[MethodStatement, Rendered]) -> None:
    statement, paper = card
    view = mix_card_view(statement, ISSUE)
    boxed: list[str] = []
    for material in view.materials:
        mine = [m for m in statement.option.mixes if m.material == material.key]
        for band, mixes in zip(material.bands, mine, strict=False):
            hot = "H" if mixes.hot else ""
            marks = [f"{hot}{material.letter}{n}" for n in range(1, mixes.size.count + 1)]
            assert list(band.marks) == marks
            named = MARK.findall(band.parts)
            assert not named or (named[0], named[-1]) == (marks[0], marks[-1])
            boxed += marks if band.likely and band.boxed else []
    boxes = re.findall(r'<span class="mix-box">(\w+)</span>', SITE_CARD.html(statement, ISSUE))
    assert boxes == boxed
    assert boxed
    ticked = [part.partition("In an eye.")[0] for part in text_of(paper).split("Tick each mix")[1:]]
    assert set(boxed) <= set(MARK.findall(" ".join(ticked)))


def test_it_is_one_sheet_of_two_sides(card: tuple[MethodStatement, Rendered]) -> None:
    _, paper = card
    assert (paper.pages, paper.warnings) == (2, ())
    front, back = (page.extract_text() for page in PdfReader(BytesIO(paper.content)).pages)
    assert front.startswith("Site card T-01")
    assert back.startswith("Mix card T-01")


def test_each_page_holds_what_saves_an_eye_in_the_words_of_the_statement(
    card: tuple[MethodStatement, Rendered],
) -> None:
    statement, paper = card
    emergency = {note.key: note for note in statement.emergency}
    for page in PdfReader(BytesIO(paper.content)).pages[1:]:
        text = " ".join(page.extract_text().split())
        for key in (EmergencyKey.IN_EYE, EmergencyKey.RING_999, EmergencyKey.HOT_BUCKET):
            note = emergency[key]
            assert f"{note.title}. {' '.join(note.text.split())}" in text
        # ISO 7010: M004 wear eye protection, M009 wear protective gloves (from memory).
        assert "Wear eye protection" in text
        assert "Wear gloves" in text
        assert "NEVER catalyst with" in text
        assert "Measure the deck, not the air" in text
        assert "± 40%" in text
        if " RESIN " in text:
            assert "under 5 °C DO NOT MIX" in text
        if " TOPCOAT " in text:
            assert "under 8 °C DO NOT MIX" in text
        assert "over 35 °C DO NOT MIX" in text


def test_catalyst_never_meets_acetone_or_neat_accelerator() -> None:
    """HSE CS21, by the rule table: both can explode."""
    assert set(never_together(SubstanceKey.CATALYST)) == {"accelerator neat", "acetone"}


def test_resin_and_topcoat_are_told_apart_without_colour(
    mix_card_paper: Rendered, bay_statement: MethodStatement
) -> None:
    html = SITE_CARD.html(bay_statement, ISSUE)
    assert '<h2 class="resin"><span>R</span> RESIN' in html
    assert '<h2 class="topcoat"><span>T</span> TOPCOAT' in html
    text = text_of(mix_card_paper)
    assert text.index("R RESIN for the laminate") < text.index("T TOPCOAT over the cured laminate")


def test_where_no_dose_is_allowed_the_cell_says_do_not_mix(bay_statement: MethodStatement) -> None:
    mixes = []
    for one in bay_statement.option.mixes:
        doses = tuple(replace(d, ml=None, pot_life_min=None) for d in one.size.doses)
        mixes.append(replace(one, size=replace(one.size, doses=doses)))
    option = replace(bay_statement.option, mixes=tuple(mixes))
    text = text_of(SITE_CARD.make(replace(bay_statement, option=option), ISSUE, None))
    assert not ROW.findall(text)
    assert text.count(no_mix()) > len(bay_statement.option.mixes[0].size.doses)


def test_more_boxes_than_a_page_holds_are_strokes() -> None:
    statement = statement_of(JOBS["garage"])
    mixes = [
        replace(one, size=replace(one.size, count=90)) if one.material == "resin" else one
        for one in statement.option.mixes
    ]
    changed = replace(statement, option=replace(statement.option, mixes=tuple(mixes)))
    paper = SITE_CARD.make(changed, ISSUE, None)
    assert (paper.pages, paper.warnings) == (2, ())
    assert "R1–R90: a stroke for each" in text_of(paper)


def test_what_is_read_at_arms_length_is_large(card: tuple[MethodStatement, Rendered]) -> None:
    """Millilitres in 14 point at least and marks in 15: common practice, no source."""
    statement, paper = card
    sizes: dict[str, float] = {}

    def seen(text: str, cm: list[float], tm: list[float], _font: object, size: float) -> None:
        for word in re.findall(r"^(?:H?[RT]\d+|\d+)$", text.strip()):
            sizes[word] = max(sizes.get(word, 0.0), abs(size * tm[3] * cm[3]))

    for page in PdfReader(BytesIO(paper.content)).pages[1:]:
        page.extract_text(visitor_text=seen)
    millilitres = [word for word in sizes if word.isdigit()]
    bands = [band for one in mix_card_view(statement, ISSUE).materials for band in one.bands]
    marks = {mark for band in bands if band.likely for mark in band.marks[:1]} & sizes.keys()
    assert len(millilitres) >= 4
    assert marks
    assert min(sizes[word] for word in millilitres) >= 13.99
    assert min(sizes[word] for word in marks) >= 14.99


def test_boxes_are_large_enough_for_a_gloved_hand() -> None:
    """9 mm a side at least: a house rule, common practice, no source."""
    styles = (templates_folder() / "safety/mix_card.css").read_text()
    rule = re.search(r"\.mix-box \{([^}]*)\}", styles)
    assert rule is not None
    sides = dict(re.findall(r"(min-width|height): ([\d.]+)mm", rule[1]))
    assert float(sides["min-width"]) >= 9.0
    assert float(sides["height"]) >= 9.0


def test_every_dose_is_within_the_range_that_the_card_states(
    card: tuple[MethodStatement, Rendered],
) -> None:
    """The one plain statement: so many millilitres to a kilogram, checked cell by cell.

    To 0.1 ml a kilogram, as the two are rounded inwards.
    """
    statement, paper = card
    said = re.search(r"so ([\d.]+) ml to ([\d.]+) ml to 1 kg", text_of(paper))
    assert said is not None
    doses = [
        dose.ml / mixes.size.mass_kg.number
        for mixes in statement.option.mixes
        for dose in mixes.size.doses
        if dose.ml is not None
    ]
    assert doses
    assert float(said[1]) - 0.1 <= min(doses)
    assert max(doses) <= float(said[2]) + 0.1


def test_boxes_are_for_the_band_that_is_expected() -> None:
    cool, hot = (
        mix_card_view(statement_of(JOBS[name]), ISSUE).materials[0].bands
        for name in ("large", "extension")
    )
    assert [band.likely for band in cool] == [True, False]  # nobody knows: the cool one
    assert [band.likely for band in hot] == [False, True]  # 27 degC is expected
