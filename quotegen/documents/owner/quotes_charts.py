"""The charts of the book of quotes, as vector pictures drawn by matplotlib."""

import io
from collections.abc import Callable, Sequence
from typing import Any

from markupsafe import Markup
from matplotlib import rc_context
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.font_manager import fontManager
from matplotlib.ticker import MaxNLocator

from quotegen.documents.drawing.svg import FONT
from quotegen.documents.printing.pdf import FONT_FOLDER
from quotegen.learning.quotes_book import Won

MM_PER_INCH = 25.4
_INK, _GREY, _FAINT, _DARK = "#1c2326", "#7a868a", "#d5dbdd", "#4a5458"
_STYLE: Any = {
    "svg.fonttype": "none",
    "svg.hashsalt": "quotegen",
    "font.family": FONT,
    "font.size": 8,
    "axes.edgecolor": _GREY,
    "axes.labelcolor": _INK,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "xtick.color": _INK,
    "ytick.color": _INK,
}
"""Words stay words, in the type of the paper; equal charts are equal to the byte."""


fontManager.addfont(FONT_FOLDER / "SourceSansPro-Regular.ttf")


def months_chart(months: Sequence[Won], width_mm: float, height_mm: float) -> Markup:
    """The quotes of each month: won, waiting, lost, one upon another."""

    def draw(axes: Axes) -> None:
        names = [one.group for one in months]
        below = [0] * len(months)
        for words, colour, counts in (
            ("said yes", _DARK, [one.won for one in months]),
            ("waits", _FAINT, [one.waiting for one in months]),
            ("said no or ran out", _GREY, [one.lost for one in months]),
        ):
            axes.bar(names, counts, bottom=below, color=colour, label=words, width=0.7)
            below = [low + more for low, more in zip(below, counts, strict=True)]
        axes.set_ylabel("quotes")
        axes.yaxis.set_major_locator(MaxNLocator(integer=True))
        axes.tick_params(axis="x", rotation=45)
        axes.legend(frameon=False, ncols=3, loc="lower left", bbox_to_anchor=(0, 1))

    said = "; ".join(f"{one.group}: {one.won} of {one.quotes}" for one in months)
    return _chart(draw, width_mm, height_mm, f"Quotes won by month. {said}")


def shares_chart(groups: Sequence[Won], width_mm: float, height_mm: float) -> Markup:
    """The share won of each group, with the bounds it lies between nine times in ten."""
    shown = [one for one in groups if one.share]

    def draw(axes: Axes) -> None:
        for at, one in enumerate(reversed(shown)):
            share, low, high = one.share or (0, 0, 0)
            axes.plot([100 * low, 100 * high], [at, at], color=_GREY, linewidth=1.6)
            axes.plot([100 * share], [at], "o", color=_INK, markersize=4)
        names = [f"{one.group} ({one.won} of {one.won + one.lost})" for one in reversed(shown)]
        axes.set_yticks(range(len(shown)), names)
        axes.set_xlim(0, 100)
        axes.set_ylim(-0.6, len(shown) - 0.4)
        axes.set_xlabel("per cent won of those answered")
        axes.grid(axis="x", color=_FAINT, linewidth=0.5)

    said = "; ".join(f"{one.group}: {one.won} of {one.won + one.lost}" for one in shown)
    return _chart(draw, width_mm, height_mm, f"Share won. {said}")


def _chart(draw: Callable[[Axes], None], width_mm: float, height_mm: float, said: str) -> Markup:
    """A chart of one pair of axes as an SVG element, with words for whoever cannot see it."""
    with rc_context(_STYLE):
        figure = Figure(
            figsize=(width_mm / MM_PER_INCH, height_mm / MM_PER_INCH), layout="constrained"
        )
        draw(figure.add_subplot())
        written = io.StringIO()
        figure.savefig(written, format="svg", metadata={"Date": None, "Creator": None})
    drawing = written.getvalue()
    element = drawing[drawing.index("<svg") :]
    words = Markup("<title>{}</title>").format(said)
    opened = element.index(">") + 1
    return Markup(element[:opened]) + words + Markup(element[opened:])
