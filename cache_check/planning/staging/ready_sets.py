"""What is told of each ready set: who carries it, where it lies, its straps, its ratings, what it turns into."""

from collections import Counter
from collections.abc import Sequence
from fractions import Fraction
from functools import cache
from itertools import pairwise
from math import inf

from cache_check.joining.assemblies import union_of
from cache_check.model.assembly import Assembly, Span, merged
from cache_check.model.staging import ReadySetPlan, Stowed
from cache_check.planning.packing.choice import ties_of_holds
from cache_check.planning.packing.muster import Muster
from cache_check.planning.packing.rows import points_row
from cache_check.planning.staging.played import set_names
from cache_check.planning.staging.runs import as_it_sits, every_run, parted, splits
from cache_check.planning.staging.stowing import Lie, carry

MOST_CHANGES = 2  # parts put in or taken out when a set is turned into another assembly; more is building anew
MOST_SHOWN = 8  # no more assemblies than this are shown for one set


def told(muster: Muster, sets: list[tuple[Assembly, Lie]], loose: dict[str, int]) -> tuple[ReadySetPlan, ...]:
    """The ready sets in order, straps and chains allotted while there are any."""
    ties = Counter(muster.usable.counts | {points_row(name): n for name, n in muster.usable.pointed.items()})
    every = tuple(muster.joined.assemblies()) if sets else ()
    turned = cache(lambda assembly: turns_into(muster, every, assembly, loose))
    found = []
    for name, (assembly, lie) in zip(set_names(len(sets)), sets, strict=True):
        lies_in = (lie.compartment.id, lie.compartment.rig) if lie.compartment else ("", "")
        held, wanted = _allot(muster, assembly, ties)
        found.append(ReadySetPlan(
            name=name, assembly=assembly, carry=carry(assembly.mass, muster.book),
            stowed=Stowed(*lies_in, lie.spare, lie.diagonal, lie.unchecked), ties=held, ties_wanted=wanted,
            rated=rated(muster, assembly), turns_into=turned(assembly),
        ))  # fmt: skip
    return tuple(found)


def rated(muster: Muster, assembly: Assembly) -> tuple[tuple[int, Fraction | None], ...]:
    """What it is rated for at the policy's factor, (length, load): at or under each length, over the one before.

    Lengths are ones that it can be set to, rising, the last the longest; None is unrated, as a gap in a chart is.
    """
    edges = muster.ratings.edges
    rows: list[tuple[int, Fraction | None]] = []
    for length in (at for low, high in assembly.spans for at in (*(one for one in edges if low <= one < high), high)):
        load = muster.capacity.rated(assembly, length, length, muster.factor())
        if rows and rows[-1][1] == load:
            rows.pop()
        rows.append((length, load))
    return tuple(rows)


def _allot(muster: Muster, assembly: Assembly, left: Counter[str]) -> tuple[tuple[tuple[str, int], ...], int]:
    """The straps or chains for its base, taken from what is left: all that the rules ask for, or none."""
    wanted, by_id, columns = 0, muster.cache.catalogue.by_id, muster.columns
    for column in columns.all:
        if column.hold is None or columns.assemblies[column.assembly].identity != assembly.identity:
            continue
        held = columns.held(assembly.ground, column.hold, columns.families(assembly))
        needed = [(name, n) for name, n in held if name in left]  # points and hardware
        if any(left[name] < n for name, n in needed if name not in by_id):
            continue  # all bases with points enough are in sets before
        wanted = sum(n for _, n in column.hold.ties)
        if any(columns.groups[group].bare for group, _ in column.hold.ties):
            continue  # nobody knows that they hold
        taken = ties_of_holds(columns, [(column.hold, 1)], left)
        if sum(n for _, n in taken) == wanted and all(left[part] >= n for part, n in needed):
            left.subtract(dict([*taken, *needed]))
            return taken, wanted
    return (), wanted


def turns_into(
    muster: Muster, every: Sequence[Assembly], assembly: Assembly, loose: dict[str, int]
) -> tuple[tuple[Assembly, int, int], ...]:
    """What loose pieces make of a set, of ``every`` with its body: (assembly, joints broken, made), fewest first."""
    found, mine = [], Counter(assembly.parts)
    for other in every:
        # Only what reaches lengths that the set itself does not is told.
        farther = other.closed < assembly.closed or assembly.open < other.open
        if not farther or other.body != assembly.body or other.identity == assembly.identity:
            continue
        kept = (mine & Counter(its := other.parts)).total()
        few = max(len(assembly.parts), len(its)) - kept <= MOST_CHANGES
        if few and (joints := turning(muster, assembly, other, loose)):
            found.append((other, *joints))
    found.sort(key=lambda one: (one[1] + one[2], len(one[0].parts)))
    return tuple(found[:MOST_SHOWN])


def turning(muster: Muster, assembly: Assembly, other: Assembly, loose: dict[str, int]) -> tuple[int, int] | None:
    """The fewest joints broken and made that turn one assembly into another; None where loose pieces do not do it."""
    pins = Counter(dict(other.pins)) - Counter(dict(assembly.pins))
    if any(loose.get(pin, 0) < n for pin, n in pins.items()):
        return None
    best, most = None, inf
    (_, made), (_, wanted) = (as_it_sits(muster, one) for one in (assembly, other))
    opened, there, every = splits(made), set(every_run(made)), every_run(wanted)
    for at, own in parted(len(wanted) // 2):
        if len(at) >= most:
            break
        runs = [every[i] for i in own]
        if all(len(run) == 1 or run in there for run in runs):
            needed = ((run, runs.count(run) - (loose.get(run[0], 0) if len(run) == 1 else 0)) for run in set(runs))
            short = [(run, n) for run, n in needed if n > 0]
            cheaper = (one for one in opened if one.joints + len(at) < most)
            for one in (one for one in cheaper if all(one.counted.get(run, 0) >= n for run, n in short)):
                best, most = (one.joints, len(at)), one.joints + len(at)
                break
    return best


def holes(muster: Muster, sets: list[Assembly]) -> tuple[Span, ...]:
    """Lengths between the sets' reaches that no set covers, and that the loose cache does."""
    between = pairwise(merged(span for assembly in sets for span in assembly.spans))
    ends, union = [(below[1], above[0]) for below, above in between], union_of(muster.joined)
    # An end that a set covers is itself no part of the hole.
    return tuple((max(low, a), min(high, b)) for a, b in ends for low, high in union if low < b and high > a)
