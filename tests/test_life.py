"""Values and rules by the day: two of one rule give each day its own papers."""

import re
import shutil
from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date, timedelta
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from quotegen.app import make_diary, make_papers
from quotegen.machine.day import day_in_force
from quotegen.making.issuing import State
from quotegen.making.papers import CustomerPaper, DiaryPaper, FirmPaper, Paper
from quotegen.model.choices import Access
from quotegen.reference import loader, rules
from quotegen.reference.between import changes_between, everything
from quotegen.reference.life import Lived, in_force, on_day
from quotegen.reference.loader import entry, figure, past_review
from quotegen.safety.statement.statement import make_statement
from quotegen.tables import ReferenceFileError
from quotegen.working_out import check_workbook, work_out
from tests.builders import TODAY
from tests.safety import jobs
from tests.test_app import SURVEYED, write_book

LATER = date(2027, 6, 1)
GUARD_RAIL = """
[[entry]]
key = "guard_rail_mm"
words = "top guard rail at least"
value = 1100
unit = "mm"
source = "an invented amendment, for this test"
from = 2027-06-01
confirmed = "from memory"
"""


@pytest.fixture
def higher_rail(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """The published values with an invented second guard rail, from a later day."""
    files = dict(loader._files())
    changed = tmp_path / "work_at_height.toml"
    changed.write_text(files["work_at_height"].read_text() + GUARD_RAIL)
    files["work_at_height"] = changed
    forget()
    monkeypatch.setattr(loader, "_files", lambda: files)
    yield
    forget()


KEPT = (loader.subject, loader._entry, loader._figure)


def forget() -> None:
    for kept in KEPT:
        kept.cache_clear()


@pytest.mark.usefixtures("higher_rail")
def test_a_second_guard_rail_from_a_later_day_gives_each_day_its_own_statement() -> None:
    measured = jobs.take_off(jobs.plain_enquiry(access=Access.SCAFFOLD))
    texts = {}
    for day in (LATER - timedelta(days=1), LATER):
        with on_day(day):
            texts[day] = jobs.all_text(make_statement(measured, jobs.SETTINGS, TODAY))
    before, after = texts.values()
    assert "top rail 950 mm or higher" in before
    assert "top rail 1,100 mm† or higher" in after, "with the sign: nobody has read it"
    assert before.replace("950 mm", "1,100 mm†") == after, "and nothing else is otherwise"


@pytest.mark.usefixtures("higher_rail")
def test_a_dated_value_is_not_looked_up_without_a_day() -> None:
    with pytest.raises(ReferenceFileError, match="depends on the date"):
        entry("work_at_height.guard_rail_mm")
    with on_day(LATER):
        assert figure("work_at_height.guard_rail_mm").number == 1100
        assert entry("work_at_height.guard_rail_mm", TODAY).value == 950, "the day asked for wins"


def test_the_day_is_only_set_within_its_block() -> None:
    assert day_in_force() is None
    with on_day(TODAY) as looked_up:
        entry("ladders.rise_for_one_out")
        with on_day(LATER) as inner:
            assert day_in_force() == LATER
            entry("vat.standard_rate_pct")
        assert day_in_force() == TODAY
        assert list(inner) == ["vat.standard_rate_pct"]
    assert list(looked_up) == ["ladders.rise_for_one_out"]
    assert day_in_force() is None


def test_a_value_that_has_ended_or_not_begun_has_none() -> None:
    begun = replace(entry("ladders.load_kg"), begins=TODAY, until=LATER)
    assert in_force([begun], TODAY, "x") is in_force([begun], LATER, "x") is begun
    for day in (TODAY - timedelta(days=1), LATER + timedelta(days=1)):
        with pytest.raises(ReferenceFileError, match="has no value on"):
            in_force([begun], day, "x")


def test_the_vat_rate_is_that_of_its_day() -> None:
    """The rate rose from 17.5 to 20 % on 4 January 2011: Finance (No. 2) Act 2010, section 3."""
    days = {date(2011, 1, 3): 17.5, date(2011, 1, 4): 20}
    for day, rate in days.items():
        with on_day(day):
            assert entry("vat.standard_rate_pct").value == rate


def the_plan() -> tuple[Lived, ...]:
    return tuple(note for notes in rules.plan().values() for note in notes)


BY_THE_DAY: Mapping[str, tuple[str, Callable[[], tuple[Lived, ...]]]] = {
    "hazards.toml": ("hazard", rules.hazards),
    "substances.toml": ("substance", rules.substances),
    "protection.toml": ("task", rules.protection),
    "steps.toml": ("step", rules.steps),
    "van.toml": ("kit", rules.van_kit),
    "prestart.toml": ("before", rules.before),
    "survey.toml": ("look", rules.looks),
    "incompatible.toml": ("pair", rules.incompatible),
    "matrix.toml": ("matrix", lambda: (rules.matrix(),)),
    "plan.toml": ("note", the_plan),
    **{f"{name}.toml": ("note", partial(rules.notes, name)) for name in rules.NOTES},
    **{
        file: ("sentence", partial(rules.sentences, kind)) for kind, file in rules.SENTENCES.items()
    },
}
"""Every table of rules with a life, the name of its rows, and how it is looked up."""


@pytest.fixture
def read_anew() -> Iterator[None]:
    """The tables are read anew in the test, and after it."""

    def forget_rules() -> None:
        for name in vars(rules).values():
            if hasattr(name, "cache_clear") and not isinstance(name, type):
                name.cache_clear()

    forget_rules()
    yield
    forget_rules()


@pytest.mark.usefixtures("read_anew")
@pytest.mark.parametrize("file", BY_THE_DAY)
def test_a_second_row_of_a_rule_from_a_later_day_takes_over_on_that_day(
    file: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An invented amendment of the first row, which changes its source and nothing else."""
    name, look_up = BY_THE_DAY[file]
    folder = tmp_path / "rules"
    shutil.copytree(rules.RULES, folder)
    monkeypatch.setattr(rules, "RULES", folder)
    table = rules.table_file(file)
    text = table.read_text()
    row = text.split(f"[[{name}]]\n")[1].split("\n[[")[0]
    later = re.sub(r'^source = ".*"$', 'source = "invented"\nfrom = 2027-06-01', row, flags=re.M)
    assert later != row
    table.write_text(f"{text}\n[[{name}]]\n{later}\n")
    found = {}
    for day in (LATER - timedelta(days=1), LATER):
        with on_day(day):
            found[day] = [one.source for one in look_up()]
    before, after = found.values()
    assert len(before) == len(after)
    assert (before.count("invented"), after.count("invented")) == (0, 1)


@pytest.fixture
def all_amended(monkeypatch: pytest.MonkeyPatch, read_anew: None) -> Iterator[None]:  # noqa: ARG001
    """Every published value and every rule has a second one, from a later day."""

    def amended(rows: Sequence[Any]) -> tuple[Any, ...]:
        last = {row.key: row for row in rows}
        return (*rows, *(replace(row, begins=LATER) for row in last.values() if not row.until))

    subject, in_its_turn = loader.subject, rules._in_turn
    forget()
    monkeypatch.setattr(
        loader, "subject", lambda name: {key: amended(one) for key, one in subject(name).items()}
    )
    monkeypatch.setattr(rules, "_in_turn", lambda file, rows: amended(in_its_turn(file, rows)))
    yield
    forget()


@pytest.mark.usefixtures("all_amended", "undrawn")
def test_nothing_is_looked_up_without_a_day_from_the_workbook_to_the_papers(
    tmp_path: Path,
) -> None:
    """Of two of one key none would be found: not by `check`, not for any paper of a job."""
    book = write_book(tmp_path, SURVEYED, {**SURVEYED, "ref": "Q-2"})
    assert [one for one in check_workbook(book, (), TODAY) if one.stops] == []
    batch, out = work_out(book, (), TODAY), tmp_path / "papers"
    made = list(make_papers(batch, list(Paper), out, TODAY, list(CustomerPaper)))
    made += make_diary(batch, out, TODAY)
    assert [one for one in made if one.state is State.BLOCKED] == []
    assert {Paper.QUOTE, Paper.METHOD, Paper.ORDER, *CustomerPaper, *FirmPaper, *DiaryPaper} <= {
        one.paper for one in made
    }


def test_every_table_of_rules_goes_by_the_day() -> None:
    """All but the facts, which nobody publishes, and the stock of the van, the firm's own."""
    assert {path.name for path in rules.RULES.rglob("*.toml")} == {*BY_THE_DAY, "facts.toml"}
    assert {Path(file).stem for file in BY_THE_DAY} == set(rules.every_rule())


def test_what_was_read_long_ago_is_to_be_read_again(tmp_path: Path) -> None:
    """All was read in November 2026; two years later it is due, the day before it is not."""
    found = entry("ladders.rise_for_one_out")
    assert found.checked is not None
    last = found.to_be_read_by
    assert last == found.checked + timedelta(days=730)
    assert found.words not in past_review([], last)
    assert found.words in past_review([], last + timedelta(days=1))
    own = replace(found, review_by=TODAY)
    assert past_review([own], TODAY) == []
    assert own.words in past_review([own], TODAY + timedelta(days=1))
    book = write_book(tmp_path, SURVEYED)
    codes = {
        day: [p.code for p in check_workbook(book, (), day)] for day in (TODAY, date(2030, 6, 3))
    }
    assert "values-past-review" not in codes[TODAY]
    assert codes[date(2030, 6, 3)].count("values-past-review") == 1


def test_every_table_has_neither_gap_nor_overlap_on_any_day_it_names() -> None:
    """Each value has one in force on every day from the first of its dates on."""
    for name in loader.subjects():
        for key, ones in loader.subject(name).items():
            days = {one.begins for one in ones if one.begins}
            days |= {one.until for one in ones if one.until}
            for day in days:
                assert entry(f"{name}.{key}", day) in ones


def test_what_changes_between_two_days() -> None:
    """The relief on insulation ends on 31 March 2027 (VAT Notice 708/6), the guide to insulation in
    dwellings has a new edition from 24 March 2027; nothing else of ours changes that spring.
    """
    spring = changes_between(date(2027, 3, 23), date(2027, 4, 1))
    assert [(one.table, one.key) for one in spring] == [
        ("thermal", "edition"), ("vat", "insulation_relief_pct"),
    ]  # fmt: skip
    assert spring[1].before.endswith(": 0 %")
    assert spring[1].after.endswith(": 5 %")
    assert changes_between(date(2027, 3, 24), date(2027, 3, 31)) == []
    back = changes_between(date(2027, 4, 1), date(2027, 3, 23))
    assert [(one.before, one.after) for one in back] == [(one.after, one.before) for one in spring]


def test_everything_published_has_a_table_a_key_and_words() -> None:
    found = list(everything())
    values = sum(len(ones) for name in loader.subjects() for ones in loader.subject(name).values())
    listed = {(one.table, one.key, one.life.begins) for one in found}
    assert len(found) == len(listed) > values + 300
    assert all(one.says.strip() for one in found)
    assert {one.protects for one in found if one.table == "gloves"} == {True}
    assert {one.protects for one in found if one.table == "vat"} == {False}
