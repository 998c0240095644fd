"""Generated jobs, and what each of their papers says, without drawing any.

A job goes the whole way: enquiry, take-off, price, days, statement, papers. What a paper says is
read from the HTML it is drawn from, as plain text with single spaces, so fifty jobs cost little.
"""

import random
from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from email import message_from_string, policy
from functools import cache
from html.parser import HTMLParser

from msgspec import Struct
from msgspec.structs import replace

from quotegen.documents.printing.paper import PictureBox
from quotegen.making.papers import PAPER_KINDS, Paper, Ready, draft_of, ready_for
from quotegen.model.choices import (
    Access,
    BuildUp,
    Covering,
    Deck,
    DeckCondition,
    EdgeKind,
    Household,
    Occupier,
    Shape,
    Side,
    Size,
    WallJoint,
)
from quotegen.model.enquiry import Enquiry, MeasuredRoof
from quotegen.model.issue import Issue, IssuedPaper
from quotegen.model.settings import Settings
from quotegen.model.weather import Weather
from quotegen.workbook.reading.reader import WorkbookRead
from quotegen.working_out import Opened, each_worked_out
from tests import builders
from tests.safety import jobs
from tests.safety.forecasts import COLD, DEW, FAIR, WET, Reading, forecast

MADE_JOBS = 50
_SEED = 20261128
LETTERS = (Paper.EMAIL, Paper.ACCEPTED_EMAIL, Paper.START_EMAIL)
_BLOCKS = frozenset({"p", "div", "li", "tr", "td", "th", "h1", "h2", "h3", "section", "br", "text"})
_UNSEEN = frozenset({"style", "script", "title", "desc"})


class PaperSet(Struct, frozen=True):
    """A job with what each of its papers says, block by block."""

    ready: Ready
    blocks: Mapping[Paper, tuple[str, ...]]

    @property
    def texts(self) -> Mapping[Paper, str]:
        """The text of each paper with single spaces."""
        return {paper: " ".join(blocks) for paper, blocks in self.blocks.items()}

    @property
    def letter(self) -> str:
        """What the e-mail with the quote says, or the one on acceptance once it is accepted."""
        texts = self.texts
        return texts.get(Paper.EMAIL) or texts[Paper.ACCEPTED_EMAIL]

    @property
    def ref(self) -> str:
        """Its reference."""
        return self.ready.ref


class _Words(HTMLParser):
    """The words of a page that a reader sees."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []
        self._unseen = 0

    def handle_starttag(self, tag: str, _attrs: list[tuple[str, str | None]]) -> None:
        self._unseen += tag in _UNSEEN
        self.found += ["\n"] * (tag in _BLOCKS)

    def handle_endtag(self, tag: str) -> None:
        self._unseen -= tag in _UNSEEN
        self.found += ["\n"] * (tag in _BLOCKS)

    def handle_data(self, data: str) -> None:
        self.found += [data.replace("\n", " ")] * (not self._unseen)


def blocks_of(html: str) -> tuple[str, ...]:
    """The text of a page, block by block (paragraph, cell, heading), with single spaces."""
    reader = _Words()
    reader.feed(html)
    reader.close()
    blocks = (" ".join(block.split()) for block in "".join(reader.found).split("\n"))
    return tuple(block for block in blocks if block)


def letter_of(message: str) -> str:
    """The words of an e-mail, as its reader sees them."""
    body = message_from_string(message, policy=policy.default).get_body()
    assert body is not None
    return str(body.get_content())


def paper_set(ready: Ready, on: date) -> PaperSet:
    """What the papers of a job say; those it does not need are left out."""
    issue = Issue(ready.ref, 0, on)
    found = {}
    for paper in Paper:
        kind = PAPER_KINDS[paper]
        if not kind.wanted(ready):
            continue
        carried = {
            one: IssuedPaper(PAPER_KINDS[one].maker.title, issue, f"{ready.ref}-{one}-r0.pdf", b"")
            for one in kind.carries(ready)
        }
        draft = draft_of(replace(ready, carried=carried), paper)
        said = draft.maker.said(draft.subject(issue), issue, PictureBox(None, ready.ref))
        found[paper] = blocks_of(letter_of(said) if paper in LETTERS else said)
    return PaperSet(ready, found)


@cache
def made_sets() -> tuple[PaperSet, ...]:
    """The papers of fifty generated jobs that nothing stops; the same on every run."""
    return tuple(_made_sets())


def _made_sets() -> Iterator[PaperSet]:
    dice = random.Random(_SEED)
    found = 0
    while found < MADE_JOBS:
        ready = ready_of(*_drawn_job(dice, found))
        if ready:
            found += 1
            yield paper_set(ready, builders.TODAY)


def ready_of(enquiry: Enquiry, firm: Settings) -> Ready | None:
    """A job worked out as a row of a workbook is; None where something stops its papers."""
    prices = builders.prices()
    read = WorkbookRead((enquiry,), (enquiry.ref,), firm, firm, ())
    opened = Opened(read, prices, frozenset(), (), ())
    (worked,) = each_worked_out(opened, builders.TODAY)
    return ready_for(worked, prices)


def _drawn_job(dice: random.Random, number: int) -> tuple[Enquiry, Settings]:
    """A job drawn by lot: its enquiry, and the firm with the forecast of that week."""
    condition = dice.choice(list(DeckCondition))
    build_ups = [
        up for up in BuildUp if up is not BuildUp.CAP_OVER or condition is DeckCondition.SOUND
    ]
    priced = tuple(dice.sample(build_ups, dice.randint(1, 2)))
    enquiry = jobs.plain_enquiry(
        ref=f"T-{number:02}",
        roof=_drawn_roof(dice),
        occupier=dice.choice(list(Occupier)),
        household=dice.choice([(Household.NONE,), (Household.CHILDREN,), ()]),
        existing=replace(
            jobs.FELT,
            covering=dice.choice([Covering.FELT, Covering.ASPHALT, Covering.LEAD]),
            deck=dice.choice([Deck.SHEET, Deck.BOARDING]),
            condition=condition,
        ),
        build_ups=priced,
        accepted=dice.choice([None, priced[0]]),
        insulation_mm=jobs.number(100.0, "mm"),
        wall_joint=dice.choice(list(WallJoint)),
        year_built=jobs.number(dice.choice([1930.0, 1985.0, 2015.0]), "year"),
        deck_c=jobs.number(dice.choice([7.0, 9.0, 12.0, 18.0, 24.0]), "°C"),
        access=dice.choice([None, Access.TOWER, Access.SCAFFOLD]),
        start_on=dice.choice([None, *(builders.TODAY + timedelta(days=n) for n in (3, 12, 24))]),
        site=replace(
            jobs.NOTHING_NEAR,
            asbestos_surveyed=dice.choice([True, False, None]),
            heated_below=dice.choice([True, False]),
            overhead_cables=dice.choice([True, False, None]),
        ),
    )
    return enquiry, replace(jobs.SETTINGS, forecast=_drawn_weather(dice))


def _drawn_roof(dice: random.Random) -> MeasuredRoof:
    width, out = dice.randrange(1800, 6200, 50), dice.randrange(500, 4200, 50)
    if dice.random() < 0.4:
        return builders.canted_bay((width, width / 2, min(out, 900)))
    edges = dict.fromkeys((Side.LEFT, Side.RIGHT), dice.choice([EdgeKind.RAISED, EdgeKind.WALL]))
    return builders.roof(
        Shape.RECTANGLE,
        sizes={Size.WIDTH: width, Size.PROJECTION: out},
        edges={Side.BACK: EdgeKind.WALL, Side.FRONT: EdgeKind.GUTTER_DRIP, **edges},
    )


def _drawn_weather(dice: random.Random) -> tuple[Weather, ...]:
    """No forecast, or a fortnight from tomorrow, mostly fair."""
    if dice.random() < 0.3:
        return ()
    kinds = [FAIR, FAIR, FAIR, WET, COLD, DEW]
    days: list[list[Reading]] = [list(dice.choice(kinds)) for _ in range(14)]
    return forecast(*days, first=builders.TODAY + timedelta(days=1))
