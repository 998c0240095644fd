"""A year of done jobs for the demo firm: invented, and the same each time."""

import math
import random
from datetime import date, timedelta
from typing import Any

from msgspec import field

from quotegen.reference import house_rules
from quotegen.tables import Number, Table
from quotegen.units import round_half_up

_LEAST_H = 0.25
"""The steps in which a roofer writes down hours, and the least."""
_LEAST_KG = 0.5


class Person(Table, frozen=True):
    """Somebody in the firm, and how long they take compared with usual."""

    who: str
    ratio: Number


class PastRoof(Table, frozen=True):
    """A kind of roof the firm has done, with its quantities and its days."""

    kind: str
    area_m2: Number
    edge_m: Number
    wall_m: Number
    days: Number
    people: Number


class PastTask(Table, frozen=True):
    """A task: the rate, quantity and least hours it was allowed, and how far over it runs."""

    what: str
    rate: str
    of: str
    ratio: Number
    least: str = ""


class PastMaterial(Table, frozen=True):
    """A material: what was allowed for an area, and how much more is really used."""

    what: str
    kg_per_m2: Number
    ratio: Number


class Mishap(Table, frozen=True):
    """Something that went wrong: its chance on each job, and how it changed the hours."""

    words: str
    chance: Number
    longer: Number


class Quoted(Table, frozen=True, kw_only=True):
    """The quotes of the past year: prices, margins, and what became of those that were lost.

    `dear_is_lost` is by how much the margin of a lost one tends to be higher, as a share.
    """

    lost_to_won: Number
    call_out: Number
    price_per_m2: Number
    price_spread: Number
    margin_low: Number
    margin_high: Number
    dear_is_lost: Number
    ran_out: Number
    valid_days: int
    weeks_ahead: int
    vat: Number
    customers: tuple[str, ...]
    reasons: tuple[str, ...]


class PastYear(Table, frozen=True, kw_only=True):
    """The contents of the file of the past year."""

    seed: int
    first_day: date
    jobs: int
    days_between: int
    reference: str
    quicker_in_year: Number
    job_log_sd: Number
    task_log_sd: Number
    written_down: Number
    people: tuple[Person, ...] = field(name="person")
    roofs: tuple[PastRoof, ...] = field(name="roof")
    tasks: tuple[PastTask, ...] = field(name="task")
    materials: tuple[PastMaterial, ...] = field(name="material")
    mishaps: tuple[Mishap, ...] = field(name="mishap")
    quoted: Quoted


def done_rows(year: PastYear) -> list[dict[str, Any]]:
    """The rows of Done jobs: what was allowed at the default rates, and what was drawn for it."""
    chance = random.Random(year.seed)
    return [row for number in range(year.jobs) for row in _job(year, number, chance)]


def _job(year: PastYear, number: int, chance: random.Random) -> list[dict[str, Any]]:
    roof, person = chance.choice(year.roofs), chance.choice(year.people)
    size = chance.uniform(0.8, 1.25)
    mishap = next((one for one in year.mishaps if chance.random() < one.chance), None)
    longer = person.ratio * math.exp(chance.gauss(0, year.job_log_sd))
    longer *= year.quicker_in_year ** (number / year.jobs) * (mishap.longer if mishap else 1)
    shared = {
        "ref": f"{year.reference}-{number + 1:03}",
        "done_on": year.first_day + timedelta(days=number * year.days_between),
        "kind": roof.kind,
        "who": person.who,
    }
    rows = []
    for task in year.tasks:
        allowed = size * getattr(roof, task.of) * _default(task.rate)
        if allowed and task.least:
            allowed = max(allowed, _default(task.least))
        taken = allowed * task.ratio * longer * math.exp(chance.gauss(0, year.task_log_sd))
        if allowed and chance.random() < year.written_down:
            hours = _in_steps(taken / roof.people, _LEAST_H)
            counted = {"amount": hours, "people": roof.people, "allowed": round(allowed, 2)}
            rows.append({**shared, "what": task.what, **counted})
    for material in year.materials:
        allowed = size * roof.area_m2 * material.kg_per_m2
        used = allowed * material.ratio * math.exp(chance.gauss(0, year.task_log_sd / 3))
        counted = {"amount": _in_steps(used, _LEAST_KG), "allowed": round(allowed, 1)}
        rows.append({**shared, "what": material.what, **counted})
    days = roof.days + (1 if mishap and mishap.longer > 1.1 else 0)
    rows.append({**shared, "what": "days on site", "amount": days, "allowed": roof.days})
    if mishap:
        rows[-1]["wrong"] = mishap.words
    return rows


def _default(rate: str) -> float:
    default = house_rules.settings()[rate].default
    if not isinstance(default, int | float):
        raise TypeError(f"{rate} is no rate")
    return float(default)


def _in_steps(value: float, step: float) -> float:
    """A quantity as somebody writes it down: in steps, and at least one."""
    return max(step, step * round_half_up(value / step))
