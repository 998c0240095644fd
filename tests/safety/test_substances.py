"""Substances: labels as published, amounts as taken off."""

import re

import pytest

from quotegen.reference import rules
from quotegen.reference.loader import entry, subject
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
    amounts = {one.key: one.amount for one in made.substances if one.amount}
    assert set(amounts) == {"resin", "catalyst", "acetone", "adhesive"}
    for item in ("resin", "topcoat", "catalyst", "acetone", "adhesive"):
        words = amounts["resin" if item == "topcoat" else item]
        numbers = [float(found) for found in re.findall(r"[\d.]+", words)]
        rounded_up = numbers[1 if item == "topcoat" else 0]
        needed = gross[item].number
        assert needed <= rounded_up + 1e-9
        assert rounded_up - needed < {"catalyst": 5, "adhesive": 1}.get(item, 0.1)


def test_the_amounts_of_the_table_are_those_of_the_steps() -> None:
    made = jobs.statement(jobs.plain_enquiry())
    resin = next(one.amount for one in made.substances if one.key == "resin").split(",")[0]
    steps = " ".join(line for step in made.steps for line in step.lines)
    assert f"{resin} in " in steps


def test_catalyst_is_kept_apart_and_never_taken_up_with_sawdust_or_rag() -> None:
    # HSE CS21 (apart from accelerator); ICSC 1028: "Do NOT absorb in saw-dust".
    (found,) = [r for r in jobs.statement(jobs.plain_enquiry()).substances if r.key == "catalyst"]
    assert "Accelerator" in found.keep_from
    assert "acetone" in found.keep_from
    assert any("Apart from resin, accelerator and acetone" in line for line in found.storage)
    assert "Never with accelerator neat, never with acetone" in found.mixing
    spilt = dict(jobs.statement(jobs.plain_enquiry()).emergency)["Spill of catalyst"]
    assert "never sawdust, rag or acetone" in spilt


def test_every_substance_leaves_under_a_code_of_the_list_of_wastes() -> None:
    codes = {str(entry(f"waste_codes.{key}").value) for key in subject("waste_codes")}
    wastes = {one.key: one.waste for one in jobs.statement(jobs.plain_enquiry()).substances}
    # Laminate dust goes with the cured resin.
    assert [key for key, waste in wastes.items() if not waste] == ["laminate-dust"]
    for key, waste in wastes.items():
        assert not waste or any(code in waste for code in codes), key
