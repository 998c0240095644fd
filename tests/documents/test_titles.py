"""Every title of a rule table may be reworded: the papers follow, and nothing is lost.

Each title gets a mark of its own, all at once. The papers must then be the same everywhere, with
the mark in place of the title.
"""

import re
import shutil
from collections.abc import Iterator, Mapping
from functools import partial
from html.parser import HTMLParser
from pathlib import Path

import pytest
from msgspec import Struct
from msgspec.structs import replace

from quotegen.documents.crew.cutting_list import CUTTING_LIST
from quotegen.documents.crew.day_sheet import DAY_SHEET
from quotegen.documents.crew.order import ORDER
from quotegen.documents.customer.hand_over import HAND_OVER, HandOver
from quotegen.documents.customer.quote import QUOTE
from quotegen.documents.customer.schedule import schedule_view
from quotegen.documents.safety.method import METHOD
from quotegen.documents.safety.phase_plan import PHASE_PLAN
from quotegen.documents.safety.site_card import SITE_CARD
from quotegen.documents.safety.standing_sheet import STANDING_SHEET
from quotegen.documents.safety.tenant_notice import TENANT_NOTICE
from quotegen.documents.shared.remark_words import SaidLine, said_lines
from quotegen.model.choices import ComesOff, CustomerKind
from quotegen.model.enquiry import Customer
from quotegen.model.issue import Issue
from quotegen.model.quote import Quote
from quotegen.model.safety import Known
from quotegen.model.several import QuotedRoof, Schedule
from quotegen.model.takeoff import OptionTakeOff
from quotegen.pricing import schedule as pricing_schedule
from quotegen.pricing import scope
from quotegen.pricing.schedule import make_schedule
from quotegen.reference import house_rules, rules
from quotegen.reference.remark_keys import Included
from quotegen.safety.statement import statement as safety_statement
from quotegen.safety.statement.construction_plan import make_plan
from quotegen.safety.statement.standing import make_sheet
from quotegen.safety.statement.statement import make_statement
from quotegen.workbook.sheets.declaration import sheets
from tests.builders import TODAY
from tests.documents.conftest import ISSUE, agreed, bay_enquiry, priced
from tests.safety import jobs

TITLES: Mapping[str, str] = {
    "care": "title",
    "emergency": "title",
    "law": "title",
    "marks": "title",
    "notice": "title",
    "plan": "title",
    "stored": "title",
    "steps": "title",
    "hazards": "hazard",
    "protection": "task",
    "substances": "name|short",
    "facts": "words",
}
"""The tables with words that name a rule in print, and the field they stand in."""
UNTITLED = {
    "cautions": "a list of sentences",
    "prestart": "lists of what is waited for",
    "people": "a list of sentences",
    "photos": "a list of sentences",
    "survey": "what to look at, and where the answer goes",
    "waste": "a list of sentences",
    "incompatible": "what happens, and what each is called, stands in the rows of substances",
    **dict.fromkeys(
        (Path(file).stem for file in rules.SENTENCES.values()), "sentences the program picks"
    ),
    "van": "names of things to load, not headings",
    "matrix": "its words are the axes of the table",
}
"""The tables of which no title is printed, and why; their rules have keys alone."""
MARK = re.compile(r"zq\d{3}")
ON_CARD = ("Boards", "Fire", "First aid", "Topcoat")
"""Short forms of the site card's front, which is the first page of the statement too."""
OWN_WORDS = {
    "method": ("Splash goggles.", "Dust goggles.", "Safety glasses.", *ON_CARD),
    "cutting list": ("Boards",),
    "mix card": ("TOPCOAT", *ON_CARD),
    "order": ("Acetone", "Chemical gloves", "Topcoat", "Trim adhesive"),
    "phase plan": ("Way up",),
    "standing sheet": ("Waste:",),
}  # fmt: skip
"""Sentences of the table of what to wear, the name of a material, items by their catalogue, the
access of the project, a part of the sheet: they name a thing, and only happen to be spelt as a
title."""
NO_HEADING = {"hole below": "painted on the cover", "no": "an answer on the sheet"}
"""What stands in quotes in a rule and is no heading of a paper."""


class Marked(Struct, frozen=True):
    """A title and its mark."""

    table: str
    title: str
    mark: str


def marked_copy(folder: Path) -> list[Marked]:
    """The rule tables written anew with a mark in each title, before a stop that ends it."""
    shutil.copytree(rules.RULES, folder, dirs_exist_ok=True)
    found: list[Marked] = []

    def marked(match: re.Match[str], table: str) -> str:
        mark = f"zq{len(found):03d}"
        found.append(Marked(table, match[2], mark))
        bare = match[2].rstrip("?")
        return f'{match[1]}"{bare}{mark}{match[2][len(bare) :]}"'

    for table, field in TITLES.items():
        (path,) = folder.rglob(f"{table}.toml")
        text = re.sub(
            rf'^((?:{field}) = )"(.*)"$',
            partial(marked, table=table),
            path.read_text(),
            flags=re.MULTILINE,
        )
        path.write_text(text)
    return found


def forget() -> None:
    """The rule tables are read anew the next time."""
    for read in (rules.facts, rules.hazards, rules.substances, rules.incompatible,
                 rules.protection, rules.steps, rules.notes, rules.every_plan_note):  # fmt: skip
        read.cache_clear()


class _Texts(HTMLParser):
    """The pieces of text between the tags of a paper, in order."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_data(self, data: str) -> None:
        if data.strip():
            self.found.append(" ".join(data.split()))


def texts(html: str) -> list[str]:
    """What a paper says, piece by piece."""
    parser = _Texts()
    parser.feed(html)
    return parser.found


def said(quote: Quote) -> dict[str, list[str]]:
    """What the papers of a job say of which nothing is known, so that every rule stands."""
    made = make_statement(quote.take_off, quote.settings, TODAY)
    plan = make_plan(made)
    handed = HandOver(quote, made)
    papers = {
        "method": METHOD.html(made, ISSUE),
        "mix card": SITE_CARD.html(made, ISSUE),
        "day sheet": DAY_SHEET.html(made, ISSUE),
        "phase plan": PHASE_PLAN.html(plan, ISSUE),
        "notice": TENANT_NOTICE.html(agreed(made), ISSUE),
        "order": ORDER.html(made, ISSUE),
        "cutting list": CUTTING_LIST.html(made, ISSUE),
        "hand-over": HAND_OVER.html(handed, ISSUE),
        "standing sheet": STANDING_SHEET.html(make_sheet(quote.settings, quote.enquiry), ISSUE),
    }
    return {name: texts(html) for name, html in papers.items()}


@pytest.fixture
def every_rule(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Nothing is known of any job, so that every rule stands; the tables are forgotten after."""
    monkeypatch.setattr(
        safety_statement, "facts_of", lambda _: jobs.made_up_facts({}, Known.UNKNOWN)
    )
    yield
    monkeypatch.undo()
    forget()


def named_in(text: str) -> Iterator[str]:
    """What a piece of text may name: itself without its stop, and what it has in quotes."""
    yield text.rstrip(".:").casefold()
    for quoted in re.findall("“([^”]*)”", text):
        yield quoted.casefold()


@pytest.mark.usefixtures("every_rule")
def test_a_title_in_other_words_is_followed_everywhere(
    bay_quote: Quote, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = said(bay_quote)
    marked = marked_copy(tmp_path)
    monkeypatch.setattr(rules, "RULES", tmp_path)
    forget()
    after = said(bay_quote)
    assert {p: [MARK.sub("", text) for text in after[p]] for p in after} == before
    seen = {mark for texts in after.values() for text in texts for mark in MARK.findall(text)}
    assert [one for one in marked if one.mark not in seen] == [], "titles that no paper prints"
    marks: dict[str, set[str]] = {}
    for one in marked:
        marks.setdefault(one.title.casefold(), set()).add(one.mark)
    left = [
        (paper, old)
        for paper, old_texts in before.items()
        for old, new in zip(old_texts, after[paper], strict=True)
        for name in named_in(old)
        if name in marks and not marks[name] & set(MARK.findall(new))
    ]
    told = {(paper, text) for paper, found in OWN_WORDS.items() for text in found}
    assert set(left) == told, "titles that stand in a paper in words of its own"


def test_every_table_of_rules_is_marked_or_has_no_title() -> None:
    files = {path.stem for path in rules.RULES.rglob("*.toml")}
    assert files == set(TITLES) | set(UNTITLED)
    for table in UNTITLED:
        assert "title" not in rules.table_file(f"{table}.toml").read_text()


@pytest.mark.usefixtures("every_rule")
def test_what_a_rule_points_to_in_quotes_is_a_heading_that_stands_there(bay_quote: Quote) -> None:
    papers = said(bay_quote)
    headings = {text.rstrip(".:") for name in ("method", "standing sheet") for text in papers[name]}
    headings |= {column.heading for sheet in sheets().values() for column in sheet.columns}
    consumer = Customer("Mr D. Dunlin", CustomerKind.HOME_OWNER, "31 Saltmarsh Close, Mizzlehaven")
    headings |= set(texts(QUOTE.html(priced(bay_enquiry(customer=consumer)), ISSUE)))
    quoted = {
        (path.stem, name)
        for path in rules.RULES.rglob("*.toml")
        for name in re.findall("“([^”{]+)”", path.read_text())
    }
    assert len(quoted) > len(NO_HEADING)
    assert {(t, n) for t, n in quoted if n not in headings and n not in NO_HEADING} == set()


def in_other_words(option: OptionTakeOff) -> OptionTakeOff:
    """A take-off in which every task and everything that comes off has a mark in its words."""
    return replace(
        option,
        labour=tuple(
            replace(line, task=f"{line.task}zq{n:03d}") for n, line in enumerate(option.labour)
        ),
        strip=tuple(
            replace(line, words=f"{line.words}zq9{n:02d}") for n, line in enumerate(option.strip)
        ),
    )


def test_tasks_and_what_comes_off_may_be_put_into_other_words(bay_quote: Quote) -> None:
    for one in bay_quote.options:
        option, enquiry = one.take_off, bay_quote.enquiry
        renamed = in_other_words(option)
        covered = said_lines(scope.includes(enquiry, renamed, bay_quote.settings))
        undone = said_lines(scope.leaves_undone(enquiry, renamed, bay_quote.settings))
        assert unmarked(covered) == said_lines(one.includes)
        assert unmarked(undone) == said_lines(one.leaves_undone)
        off = {line.key for line in option.strip}
        strips = [line.words for line in covered if line.key is Included.STRIP]
        assert bool(strips) is (ComesOff.COVERING in off)
        assert all(MARK.search(words) for words in strips)
        made = make_statement(bay_quote.take_off, bay_quote.settings, TODAY)
        papers = [
            [texts(paper.html(replace(made, option=taken), ISSUE)) for paper in (METHOD, DAY_SHEET)]
            for taken in (option, renamed)
        ]
        assert [[MARK.sub("", text) for text in paper] for paper in papers[1]] == papers[0]
        assert any(MARK.search(text) for paper in papers[1] for text in paper)


def unmarked(lines: tuple[SaidLine, ...]) -> tuple[SaidLine, ...]:
    return tuple(replace(line, words=MARK.sub("", line.words)) for line in lines)


def test_a_band_of_urgency_in_other_words_ranks_the_roofs_as_before(
    roofs: Schedule, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shutil.copytree(house_rules.HOUSE, tmp_path, dirs_exist_ok=True)
    path = tmp_path / "urgency.toml"
    table, _, rest = path.read_text().partition("[[rule]]")
    path.write_text(re.sub(r'^(words = ".*)"$', r'\1zq001"', table, flags=re.M) + "[[rule]]" + rest)
    before = shown(roofs)
    cached = (house_rules.urgency, house_rules.urgency_bands, pricing_schedule._rules)
    monkeypatch.setattr(house_rules, "HOUSE", tmp_path)
    for read in cached:
        read.cache_clear()
    try:
        quoted = [QuotedRoof(roof.quote, roof.revision) for roof in roofs.roofs]
        after = shown(make_schedule(quoted))
    finally:
        monkeypatch.undo()
        for read in cached:
            read.cache_clear()
    assert [(ref, f"{band}zq001") for ref, band in before] == after


def shown(roofs: Schedule) -> list[tuple[str, str]]:
    """The roofs in order with how urgent they are, as the paper has it."""
    view = schedule_view(roofs, Issue("S-01", 0, TODAY))
    assert {roof.band for roof in view.roofs} <= {band for band, _ in view.urgency}
    return [(roof.ref, roof.band) for roof in view.roofs]
