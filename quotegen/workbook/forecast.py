"""The Forecast sheet: the weather row by row, for the days in which work is planned."""

from collections import Counter, defaultdict

from quotegen.model.weather import Sky, Weather
from quotegen.problems import Problem
from quotegen.workbook.book import RawSheet
from quotegen.workbook.declaration import FORECAST_SHEET, sheets
from quotegen.workbook.rows import Row, read_rows


def read_forecast(book: str, raw: RawSheet | None) -> tuple[tuple[Weather, ...], list[Problem]]:
    """The rows in order of time, with everything wrong on the sheet; nothing without one.

    A row with a problem counts for nothing, so that its hours are not known.
    """
    if raw is None:
        return (), []
    rows, problems = read_rows(book, raw, sheets()[FORECAST_SHEET])
    times = Counter((row.day("day"), _from_hour(row)) for row in rows)
    hours = defaultdict(set)
    for row in rows:
        hours[row.day("day")].add(_from_hour(row))
    found = []
    for row in rows:
        wrong = list(row.problems)
        day, hour = row.day("day"), _from_hour(row)
        if not wrong and times[day, hour] > 1:
            wrong.append(row.problem("forecast-twice", "day", str(day)))
        elif not wrong and hour is None and len(hours[day]) > 1:
            wrong.append(row.problem("forecast-mixed", "from_hour", str(day)))
        problems += wrong
        if day is not None and not wrong:
            found.append(
                Weather(
                    place=row.place("day"),
                    day=day,
                    from_hour=hour,
                    air_c=row.figure("air_c"),
                    humidity_pct=row.figure("humidity_pct"),
                    deck_c=row.figure("deck_c"),
                    sky=Sky(word) if (word := row.text("sky")) else None,
                )
            )
    return tuple(sorted(found, key=lambda one: (one.day, one.from_hour or 0))), problems


def _from_hour(row: Row) -> int | None:
    figure = row.figure("from_hour", "")
    return int(figure.number) if figure else None
