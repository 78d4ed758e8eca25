"""The load check sheet: the situation drawn to scale, what each strut carries, what holds it, and lines to sign."""

from collections.abc import Iterator
from dataclasses import replace

from cache_check.model.load import LoadResult
from cache_check.report import basis, load_builds, of_load, shortly
from cache_check.report.answer import Told
from cache_check.report.figures import canvas, load_views
from cache_check.report.load_forces import PRACTICE, aside
from cache_check.report.page import Points, Table, said, table
from cache_check.report.pages.shell import Figure, Part, Sheet, rests_on, to_sign
from cache_check.report.say import Say

KIND, NAME, ORDER, OF = "load", "Load check", 40, "loads"
SUMS = ("situation", "forces", "thumb", "ground", "largest", "friction")  # in two columns where there is room
WIDE_SUMS = ("straps", "builds", "steps", "findings")  # sums that take the whole width
MOST_ROWS = 3
TO_SIGN = ("Checked by", "Officer in charge")
SIGNED = (
    "Who signs has checked on the ground: lengths, angle, straps, pad, and that the weight and the contact are as "
    "given here. Check again after each movement, cut or lift."
)


def sheet(result: LoadResult, told: Told, key: str) -> Sheet:
    """The sheet; ``key`` begins the ids of its figures."""
    say = Say.of(result)
    how = Points(of_load.lead(result), of_load.do(result, say))
    drawn = Part("Drawn to scale", tuple(_drawn(result, say, key)))
    too = [f"{say.stack(one.assembly.parts)}. {load_builds.hold_too(one)}" for one in result.carriers[:1]]
    governs = Part("What governs, link by link", (load_builds.chain(result.links, say, "link"), *too))
    side_one = [Part("Result", (of_load.in_short(result), how)), governs, drawn]
    if result.verdict == "met":
        side_one[1:] = reversed(side_one[1:])
    columns, wide = ([_section(name, result, told) for name in names] for names in (SUMS, WIDE_SUMS))
    wide.append(rests_on(result.basis, told))
    ticks = Part("To look at and tick", (Points(PRACTICE, result.ticks),), "ticks")
    signed = Part("Signed", (SIGNED, to_sign(TO_SIGN, "date and time", "incident")))
    return Sheet("load", shortly.title("load", result), basis.head(result.basis),
                 (*(replace(part, look="wide") for part in side_one), ticks, signed),
                 caution=said(of_load.counted(result)), of=result.name,
                 annex=(*columns, *(replace(part, look="wide") for part in wide)))  # fmt: skip


def _drawn(result: LoadResult, say: Say, key: str) -> Iterator[Figure | Points]:
    shape = result.geometry
    long, out = say.length(shape.length, "nearest"), say.length(shape.offset, "nearest")
    side = f"From the side, to scale: strut {long} at {say.angle(shape.angle_deg)} from level, base {out} out."
    runs = "; ".join(f"strap {n} {aside(line.plan_angle_deg, say)}" for n, line in enumerate(result.lines, 1))
    plan = f"From above, to scale: {'the straps are refused' if result.refused else runs or 'no straps'}."
    views = ((load_views.SIDE, "The strut from the side, with its forces", "side", side),
             (load_views.PLAN, "The strut and its straps from above", "plan", plan))  # fmt: skip
    for view, title, name, told in views:
        yield Figure(canvas.inline(load_views.draw(view, result, say), title, f"{key}-{name}"), told)
    yield Points("In both drawings, on one strut:", tuple(load_views.key(result, say)))


def _section(name: str, result: LoadResult, told: Told) -> Part:
    """A section as paper has it: few assemblies, findings a row each; the links of the best stand on side one."""
    section = of_load.SECTIONS[name].section(result, told)
    blocks = section.blocks
    if name == "builds" and result.carriers:
        lead, of = blocks[:2]
        assert isinstance(of, Table)
        left = len(of.rows) - MOST_ROWS
        rest = [f"Left out of this sheet: {left}; the command load lists all."] * (left > 0)
        blocks = (lead, replace(of, rows=of.rows[:MOST_ROWS]), *rest)
    elif name == "findings" and result.findings:
        rows = ((f"{one.severity.upper()} {one.rule}", one.what, one.source) for one in result.findings)
        blocks = (table("rule|what|source", rows),)
    return Part(section.heading, blocks)
