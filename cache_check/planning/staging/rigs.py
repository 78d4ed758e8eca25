"""Whose pieces they are: what each rig of a pool has usable, since a ready set lies on the rig that owns its parts."""

from collections import Counter
from collections.abc import Iterable, Iterator

from cache_check.joining.stock import counted, stricter, usable
from cache_check.model.assembly import Assembly
from cache_check.model.cache import Cache
from cache_check.model.counting import FromRig, Packing
from cache_check.model.family import Catalogue
from cache_check.model.part import Fitting, Tie
from cache_check.model.told import Pieces
from cache_check.planning.packing.muster import Muster
from cache_check.planning.packing.rows import points_row


def with_hardware(catalogue: Catalogue, ties: Pieces) -> Counter[str]:
    """Straps or chains, and the hardware that they need, whether or not a rule asks for it."""
    found: Counter[str] = Counter()
    for part, n in ties:
        tie = catalogue.by_id[part]
        found[part] += n
        for piece, each in tie.hardware.items() if isinstance(tie, Tie) else ():
            found[piece] += n * each
    return found


def set_aside(catalogue: Catalogue, parts: Iterable[str], made: Assembly | None, ties: Pieces) -> Counter[str]:
    """What a ready set keeps from being loose: its parts and pins, and what is allotted to hold its base."""
    return Counter(parts) + Counter(dict(made.pins) if made else {}) + with_hardware(catalogue, ties)


class Rigs:
    """The usable pieces of each rig of a pool; of pieces supposed gone the first rigs lose theirs first."""

    def __init__(self, muster: Muster) -> None:
        self.names, self._muster = muster.cache.rigs, muster
        self._all = self._usable(muster, muster.cache, muster.gone)
        self._pointable = frozenset(part for part, n in muster.usable.pointed.items() if n)
        self._own: dict[str, dict[str, int]] = {}
        gone = dict(muster.gone)
        for rig in self.names if len(self.names) > 1 else ():
            alone = muster.cache.changed(stock=tuple(line for line in muster.cache.stock if line.rig == rig))
            have = self._own[rig] = self._usable(muster, alone, {})
            for part, n in gone.items():
                gone[part] -= min(n, have.get(part, 0))
                for row in {part, points_row(part)} & have.keys():
                    have[row] = max(0, have[row] - n)

    def _usable(self, muster: Muster, cache: Cache, gone: dict[str, int]) -> dict[str, int]:
        found = usable(cache, muster.book, muster.on, gone)
        return found.counts | {points_row(part): n for part, n in found.pointed.items()}

    def taken(self, assembly: Assembly) -> list[tuple[str, int]]:
        """What a ready set takes: its parts and pins, and a base with points where the rig has such bases."""
        taken = assembly.pieces
        if assembly.ground in self._pointable:
            taken[points_row(assembly.ground)] += 1
        return list(taken.items())

    def have(self, rig: str, part: str) -> int:
        """The usable pieces of a part on a rig, of the whole pool where no rig is named."""
        return (self._own[rig] if rig and len(self.names) > 1 else self._all).get(part, 0)

    def bring(
        self, packing: Packing, lying: Iterable[tuple[str, Counter[str], bool]] = (), pads: Pieces = ()
    ) -> tuple[FromRig, ...]:
        """The pieces of all struts of a packing, rig by rig in the order named; none where there is but one rig.

        Pins, straps, chains and their hardware are among them, and ``pads``.  One fixed choice: the rig named first
        brings all that it has; of a base, pieces with the most attachment points come first, whichever rig they are of.
        ``lying`` are the ready sets: the rig of each, its pieces, and whether the struts take it.  Its rig then brings
        it; the pieces of one that they do not take stay where they lie.  One that lies nowhere is as loose pieces are.
        """
        if len(self.names) < 2:
            return ()
        wanted: Counter[str] = Counter()
        for assembly, times in packing.assemblies:
            for part, n in assembly.pieces.items():
                wanted[part] += n * times
        wanted += with_hardware(self._muster.cache.catalogue, packing.ties) + Counter(dict(pads))
        brought: dict[str, Counter[str]] = {rig: Counter() for rig in self.names}
        taken: dict[str, Counter[str]] = {rig: Counter() for rig in self.names}
        for rig, pieces, used in (one for one in lying if one[0]):
            taken[rig] += pieces
            own = wanted & pieces if used else Counter()
            brought[rig] += own
            wanted -= own
        for part, n in wanted.items():
            for rig, more in self._from_each(part, n, taken):
                brought[rig][part] += more
        return tuple(FromRig(rig, tuple(own.items())) for rig, own in brought.items())

    def left(self, aside: Iterable[tuple[Counter[str], str]]) -> tuple[FromRig, ...]:
        """What each rig of a pool has besides what is set aside for ready sets, each with the rig that it lies on."""
        if len(self.names) < 2:
            return ()
        known = self._muster.cache.catalogue.by_id
        left = {rig: Counter({part: n for part, n in own.items() if part in known}) for rig, own in self._own.items()}
        lacks: Counter[str] = Counter()
        # That rig gives what it has; what it lacks, and all of a set that lies nowhere, is of the rigs named first.
        for pieces, lies_on in aside:
            own = pieces & left[lies_on] if lies_on else Counter()
            lacks += pieces - own
            left.get(lies_on, Counter()).subtract(own)
        for part, n in lacks.items():
            for rig in self.names:
                taken = min(n, left[rig][part])
                left[rig][part] -= taken
                n -= taken
        return tuple(FromRig(rig, tuple((part, n) for part, n in own.items() if n)) for rig, own in left.items())

    def _from_each(self, part: str, wanted: int, taken: dict[str, Counter[str]]) -> Iterator[tuple[str, int]]:
        """So many of a part, of a base from those with the most points on."""
        record = self._muster.cache.catalogue.by_id[part]
        rows = [part]
        if isinstance(record, Fitting):
            most_first = sorted(stricter(self._muster.book, record), reverse=True)
            rows = [*(points_row(counted(part, n)) for n in most_first), points_row(part), part]
        for row in rows:
            for rig in self.names:
                more = min(wanted, self.have(rig, row) - taken[rig][part], self.have(rig, part) - taken[rig][part])
                if more > 0:
                    taken[rig][part] += more
                    wanted -= more
                    yield rig, more
