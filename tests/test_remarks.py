"""What the calculation says: keys with their figures, words in tables, and no other way round."""

import re
from pathlib import Path

import pytest
from msgspec.structs import replace

from quotegen.documents.shared import remark_words
from quotegen.reference import rules
from quotegen.reference.firm import house_words
from quotegen.reference.firm.house_words import house_words as words_of_house
from quotegen.reference.house_rules import HOUSE
from quotegen.reference.remark_keys import Agreed, Amount, Impossible, Included, Task
from quotegen.reference.remarks import WAYS, RemarkKey, checked_words, remark, written
from quotegen.reference.rule_keys import Told
from quotegen.tables import ReferenceFileError
from quotegen.units import Unit
from quotegen.working import Figure, Origin, Source
from tests import builders


class Key(RemarkKey):
    LONG = "long", "edge", "length"


LENGTH = builders.given("length", 2440.0, "mm")


def test_the_words_say_how_a_figure_is_written() -> None:
    said = remark(Key.LONG, edge="front", length=LENGTH)
    for way, words in (
        ("mm", "2440 mm"),
        ("metres", "2.4 m"),
        ("exact-metres", "2.44 m"),
        ("whole", "2,440"),
        ("tenth", "2,440.0"),
        ("exact", "2,440"),
        ("lost", "-2,440"),
    ):
        assert written(said, {"long": f"{{edge}} {{length:{way}}}"}) == f"front {words}"


def test_a_figure_that_nobody_has_read_is_written_with_the_sign() -> None:
    said = "{edge} {length:mm}"
    read = Figure(
        "length", 2440.0, Unit.MM, Origin(Source.REFERENCE, "a table", "read second-hand")
    )
    unread = replace(read, basis=Origin(Source.REFERENCE, "a table", "from memory"))
    for length, words in ((read, "front 2440 mm"), (unread, "front 2440 mm†")):
        assert written(remark(Key.LONG, edge="front", length=length), {"long": said}) == words


def test_a_figure_is_never_put_in_without_a_way_nor_a_name_with_one() -> None:
    said = remark(Key.LONG, edge="front", length=LENGTH)
    for text in ("{length}", "{edge:mm}"):
        with pytest.raises(TypeError):
            written(said, {"long": text})


def test_a_remark_has_all_that_its_words_hold_and_nothing_else() -> None:
    with pytest.raises(TypeError, match="long is filled by"):
        remark(Key.LONG, edge="front")
    with pytest.raises(TypeError, match="heavier is filled by"):
        remark(Told.HEAVIER, change=LENGTH, more=LENGTH)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ({}, "there is no key long"),
        ({"long": "{edge} {length:mm}", "short": "b"}, "nothing asks for the key short"),
        ({"long": "{edge}"}, "long: its words leave out length"),
        ({"long": "{width:mm}"}, "nothing fills {width}"),
        ({"long": "{edge!r}"}, "nothing fills {edge}"),
        ({"long": "{edge.kind}"}, "nothing fills {edge.kind}"),
        ({"long": "{}"}, "nothing fills {}"),
        ({"long": "{length:miles}"}, "no figure is written “miles”"),
        ({"long": "{length"}, "long: "),
    ],
)
def test_words_that_do_not_fit_their_keys_are_refused(words: dict[str, str], says: str) -> None:
    with pytest.raises(ReferenceFileError, match=re.escape(f"{says}")):
        checked_words("table.toml", words, Key)


def test_a_row_missing_or_misspelt_in_a_table_of_the_house_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(house_words, "HOUSE", tmp_path)
    (tmp_path / "words").mkdir()
    text = (HOUSE / "words" / "offer.toml").read_text()
    for old, new, says in (
        ('key = "trims"', 'key = "trim"', "offer.toml, included: there is no key trims"),
        ("{old}", "{older}", "included, strip: nothing fills {older}"),
        ('text = "No insulation is added"', 'text = ""', "text"),
    ):
        assert old in text
        (tmp_path / "words" / "offer.toml").write_text(text.replace(old, new, 1))
        with pytest.raises(ReferenceFileError, match=re.escape(says)):
            words_of_house.__wrapped__("offer.toml", "included", Included)


def test_every_key_has_its_words_and_a_way_for_each_figure() -> None:
    tables = {kind: read() for kind, read in remark_words._HOUSE_WORDS.items()}
    tables |= {kind: rules.sentence_words(kind) for kind in rules.SENTENCES}
    tables |= {
        Task: words_of_house("work.toml", "task", Task),
        Agreed: words_of_house("work.toml", "agreed", Agreed),
        Amount: words_of_house("work.toml", "amount", Amount),
        Impossible: words_of_house("notes.toml", "shape", Impossible),
    }
    holders = re.compile(r"{([a-z_]+)(?::([a-z-]+))?}")
    used: set[str] = set()
    for kind, words in tables.items():
        for key in kind:
            found = dict(holders.findall(words[key]))
            assert set(found) == key.figures, f"{key}: a figure that its words leave out"
            used |= set(found.values())
    assert used - {""} <= set(WAYS)
