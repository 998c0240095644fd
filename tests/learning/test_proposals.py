"""New rates: when they are proposed, and what they would have done, against quotes made again."""

from pathlib import Path

import pandas as pd
import pytest
from click.testing import CliRunner
from msgspec.structs import replace

from quotegen.cli.commands import cli
from quotegen.learning.compared import compare
from quotegen.learning.proposals import effects, learned_rates, proposals, with_proposals
from quotegen.making.taking_stock import learned_of, rows_of_files, take_stock
from quotegen.model.own.done import Recorded
from quotegen.pricing.quote import make_quote
from quotegen.takeoff.measure import measure
from quotegen.working_out import Batch, work_out
from tests import builders
from tests.builders import TODAY
from tests.learning.firms import firm_of
from tests.workbook.books import enquiry_row, write_book
from tests.workbook.test_done_jobs import LAMINATE

SLOW = [1.5, 1.45, 1.6, 1.4, 1.55, 1.5, 1.52, 1.48]


def test_a_task_clear_of_what_was_allowed_moves_its_rates() -> None:
    """Half as long again: 0.2 person-hours/m2 become some 0.28, still leaning on 0.2."""
    rates = learned_rates(compare(firm_of(SLOW), {}), builders.settings())
    found = {one.code: (one.now, one.new) for one in proposals(rates, builders.settings())}
    assert set(found) == {"hours_laminate", "hours_laminate_cut_up", "hours_laminate_least"}
    now, new = found["hours_laminate"]
    assert now == 0.2
    assert new == pytest.approx(0.28, abs=0.011)
    (rate,) = rates
    assert 1 < rate.ratio < rate.plain
    assert rate.next_low < rate.low < rate.high < rate.next_high


@pytest.mark.parametrize("ratios", [SLOW[:3], SLOW[:4], [1.1, 0.9, 1.05, 0.97, 1.0, 1.02]])
def test_few_jobs_or_jobs_as_allowed_move_none(ratios: list[float]) -> None:
    rates = learned_rates(compare(firm_of(ratios), {}), builders.settings())
    assert proposals(rates, builders.settings()) == ()


def test_a_rate_never_leaves_the_bounds_of_its_setting() -> None:
    """Twenty times what was allowed: gutters of 1 person-hour/m at the most the sheet takes."""
    rows = firm_of([20.0] * 40, Recorded.LAMINATE)
    firm = builders.settings(hours_laminate=2.0)
    (one, *_) = proposals(learned_rates(compare(rows, {}), firm), firm)
    assert (one.code, one.new) == ("hours_laminate", 3.0)


def test_what_they_would_have_done_is_a_quote_made_again(demo_batch: Batch) -> None:
    """Each option against the same roof taken off with the new figures in the settings."""
    quotes = [w.quote for w in demo_batch.worked if w.quote][:3]
    rates = learned_rates(compare(firm_of(SLOW), {}), quotes[0].settings)
    proposed = proposals(rates, quotes[0].settings)
    found = list(effects(quotes, proposed, demo_batch.prices))
    assert len(found) == sum(len(quote.options) for quote in quotes)
    for one in found:
        quote = next(q for q in quotes if q.enquiry.ref == one.ref)
        new = with_proposals(quote.settings, proposed)
        take_off, _ = measure(quote.enquiry, new, demo_batch.prices, quote.dated)
        assert take_off is not None
        again = make_quote(take_off, new, demo_batch.prices, quote.dated)[0].option(one.build_up)
        assert (one.new_cost, one.new_net) == (again.cost.money, again.totals.net.money)
        assert one.new_hours > one.hours
    assert list(effects(quotes, (), demo_batch.prices)) == []


def test_the_year_behind_the_demo_firm_gives_back_what_it_was_made_of(demo_batch: Batch) -> None:
    """Laminate and stripping are made slow in it, trims quick, decks and topcoat nearly right."""
    stock = take_stock(demo_batch, (), TODAY)
    assert stock is not None
    tells = {rate.what for rate in stock.rates if rate.tells}
    assert {Recorded.LAMINATE, Recorded.STRIP_COVERING, Recorded.TRIM} <= tells
    assert {Recorded.DECK, Recorded.TOPCOAT_KG}.isdisjoint(tells)
    learned = learned_of(demo_batch, TODAY)
    assert learned is not None
    assert {what: spread.jobs for what, spread in learned.own.items()} == {
        rate.what: rate.jobs for rate in stock.rates
    }


def test_a_firm_with_three_jobs_is_told_how_little_that_is(tmp_path: Path) -> None:
    rows = [{**LAMINATE, "ref": f"D-{n}", "allowed": 4.0} for n in range(3)]
    book = write_book(tmp_path / "jobs.xlsx", done_jobs=rows)
    before = book.read_bytes()
    ran = CliRunner().invoke(cli, ["learn", str(book), "--on", "2026-11-25"])
    for said in ("3 jobs", "That is not much to go on", "We suggest no new rate", "Too few jobs"):
        assert said in ran.output
    assert book.read_bytes() == before, "the workbook is only ever read"
    assert (tmp_path / "papers" / "own-numbers.pdf").read_bytes().startswith(b"%PDF")


def test_a_job_whose_row_is_still_there_needs_no_allowance(tmp_path: Path) -> None:
    """The sound bay, capped over: what the row took against its own take-off."""
    book = write_book(
        tmp_path / "jobs.xlsx",
        enquiry_row("T-01", build_ups="new deck"),
        done_jobs=[{**LAMINATE, "ref": "T-01"}, {**LAMINATE, "ref": "T-01", "what": "gutter"}],
    )
    ran = CliRunner().invoke(cli, ["learn", str(book), "--on", "2026-11-25"])
    assert "laminate" in ran.output
    assert "1 row has nothing to compare with (T-01)" in ran.output


def test_no_done_jobs_are_no_fault(tmp_path: Path) -> None:
    ran = CliRunner().invoke(cli, ["learn", str(write_book(tmp_path / "jobs.xlsx"))])
    assert "Done jobs sheet is empty" in ran.output


@pytest.mark.parametrize("ending", ["csv", "ods", "xlsx"])
def test_done_jobs_may_lie_in_a_file_of_their_own(tmp_path: Path, ending: str) -> None:
    """Written by pandas, as another program would; a day typed as in a workbook."""
    path = tmp_path / f"done.{ending}"
    frame = pd.DataFrame(
        {
            "Reference": ["T-1", "T-2"], "Day done": ["12/06/2026", "13/06/2026"],
            "What": ["laminate", "resin, kg"], "How much": [2.5, 31], "People": [2, None],
            "Who": ["Wren", None], "Allowed by the quote": [4.4, 28.0],
        }
    )  # fmt: skip
    if ending == "csv":
        frame.to_csv(path, index=False)
    else:
        frame.to_excel(path, index=False, sheet_name="Done jobs")
    rows, problems = rows_of_files([path])
    assert [p for p in problems if p.code != "heading-missing"] == []
    assert [(row.ref, row.took, row.allowed) for row in rows] == [
        ("T-1", 5.0, 4.4),
        ("T-2", 31.0, 28.0),
    ]


@pytest.mark.parametrize("ending", ["csv", "ods"])
def test_a_file_that_cannot_be_read_is_named(tmp_path: Path, ending: str) -> None:
    path = tmp_path / f"done.{ending}"
    path.write_bytes(b"\xff\xfe\x00\x01 rubbish")
    rows, (found,) = rows_of_files([path])
    assert rows == ()
    assert (found.code, found.place.book) == ("done-file-unreadable", path.name)
    assert rows_of_files([tmp_path / "gone.csv"])[1][0].code == "done-file-unreadable"


def test_a_rate_that_was_taken_is_not_proposed_again(tmp_path: Path) -> None:
    """What was allowed is worked out at the rates of today: once it is taken, the jobs agree."""
    refs = [f"T-{number:02}" for number in range(8)]
    garage = {
        "roof_kind": "garage", "shape": "rectangle", "width_mm": 6000, "projection_mm": 3000,
        "front_width_mm": None, "build_ups": "new deck",
    }  # fmt: skip
    path = tmp_path / "jobs.xlsx"
    enquiries = [enquiry_row(ref, **garage) for ref in refs]
    rows = [{**LAMINATE, "ref": ref, "amount": 1.0, "people": 1} for ref in refs]
    batch = work_out(write_book(path, *enquiries, done_jobs=rows), (), TODAY)
    allowed = take_stock(batch, (), TODAY)
    assert allowed is not None
    hours = float(allowed.compared.frame["allowed"].iloc[0])
    slow = [
        {**row, "amount": round(ratio * hours, 2)} for row, ratio in zip(rows, SLOW, strict=True)
    ]
    batch = work_out(write_book(path, *enquiries, done_jobs=slow), (), TODAY)
    before = take_stock(batch, (), TODAY)
    assert before is not None
    assert before.compared.at_own == 0
    firm = batch.read.settings
    assert firm is not None
    taken = replace(batch.read, settings=with_proposals(firm, before.proposals))
    after = take_stock(replace(batch, read=taken), (), TODAY)
    assert after is not None
    assert {one.code for one in before.proposals} >= {"hours_laminate"}
    assert after.proposals == ()
