"""SVG by a small builder: every text and attribute escaped, text stays text, numbers the same on every machine."""

from __future__ import annotations

from markupsafe import Markup, escape

from cache_check.report.page import plain, short

Value = str | int | float


def number(value: float) -> str:
    """A coordinate with two digits."""
    return f"{value:.2f}".rstrip("0").rstrip(".") if value else "0"


def element(tag: str, *inside: Markup | str, **attributes: Value) -> Markup:
    """An element; underscores in attribute names become dashes ("class_" is class)."""
    said = "".join(
        f' {name.rstrip("_").replace("_", "-")}="{escape(number(value) if isinstance(value, float) else str(value))}"'
        for name, value in attributes.items()
    )
    content = "".join(str(escape(one)) for one in inside)
    return Markup(f"<{tag}{said}>{content}</{tag}>")  # noqa: S704 - every part of it has been escaped


def text(x: float, y: float, said: str, **attributes: Value) -> Markup:
    """A line of text that cannot steer what stands beside it."""
    return element("text", short(said, 60), x=float(x), y=float(y), **attributes)


def line(x1: float, y1: float, x2: float, y2: float, class_: str = "ink") -> Markup:
    """A line."""
    return element("line", x1=float(x1), y1=float(y1), x2=float(x2), y2=float(y2), class_=class_)


def box(x: float, y: float, wide: float, high: float, class_: str) -> Markup:
    """A rectangle."""
    return element("rect", x=float(x), y=float(y), width=float(max(wide, 0)), height=float(high), class_=class_)


def polygon(points: list[tuple[float, float]], class_: str) -> Markup:
    """A closed shape."""
    return element("polygon", points=" ".join(f"{number(x)},{number(y)}" for x, y in points), class_=class_)


def drawing(wide: float, high: float, title: str, *inside: Markup, key: str) -> Markup:
    """A whole figure that says what it shows; ``key`` is its id on the page."""
    return element(
        "svg",
        element("title", plain(title), id=f"{key}-title"),
        *inside,
        viewBox=f"0 0 {number(wide)} {number(high)}",
        role="img",
        aria_labelledby=f"{key}-title",
        class_="figure",
    )
