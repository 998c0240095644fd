"""Substances: labels as published, amounts as in the take-off."""

import math
import re
from datetime import date

import pytest

from quotegen.reference import rules
from quotegen.reference.loader import entry, subject
from quotegen.reference.rule_records import Danger, OtherThing, PairRow
from quotegen.safety.rules.substances import kept_from, pictograms, statement_text
from quotegen.tables import ReferenceFileError, made
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


# GB CLP (retained EC 1272/2008), annex III and, for EUH, annex II, as two openly published lists
# of statements in English have them.
STATUTORY = {
    "H225": "Highly flammable liquid and vapour",
    "H226": "Flammable liquid and vapour",
    "H242": "Heating may cause a fire",
    "H302": "Harmful if swallowed",
    "H314": "Causes severe skin burns and eye damage",
    "H315": "Causes skin irritation",
    "H317": "May cause an allergic skin reaction",
    "H318": "Causes serious eye damage",
    "H319": "Causes serious eye irritation",
    "H332": "Harmful if inhaled",
    "H334": "May cause allergy or asthma symptoms or breathing difficulties if inhaled",
    "H335": "May cause respiratory irritation",
    "H336": "May cause drowsiness or dizziness",
    "H351": "Suspected of causing cancer",
    "H360FD": "May damage fertility. May damage the unborn child",
    "H361d": "Suspected of damaging the unborn child",
    "H362": "May cause harm to breast-fed children",
    "H372": "Causes damage to organs through prolonged or repeated exposure",
    "H373": "May cause damage to organs through prolonged or repeated exposure",
    "H412": "Harmful to aquatic life with long lasting effects",
    "EUH066": "Repeated exposure may cause skin dryness or cracking",
    "EUH204": "Contains isocyanates. May produce an allergic reaction",
}


def test_every_code_in_use_has_its_statutory_text_and_none_is_kept_without_use() -> None:
    used = {code for rule in rules.substances() for code in rule.codes}
    assert used == set(STATUTORY) == set(subject("hazard_statements"))
    assert {code: statement_text(code) for code in used} == STATUTORY


def test_every_substance_with_statements_has_a_signal_word() -> None:
    for rule in rules.substances():
        assert bool(rule.codes) == bool(rule.signal)


def test_the_catalyst_names_what_it_does_to_an_eye() -> None:
    # Suppliers' data sheets of MEKP solutions give H318 beside H314; the worst is taken.
    (found,) = [r for r in jobs.statement(jobs.plain_enquiry()).substances if r.key == "catalyst"]
    assert ("H318", "Causes serious eye damage") in found.statements
    assert "GHS05" in found.pictograms


def test_amounts_are_those_of_the_take_off() -> None:
    made = jobs.statement(jobs.plain_enquiry())
    gross = {need.item: need.gross for need in made.option.needs}
    amounts = {one.key: one.amount for one in made.substances if one.amount}
    assert set(amounts) == {"resin", "catalyst", "acetone", "adhesive"}
    for item in ("resin", "topcoat", "catalyst", "acetone", "adhesive"):
        words = re.sub(r"\(.*?\)", "", amounts["resin" if item == "topcoat" else item])
        numbers = [float(found) for found in re.findall(r"[\d.]+", words)]
        rounded_up = numbers[1 if item == "topcoat" else 0]
        needed = gross[item].number
        assert needed <= rounded_up + 1e-9
        assert rounded_up - needed < {"catalyst": 5, "adhesive": 1}.get(item, 0.1)


def test_the_steps_name_what_is_mixed_and_the_table_what_is_ordered() -> None:
    """The mass of what is mixed, at the 1.1 kg of a litre, up to a tenth."""
    made = jobs.statement(jobs.plain_enquiry())
    mixed_kg = math.ceil(made.option.resin.mixed_l.number * 1.1 * 10) / 10
    steps = " ".join(line for step in made.steps for line in step.lines)
    assert f"{mixed_kg:g} kg of resin to lay, in " in steps
    ordered = next(one.amount for one in made.substances if one.key == "resin")
    assert float(ordered.split(" kg")[0]) >= mixed_kg


def test_catalyst_is_kept_apart_and_never_taken_up_with_sawdust_or_rag() -> None:
    # HSE CS21 (apart from accelerator); ICSC 1028: "Do NOT absorb in saw-dust".
    (found,) = [r for r in jobs.statement(jobs.plain_enquiry()).substances if r.key == "catalyst"]
    assert "Accelerator neat, acetone (can explode)" in found.keep_from
    assert any("Apart from resin, accelerator and acetone" in line for line in found.storage)
    spilt = jobs.said(jobs.statement(jobs.plain_enquiry()).emergency)["spill-of-catalyst"]
    assert "never sawdust, rag or acetone" in spilt


def test_every_substance_leaves_under_a_code_of_the_list_of_wastes() -> None:
    codes = {str(entry(f"waste_codes.{key}").value) for key in subject("waste_codes")}
    wastes = {one.key: one.waste for one in jobs.statement(jobs.plain_enquiry()).substances}
    # Laminate dust goes with the cured resin, lead as scrap by a note of its own.
    assert [key for key, waste in wastes.items() if not waste] == ["lead", "laminate-dust"]
    for key, waste in wastes.items():
        assert not waste or any(code in waste for code in codes), key


def test_both_rows_of_a_pair_that_never_meets_name_the_other() -> None:
    rows = {rule.key: kept_from(rule.key, rule.keep_from).lower() for rule in rules.substances()}
    for pair in rules.incompatible():
        for this, other in ((0, 1), (1, 0)):
            if pair.between[this] in rows:
                row = rows[pair.between[this]]
                assert pair.words[other].lower() in row, pair
                assert pair.danger.words in row, pair
    # HSE CS21: accelerator, acids, alkalis, metals, combustibles; a resin supplier's safety page:
    # acetone. ICSC 1028: no sawdust.
    for wanted in ("accelerator", "acetone", "acids", "alkalis", "metal", "rag", "sawdust"):
        assert wanted in rows["catalyst"]


def test_a_pair_of_things_nobody_knows_is_refused() -> None:
    basis = {"source": "x", "confirmed": "read second-hand", "checked": date(2026, 11, 25)}
    row = {"between": ["moonlight", "rust"], "words": ["a", "b"], "danger": "c", **basis}
    moonlight, rust = (OtherThing(key) for key in ("moonlight", "rust"))
    dangers = {"c": Danger("c", "burns")}
    with pytest.raises(ReferenceFileError, match="neither is a substance"):
        rules._pair(made(row, PairRow, "x"), dangers, {"moonlight": moonlight, "rust": rust})
    with pytest.raises(ReferenceFileError, match="there is no key rust"):
        rules._pair(made(row, PairRow, "x"), dangers, {"moonlight": moonlight})
    known = row | {"between": ["resin", "rust"]}
    with pytest.raises(ReferenceFileError, match="there is no key c"):
        rules._pair(made(known, PairRow, "x"), {}, {"rust": rust})


def test_no_sentence_brings_catalyst_together_with_what_it_must_never_meet() -> None:
    said = jobs.all_text(jobs.statement(jobs.plain_enquiry(deck_c=None)))
    apart = re.compile(r"never|apart|away|not |nothing|keep from|can explode|can take fire", re.I)
    never = re.compile(r"\b(acetone|accelerator|sawdust|rags?)\b", re.I)
    sentences = [s for line in said.splitlines() for s in re.split(r"(?<=[.;])\s", line)]
    together = [s for s in sentences if re.search("catalyst", s, re.I) and never.search(s)]
    assert together
    assert [s for s in together if not apart.search(s)] == []


# Commission Decision 2000/532/EC as amended by 2014/955/EU (List of Wastes), read second-hand in
# an openly published copy of the list.
LIST_OF_WASTES = {
    "timber": ("17 02 01", "wood"),
    "timber_treated": (
        "17 02 04*",
        "glass, plastic and wood containing or contaminated with hazardous substances",
    ),
    "plastic": ("17 02 03", "plastic"),
    "felt": ("17 03 02", "bituminous mixtures other than those mentioned in 17 03 01"),
    "felt_coal_tar": ("17 03 01*", "bituminous mixtures containing coal tar"),
    "lead": ("17 04 03", "lead"),
    "insulation": (
        "17 06 04",
        "insulation materials other than those mentioned in 17 06 01 and 17 06 03",
    ),
    "asbestos": ("17 06 05*", "construction materials containing asbestos"),
    "mixed": (
        "17 09 04",
        "mixed construction and demolition wastes other than those mentioned in 17 09 01, "
        "17 09 02 and 17 09 03",
    ),
    "resin": (
        "08 04 09*",
        "waste adhesives and sealants containing organic solvents or other hazardous substances",
    ),
    "topcoat": (
        "08 01 11*",
        "waste paint and varnish containing organic solvents or other hazardous substances",
    ),
    "insulation_hazardous": (
        "17 06 03*",
        "other insulation materials consisting of or containing hazardous substances",
    ),
    "adhesive_cured": (
        "08 04 10",
        "waste adhesives and sealants other than those mentioned in 08 04 09",
    ),
    "peroxide": ("16 09 03*", "peroxides, for example hydrogen peroxide"),
    "solvent": ("14 06 03*", "other solvents and solvent mixtures"),
    "packaging": (
        "15 01 10*",
        "packaging containing residues of or contaminated by hazardous substances",
    ),
    "rags": (
        "15 02 02*",
        "absorbents, filter materials (including oil filters not otherwise specified), wiping "
        "cloths, protective clothing contaminated by hazardous substances",
    ),
    "rubble": (
        "17 01 07",
        "mixtures of concrete, bricks, tiles and ceramics other than those mentioned in 17 01 06",
    ),
}


def test_every_waste_code_stands_in_the_list_with_its_text() -> None:
    assert {
        key: (entry(f"waste_codes.{key}").value, entry(f"waste_codes.{key}").clause)
        for key in subject("waste_codes")
    } == LIST_OF_WASTES
