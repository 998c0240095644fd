"""Two charts of what jobs took: each task with its interval, and the jobs through the year."""

import math
from collections.abc import Iterator, Sequence
from datetime import date
from typing import NamedTuple

from markupsafe import Markup

from quotegen import wording
from quotegen.documents.drawing import svg
from quotegen.model.roof import Point

_WIDTH_MM = 180.0
_ROW_MM = 4.7
_HEAD_MM = 6.0
_LABEL_MM = 44.0
_FIGURES_MM = 46.0
_FIGURES_AT = _WIDTH_MM - _FIGURES_MM + 3
_YEAR_MM = 35.0
_WORDS = 3.0
_SMALL = 2.6
_BAR = 0.9
_DOT = 1.15
_GREY = "#4a5458"
_FAINT = "#aab2b5"
_MARKS = (0.5, 0.67, 0.8, 1.0, 1.25, 1.5, 2.0)
"""Where an axis of ratios is marked; it runs from the first to the last, as logs."""


class TaskBar(NamedTuple):
    """One thing recorded: its words, its jobs, and ratios of what was allowed."""

    words: str
    jobs: int
    plain: float
    ratio: float
    low: float
    high: float
    tells: bool


class JobDot(NamedTuple):
    """One job: its day, and its hours over those of all jobs, as a ratio."""

    day: date
    ratio: float


def task_chart(bars: Sequence[TaskBar]) -> Markup:
    """The tasks: a dot with its interval for each, against a line for exactly what was allowed.

    An interval clear of that line is dark; a ring is the plain middle of the jobs.
    """
    height = _HEAD_MM + _ROW_MM * len(bars) + 1
    parts = [*_marks(height)]
    for number, bar in enumerate(bars):
        parts += _bar(bar, _HEAD_MM + _ROW_MM * (number + 0.5))
    said = "; ".join(f"{bar.words} {percent_of(bar.ratio)}" for bar in bars)
    return svg.picture(
        _WIDTH_MM, height, "What tasks took of what was allowed", said, svg.join(parts)
    )


def percent_of(ratio: float) -> str:
    """A ratio as a percentage of what was allowed.

    >>> percent_of(1.254)
    '125%'
    """
    return wording.percent(round(100 * ratio))


def _x(ratio: float) -> float:
    least, most = math.log(_MARKS[0]), math.log(_MARKS[-1])
    along = (min(max(math.log(ratio), least), most) - least) / (most - least)
    return _LABEL_MM + 8 + along * (_WIDTH_MM - _LABEL_MM - _FIGURES_MM - 12)


def _marks(height: float) -> Iterator[Markup]:
    for mark in _MARKS:
        as_allowed = mark == 1
        stroke, wide = (svg.INK, 0.4) if as_allowed else (_FAINT, 0.15)
        yield svg.line(
            (_x(mark), _HEAD_MM - 1), (_x(mark), height), stroke=stroke, stroke_width=wide
        )
        words = "as allowed" if as_allowed else percent_of(mark)
        yield svg.text(words, (_x(mark), 2.6), _SMALL, colour=svg.INK if as_allowed else _GREY)
    yield svg.text("jobs", (_LABEL_MM, 2.6), _SMALL, colour=_GREY)
    words = "of allowed, 9 in 10 within"
    yield svg.text(words, (_FIGURES_AT, 2.6), _SMALL, colour=_GREY, anchor="start")


def _bar(bar: TaskBar, at: float) -> Iterator[Markup]:
    colour = svg.INK if bar.tells else _GREY
    yield svg.text(bar.words, (0, at), _WORDS, bold=bar.tells, anchor="start")
    yield svg.text(str(bar.jobs), (_LABEL_MM, at), _WORDS, colour=_GREY)
    wide = _BAR if bar.tells else _BAR / 2
    yield svg.line((_x(bar.low), at), (_x(bar.high), at), stroke=colour, stroke_width=wide)
    yield svg.circle((_x(bar.plain), at), _DOT, fill="none", stroke=colour, stroke_width=0.25)
    yield svg.circle((_x(bar.ratio), at), _DOT, fill=colour)
    figures = f"{percent_of(bar.ratio)} ({percent_of(bar.low)} to {percent_of(bar.high)})"
    yield svg.text(figures, (_FIGURES_AT, at), _WORDS, bold=bar.tells, anchor="start")


def year_chart(jobs: Sequence[JobDot], slope: float | None) -> Markup:
    """The jobs by date, each against the middle of all, and the line through them if there is one.

    `slope` is the change of the log of the ratio in a day.
    """
    first, last = min(job.day for job in jobs), max(job.day for job in jobs)
    span = max((last - first).days, 1)
    reach = max(math.log(1.5), *(abs(math.log(job.ratio)) for job in jobs))
    left, right, top, foot = 22.0, _WIDTH_MM - 4, 2.0, _YEAR_MM - 7

    def place(days: float, log: float) -> Point:
        across = left + 3 + days / span * (right - left - 6)
        return across, top + (1 - log / reach) * (foot - top) / 2

    parts = []
    for mark in (0.67, 0.8, 1.0, 1.25, 1.5):
        at = place(0, math.log(mark))[1]
        stroke, wide = (svg.INK, 0.4) if mark == 1 else (_FAINT, 0.15)
        parts.append(svg.line((left, at), (right, at), stroke=stroke, stroke_width=wide))
        words = "usual" if mark == 1 else percent_of(mark)
        parts.append(svg.text(words, (left - 2, at), _SMALL, colour=_GREY, anchor="end"))
    for month in _months(first, last):
        across = place((month - first).days, 0)[0]
        parts.append(svg.line((across, foot), (across, foot + 1.5), stroke=_GREY, stroke_width=0.2))
        words = wording.typed_day(month)
        parts.append(svg.text(words, (across, foot + 4), _SMALL, colour=_GREY))
    mean_day = sum((job.day - first).days for job in jobs) / len(jobs)
    mean_log = sum(math.log(job.ratio) for job in jobs) / len(jobs)
    if slope is not None:
        ends = [place(days, mean_log + slope * (days - mean_day)) for days in (0, span)]
        parts.append(svg.line(*ends, stroke=_GREY, stroke_width=0.5, stroke_dasharray="2 1.2"))
    for job in jobs:
        centre = place((job.day - first).days, math.log(job.ratio))
        parts.append(svg.circle(centre, _DOT, fill=svg.INK))
    said = f"{len(jobs)} jobs from {wording.date(first)} to {wording.date(last)}"
    return svg.picture(_WIDTH_MM, _YEAR_MM, "Hours of each job by date", said, svg.join(parts))


def _months(first: date, last: date) -> Iterator[date]:
    """The first of every second month between two days."""
    for number in range(first.year * 12 + first.month, last.year * 12 + last.month, 2):
        yield date(number // 12, number % 12 + 1, 1)
