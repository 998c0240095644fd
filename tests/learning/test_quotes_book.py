"""The book of quotes: what waits, runs out, was won; sums to the penny, and its exports."""

import io
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

import pandas as pd
import pytest
from statsmodels.stats.proportion import proportion_confint

from quotegen.demo.scenario import demo_date, demo_past_quotes
from quotegen.documents.owner.quotes_page import quotes_lines, quotes_view, quotes_workbook
from quotegen.learning.quotes_book import QuotesBook, quotes_book, share_won
from quotegen.making.noting import remember_past
from quotegen.model.choices import BuildUp, CustomerKind, RoofKind
from quotegen.model.own.quoted import EnquiryNote, IssuedQuote, Offer, Standing, became_of
from quotegen.register.store import Register
from tests.spreadsheets import converted

ON = date(2026, 11, 25)


def quote(ref: str, net: str, cost: str, issued: date = ON, days: int = 30) -> IssuedQuote:
    """A quote of a new deck, and of one dearer by 100 pounds with insulation."""
    plain, more, vat = Decimal(net), Decimal(net) + 100, Decimal("1.2")
    offers = (
        Offer(BuildUp.NEW_DECK, plain, plain * vat, Decimal(cost)),
        Offer(BuildUp.NEW_DECK_INSULATED, more, more * vat, Decimal(cost)),
    )
    return IssuedQuote(ref, 0, issued, issued + timedelta(days=days), offers)


def note(ref: str, accepted: BuildUp | None = None, said_no: str = "") -> EnquiryNote:
    return EnquiryNote(
        ref, "Ms E. Example", CustomerKind.LANDLORD, RoofKind.BAY, ON, accepted, said_no
    )


@pytest.mark.parametrize(
    ("days_on", "noted", "became"),
    [
        (30, None, Standing.WAITS),
        (31, None, Standing.RAN_OUT),
        (60, note("R", BuildUp.NEW_DECK), Standing.YES),
        (1, note("R", said_no="too dear"), Standing.NO),
        (31, note("R"), Standing.RAN_OUT),
    ],
)
def test_what_has_become_of_a_quote(
    days_on: int, noted: EnquiryNote | None, became: Standing
) -> None:
    """It is good on its last day and not on the next."""
    assert became_of(quote("R", "1", "1"), noted, ON + timedelta(days=days_on)) is became


def test_waiting_running_out_and_won_by_hand() -> None:
    quotes = [
        quote("A", "1000.00", "700.00"),
        quote("B", "500.10", "450.00", issued=ON - timedelta(days=23)),
        quote("C", "2000.00", "1100.00", issued=ON - timedelta(days=40)),
        quote("D", "800.05", "600.00", issued=ON - timedelta(days=5)),
    ]
    notes = [note("A", BuildUp.NEW_DECK_INSULATED), note("D", said_no="too dear")]
    book = quotes_book(quotes, notes, ON)
    assert list(book.waiting["reference"]) == ["B"]
    assert list(book.running_out["reference"]) == ["B"], "7 days are left"
    assert book.net_won == Decimal("1100.00"), "the option that was accepted"
    by_kind = {one.group: one for one in book.by_kind}
    assert by_kind["bay"].net == Decimal("1100.00")
    assert by_kind["bay"].margin == Decimal("400.00")
    assert (by_kind["bay"].won, by_kind["bay"].lost) == (1, 1)
    assert by_kind["not known"].lost == 1, "C ran out; B and C have no note"
    assert [(one.group, one.quotes) for one in book.by_month] == [("Oct 2026", 1), ("Nov 2026", 3)]
    margins = {one.group: one.quotes for one in book.by_margin}
    # 1 - 700/1100 = 36.4 %, 1 - 450/500.10 = 10.0 %, 1 - 1100/2000 = 45 %, 1 - 600/800.05 = 25.0 %
    assert margins == {
        "margin under 20%": 1, "margin 20 to 30%": 1, "margin 30 to 40%": 1,
        "margin 40% or more": 1,
    }  # fmt: skip
    assert book.reasons == (("too dear", 1),)


@pytest.mark.parametrize(("won", "answered"), [(0, 4), (4, 4), (7, 12), (1, 30), (29, 30)])
def test_the_interval_of_a_share_is_that_of_a_statistics_library(won: int, answered: int) -> None:
    """Clopper and Pearson, as statsmodels has it (`method="beta"`)."""
    low, high = proportion_confint(won, answered, alpha=0.1, method="beta")
    assert share_won(won, answered) == pytest.approx((won / answered, low, high))


@pytest.fixture(scope="module")
def past(tmp_path_factory: pytest.TempPathFactory) -> Register:
    folder = tmp_path_factory.mktemp("past")
    remember_past(folder, *demo_past_quotes())
    return Register(folder)


@pytest.fixture(scope="module")
def book(past: Register) -> QuotesBook:
    return quotes_book(past.quotes(), past.notes(), demo_date())


def test_the_sum_of_pandas_is_the_registers_own_to_the_penny(
    past: Register, book: QuotesBook
) -> None:
    assert book.net_won == past.won()
    assert sum(one.net for one in book.by_kind) == past.won()
    assert sum(one.net for one in book.by_month) == past.won()
    assert sum(one.quotes for one in book.by_margin) == len(past.quotes()) == 62


def test_the_register_gives_back_what_it_was_given(past: Register) -> None:
    quotes, notes = demo_past_quotes()
    assert list(past.quotes()) == sorted(quotes, key=lambda one: one.reference)
    assert list(past.notes()) == sorted(notes, key=lambda one: one.reference)


def test_what_is_noted_stays_when_its_row_is_gone(tmp_path: Path) -> None:
    register = Register(tmp_path)
    register.note([note("A"), note("B")])
    register.note([note("B", said_no="too dear")])
    assert [(one.reference, one.said_no) for one in register.notes()] == [
        ("A", ""),
        ("B", "too dear"),
    ]


def test_only_the_last_revision_counts(tmp_path: Path) -> None:
    register = Register(tmp_path)
    first, later = quote("A", "100.00", "50.00"), quote("A", "120.00", "50.00")
    later = IssuedQuote("A", 1, later.issued, later.valid_until, later.offers)
    register.remember([first, later])
    register.note([note("A", BuildUp.NEW_DECK)])
    assert register.quotes() == (later,)
    assert register.won() == Decimal("120.00")


def test_the_workbook_is_opened_by_pandas_with_the_same_sums(book: QuotesBook) -> None:
    content = quotes_workbook(book, "Tern & Daughter")
    sheets = pd.read_excel(io.BytesIO(content), sheet_name=None, header=None)
    assert list(sheets) == ["All quotes", "By kind of roof", "By month quoted", "By margin"]
    quotes = pd.read_excel(io.BytesIO(content), sheet_name="All quotes", header=2)
    assert len(quotes) == 62
    won = quotes[quotes["Standing"] == "said yes"]["Price without VAT"].sum()
    assert Decimal(str(round(won, 2))) == book.net_won
    assert quotes_workbook(book, "Tern & Daughter") == content


def test_the_workbook_is_opened_by_libreoffice(tmp_path: Path, book: QuotesBook) -> None:
    path = tmp_path / "our-quotes.xlsx"
    path.write_bytes(quotes_workbook(book, "Tern & Daughter"))
    again = pd.read_excel(converted(path, "xlsx", tmp_path / "again"), header=2)
    assert list(again["Reference"]) == list(book.frame["reference"])
    won = again[again["Standing"] == "said yes"]["Price without VAT"].sum()
    assert Decimal(str(round(won, 2))) == book.net_won


def test_a_name_that_looks_like_a_formula_stays_a_name() -> None:
    hostile = EnquiryNote("A", "=1+1", CustomerKind.AGENT, RoofKind.BAY, ON)
    made = quotes_workbook(quotes_book([quote("A", "1", "1")], [hostile], ON), "")
    read = pd.read_excel(io.BytesIO(made), sheet_name="All quotes", header=2)
    assert read["Customer"][0] == "=1+1"


def test_the_lines_and_the_page_say_the_same(book: QuotesBook) -> None:
    lines = "\n".join(quotes_lines(book))
    view = quotes_view(book)
    assert "62 quotes by 23 November 2026: 27 said yes, 25 said no, 10 ran out." in lines
    for _, rows in view.tables:
        for row in rows:
            assert row.net in lines
            assert row.share in lines
    assert "<svg" in view.months
    assert view.months.count("<title>Quotes won by month. Oct 2025: 1 of 2") == 1
    assert view.months == quotes_view(book).months
