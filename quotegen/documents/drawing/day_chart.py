"""A chart of the days of a job by the clock: deck temperature, laying hours, planned work."""

from collections.abc import Iterator
from datetime import date

from markupsafe import Markup

from quotegen import wording
from quotegen.documents.drawing import svg
from quotegen.documents.printing.word_widths import size_within
from quotegen.model.days import Span, WorkDay, WorkPlan
from quotegen.model.takeoff import Phase
from quotegen.reference.rule_keys import LimitSentence
from quotegen.safety.rules.text import told

WIDTH_MM = 174.0
LABEL_MM = 27.0
FIRST_H, LAST_H = 6, 20
ROW_MM = 17.0
IDLE_MM = 7.6
HEAD_MM = 6.0
BAR_MM = 3.3
PLAN_MM = 4.8
IDLE_WORDS_MM = 4.1
LAY_MM, COAT_MM, PLANNED_MM = 4.6, 8.0, 11.7
DECK_EACH_H = 2
REASONS = 2
WORDS_SIZE, _NUMBER_SIZE, ROOM = 2.6, 3.0, 0.8
LAMINATE_NOR_TOPCOAT = "laminate, no topcoat"
_GREY = "#4a5458"
_PALE = "#e3e8e9"
_FAINT = "#aab2b5"
_LAYING = (Phase.LAY, Phase.COAT)


def day_chart(plan: WorkPlan) -> Markup:
    """The chart: a row per day with deck temperatures, laying hours and the plan.

    A day without work gets a narrow row, with its laying hours in words. Planned work is numbered
    as in the list of the day; laying is dark. Days after the last working day are left out.
    """
    parts = list(_hours())
    top = HEAD_MM
    after = plan.days.index(plan.worked[-1]) + 1 if plan.worked else len(plan.days)
    days = plan.days[:after]
    for day in days:
        parts += _day(day, top, plan)
        top += _height(day)
    return svg.picture(
        WIDTH_MM,
        top,
        "The days along the clock",
        " ".join(_in_words(day) for day in days),
        svg.join(parts),
    )


def day_name(day: date | None, number: int | None) -> str:
    """The name of a day: its date, or its number while it has none."""
    return wording.short_day(day) if day else f"Day {number}"


def why_refused(refused: Phase) -> str:
    """Why a job is not started: the part the forecast has no dry hours for."""
    laying = refused in _LAYING
    lacking = LimitSentence.NO_DRY_HOURS_IN_A_ROW if laying else LimitSentence.NO_DRY_HOURS
    return told(lacking, part=refused)


def clock(hour: float) -> str:
    """A time of day, to five minutes.

    >>> clock(13.75)
    '13:45'
    """
    minutes = round(hour * 12) * 5
    return f"{minutes // 60:02}:{minutes % 60:02}"


def _height(day: WorkDay) -> float:
    return ROW_MM if day.spells else IDLE_MM


def _x(hour: float) -> float:
    return LABEL_MM + (hour - FIRST_H) / (LAST_H - FIRST_H) * (WIDTH_MM - LABEL_MM - 4)


def _hours() -> Iterator[Markup]:
    for hour in range(FIRST_H, LAST_H + 1, DECK_EACH_H):
        yield svg.text(f"{hour:02}:00", (_x(hour), 3.0), 2.8, colour=_GREY)


def _day(day: WorkDay, top: float, plan: WorkPlan) -> Iterator[Markup]:
    yield svg.line((0, top), (WIDTH_MM, top), stroke=svg.INK, stroke_width=0.25)
    yield _left(day_name(day.day, day.number), top + 4.0, 3.2, bold=True)
    if day.day and day.number:
        yield _left(f"day {day.number} of the job", top + 8.0, 2.7)
    for hour in range(FIRST_H, LAST_H + 1):
        top_end, low_end = (_x(hour), top + 4.6), (_x(hour), top + _height(day) - 1)
        yield svg.line(top_end, low_end, stroke=_FAINT, stroke_width=0.12)
    if plan.forecast:
        for hour in range(FIRST_H, LAST_H, DECK_EACH_H):
            deck_c = day.hours[hour].deck_c
            known = f"{wording.number(deck_c)} °C" if deck_c is not None else "not known"
            said = known if day.hours[hour].dry or deck_c is None else f"{known}, rain"
            yield svg.text(said, (_x(hour + DECK_EACH_H / 2), top + 2.6), 2.5, colour=_GREY)
        if not day.spells:
            yield _line_of(_idle_words(day), top + IDLE_WORDS_MM)
        elif day.lay or day.coat:
            yield from _windows(day.lay, "laminate", day, top + LAY_MM)
            yield from _windows(day.coat, "topcoat", day, top + COAT_MM)
        else:
            yield _line_of(_against(LAMINATE_NOR_TOPCOAT, day), top + LAY_MM)
    for number, spell in enumerate(day.spells, 1):
        left, right = _x(spell.span.from_h), _x(spell.span.to_h)
        dark = spell.phase in _LAYING
        yield _box(left, top + PLANNED_MM, right - left, PLAN_MM, svg.INK if dark else svg.PAPER)
        at = ((left + right) / 2, top + PLANNED_MM + PLAN_MM / 2)
        size = size_within(str(number), _NUMBER_SIZE, (right - left) * ROOM, bold=True)
        yield svg.text(str(number), at, size, bold=True, colour=svg.PAPER if dark else svg.INK)


def _windows(spans: tuple[Span, ...], words: str, day: WorkDay, top: float) -> Iterator[Markup]:
    for span in spans:
        left, right = _x(span.from_h), _x(span.to_h)
        yield _box(left, top, right - left, BAR_MM, _PALE)
        size = size_within(words, WORDS_SIZE, (right - left) * ROOM)
        yield svg.text(words, ((left + right) / 2, top + BAR_MM / 2), size)
    if not spans:
        yield _line_of(_against(words, day), top)


def _idle_words(day: WorkDay) -> str:
    """A note on a day without work: its dry hours, or why it has none."""
    if day.lay or day.coat:
        return f"nothing planned; dry enough to set: {_open_hours(day)}"
    return _against(LAMINATE_NOR_TOPCOAT, day)


def _against(words: str, day: WorkDay) -> str:
    why = ", ".join(day.against[:REASONS])
    return f"no {words}" + (f": {why}" if why else "")


def _line_of(words: str, top: float) -> Markup:
    """Words centred in a day's row, over the hour lines."""
    width = _x(LAST_H) - _x(FIRST_H)
    ground = _box(_x(FIRST_H), top, width, BAR_MM, svg.PAPER, edge=False)
    size = size_within(words, WORDS_SIZE, width)
    return svg.join([ground, svg.text(words, (_x(FIRST_H) + width / 2, top + BAR_MM / 2), size)])


def _box(
    left: float, top: float, width: float, height: float, fill: str, *, edge: bool = True
) -> Markup:
    corners = [(left, top), (left + width, top), (left + width, top + height), (left, top + height)]
    stroke = svg.INK if edge else "none"
    return svg.polygon(corners, fill=fill, stroke=stroke, stroke_width=0.25)


def _left(words: str, y: float, size: float, *, bold: bool = False) -> Markup:
    style: dict[str, str | float] = {"font_weight": 600} if bold else {}
    return svg.element(
        "text",
        words,
        x=0,
        y=y,
        font_family=svg.FONT,
        font_size=size,
        fill=svg.INK,
        **style,
    )


def _open_hours(day: WorkDay, between: str = ", ") -> str:
    """The hours for starting laminate and topcoat on a day, in words."""
    said = []
    for words, spans in (("laminate", day.lay), ("topcoat", day.coat)):
        hours = " and ".join(f"{clock(s.from_h)} to {clock(s.to_h)}" for s in spans)
        said.append(f"{words} {hours}" if hours else f"no {words}")
    return between.join(said)


def _in_words(day: WorkDay) -> str:
    """A day in words, for screen readers."""
    said = [day_name(day.day, day.number)]
    said.append(_open_hours(day, "; "))
    planned = ", ".join(
        f"{number} {spell.phase} {clock(spell.span.from_h)} to {clock(spell.span.to_h)}"
        for number, spell in enumerate(day.spells, 1)
    )
    said.append(f"planned: {planned}" if planned else "nothing planned")
    return "; ".join(said) + "."
