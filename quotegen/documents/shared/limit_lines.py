"""The limits on laying, in the words of the site papers."""

from quotegen import wording
from quotegen.model.safety import MethodStatement
from quotegen.units import round_up

DECK_STEP_C = 0.1


def limit_lines(statement: MethodStatement) -> tuple[str, ...]:
    """The conditions in which neither laminate nor topcoat may be laid.

    The day the row expects is named only where no forecast covers the work.
    """
    limits = statement.limits
    least, most = wording.plain(limits.least_c.number), wording.plain(limits.most_c.number)
    margin = wording.plain(limits.dew_margin_c.number)
    lines = [
        f"the deck or the air is under {least} °C or over {most} °C",
        f"the deck is less than {margin} °C above the dew point",
        f"the humidity is over {wording.plain(limits.humidity_pct.number)}%",
        f"the boards are wet, or over {wording.plain(limits.moisture_pct.number)}% in the meter",
        "it rains, or rain, dew or frost may come before it is hard",
        f"the laminate is over {wording.plain(limits.recoat_hours.number)} h old and has not been "
        "abraded and wiped for the topcoat",
    ]
    if limits.dew_point_c and limits.least_deck_c and not statement.days.forecast:
        dew = wording.number(limits.dew_point_c.number, 1)
        deck = wording.number(round_up(limits.least_deck_c.number, DECK_STEP_C), 1)
        lines.append(
            f"on the day expected (dew point {dew} °C) the deck is under {deck} °C; measure again "
            "on the day"
        )
    else:
        lines.append("deck, air and humidity have not been measured that day")
    return tuple(lines)
