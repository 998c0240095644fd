"""The mix tables: a single one where a hot deck changes no mix, and the rules for all."""

import pytest

from quotegen.documents.shared.mix_view import mix_tables, mixing_rules, ml_words, no_mix
from quotegen.model.enquiry import Enquiry
from quotegen.safety.facts.limits import working_limits
from tests.builders import canted_bay, enquiry, given, settings
from tests.safety import jobs

SMALL = enquiry(canted_bay(), deck_c=given("deck expected", 27.0, "°C"))
FIRM = settings()


def tables(asked: Enquiry, **changes: float) -> dict[str, list[str]]:
    firm = settings(**changes)
    option = jobs.take_off(asked, firm).options[0]
    made = mix_tables(option.mixes, working_limits(asked, firm), firm)
    return {table.title: [*table.temperatures] for table in made}


def test_a_mix_that_a_hot_deck_leaves_alone_has_one_table() -> None:
    found = tables(SMALL)
    assert list(found) == ["Resin, deck under 25 °C", "Resin, deck at 25 °C or more", "Topcoat"]
    assert found["Topcoat"][0] == "under 8 °C"
    assert found["Resin, deck under 25 °C"][0] == "under 5 °C"
    assert found["Topcoat"][-1] == "over 35 °C"
    assert found["Resin, deck under 25 °C"][-1] == "20 °C"
    assert found["Resin, deck at 25 °C or more"][0] == "25 °C"


def test_the_joined_table_holds_the_doses_of_both_bands() -> None:
    option = jobs.take_off(SMALL, FIRM).options[0]
    made = mix_tables(option.mixes, working_limits(SMALL, FIRM), FIRM)
    (topcoat,) = [table for table in made if table.title == "Topcoat"]
    doses = [
        dose.ml
        for mixes in option.mixes
        if mixes.material == "topcoat"
        for dose in mixes.size.doses
    ]
    cells = [f"{ml:g} ml" for ml in doses if ml is not None]
    assert list(topcoat.doses.cells) == [no_mix(), *cells, no_mix()]
    assert topcoat.expected == "Expected deck 27 °C: go by 30 °C"
    assert topcoat.note.startswith("no mix over 1.6 l; 1.0 l to lay")


def test_a_test_mix_comes_first_at_the_edges_of_the_table() -> None:
    # House figures: at 8 degC or under and 28 degC or over.
    cool, hot, topcoat = tables(SMALL).values()
    assert [head for head in (*cool, *hot) if "test first" in head] == [
        "5 °C, test first",
        "30 °C, test first",
        "35 °C, test first",
    ]
    assert [head for head in topcoat if "test first" in head] == [
        "30 °C, test first",
        "35 °C, test first",
    ]
    heads = tables(SMALL, test_mix_below_c=10.0)["Topcoat"]
    assert "10 °C, test first" in heads


def test_what_a_dose_means_and_how_sure_the_times_are_is_said() -> None:
    said = " ".join(mixing_rules(FIRM))
    # 1 % of a kilogram is 10 g, at 1.17 kg/l 8.547 ml, 4 % 34.188 ml (data sheets, from memory),
    # rounded inwards.
    assert "Catalyst is 1% to 4% of the resin or topcoat by mass; a litre of it weighs 1.17" in said
    assert "so 8.6 ml to 34.1 ml to 1 kg. Never less, never more." in said
    assert "Doses are for a syringe of 50 ml, a mark every 1 ml." in said
    assert "give or take 40%" in said
    # Half a litre of resin is 0.55 kg: 4 % is 22 g, 18.8 ml and 19 is over it; 3 % 14.1, 1 % 4.7;
    # of topcoat 0.6 kg at 2 % 10.3 ml (default doses, common practice).
    assert "Deck at 8 °C or under, 28 °C or over: first a test mix of 0.5 l." in said
    assert "Resin (0.55 kg) 18 ml at 5 °C, 14 ml at 10 °C, 5 ml at 30 °C and 35 °C" in said
    assert "topcoat (0.60 kg) 10 ml." in said
    assert "data sheets" in said


@pytest.mark.parametrize(
    ("ml", "holds", "said"),
    [
        (110, 50, "110 ml = 2 × 50 + 10 ml"),
        (100, 50, "100 ml = 2 × 50 ml"),
        (60, 50, "60 ml = 50 + 10 ml"),
        (50, 50, "50 ml"),
        (24, 50, "24 ml"),
        (110, 250, "110 ml"),
    ],
)
def test_a_dose_is_written_as_the_vessel_is_filled(ml: float, holds: float, said: str) -> None:
    assert ml_words(ml, settings(vessel_holds_ml=holds)) == said
