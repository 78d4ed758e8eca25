"""What every drawing shares: one look, text that stays text, and files that are the same on every run.

Colours are from a palette that colour-blind people tell apart, and never alone: a hatch, a dash or a shape says the
same in black and white.  Names come from files that anyone may have written, so nothing in them is read as a formula.
"""

import io
import warnings
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, Literal
from xml.etree import ElementTree as Tree

from markupsafe import Markup

from cache_check.report.page import plain

if TYPE_CHECKING:
    from matplotlib.axes import Axes as Axes
    from matplotlib.figure import Figure as Figure
    from matplotlib.figure import FigureBase as FigureBase
else:  # loaded only where something is drawn
    Axes = Figure = FigureBase = Any

Kind = Literal["svg", "png", "pdf"]
WIDE = 5.4  # inches: a phone shows it at nearly the size it is drawn, paper half as large again
INK, GREY, LINE = "#1b1b1b", "#595959", "#8a8a8a"
BLUE, PALE, OCHRE = "#23568c", "#cfdcec", "#7a4a00"
SVG = "http://www.w3.org/2000/svg"
XLINK = "http://www.w3.org/1999/xlink"
_LOOK: Any = {
    "svg.fonttype": "none", "svg.hashsalt": "cache-check", "pdf.fonttype": 42, "text.parse_math": False,
    "axes.formatter.use_mathtext": False, "font.family": "sans-serif", "font.size": 11.0, "axes.edgecolor": INK,
    "axes.labelcolor": INK, "axes.spines.top": False, "axes.spines.right": False, "xtick.color": INK,
    "ytick.color": INK, "text.color": INK, "hatch.linewidth": 0.8, "hatch.color": INK, "savefig.facecolor": "white",
    "figure.constrained_layout.use": True,
}  # fmt: skip


@contextmanager
def look() -> Iterator[None]:
    """The look of the house, for as long as a figure is drawn or written."""
    from matplotlib import rc_context

    with rc_context(_LOOK), warnings.catch_warnings():
        warnings.filterwarnings("ignore", message="Glyph .* missing from font")
        yield


@contextmanager
def blank(wide: float, high: float, lines: Sequence[str] = ()) -> Iterator[Figure]:
    """An empty figure, inches wide and high, to be drawn on in our look, with lines under it that no page says."""
    from matplotlib.figure import Figure

    with look():
        yield (figure := Figure(figsize=(wide, high)))
        if lines:
            figure.supxlabel("\n".join(map(plain, lines)), fontsize=8, ha="left", x=0.01, color=INK)


def alone(wide: float, high: float, draw_on: Callable[..., None], *args: Any, **named: Any) -> Figure:
    """A figure so many inches wide and high that holds one drawing only: ``draw_on(figure, *args, **named)``."""
    with blank(wide, high) as figure:
        draw_on(figure, *args, **named)
    return figure


def written(figure: Figure, kind: Kind) -> bytes:
    """The file of a figure.  No date is in it, so that equal drawings are equal files."""
    made = io.BytesIO()
    dated = {"svg": {"Date": None, "Creator": None}, "pdf": {"CreationDate": None}, "png": {}}
    with look():
        figure.savefig(made, format=kind, metadata=dated[kind], dpi=150)
    return made.getvalue()


def inline(figure: Figure, title: str, key: str) -> Markup:
    """A figure as an SVG element for a page; ``key`` begins each of its ids, and is another for each figure there."""
    Tree.register_namespace("", SVG)
    Tree.register_namespace("xlink", XLINK)
    root = Tree.fromstring(written(figure, "svg"))  # noqa: S314 - written by us a line above
    # A style among the defs would speak for the whole page.
    for holder, name in ((root, "metadata"), *((defs, "style") for defs in root.iter(f"{{{SVG}}}defs"))):
        for one in holder.findall(f"{{{SVG}}}{name}"):
            holder.remove(one)
    _renamed(root, key)
    for name in ("width", "height", "version"):
        root.attrib.pop(name, None)
    own = {"style": "stroke-linejoin: round; stroke-linecap: butt", "role": "img", "class": "figure"}
    root.attrib.update(own | {"aria-labelledby": f"{key}-title"})
    named = Tree.Element(f"{{{SVG}}}title", {"id": f"{key}-title"})
    named.text = plain(title)
    root.insert(0, named)
    return Markup(Tree.tostring(root, encoding="unicode"))  # noqa: S704 - serialized from a tree, so escaped


def _renamed(root: Any, key: str) -> None:
    wanted = set()
    for one in root.iter():
        for name, value in one.attrib.items():
            before, told, named = value.partition("#" if name == f"{{{XLINK}}}href" else "url(#")
            if told:
                wanted.add(named.partition(")")[0])
                one.set(name, f"{before}{told}{key}-{named}")
    for one in root.iter():
        identity = one.attrib.pop("id", None)
        if identity in wanted:
            one.set("id", f"{key}-{identity}")
