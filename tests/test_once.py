"""Results kept for one job: never confused between records, and released with the next job."""

import gc
import weakref
from typing import Any

import pytest
from jinja2 import Environment
from msgspec import Struct

from quotegen.documents.crew.cutting_list import CUTTING_LIST
from quotegen.documents.customer.quote import QUOTE
from quotegen.documents.drawing import roof_view
from quotegen.documents.drawing.plan_layout import PlanLayout, filled_plan
from quotegen.documents.printing import templates
from quotegen.documents.safety.method import METHOD
from quotegen.machine.once import once_a_job
from quotegen.machine.resources import templates_folder
from quotegen.pricing.quote import make_quote
from quotegen.safety.statement.statement import make_statement
from quotegen.takeoff.measure import measure
from tests.builders import TODAY, canted_bay, enquiry, prices, settings
from tests.documents.conftest import ISSUE


class Roof(Struct, frozen=True, weakref=True):
    """A record that is equal to every other of the same width."""

    width: float


def test_a_record_that_is_only_equal_is_another_record() -> None:
    made: list[Roof] = []
    draw = once_a_job(made.append)
    one, like_it = Roof(1.0), Roof(1.0)
    for roof in (one, one, like_it, like_it, one):
        draw(roof)
    assert [roof is one for roof in made] == [True, False, True]


def test_each_further_argument_and_each_further_record_counts() -> None:
    made: list[tuple[float, float, int]] = []

    @once_a_job
    def draw(roof: Roof, other: Roof, *, scale: int) -> int:
        made.append((roof.width, other.width, scale))
        return scale

    one, two = Roof(1.0), Roof(2.0)
    assert [draw(one, two, scale=scale) for scale in (10, 20, 10, 20)] == [10, 20, 10, 20]
    assert made == [(1.0, 2.0, 10), (1.0, 2.0, 20)]
    draw(two, one, scale=10)
    assert made[2:] == [(2.0, 1.0, 10)]


def test_what_was_made_for_one_job_is_let_go_with_the_next() -> None:
    draw = once_a_job(lambda roof: [roof.width])
    first = Roof(1.0)
    gone = weakref.ref(first)
    draw(first)
    del first
    draw(Roof(2.0))
    gc.collect()
    assert gone() is None


def test_the_papers_of_a_job_share_their_plan(monkeypatch: pytest.MonkeyPatch) -> None:
    """Quote, method statement and cutting list, each filled twice: a plan for each scale shown."""
    firm, book = settings(), prices()
    take_off, _ = measure(enquiry(canted_bay()), firm, book, TODAY)
    assert take_off is not None
    quote, _ = make_quote(take_off, firm, book, TODAY)
    statement = make_statement(take_off, firm, TODAY)
    drawn: list[int] = []
    whole = filled_plan

    def counted(bare: PlanLayout, *rest: Any) -> PlanLayout:
        drawn.append(bare.scale)
        return whole(bare, *rest)

    monkeypatch.setattr(roof_view, "filled_plan", counted)
    for _ in range(2):
        QUOTE.html(quote, ISSUE)
        METHOD.html(statement, ISSUE)
        CUTTING_LIST.html(statement, ISSUE)
    assert drawn
    assert len(drawn) == len(set(drawn))


def test_the_frame_of_the_papers_is_compiled_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every paper extends the same template, each in an environment of its own."""
    compiled: list[str | None] = []
    compiling = Environment.compile

    def counted(self: Environment, source: str, name: str | None = None, *rest: Any) -> object:
        compiled.append(name)
        return compiling(self, source, name, *rest)

    monkeypatch.setattr(templates, "_COMPILED", templates._Compiled())
    monkeypatch.setattr(Environment, "compile", counted)
    templates._kit.cache_clear()
    for paper in ("customer/quote.html", "crew/order.html", "customer/hand_over.html"):
        kit = templates._kit(paper, templates_folder(), None)
        kit.environment.get_template(paper)
        kit.environment.get_template("base.html")
    templates._kit.cache_clear()
    assert compiled.count("base.html") == 1
