"""The strict loader of the rule tables refuses what is wrong."""

from pathlib import Path

import pytest

from quotegen.reference import rules
from quotegen.reference.loader import CONFIRMED, ReferenceFileError

GOOD = """
[[note]]
key = "a-note"
title = "A title"
text = "A text."
source = "a source"
confirmed = "from memory"
checked = 2026-11-25
"""


def load(text: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> tuple[rules.NoteRule, ...]:
    (tmp_path / "made_up.toml").write_text(text)
    rules.facts()
    monkeypatch.setattr(rules, "RULES", tmp_path)
    return rules.notes.__wrapped__("made_up")


def test_a_good_table_is_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (note,) = load(GOOD, tmp_path, monkeypatch)
    assert (note.title, note.line.text, note.basis.source) == ("A title", "A text.", "a source")


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        (GOOD.replace('text = "A text."\n', ""), "missing"),
        (GOOD + 'colour = "red"\n', "unknown"),
        (GOOD.replace("a source", ""), "source"),
        (GOOD.replace("from memory", "somebody said"), "confirmed"),
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
    with pytest.raises(ReferenceFileError, match="no part"):
        rules.plan.__wrapped__()
    (tmp_path / "plan.toml").write_text(GOOD + 'part = "people"\n')
    assert [note.title for note in rules.plan.__wrapped__()["people"]] == ["A title"]


def test_a_hazard_without_facts_or_off_the_matrix_is_refused() -> None:
    row = {
        "key": "x",
        "hazard": "x",
        "who": "x",
        "injury": "x",
        "before": [2, 2],
        "after": [1, 2],
        "often": 5,
        "control": [],
        "source": "x",
        "confirmed": CONFIRMED[0],
        "checked": rules.hazards()[0].basis.checked,
    }
    with pytest.raises(ReferenceFileError, match="needs a fact"):
        rules._hazard(row)
    with pytest.raises(ReferenceFileError, match="off the matrix"):
        rules._hazard(row | {"any_of": ["resin"], "before": [4, 1]})
    with pytest.raises(ReferenceFileError, match="how often"):
        rules._hazard(row | {"any_of": ["resin"], "often": 11})


def test_every_rule_has_its_source_and_the_day_it_was_checked() -> None:
    bases = [rule.basis for rule in (*rules.hazards(), *rules.steps(), *rules.substances())]
    bases += [rule.basis for rule in rules.protection()]
    for table in ("emergency", "people", "waste", "cautions"):
        bases += [note.basis for note in rules.notes(table)]
    bases += [note.basis for notes in rules.plan().values() for note in notes]
    assert all(basis.source and basis.confirmed in CONFIRMED for basis in bases)
    assert len(rules.hazards()) >= 20
