"""What one build-up of a job waits for, from the facts that its hazards depend on too.

A cell of the workbook ticks a thing off, or says when it is expected; anything not settled and with
no date takes as long as the firm says it usually does, counted from the day of the papers.
"""

from collections.abc import Mapping
from datetime import date, timedelta
from functools import cache

from quotegen.model.days import Span, WorkPlan
from quotegen.model.enquiry import Enquiry
from quotegen.model.prestart.record import BeforeItem, BeforeStart, Gate, Payer
from quotegen.model.prestart.row import IN_A_CELL, BeforeRow
from quotegen.model.safety import Fact, Known
from quotegen.model.settings import Settings
from quotegen.model.takeoff import OptionTakeOff, Stage, TakeOff
from quotegen.reference import rules
from quotegen.reference.loader import figure
from quotegen.reference.rule_keys import BeforeKey
from quotegen.reference.rule_records import BeforeRule
from quotegen.safety.facts.facts import holds, some_facts
from quotegen.safety.facts.job import PlannedJob
from quotegen.working import Figure

_NO_DAYS = WorkPlan((), Span(0.0, 0.0), forecast=False, refused=None)
"""The days of a job before any are laid out: what it waits for must not depend on them."""


def before_start(
    take_off: TakeOff, option: OptionTakeOff, settings: Settings, on: date
) -> BeforeStart:
    """What a build-up waits for, as on a day: what its facts bring in, and what a row names."""
    enquiry = take_off.enquiry
    job = PlannedJob(enquiry, take_off.outline, option, settings, _NO_DAYS)
    facts = some_facts(job, _needed())
    listed = {row.key: row for row in enquiry.before}
    return BeforeStart(
        on,
        tuple(
            _item(rule, job, facts, listed.get(BeforeKey(rule.key)), on)
            for rule in rules.before()
            if holds(rule.when, facts) or _named(rule, listed)
        ),
    )


@cache
def _needed() -> tuple[str, ...]:
    """The facts that the table names, whatever the day."""
    named = (fact for rule in rules.before.every() for fact in (*rule.when.facts, *rule.sure_by))
    return tuple(dict.fromkeys(named))


def _named(rule: BeforeRule, listed: Mapping[BeforeKey, BeforeRow]) -> bool:
    """Whether a row alone brings it in; a row never brings in what a cell answers."""
    key = BeforeKey(rule.key)
    return key in listed and key not in IN_A_CELL


def _item(
    rule: BeforeRule,
    job: PlannedJob,
    facts: Mapping[str, Fact],
    row: BeforeRow | None,
    on: date,
) -> BeforeItem:
    key, settings = BeforeKey(rule.key), job.settings
    listed = row is not None and key not in IN_A_CELL
    certain = rule.sure_by or rule.when.facts
    sure = listed or all(facts[fact].known is Known.YES for fact in certain)
    until = _cancels_until(job.enquiry, on) if key is BeforeKey.CANCELLATION else None
    ticked = listed and row is not None and row.done_on is not None and row.done_on <= on
    pays, cost = _who_pays(rule, job.option, settings, row)
    wait = figure("consumer_contracts.cancellation_days") if until else None
    wait = settings.get(rule.wait) if rule.wait else wait
    expected_on = row.expected_on if row else None
    return BeforeItem(
        key=key,
        sure=sure,
        gates=Gate(rule.gates),
        pays=pays,
        cost=cost,
        wait=wait,
        expected_on=expected_on,
        until=until,
        clear_on=_clear_on(on, until, row, wait),
        done=ticked or (until is not None and until < on),
        done_at=row.place if row and ticked else None,
    )


def _clear_on(on: date, until: date | None, row: BeforeRow | None, wait: Figure | None) -> date:
    """The first day it no longer holds anything up.

    It is the day after a period ends, or after the day it is expected or will be done. A day
    already past is ignored, and it then takes as long as it usually does.
    """
    if row is not None and row.done_on is not None and row.done_on > on:
        return row.done_on + timedelta(days=1)
    if until is not None:
        return until + timedelta(days=1)
    if row is not None and row.expected_on is not None and row.expected_on >= on:
        return row.expected_on + timedelta(days=1)
    return on + timedelta(days=int(wait.number) if wait else 0)


def _cancels_until(enquiry: Enquiry, on: date) -> date:
    """The last day on which a consumer may cancel.

    The days count from the day after the contract is agreed, which the acceptance row gives; until
    then, from the day of the papers, because a later yes only ends them later. Source:
    `reference/law/consumer_contracts.toml`.
    """
    agreed = next(
        (row.done_on for row in enquiry.before if row.key is BeforeKey.ACCEPTANCE and row.done_on),
        on,
    )
    days = figure("consumer_contracts.cancellation_days").number
    return min(agreed, on) + timedelta(days=int(days))


def _who_pays(
    rule: BeforeRule, option: OptionTakeOff, settings: Settings, row: BeforeRow | None
) -> tuple[Payer, Figure | None]:
    """Who pays and how much; a licence with no charge is not in the price."""
    pays = Payer(rule.pays)
    charged = any(stage is Stage.ACCESS for stage, _ in option.charges)
    if BeforeKey(rule.key) is BeforeKey.LICENCE and not charged:
        pays = Payer.DIRECT
    usual = settings.get(rule.cost) if rule.cost else None
    return pays, (row.cost if row and row.cost is not None else usual)
