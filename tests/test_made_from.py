"""The digest that lets a paper be skipped: a change in anything it is made from changes it."""

import os
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import fields, replace

from quotegen.making import made_from
from quotegen.making.made_from import MadeFrom, with_learned
from quotegen.model.enquiry import Finding
from quotegen.model.own.done import Recorded
from quotegen.model.own.learned import Learned, Spread
from quotegen.model.settings import PriceBook
from quotegen.problems import Place, problem
from tests.builders import TODAY, canted_bay, enquiry, prices, settings

SOFT = Finding(
    Place("jobs.xlsx", "Findings", "A2"), "Soft fascia", "It rots.", "Renew it.",
    basis=None, quantity=None, fixed_price=None, answer=None, photo="fascia.jpg",
)  # fmt: skip
ENQUIRY = enquiry(canted_bay(), findings=(SOFT,), photo="roof.jpg")


def digest(folder: Path, **changes: Any) -> str:
    given: dict[str, Any] = {
        "settings": settings(), "prices": prices(), "on": TODAY, "enquiry": ENQUIRY, "problems": (),
    } | changes  # fmt: skip
    run = MadeFrom(folder, given["settings"], given["prices"], given["on"])
    return run.enquiry(given["enquiry"], given["problems"])


def test_the_same_is_the_same(tmp_path: Path) -> None:
    assert digest(tmp_path) == digest(tmp_path)


def test_every_field_of_an_enquiry_counts(tmp_path: Path) -> None:
    same = digest(tmp_path)
    changes: dict[str, Any] = {field.name: "changed" for field in fields(ENQUIRY)}
    changes["findings"] = ()
    ignored = [
        name for name, value in changes.items()
        if digest(tmp_path, enquiry=replace(ENQUIRY, **{name: value})) == same
    ]  # fmt: skip
    assert ignored == []


def test_the_firms_figures_the_prices_the_day_and_the_problems_count(tmp_path: Path) -> None:
    firm = settings()
    packs = dict(prices().packs)
    item, (pack, *others) = next(iter(packs.items()))
    dearer = {**packs, item: (replace(pack, pack_price=pack.pack_price + 1), *others)}
    changes: list[dict[str, Any]] = [
        {"settings": replace(firm, figures={k: v for k, v in firm.figures.items() if k != code})}
        for code in firm.figures
    ]
    changes += [
        {"settings": replace(firm, terms=firm.terms[1:])},
        {"prices": PriceBook(dearer)},
        {"on": TODAY + timedelta(days=1)},
        {"problems": (problem("price-list-none", Place("jobs.xlsx")),)},
    ]
    assert digest(tmp_path) not in {digest(tmp_path, **change) for change in changes}


def test_pictures_and_own_templates_count(tmp_path: Path) -> None:
    seen = {digest(tmp_path)}
    photo, template = tmp_path / "fascia.jpg", tmp_path / "templates" / "customer/quote.html"
    roof = tmp_path / "roof.jpg"
    template.parent.mkdir(parents=True)
    for content in ("one", "another"):
        for file in (photo, roof, template):
            file.write_text(content)
            seen.add(digest(tmp_path))
    os.utime(photo, ns=(1, 1))
    seen.add(digest(tmp_path))
    (tmp_path / "nothing-to-do-with-it.jpg").write_text("one")
    assert digest(tmp_path) in seen
    assert len(seen) == 1 + 6 + 1


def test_another_program_counts(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = digest(tmp_path)
    monkeypatch.setattr(made_from, "_program", lambda: [("quotegen/units.py", "1 1")])
    assert digest(tmp_path) != before


def test_what_done_jobs_say_counts_for_the_owners_paper() -> None:
    """One more job or another middle is another digest; the same figures are the same."""
    house = Spread(0.0, 0.3, 0)

    def of(**own: Spread) -> str:
        return with_learned("same", Learned(house, {Recorded[k]: v for k, v in own.items()}))

    assert of(SAND=Spread(0.1, 0.2, 3)) == of(SAND=Spread(0.1, 0.2, 3))
    others = [of(), of(SAND=Spread(0.1, 0.2, 4)), of(DECK=Spread(0.1, 0.2, 3))]
    assert len({*others, of(SAND=Spread(0.1, 0.2, 3)), with_learned("same", None)}) == 5
