"""The limits on laying, in the words of the site papers."""

from collections.abc import Mapping
from typing import TypeAlias

from msgspec import Struct

from quotegen import wording
from quotegen.days.pace import pace_of
from quotegen.model.choices import Access
from quotegen.model.safety import MethodStatement
from quotegen.reference.loader import figure
from quotegen.reference.rule_keys import LimitSentence
from quotegen.safety.rules.text import told
from quotegen.units import round_up

DECK_STEP_C = 0.1


LimitFigures: TypeAlias = tuple[LimitSentence, Mapping[str, str]]


def limit_lines(statement: MethodStatement) -> tuple[str, ...]:
    """The conditions in which neither laminate nor topcoat may be laid, in sentences."""
    return tuple(told(key, **figures) for key, figures in limits_of(statement))


def limits_of(statement: MethodStatement) -> tuple[LimitFigures, ...]:
    """The conditions in which nothing is laid: the key of each and what fills its sentence.

    The day the row expects is named only where no forecast covers the work.
    """
    limits = statement.limits
    found: list[LimitFigures] = [
        (
            LimitSentence.TEMPERATURE,
            {
                "least": f"{wording.plain(limits.least_c.number)} °C",
                "most": f"{wording.plain(limits.most_c.number)} °C",
            },
        ),
        (
            LimitSentence.TOPCOAT,
            {"least": f"{wording.plain(statement.settings.number('topcoat_least_c'))} °C"},
        ),
        (LimitSentence.DEW_POINT, {"margin": f"{wording.plain(limits.dew_margin_c.number)} °C"}),
        (LimitSentence.HUMIDITY, {"humidity": f"{wording.plain(limits.humidity_pct.number)}%"}),
        (LimitSentence.MOISTURE, {"moisture": f"{wording.plain(limits.moisture_pct.number)}%"}),
        (LimitSentence.RAIN, {}),
        (LimitSentence.RECOAT, {"recoat": f"{wording.plain(limits.recoat_hours.number)} h"}),
    ]
    if limits.dew_point_c and limits.least_deck_c and not statement.days.forecast:
        dew = wording.number(limits.dew_point_c.number, 1)
        deck = wording.number(round_up(limits.least_deck_c.number, DECK_STEP_C), 1)
        expected = {"dew": f"{dew} °C", "deck": f"{deck} °C"}
        found.append((LimitSentence.EXPECTED_DECK, expected))
    return (*found, (LimitSentence.NOT_MEASURED, {}))


class WindLimits(Struct, frozen=True):
    """The gusts over which no boards are carried and nobody is at the edge, in words.

    `steady` is the steady wind over which nobody is on the tower; None where there is none.
    """

    boards: str
    edge: str
    steady: str | None


def wind_limits(statement: MethodStatement) -> WindLimits:
    """The wind that stops the work; a tower has limits of its own."""
    tower = statement.option.access.chosen is Access.TOWER
    pace = pace_of(statement.settings, tower)
    steady = figure("work_at_height.tower_wind_mph").number
    return WindLimits(
        boards=f"{wording.plain(pace.boards_mph)} mph",
        edge=f"{wording.plain(pace.edge_mph)} mph",
        steady=f"{wording.plain(steady)} mph" if tower else None,
    )


def wind_line(statement: MethodStatement) -> str:
    """The wind that stops the work, in a sentence."""
    wind = wind_limits(statement)
    if wind.steady is None:
        return told(LimitSentence.WIND_STOPS, boards=wind.boards, edge=wind.edge)
    return told(
        LimitSentence.WIND_STOPS_TOWER, boards=wind.boards, edge=wind.edge, steady=wind.steady
    )
