"""The mix tables: a single one where a hot deck changes no mix, and the rules for all."""

from quotegen.documents.shared.mix_view import mix_tables, mixing_rules, no_mix
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
    assert found["Topcoat"][0] == "under 5 °C"
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
        for dose in mixes.sizes[0].doses
    ]
    cells = [f"{ml:g} ml" for ml in doses if ml is not None]
    assert list(topcoat.sizes[0].cells) == [no_mix(), *cells, no_mix()]
    assert topcoat.expected == "Expected deck 27 °C: go by 30 °C"
    assert topcoat.note.startswith("no mix over 2.5 l")


def test_a_test_mix_comes_first_at_the_edges_of_the_table() -> None:
    # House figures: at 8 degC or under and 28 degC or over.
    heads = tables(SMALL)["Topcoat"]
    assert [head for head in heads if "test first" in head] == [
        "5 °C, test first",
        "30 °C, test first",
        "35 °C, test first",
    ]
    heads = tables(SMALL, test_mix_below_c=10.0)["Topcoat"]
    assert "10 °C, test first" in heads


def test_what_a_dose_means_and_how_sure_the_times_are_is_said() -> None:
    said = " ".join(mixing_rules(FIRM))
    # 10 ml of 1.15 to 1.18 kg/l in a kilogram is about 1.2 % by mass (data sheets, from memory).
    assert "between 10 ml and 40 ml of catalyst to 1 kg (1% to 4%)" in said
    assert "10 ml to a kg is about 1.2% by weight" in said
    assert "give or take 40%" in said
    # Half a litre of resin is 0.55 kg: 4 % 22 ml, 3 % 16.5 ml, 1 % 5.5 ml, as a person measures;
    # of topcoat 0.6 kg at 2 % 12 ml (default doses, common practice).
    assert "Deck at 8 °C or under, 28 °C or over: first a test mix of 0.5 l." in said
    assert "Resin 22 ml at 5 °C, 17 ml at 10 °C, 6 ml at 30 °C and 35 °C; topcoat 12 ml." in said
    assert "data sheets" in said
