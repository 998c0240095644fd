"""Substances: labels as published, amounts as taken off."""

import pytest

from quotegen.reference import rules
from quotegen.safety.substances import pictograms, statement_text
from tests.safety import jobs


@pytest.mark.parametrize(
    ("codes", "label"),
    [
        # GB CLP (retained EC 1272/2008), annex VI, styrene 601-026-00-0.
        (["H226", "H315", "H319", "H332", "H361d", "H372"], ("GHS02", "GHS07", "GHS08")),
        # Annex VI, acetone 606-001-00-8; EUH066 calls for no pictogram.
        (["H225", "H319", "H336", "EUH066"], ("GHS02", "GHS07")),
        # A supplier's data sheet of an MEKP solution, organic peroxide type D: flame, not bomb.
        (["H242", "H302", "H314", "H332"], ("GHS02", "GHS05", "GHS07")),
        # Article 26: the corrosion pictogram drops the exclamation mark for irritation alone ...
        (["H314", "H315", "H319"], ("GHS05",)),
        # ... and the health hazard for breathing allergy drops it for skin allergy.
        (["H317", "H319", "H334"], ("GHS08",)),
        (["H317"], ("GHS07",)),
        ([], ()),
    ],
)
def test_pictograms_follow_the_statements(codes: list[str], label: tuple[str, ...]) -> None:
    assert pictograms(codes) == label


@pytest.mark.parametrize(
    ("code", "text"),
    # GB CLP, annex III, as in openly published lists.
    [
        ("H226", "Flammable liquid and vapour"),
        ("H242", "Heating may cause a fire"),
        ("H314", "Causes severe skin burns and eye damage"),
        ("H361d", "Suspected of damaging the unborn child"),
        ("H372", "Causes damage to organs through prolonged or repeated exposure"),
        ("EUH066", "Repeated exposure may cause skin dryness or cracking"),
    ],
)
def test_statutory_texts(code: str, text: str) -> None:
    assert statement_text(code) == text


def test_every_substance_with_statements_has_a_signal_word_and_every_code_its_text() -> None:
    for rule in rules.substances():
        assert bool(rule.codes) == bool(rule.signal)
        assert all(statement_text(code) for code in rule.codes)


def test_amounts_are_those_of_the_take_off() -> None:
    made = jobs.statement(jobs.plain_enquiry())
    gross = {need.item: need.gross for need in made.option.needs}
    for item in ("resin", "topcoat", "catalyst", "acetone", "adhesive"):
        (found,) = [one for one in made.substances if one.key == item]
        assert found.amount is gross[item]


def test_an_eye_is_rinsed_at_once_lids_open_for_at_least_20_minutes() -> None:
    # The longest of the published times (first-aid course text; data sheets say 15, ICSC several).
    made = jobs.statement(jobs.plain_enquiry())
    for key in ("resin", "topcoat", "catalyst", "acetone", "adhesive"):
        (found,) = [one for one in made.substances if one.key == key]
        eye = dict(found.first_aid)["eye"]
        assert "at once" in eye
        assert "lids held open" in eye
        assert "at least 20 minutes" in eye
        assert "data sheet" in eye


def test_catalyst_is_kept_apart_and_never_taken_up_with_sawdust_or_rag() -> None:
    # HSE CS21 (apart from accelerator); ICSC 1028: "Do NOT absorb in saw-dust".
    (found,) = [r for r in jobs.statement(jobs.plain_enquiry()).substances if r.key == "catalyst"]
    assert "Accelerator" in found.keep_from
    assert "acetone" in found.keep_from
    assert any("Apart from resin, accelerator and acetone" in line for line in found.storage)
    assert "never sawdust, rag" in found.spill
