"""The front of the site card: each figure is the statement's, nothing that protects is missing."""

import re
from collections.abc import Sequence
from io import BytesIO

import pytest
from msgspec.structs import replace
from pypdf import PdfReader

from quotegen.documents.safety.site_card import HOLDS_NAMED, SHORT, SITE_CARD, site_card_view
from quotegen.documents.shared.before_words import papers_first
from quotegen.documents.shared.limit_lines import limit_lines, limits_of, wind_line
from quotegen.machine.resources import templates_folder
from quotegen.model.choices import Access
from quotegen.model.safety import Known, MethodStatement
from quotegen.reference.rule_keys import LimitSentence
from tests.documents.conftest import ISSUE, first_issue
from tests.documents.said_papers import made_sets

FIGURE = re.compile(r"\d+(?:\.\d+)?(?: ?°C| ?%| h\b| ml| min| mm| m\b)")
LEAST_PT, LEAST_CONTRAST = 12.0, 7.0


def figures(words: str) -> set[str]:
    return {one.replace(" ", "") for one in FIGURE.findall(words)}


@pytest.fixture(scope="module")
def statements(demo_statements: list[MethodStatement]) -> Sequence[MethodStatement]:
    """The demo's jobs and the generated ones."""
    return [*demo_statements, *(one.ready.statement for one in made_sets())]


def test_every_limit_is_there_with_the_figures_of_the_statement(
    statements: Sequence[MethodStatement],
) -> None:
    for made in statements:
        card = site_card_view(made, ISSUE)
        limits = limits_of(made)
        for (key, _), line, shown in zip(limits, limit_lines(made), card.limits, strict=False):
            words = f"{shown.name} {shown.words}"
            assert figures(words) == figures(line), (made.enquiry.ref, key)
        assert len(card.limits) == len(limits) + 3
    assert set(SHORT) >= {key for made in statements for key, _ in limits_of(made)}
    assert {LimitSentence.EXPECTED_DECK, LimitSentence.NOT_MEASURED} <= set(SHORT)


def test_what_protects_is_on_every_card(statements: Sequence[MethodStatement]) -> None:
    for made in statements:
        ref, html = made.enquiry.ref, SITE_CARD.html(made, first_issue(made))
        front = html.partition('id="one-page-mix-card"')[0]
        card = site_card_view(made, ISSUE)
        assert len(card.injuries) == 3, ref
        assert card.eye.startswith("Rinse at once"), ref
        assert "20 minutes" in card.eye, ref  # first_aid.toml, the longest published time
        assert "before the bottle is opened" in card.eyes, ref
        assert "while resin or topcoat is wet" in card.eyes, ref
        assert any("no name, no mix" in one.name for one in card.people), ref
        for words in (card.roof, card.fire, "999", "A&amp;E", "Way there", *card.injuries):
            assert words in front, (ref, words)
        assert "powder extinguisher" in card.fire, ref
        assert ("NOBODY" in card.roof) is not made.option.access.stood_on, ref
        if made.option.access.chosen is not Access.GROUND:
            assert any(one.name == "Keep clear" for one in card.edge), ref
        unknown = sum(fact.known is Known.UNKNOWN for fact in made.facts.values())
        assert card.not_known.startswith(f"{unknown} thing") is bool(unknown), ref


def test_the_wind_figures_are_gusts_and_a_tower_has_a_steady_wind_too(
    statements: Sequence[MethodStatement],
) -> None:
    """The British tower trade association, questions on safety: stop at an average of 17 mph."""
    towers = 0
    for made in statements:
        winds = [one for one in site_card_view(made, ISSUE).limits if one.name.startswith("Wind")]
        assert len(winds) == 2
        tower = made.option.access.chosen is Access.TOWER
        towers += tower
        for said in (*(one.words for one in winds), wind_line(made)):
            assert "gusts over" in said
            assert not re.search(r"(?<!gusts )(?<!steady )(?<!steady wind )over \d", said), said
        for said in (winds[1].words, wind_line(made)):
            assert bool(re.search(r"steady (?:wind )?over 17 mph", said)) is tower
    assert 0 < towers < len(statements)


def test_an_unknown_height_is_measured_first(bay_statement: MethodStatement) -> None:
    unknown = replace(bay_statement, keep_out=None)
    words = " ".join(one.words for one in site_card_view(unknown, ISSUE).edge)
    assert "Measure the height first" in words
    assert "Measure the height first" not in " ".join(
        one.words for one in site_card_view(bay_statement, ISSUE).edge
    )


def test_more_danger_never_takes_a_line_from_the_edge(bay_statement: MethodStatement) -> None:
    for key in ("fragile_deck", "rooflights", "before_2000"):
        worse = {**bay_statement.facts}
        worse[key] = replace(worse[key], known=Known.UNKNOWN)
        card, before = (
            site_card_view(one, ISSUE)
            for one in (replace(bay_statement, facts=worse), bay_statement)
        )
        assert {one.name for one in before.edge} <= {one.name for one in card.edge}
        assert len(card.holds) >= len(before.holds)
        assert len(card.limits) == len(before.limits)


def test_the_dose_is_that_of_the_back(statements: Sequence[MethodStatement]) -> None:
    for made in statements:
        html = SITE_CARD.html(made, first_issue(made))
        back = html.partition('id="one-page-mix-card"')[2]
        for mix in site_card_view(made, ISSUE).mixes:
            assert mix.amount in back
            if mix.minutes:
                assert f'{mix.dose.partition(" ml")[0]} <span class="unit">ml' in back
                assert f">{mix.minutes}<" in back


def test_what_has_no_room_is_counted_with_where_it_is(
    statements: Sequence[MethodStatement],
) -> None:
    many = [one for one in statements if len(one.before.open_items) > HOLDS_NAMED]
    assert many
    for made in many:
        start = site_card_view(made, ISSUE).holds[0]
        assert "the statement has them" in start
        named = papers_first(made.before)
        assert all(words in start for words in named)
        assert f"{len(made.before.open_items) - len(named)} more" in start


def test_it_is_twelve_points_at_least_and_dark_on_white(
    bay_statement: MethodStatement,
) -> None:
    """12 pt is the brief's; 7 to 1 is the enhanced contrast of WCAG 2.2, 1.4.6."""
    sizes: list[tuple[float, str]] = []

    def seen(text: str, cm: list[float], tm: list[float], _font: object, size: float) -> None:
        if text.strip():
            sizes.append((abs(size * tm[3] * cm[3]), text.strip()))

    paper = SITE_CARD.make(bay_statement, ISSUE, None)
    PdfReader(BytesIO(paper.content)).pages[0].extract_text(visitor_text=seen)
    body = [(size, text) for size, text in sizes if "·" not in text and "Page" not in text]
    small = [one for one in body if one[0] < LEAST_PT - 0.01]
    assert len(body) > 40
    assert all(size < 8 for size, _ in small), small  # the foot of the page alone
    css = (templates_folder() / "safety/site_card.css").read_text()
    colours = set(re.findall(r"#[0-9a-f]{6}", css))
    assert colours == {"#1c2326", "#ffffff"}
    assert _contrast("#1c2326", "#ffffff") >= LEAST_CONTRAST


def _contrast(dark: str, light: str) -> float:
    """WCAG 2.2: (L1 + 0.05) / (L2 + 0.05) of the relative luminances."""
    return (_luminance(light) + 0.05) / (_luminance(dark) + 0.05)


def _luminance(colour: str) -> float:
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4 for one in parts]
    return sum(share * one for share, one in zip((0.2126, 0.7152, 0.0722), linear, strict=True))
