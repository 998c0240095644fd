"""The strict reader of tables: anything a record does not declare is refused with its place."""

import shutil
from datetime import date
from pathlib import Path

import pytest

from quotegen import problem_kinds
from quotegen.demo import scenario
from quotegen.reference import house_rules, loader
from quotegen.tables import CONFIRMED, ReferenceFileError, Table, rows

ENTRY = """
[[entry]]
key = "a_value"
words = "a value"
value = 2
unit = "m"
source = "a source"
confirmed = "read second-hand"
checked = 2026-11-25
"""
DATED = f"{ENTRY}from = 2025-01-01\n"


class Shelf(Table, frozen=True):
    """A record of this test."""

    key: str
    boards: tuple[int, ...] = ()


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("shelf = 3", r"only \[\[shelf\]\] tables belong here"),
        ("[shelf]\nkey = 'a'", r"only \[\[shelf\]\] tables belong here"),
        ("[[shelf]]\nkey = 'a'\n[[rack]]\nkey = 'b'", r"only \[\[shelf\]\] tables belong here"),
        ("", r"only \[\[shelf\]\] tables belong here"),
        ("[[shelf]]", "shelf 1: Object missing required field `key`"),
        ("[[shelf]]\nkey = 'a'\n[[shelf]]\n", "shelf 2: Object missing required field `key`"),
        ("shelf = ['a']", "shelf 1: Expected `object`, got `str`"),
        ("[[shelf]]\nkey = 'a'\nbords = [1]", "a: Object contains unknown field `bords`"),
        ("[[shelf]]\nkey = 'a'\nboards = 1", r"a: Expected `array`, got `int` - at `\$.boards`"),
        ("[[shelf]]\nkey = 'a'\nboards = ['1']", r"a: Expected `int`, got `str` - at `.*\[0\]`"),
        ("[[shelf]]\nkey = 4", r"4: Expected `str`, got `int` - at `\$.key`"),
    ],
)
def test_what_a_record_does_not_say_is_refused_with_its_place(
    text: str, says: str, tmp_path: Path
) -> None:
    path = tmp_path / "shelves.toml"
    path.write_text(text)
    with pytest.raises(ReferenceFileError, match=f"^shelves.toml[:,] {says}"):
        rows(path, "shelf", Shelf)


def test_a_record_is_as_its_row_says(tmp_path: Path) -> None:
    path = tmp_path / "shelves.toml"
    path.write_text("[[shelf]]\nkey = 'a'\nboards = [1, 2]\n[[shelf]]\nkey = 'b'")
    assert rows(path, "shelf", Shelf) == (Shelf("a", (1, 2)), Shelf("b"))


def published(text: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> loader.PublishedValue:
    (tmp_path / "doors.toml").write_text(text)
    monkeypatch.setattr(loader, "_files", lambda: {"doors": tmp_path / "doors.toml"})
    return loader.subject.__wrapped__("doors")["a_value"][-1]


def test_a_published_value_is_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    found = published(ENTRY, tmp_path, monkeypatch)
    assert (found.value, found.begins, found.clause) == (2, None, "")
    assert found.confirmed in CONFIRMED
    found = published(DATED + DATED.replace("from = 2025", "from = 2024"), tmp_path, monkeypatch)
    assert found.begins == date(2025, 1, 1)


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        (ENTRY.replace('source = "a source"', 'source = " "'), "source"),
        (ENTRY.replace('source = "a source"\n', ""), "missing required field `source`"),
        (ENTRY.replace("value = 2\n", ""), "missing required field `value`"),
        (ENTRY.replace("read second-hand", "somebody said"), "confirmed"),
        (ENTRY.replace("read second-hand", "from memory"), "checked has to be no day"),
        (ENTRY.replace("checked = 2026-11-25\n", ""), "checked has to be the day it was read"),
        (ENTRY.replace("2026-11-25", "2026-11-25T10:00:00"), "checked"),
        (ENTRY.replace("2026-11-25", '"last week"'), "checked"),
        (ENTRY + 'colour = "red"\n', "unknown field `colour`"),
        (ENTRY + ENTRY, "stands twice without dates"),
        (DATED + DATED, "stands twice from 2025-01-01"),
        (ENTRY + "until = 2024-12-30\n" + DATED, "one ends on 2024-12-30, the next begins on"),
        (ENTRY + "until = 2025-01-01\n" + DATED, "one ends on 2025-01-01, the next begins on"),
        (ENTRY.replace("[[entry]]", "[[value]]"), r"only \[\[entry\]\]"),
    ],
)
def test_a_published_value_that_is_wrong_is_refused(
    wrong: str, says: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with pytest.raises(ReferenceFileError, match=rf"doors.toml.*{says}"):
        published(wrong, tmp_path, monkeypatch)


@pytest.mark.parametrize(
    ("file", "old", "new", "says"),
    [
        ("rates.toml", "least = 9\n", "", "new_board_mm: a number needs its least and most"),
        ("rates.toml", "most = 30\n", "", "new_board_mm: a number needs its least and most"),
        ("rates.toml", "least = 9\n", "leest = 9\n", "new_board_mm: .*unknown field `leest`"),
        ("rates.toml", "least = 9\n", "least = 9\nleast = 9\n", "rates.toml: .*overwrite a value"),
        ("business.toml", "shown = true\n", "", "firm_name: what is required has to be shown"),
        ("business.toml", 'kind = "text"', 'kind = "txt"', "firm_name: .*'txt' - at `..kind`"),
        ("business.toml", 'basis = "only the firm knows"', 'basis = ""', "firm_name: .*basis"),
        ("business.toml", 'code = "firm_form"', 'code = "firm_name"', "firm_name .*twice"),
        ("items.toml", 'code = "deck_board_11"', 'code = "deck_board_9"', "deck_board_9 .*twice"),
        ("items.toml", "keeps = false", 'keeps = "no"', "deck_board_9: .*`bool`.*keeps"),
        ("items.toml", '"deck-board"', '"deck-bored"', "deck_board_9: .*'deck-bored'.*kind"),
        ("items.toml", 'kind = "deck-board"\n', "", "deck_board_9: .*required field `kind`"),
        ("items.toml", "size = 11\n", "size = 9\n", "deck_board_11: its kind and size stand twice"),
        ("items.toml", '"noggin"\nunit', '"outlet"\nunit', "outlet: its kind and size .*twice"),
        ("items.toml", 'size_unit = "mm"\n', "", "deck_board_9: deck-board has a size in mm"),
        ("items.toml", "size = 9\n", "", "deck_board_9: deck-board has a size in mm"),
        ("items.toml", '"g/m2"', '"mm"', "mat_300: mat has a size in g/m2"),
        ("items.toml", '"noggin"\nunit', '"noggin"\nsize = 2\nunit', "noggin: noggin has no size"),
        ("items.toml", '"noggin"\nunit', '"mat"\nsize = 2\nsize_unit = "g/m2"\nunit', "noggin"),
        ("rates.toml", '"deck-board"', '"mat"', "new_board_mm: no mat has a size in its unit"),
        (
            "rates.toml",
            '"deck-board"',
            '"noggin"',
            "new_board_mm: no noggin has a size in its unit",
        ),
        (
            "order_notes.toml",
            'kinds = ["resin"',
            'kinds = ["raisin"',
            r"note 2: .*'raisin' - at `\$.kinds\[\d\]`",
        ),
        ("order_notes.toml", "[[note]]", '[[note]]\nhue = "red"', "note 1: .*unknown field `hue`"),
        ("terms.toml", 'applies_to = ""\n', "", "term 1: .*missing required field `applies_to`"),
    ],
)
def test_a_house_file_that_is_wrong_is_refused(
    file: str, old: str, new: str, says: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    house_rules.items()
    shutil.copytree(house_rules.HOUSE, tmp_path, dirs_exist_ok=True)
    (path,) = tmp_path.rglob(file)
    text = path.read_text()
    assert old in text
    path.write_text(text.replace(old, new, 1))
    monkeypatch.setattr(house_rules, "HOUSE", tmp_path)
    read = {"items": house_rules.items, "order_notes": house_rules.order_notes}
    read |= {"terms": house_rules.terms}
    with pytest.raises(ReferenceFileError, match=says):
        read.get(Path(file).stem, house_rules.settings).__wrapped__()


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('severity = "stop"\n', 'severity = "halt"\n', "file-missing: .*'halt' - at `..severity`"),
        ('severity = "stop"\n', "", "file-missing: .*missing required field `severity`"),
        ('severity = "stop"\n', 'hue = "red"\n', "file-missing: Object"),
    ],
)
def test_a_kind_of_problem_that_is_wrong_is_refused(
    old: str, new: str, says: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "problem_kinds.toml"
    path.write_text(problem_kinds.FILE.read_text(encoding="utf-8").replace(old, new, 1))
    monkeypatch.setattr(problem_kinds, "FILE", path)
    with pytest.raises(ReferenceFileError, match=f"problem_kinds.toml, {says}"):
        problem_kinds._declared()


def test_a_price_of_the_demo_with_a_key_nobody_knows_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    text = (scenario.DEMO_FOLDER / "prices.toml").read_text()
    (tmp_path / "prices.toml").write_text(text.replace("size = 1,", "sise = 1,", 1))
    monkeypatch.setattr(scenario, "DEMO_FOLDER", tmp_path)
    with pytest.raises(ReferenceFileError, match=r"prices.toml: .* `\$.list\[0\].price\[0\]`"):
        scenario._read.__wrapped__("prices.toml", scenario.PriceFile)
