"""The commands: their output, where it goes, and their exit codes."""

import json
import subprocess
import sys
from decimal import Decimal
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from quotegen import app
from quotegen.cli import group, jobs
from quotegen.cli.commands import cli
from quotegen.cli.telling import EVERY_PAPER, NO_ENQUIRY
from quotegen.demo.scenario import demo_date
from quotegen.workbook.reading.price_lists import read_price_lists
from quotegen.workbook.reading.reader import read_workbook
from tests.test_app import SURVEYED, write_book
from tests.workbook.books import setting_cell, type_into, write_prices

ON = ("--on", "2026-11-25")


def fill_in_setting(book: Path, code: str, value: str) -> None:
    type_into(book, {setting_cell(code): value})


def run(*words: str | Path) -> Result:
    return CliRunner().invoke(cli, [str(word) for word in words])


def test_blank_then_check_says_what_only_the_firm_knows(tmp_path: Path) -> None:
    book = tmp_path / "jobs.xlsx"
    assert run("blank", book).exit_code == 0
    again = run("blank", book)
    assert again.exit_code == 1
    assert "it has been left as it is" in again.stderr
    checked = run("check", book, *ON)
    assert checked.exit_code == 1
    assert "Business" in checked.stderr
    assert "Traceback" not in checked.output


def test_check_of_a_sound_workbook(tmp_path: Path) -> None:
    book = write_book(tmp_path, SURVEYED)
    checked = run("check", book, *ON)
    assert (checked.exit_code, checked.stderr) == (0, "")
    assert "nothing to put right" in checked.stdout
    assert json.loads(run("check", book, "--json", *ON).stdout) == []


def test_check_with_warnings_alone_says_that_nothing_stops(tmp_path: Path) -> None:
    book = write_book(tmp_path, {k: v for k, v in SURVEYED.items() if k != "travel_min"})
    checked = run("check", book, *ON)
    assert checked.exit_code == 0 and "WARN" in checked.stderr
    assert "only the warnings above, nothing stops" in checked.stdout


def test_a_reference_used_twice_names_both_cells_in_one_line(tmp_path: Path) -> None:
    book = write_book(tmp_path, SURVEYED, {**SURVEYED, "ref": "t-01 "})
    checked = run("check", book, *ON)
    (stop,) = [line for line in checked.stderr.splitlines() if line.startswith("STOP")]
    assert "T-01 is used in A3 and A4" in stop


def test_a_paper_asked_for_too_early_is_not_dropped_in_silence(tmp_path: Path) -> None:
    book = write_book(tmp_path, SURVEYED)
    for others in ((), ("--paper", "order-book")):
        asked = run("job", book, "--paper", "e-mail-start", *others, *ON)
        assert "T-01: no e-mail-start: the job has not come to it" in asked.stdout
        assert "No row on Enquiries" not in asked.stdout


def test_the_cost_sheet_is_said_to_go_to_nobody(tmp_path: Path) -> None:
    asked = run("job", write_book(tmp_path, SURVEYED), *ON)
    assert "for you alone: cost-sheet" in " ".join(asked.stdout.split())


def test_check_names_cell_cure_and_code(tmp_path: Path) -> None:
    book = write_book(tmp_path, {**SURVEYED, "width_mm": 2.4})
    checked = run("check", book, *ON)
    assert checked.exit_code == 1
    assert "STOP [T-01] Enquiries!" in checked.stderr
    assert "Type 2400" in checked.stderr
    found = json.loads(run("check", book, "--json", *ON).stdout)
    assert [p["code"] for p in found] == ["cell-unit-doubtful"]
    assert found[0]["cell"].endswith("3")


def test_takeoff_as_data_has_the_public_format(tmp_path: Path) -> None:
    book = write_book(tmp_path, SURVEYED)
    made = run("takeoff", book, "--json", *ON)
    assert made.exit_code == 0
    data = json.loads(made.stdout)
    enquiry = data["enquiries"][0]
    assert (data["format"], enquiry["ref"]) == (3, "T-01")
    assert enquiry["roof"]["area_m2"] == 1.08
    assert [edge["length_mm"] for edge in enquiry["roof"]["edges"]] == [2400, 848.5, 1200, 848.5]
    assert enquiry["roof"]["edges"][1]["corner_after_deg"] == 135
    for option in enquiry["options"]:
        assert set(option) >= {"name", "needs", "cuts", "mixes", "labour", "access", "money"}
        money = option["money"]
        lines = sum(round(float(line["net"]) * 100) for line in money["lines"])
        assert lines == round(float(money["net"]) * 100)
        for need in option["needs"]:
            held = sum(pack["count"] * pack["size"] for pack in need["packs"])
            assert held >= need["gross"] - 0.002
            assert abs(held - need["gross"] - need["spare"]) < 0.002


def test_takeoff_together_is_one_order_that_says_what_it_saves(tmp_path: Path) -> None:
    book = write_book(tmp_path, SURVEYED, {**SURVEYED, "ref": "T-02"})
    data = json.loads(run("takeoff", book, "--together", "--json", *ON).stdout)
    together = data["together"]
    assert [job["ref"] for job in together["jobs"]] == ["T-01", "T-02"]
    apart = sum(Decimal(one["total"]) for one in together["apart"])
    order = together["order"]
    assert Decimal(together["saves"]) == apart - Decimal(order["total"]) > 0
    assert sum(Decimal(one["total"]) for one in order["suppliers"]) == Decimal(order["total"])
    for need in together["needs"]:
        held = sum(pack["count"] * pack["size"] for pack in need["packs"])
        assert held + need["from_stock"] >= need["gross"] - 0.002
        assert sum(one["gross"] for one in need["by_job"]) == pytest.approx(need["gross"], abs=0.01)
    edges = {p["edge"] for cut in together["cuts"] for x in cut["lengths"] for p in x["pieces"]}
    assert {"T-01 front", "T-02 front"} <= edges
    shown = run("takeoff", book, "--together", *ON)
    assert "Bought together: T-01" in shown.stdout
    assert f"saves £{together['saves']}" in shown.stdout
    alone = run("takeoff", book, "--ref", "T-01", "--together", *ON)
    assert "at least two jobs" in alone.stdout
    assert "together" not in json.loads(run("takeoff", book, "--json", *ON).stdout)


def test_takeoff_shows_the_order(tmp_path: Path) -> None:
    book = write_book(tmp_path, SURVEYED)
    option = json.loads(run("takeoff", book, "--json", *ON).stdout)["enquiries"][0]["options"][0]
    order = option["order"]
    paid = sum(Decimal(need["cost"]) for need in option["needs"] if need["cost"])
    assert Decimal(order["total"]) == paid + Decimal(order["deliveries"])
    assert order["one_supplier"] == {"supplier": "Gannet Supplies", "total": order["total"]}
    left = {found["item"]: found["quantity"] for found in order["left_over"]}
    spare = {need["item"]: need["spare"] for need in option["needs"]}
    assert left["acetone"] == spare["acetone"]
    shown = run("takeoff", book, *ON).stdout
    assert f"order from Gannet Supplies: £{Decimal(order['total']):,.2f}" in shown
    found = json.loads(run("explain", book, "--line", "order", "--json", *ON).stdout)
    assert {"order", "order-alone", "order:Gannet Supplies"} <= {line["code"] for line in found}


def test_takeoff_and_explain_in_words(tmp_path: Path) -> None:
    book = write_book(tmp_path, SURVEYED)
    shown = run("takeoff", book, *ON)
    assert shown.exit_code == 0
    assert "1.08 m2" in shown.stdout
    explained = run("explain", book, "--ref", "T-01", "--line", "area", *ON)
    assert explained.exit_code == 0
    assert "plan area = 1.08 m2" in explained.stdout
    assert "[cell: Enquiries!" in explained.stdout
    data = json.loads(run("explain", book, "--line", "resin", "--json", *ON).stdout)
    assert {figure["code"] for figure in data} == {"resin", "resin:cost"}


def test_quote_method_and_register(tmp_path: Path) -> None:
    book = write_book(tmp_path, SURVEYED)
    out = tmp_path / "out"
    made = run("quote", book, "--out", out, *ON)
    assert made.exit_code == 0, made.output
    assert "1 made" in made.stdout
    assert (out / "T-01" / "T-01-quote-r0.pdf").read_bytes().startswith(b"%PDF")
    assert "1 unchanged" in run("quote", book, "--out", out, *ON).stdout
    listed = run("register", out, "--papers", *ON)
    assert listed.exit_code == 0
    assert "2026-11-25  T-01" in listed.stdout
    became = run("register", out, "--write", *ON)
    assert "1 quote by 25 November 2026: 1 waits for an answer." in became.stdout
    assert (out / "our-quotes.pdf").read_bytes().startswith(b"%PDF")
    assert (out / "our-quotes.xlsx").is_file()
    entries = json.loads(run("register", out, "--json").stdout)
    assert [(e["ref"], e["paper"], e["revision"]) for e in entries] == [("T-01", "quote", 0)]


def test_what_is_published_is_held_against_another_day() -> None:
    shown = run("published", "--on", "2027-03-31", "--then", "2027-04-01")
    assert shown.exit_code == 0
    assert "vat, insulation_relief_pct" in shown.stdout
    data = json.loads(
        run("published", "--on", "2027-03-31", "--then", "2027-04-01", "--json").stdout
    )
    assert [(one["table"], one["key"]) for one in data] == [("vat", "insulation_relief_pct")]
    none = run("published", "--on", "2027-04-01", "--then", "2027-04-02")
    assert "Nothing known to this program changes" in none.stdout


@pytest.mark.usefixtures("undrawn")
def test_the_phase_plan_comes_with_the_statement(tmp_path: Path) -> None:
    book = write_book(tmp_path, SURVEYED)
    with_plan = {
        "Every roof-standing-sheet-r0.pdf",
        "T-01-method-statement-r0.pdf",
        "T-01-construction-phase-plan-r0.pdf",
    }
    assert run("method", book, "--out", tmp_path / "safe", *ON).exit_code == 0
    assert {path.name for path in (tmp_path / "safe").rglob("*.pdf")} == with_plan


@pytest.mark.usefixtures("undrawn")
def test_a_stopped_enquiry_ends_with_one(tmp_path: Path) -> None:
    book = write_book(tmp_path, {**SURVEYED, "shape": "hexagon"})
    made = run("quote", book, *ON)
    assert made.exit_code == 1
    assert "1 not made" in made.stdout
    assert not list((tmp_path / "papers").rglob("*.pdf"))


@pytest.mark.parametrize("content", [b"", b"name,size\n", b"PK\x03\x04 cut short"])
def test_what_is_not_a_workbook_is_said_without_a_traceback(tmp_path: Path, content: bytes) -> None:
    book = tmp_path / "jobs.xlsx"
    book.write_bytes(content)
    checked = run("check", book)
    assert checked.exit_code == 1
    assert "not a readable workbook" in checked.stderr
    missing = run("quote", tmp_path / "nowhere.xlsx")
    assert missing.exit_code == 1
    assert "no file at this path" in missing.stderr


def test_an_empty_register_says_so(tmp_path: Path) -> None:
    assert run("register", tmp_path).exit_code == 1


def test_wrong_usage_ends_with_two() -> None:
    assert run("quote").exit_code == 2
    assert run("nonsense").exit_code == 2


def test_our_own_fault_ends_with_two_and_no_traceback(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def fail() -> None:
        raise RuntimeError("something of ours")

    monkeypatch.setattr(group, "cli", fail)
    with pytest.raises(SystemExit) as ended:
        group.main()
    assert ended.value.code == 2
    said = capsys.readouterr().err
    assert "something of ours" in said
    assert "Traceback" not in said


def test_run_as_a_module() -> None:
    said = subprocess.run(
        [sys.executable, "-m", "quotegen", "--version"], capture_output=True, text=True, check=True
    )
    assert "quotegen" in said.stdout


@pytest.mark.parametrize("name", ["jobs", "jobs.xls", "."])
def test_a_blank_workbook_needs_a_name_a_spreadsheet_opens(tmp_path: Path, name: str) -> None:
    made = run("blank", tmp_path / name)
    assert made.exit_code == 2
    assert ".xlsx" in made.stderr
    assert not list(tmp_path.iterdir())


def test_a_damaged_register_is_said_and_not_a_fault(tmp_path: Path) -> None:
    (tmp_path / "register.sqlite").write_bytes(b"not a database " * 100)
    listed = run("register", tmp_path)
    assert listed.exit_code == 1
    assert "not a database" in listed.stderr


def test_a_workbook_with_no_enquiry_says_so(tmp_path: Path) -> None:
    book = write_book(tmp_path)
    for command in ("takeoff", "explain", "quote"):
        said = run(command, book, *ON)
        assert (said.exit_code, said.stdout.strip()) == (0, NO_ENQUIRY)


def test_a_problem_in_a_price_list_names_the_list(tmp_path: Path) -> None:
    book = write_book(tmp_path, SURVEYED)
    write_prices(tmp_path / "prices" / "gannet.xlsx", {"item": "topcoat", "pack_price": 0})
    assert "STOP gannet.xlsx, Prices!E2" in run("check", book, *ON).stderr


@pytest.mark.usefixtures("undrawn")
def test_a_logo_that_is_missing_from_both_papers_is_said_once(tmp_path: Path) -> None:
    book = write_book(tmp_path, SURVEYED)
    fill_in_setting(book, "logo", "logo.png")
    assert run("job", book, *ON).stderr.count("“logo.png”") == 1


def test_a_line_nobody_has_is_wrong_usage(tmp_path: Path) -> None:
    book = write_book(tmp_path, SURVEYED)
    assert run("explain", book, "--line", "nonsense", *ON).exit_code == 2


def test_what_several_enquiries_lack_is_said_once(tmp_path: Path) -> None:
    rows = [{**SURVEYED, "ref": ref} for ref in ("T-01", "T-02")]
    book = write_book(tmp_path, *rows, without="resin")
    said = run("check", book, *ON).stderr.splitlines()
    assert [line for line in said if "“resin”" in line] == [
        "STOP [T-01, T-02]: this job needs “resin” (Laminating resin), which is on no price list. "
        "Add a row for that item to a price list."
    ]


def test_the_demo_is_made_of_its_own_workbook_and_price_lists(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """How papers are made is tested with `make`; here is what the demo has made, and where."""
    asked: list[tuple[object, ...]] = []
    monkeypatch.setattr(jobs, "make_all", lambda *given, **_after: asked.append(given))
    made = run("demo", "--out", tmp_path / "demo", "--at-once", "2")
    assert made.exit_code == 0
    ((book, lists, refs, out, on, papers, at_once),) = asked
    assert isinstance(book, Path)
    assert isinstance(lists, list)
    assert [f"Workbook: {book}", *(f"Prices:   {path}" for path in lists)] == [
        *made.stdout.splitlines()
    ]
    assert book.parent == tmp_path / "demo"
    read, prices = read_workbook(book), read_price_lists(lists)
    assert (read.problems, prices.problems) == ((), ())
    assert len(read.enquiries) >= 8
    assert len(lists) == 2
    assert (refs, out, papers, at_once) == ((), tmp_path / "demo" / "papers", EVERY_PAPER, 2)
    assert on == demo_date()


def test_a_run_that_is_stopped_says_what_stands_and_ends_as_stopped(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """128 and the number of the signal, 2, as shells give it; common practice, no source."""

    def stopped(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(app, "make_papers", stopped)
    made = run("quote", write_book(tmp_path, SURVEYED), "--out", tmp_path / "papers", *ON)
    assert made.exit_code == 130
    assert "What was made is in the register; run it again for the rest." in made.stderr
    assert made.stdout == ""


def test_a_demo_that_cannot_be_written_is_a_problem(tmp_path: Path) -> None:
    (tmp_path / "demo").write_text("in the way")
    made = run("demo", "--out", tmp_path / "demo")
    assert made.exit_code == 1
    assert "Traceback" not in made.output
    assert "Workbook:" not in made.stdout
