"""The limits on laying, in the words of the site papers."""

from quotegen import wording
from quotegen.model.safety import MethodStatement
from quotegen.reference.rule_keys import LimitSentence
from quotegen.safety.rules.text import told
from quotegen.units import round_up

DECK_STEP_C = 0.1


def limit_lines(statement: MethodStatement) -> tuple[str, ...]:
    """The conditions in which neither laminate nor topcoat may be laid.

    The day the row expects is named only where no forecast covers the work.
    """
    limits = statement.limits
    lines = [
        told(
            LimitSentence.TEMPERATURE,
            least=f"{wording.plain(limits.least_c.number)} °C",
            most=f"{wording.plain(limits.most_c.number)} °C",
        ),
        told(
            LimitSentence.TOPCOAT,
            least=f"{wording.plain(statement.settings.number('topcoat_least_c'))} °C",
        ),
        told(LimitSentence.DEW_POINT, margin=f"{wording.plain(limits.dew_margin_c.number)} °C"),
        told(LimitSentence.HUMIDITY, humidity=f"{wording.plain(limits.humidity_pct.number)}%"),
        told(LimitSentence.MOISTURE, moisture=f"{wording.plain(limits.moisture_pct.number)}%"),
        told(LimitSentence.RAIN),
        told(LimitSentence.RECOAT, recoat=f"{wording.plain(limits.recoat_hours.number)} h"),
    ]
    if limits.dew_point_c and limits.least_deck_c and not statement.days.forecast:
        dew = wording.number(limits.dew_point_c.number, 1)
        deck = wording.number(round_up(limits.least_deck_c.number, DECK_STEP_C), 1)
        expected = told(LimitSentence.EXPECTED_DECK, dew=f"{dew} °C", deck=f"{deck} °C")
        return (*lines, expected)
    return (*lines, told(LimitSentence.NOT_MEASURED))
