"""Vector pictures as SVG: one unit is one millimetre on the paper.

Only what the drawings need: lines, shapes, text. All text is escaped.
"""

from collections.abc import Iterable
from functools import cache

from markupsafe import Markup, escape

from quotegen.model.roof import Point

FONT = "Source Sans Pro"
INK = "#1c2326"
PAPER = "#ffffff"


def coordinate(value: float) -> str:
    """A coordinate to three decimals at most, without trailing zeros.

    >>> coordinate(2.0), coordinate(1.23456), coordinate(-0.0001)
    ('2', '1.235', '0')
    """
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def element(name: str, content: Markup | str = "", /, **attributes: str | float) -> Markup:
    """One element; an underscore in an attribute name stands for a hyphen.

    >>> str(element("text", "a < b", x=1.5, text_anchor="middle"))
    '<text x="1.5" text-anchor="middle">a &lt; b</text>'
    """
    written = "".join(
        f' {_attribute_name(key)}="{escape(_attribute_value(value))}"'
        for key, value in attributes.items()
    )
    return Markup(f"<{name}{written}>{escape(content)}</{name}>")


def join(parts: Iterable[Markup]) -> Markup:
    """The parts joined."""
    return Markup("".join(parts))


def line(start: Point, end: Point, **style: str | float) -> Markup:
    """A straight line."""
    return element("line", "", x1=start[0], y1=start[1], x2=end[0], y2=end[1], **style)


def polyline(points: Iterable[Point], **style: str | float) -> Markup:
    """An open polyline."""
    return element("polyline", "", points=_points(points), **{"fill": "none", **style})


def polygon(points: Iterable[Point], **style: str | float) -> Markup:
    """A closed polygon."""
    return element("polygon", "", points=_points(points), **style)


def circle(centre: Point, radius: float, **style: str | float) -> Markup:
    """A circle."""
    return element("circle", "", cx=centre[0], cy=centre[1], r=radius, **style)


def path(steps: str, **style: str | float) -> Markup:
    """A path in SVG notation."""
    return element("path", "", d=steps, **style)


def text(
    words: str,
    at: Point,
    size: float,
    *,
    turn: float = 0.0,
    bold: bool = False,
    colour: str = INK,
    anchor: str = "middle",
) -> Markup:
    """Text centred on a point or, by its anchor, starting there; turned clockwise [degrees]."""
    style: dict[str, str | float] = {
        "x": at[0],
        "y": at[1] + size * 0.34,
        "font_family": FONT,
        "font_size": size,
        "text_anchor": anchor,
        "fill": colour,
    }
    if bold:
        style["font_weight"] = 600
    if turn:
        style["transform"] = f"rotate({coordinate(turn)} {coordinate(at[0])} {coordinate(at[1])})"
    return element("text", words, **style)


def picture(
    width: float, height: float, title: str, description: str, content: Markup, *, kind: str = ""
) -> Markup:
    """A complete picture of this size [mm], with its title and description for screen readers."""
    return element(
        "svg",
        element("title", title) + element("desc", description) + content,
        xmlns="http://www.w3.org/2000/svg",
        class_=kind or "drawing",
        role="img",
        width=f"{coordinate(width)}mm",
        height=f"{coordinate(height)}mm",
        viewBox=f"0 0 {coordinate(width)} {coordinate(height)}",
    )


@cache
def _attribute_value(value: str | float) -> str:
    return value if isinstance(value, str) else coordinate(value)


def _attribute_name(key: str) -> str:
    return key.rstrip("_").replace("_", "-")


def _points(points: Iterable[Point]) -> str:
    return " ".join(f"{coordinate(x)},{coordinate(y)}" for x, y in points)
