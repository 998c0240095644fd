"""The Forecast sheet: the weather, row by row, for the days of planned work."""

from collections import Counter, defaultdict

from quotegen.model.weather import Weather
from quotegen.problems import Problem
from quotegen.workbook.package.book import RawSheet
from quotegen.workbook.reading.rows import Row, read_rows
from quotegen.workbook.sheets.firm import FORECAST


def read_forecast(book: str, raw: RawSheet | None) -> tuple[tuple[Weather, ...], list[Problem]]:
    """The rows in time order, and every problem on the sheet; empty without one.

    A row with a problem is dropped, so its hours are unknown.
    """
    if raw is None:
        return (), []
    rows, problems = read_rows(book, raw, FORECAST)
    times = Counter((row.get(FORECAST.day), _from_hour(row)) for row in rows)
    hours = defaultdict(set)
    for row in rows:
        hours[row.get(FORECAST.day)].add(_from_hour(row))
    found = []
    for row in rows:
        wrong = list(row.problems)
        day, hour = row.get(FORECAST.day), _from_hour(row)
        if not wrong and times[day, hour] > 1:
            wrong.append(row.problem("forecast-twice", FORECAST.day, str(day)))
        elif not wrong and hour is None and len(hours[day]) > 1:
            wrong.append(row.problem("forecast-mixed", FORECAST.from_hour, str(day)))
        problems += wrong
        if day is not None and not wrong:
            found.append(
                Weather(
                    place=row.place(FORECAST.day),
                    day=day,
                    from_hour=hour,
                    air_c=row.get(FORECAST.air_c),
                    humidity_pct=row.get(FORECAST.humidity_pct),
                    deck_c=row.get(FORECAST.deck_c),
                    sky=row.get(FORECAST.sky),
                    gust_mph=row.get(FORECAST.gust_mph),
                )
            )
    return tuple(sorted(found, key=lambda one: (one.day, one.from_hour or 0))), problems


def _from_hour(row: Row) -> int | None:
    figure = row.get(FORECAST.from_hour)
    return int(figure.number) if figure else None
