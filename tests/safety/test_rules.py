"""The strict loader of the rule tables refuses what is wrong."""

import re
import shutil
from collections.abc import Callable, Mapping
from enum import StrEnum
from functools import partial
from pathlib import Path

import pytest
from msgspec.structs import replace

from quotegen.model.safety import Known
from quotegen.reference import rule_keys, rules
from quotegen.reference.remarks import RemarkKey
from quotegen.reference.rule_keys import (
    BeforeKey,
    DangerKey,
    EmergencyKey,
    LadderSentence,
    PlanPart,
    SubstanceKey,
    TaskKey,
)
from quotegen.reference.rule_records import NoteRule
from quotegen.safety.rules.hazards import match
from quotegen.safety.rules.steps import work_steps
from quotegen.tables import CONFIRMED, ReferenceFileError
from tests.safety import jobs

GOOD = """
[[note]]
key = "a-note"
title = "A title"
text = "A text."
source = "a source"
confirmed = "read second-hand"
checked = 2026-11-25
"""


def load(text: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> tuple[NoteRule, ...]:
    (tmp_path / "care.toml").write_text(text)
    rules.facts()
    monkeypatch.setattr(rules, "RULES", tmp_path)
    return rules.notes.__wrapped__("care")


def test_a_good_table_is_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (note,) = load(GOOD, tmp_path, monkeypatch)
    assert (note.title, note.line.text, note.basis.source) == ("A title", "A text.", "a source")


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        (GOOD.replace('title = "A title"\n', ""), "missing"),
        (GOOD.replace('text = "A text."\n', ""), "missing"),
        (GOOD + 'colour = "red"\n', "unknown"),
        (GOOD.replace("a source", ""), "source"),
        (GOOD.replace("read second-hand", "somebody said"), "confirmed"),
        (GOOD.replace("read second-hand", "from memory"), "checked has to be no day"),
        (GOOD.replace("checked = 2026-11-25\n", ""), "checked has to be the day it was read"),
        (GOOD.replace("2026-11-25", '"last week"'), "checked"),
        (GOOD + 'any_of = ["moonlight"]\n', "no facts"),
        (GOOD.replace("[[note]]", "[[rule]]"), "only"),
    ],
)
def test_a_wrong_table_is_refused(
    wrong: str, says: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with pytest.raises(ReferenceFileError, match=says):
        load(wrong, tmp_path, monkeypatch)


def test_a_note_of_the_plan_names_its_part(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    rules.facts()
    monkeypatch.setattr(rules, "RULES", tmp_path)
    (tmp_path / "plan.toml").write_text(GOOD)
    with pytest.raises(ReferenceFileError, match="only"):
        rules.every_plan_note.__wrapped__()
    headed = GOOD + '[[heading]]\nkey = "x"\ntitle = "X"\n'
    (tmp_path / "plan.toml").write_text(headed)
    with pytest.raises(ReferenceFileError, match="a-note: Object missing required field `part`"):
        rules.every_plan_note.__wrapped__()
    whole = headed.replace("[[note]]\n", '[[note]]\npart = "people"\n')
    (tmp_path / "plan.toml").write_text(whole)
    (note,) = rules.every_plan_note.__wrapped__()[PlanPart.PEOPLE]
    assert (note.heading, note.title) == ("a-note", "A title")
    (tmp_path / "plan.toml").write_text(whole.replace('title = "A title"', 'heading = "x"'))
    (note,) = rules.every_plan_note.__wrapped__()[PlanPart.PEOPLE]
    assert (note.key, note.heading, note.title) == ("a-note", "x", "X")


def copied(folder: Path, monkeypatch: pytest.MonkeyPatch, file: str, old: str, new: str) -> None:
    """The rule tables with one thing changed in a file, which are then read."""
    shutil.copytree(rules.RULES, folder, dirs_exist_ok=True)
    rules.facts()
    rules.substances()
    monkeypatch.setattr(rules, "RULES", folder)
    text = rules.table_file(file).read_text()
    assert old in text
    rules.table_file(file).write_text(text.replace(old, new, 1))


def read_survey() -> object:
    """Both parts of the table: what is looked at, and what is said before."""
    return rules.looks.__wrapped__(), rules.look_first.__wrapped__()


KEYED: Mapping[str, tuple[Callable[[], object], str]] = {
    "hazards.toml": (rules.hazards.__wrapped__, "fall-from-edge"),
    "steps.toml": (rules.steps.__wrapped__, "arrive"),
    "substances.toml": (rules.substances.__wrapped__, "lead"),
    "protection.toml": (rules.protection.__wrapped__, "cleaning"),
    "plan.toml": (rules.every_plan_note.__wrapped__, "contractor"),
    "van.toml": (rules.van_kit.__wrapped__, "eye-wash"),
    "incompatible.toml": (rules.incompatible.__wrapped__, "takes-fire"),
    "survey.toml": (read_survey, "stay-off"),
    "prestart.toml": (rules.before.__wrapped__, "survey"),
    **{
        file: (partial(rules.sentences.__wrapped__, kind), next(iter(kind)))
        for kind, file in rules.SENTENCES.items()
    },
    **{
        f"{name}.toml": (partial(rules.notes.__wrapped__, name), key)
        for name, key in {
            "care": "keep-off",
            "cautions": "stop",
            "emergency": "fall",
            "law": "asbestos",
            "marks": "boots",
            "notice": "dust",
            "people": "platform",
            "photos": "before",
            "stored": "vapour",
            "waste": "carrier",
        }.items()
    },
}
"""Every table with keys, how it is read, and one of its keys."""


@pytest.mark.parametrize("file", KEYED)
def test_a_key_that_is_missing_misshapen_or_stands_twice_is_refused(
    file: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    read, key = KEYED[file]
    line = f'key = "{key}"\n'
    text = rules.table_file(file).read_text()
    other = next(k for k in re.findall(r'^key = "(.*)"$', text, re.M) if k != key)
    for new, says in (
        ("", "Object missing required field `key`"),
        ('key = "A Title"\n', ", A Title: Expected `str` matching regex"),
        ('key = ""\n', "Expected `str` matching regex"),
        (f'key = "{other}"\n', f": the key {other} stands twice"),
    ):
        with monkeypatch.context() as patched:
            copied(tmp_path, patched, file, line, new)
            with pytest.raises(ReferenceFileError, match=f"{file}.*{re.escape(says)}"):
                read()


def test_every_table_of_rules_has_keys() -> None:
    files = {path.name for path in rules.RULES.rglob("*.toml")}
    # The facts have keys of their own, which conditions name; the matrix is one rule.
    assert files == set(KEYED) | {"facts.toml", "matrix.toml"}


@pytest.mark.parametrize(
    ("file", "asked"),
    [
        ("emergency.toml", EmergencyKey),
        ("prestart.toml", BeforeKey),
        ("protection.toml", TaskKey),
        ("substances.toml", SubstanceKey),
        ("incompatible.toml", DangerKey),
        *((file, kind) for kind, file in rules.SENTENCES.items()),
    ],
)
def test_a_table_without_a_key_the_program_asks_for_is_refused(
    file: str, asked: type[StrEnum], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    read, _ = KEYED[file]
    for key in asked:
        with monkeypatch.context() as patched:
            copied(tmp_path, patched, file, f'key = "{key}"', 'key = "another"')
            with pytest.raises(ReferenceFileError, match=f"{file}: there is no key {key}$"):
                read()


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("{rise} up", "4 up", "measure-first: its words leave out rise"),
        ("{landing} or", "{height} or", "landings: nothing fills {height}"),
        ("No ladder is", "No {thing} is", "ground: nothing fills {thing}"),
        ("No ladder is", "No {} is", "ground: nothing fills {}"),
        ("No ladder is", "No ladder} is", "ground: Single '}'"),
        (
            '[[sentence]]\nkey = "tower"',
            '[[sentence]]\nkey = "tent"\ntext = "Take a tent."\nsource = "a source"\n'
            'confirmed = "from memory"\n\n[[sentence]]\nkey = "tower"',
            "nothing asks for the key tent",
        ),
        ('key = "tower"', 'any_of = ["tower"]\nkey = "tower"', "tower: .*unknown field `any_of`"),
        ('source = "HSE CIS10, Tower scaffolds"', 'source = ""', "tower: .*source"),
    ],
)
def test_a_sentence_nobody_asks_for_or_that_cannot_be_filled_is_refused(
    old: str, new: str, says: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    copied(tmp_path, monkeypatch, "ladder_use.toml", old, new)
    with pytest.raises(ReferenceFileError, match=f"ladder_use.toml.*{says}"):
        rules.sentences.__wrapped__(LadderSentence)


def test_every_kind_of_sentence_is_read_from_a_table() -> None:
    # `told` of `safety/rules/text.py` looks a sentence up by the kind of its key.
    asked = {kind for kind in RemarkKey.__subclasses__() if kind.__module__ == rule_keys.__name__}
    assert set(rules.SENTENCES) == asked


@pytest.mark.parametrize(
    ("file", "old", "new", "says"),
    [
        ("incompatible.toml", '"acetone"]', '"aceton"]', "there is no key aceton"),
        ("incompatible.toml", 'danger = "runs-hot"', 'danger = "hot"', "there is no key hot"),
        ("plan.toml", 'heading = "washing"', 'heading = "wash"', "washing-water.*no key wash"),
        (
            "plan.toml",
            'part = "welfare"',
            'part = "wellfare"',
            "toilet: .*'wellfare'.*part",
        ),
        ("protection.toml", 'against = ["acetone"]', 'against = ["petrol"]', "no key petrol"),
        ("substances.toml", '"H226"', '"H2266"', "resin, codes.*no key H2266"),
        ("substances.toml", 'limits = ["styrene"]', 'limits = ["styren"]', "no key styren"),
    ],
)
def test_a_row_that_names_a_key_no_table_has_is_refused(
    file: str, old: str, new: str, says: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    copied(tmp_path, monkeypatch, file, old, new)
    with pytest.raises(ReferenceFileError, match=f"{file}.*{says}"):
        KEYED[file][0]()


def test_a_phase_or_a_level_nobody_knows_is_refused(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    facts = jobs.made_up_facts({}, Known.NO)  # refused although none of its rules stands
    step, hazard = rules.steps()[0], rules.hazards()[0]
    wrong = replace(hazard.controls[0], level="pray")
    monkeypatch.setattr(rules, "steps", lambda: (replace(step, phase="siesta"),))
    with pytest.raises(ReferenceFileError, match=f"{step.key}, phase: there is no key siesta"):
        work_steps(facts, {}, {})
    with pytest.raises(ReferenceFileError, match=f"{hazard.key}, level: there is no key pray"):
        match(replace(hazard, controls=(wrong,)), facts)


def test_a_title_no_paper_prints_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    copied(
        tmp_path, monkeypatch, "people.toml", 'key = "platform"', 'key = "platform"\ntitle = "Crew"'
    )
    with pytest.raises(ReferenceFileError, match=r"people.toml, platform: .*unknown field `title`"):
        rules.notes.__wrapped__("people")


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('any_of = ["work_at_height"]\n', "", "needs a fact"),
        ("before = [2, 3]", "before = [4, 1]", "off the matrix"),
        ("after = [1, 3]", "after = [1, 0]", "off the matrix"),
        ("{ rating = [3, 3]", "{ rating = [3, 4]", "off the matrix"),
        ("often = 10", "often = 11", "Expected `int` <= 10 - at `.*often`"),
        ("often = 10", "often = 0", "Expected `int` >= 1 - at `.*often`"),
        ("often = 10", "often = true", "Expected `int`, got `bool`"),
        ("before = [2, 3]", "before = [2, 3, 3]", "Expected `array` of length 2"),
        ("[2, 3]", '[2, "3"]', "Expected `int`, got `str`"),
        ('level = "eliminate"', 'hue = "red", level = "eliminate"', r"control\[0\]"),
        ('any_of = ["fall_over_2m"', 'any_of = ["a_dream"', r"no facts \['a_dream'\]"),
    ],
)
def test_a_hazard_that_is_wrong_is_refused(
    old: str, new: str, says: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    rules.every_matrix()
    copied(tmp_path, monkeypatch, "hazards.toml", old, new)
    with pytest.raises(ReferenceFileError, match=f"hazards.toml, fall-from-edge: .*{says}"):
        rules.hazards.__wrapped__()


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('    ["low", "low", "medium"],\n', "", "do not fit"),
        ('["low", "low", "medium"]', '["low", "low"]', "do not fit"),
        ('"nobody_in_charge"', '"moonlight"', r"no facts \['moonlight'\]"),
    ],
)
def test_a_matrix_that_does_not_fit_is_refused(
    old: str, new: str, says: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    copied(tmp_path, monkeypatch, "matrix.toml", old, new)
    with pytest.raises(ReferenceFileError, match=f"matrix.toml.*{says}"):
        rules.every_matrix.__wrapped__()


def test_a_fact_declared_twice_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    copied(tmp_path, monkeypatch, "facts.toml", 'key = "platform"', 'key = "tower"')
    with pytest.raises(ReferenceFileError, match=r"facts.toml: the key tower stands twice"):
        rules.facts.__wrapped__()


def test_every_rule_has_its_source_and_the_day_it_was_checked() -> None:
    bases = [rule.basis for rule in rules.hazards()]
    bases += [rule.basis for rule in rules.steps()]
    bases += [rule.basis for rule in rules.substances()]
    bases += [rule.basis for rule in rules.protection()]
    for table in ("emergency", "people", "waste", "cautions"):
        bases += [note.basis for note in rules.notes(table)]
    bases += [note.basis for notes in rules.plan().values() for note in notes]
    bases += [one.basis for kind in rules.SENTENCES for one in rules.sentences(kind)]
    assert all(basis.source and basis.confirmed in CONFIRMED for basis in bases)
    assert len(rules.hazards()) >= 20
