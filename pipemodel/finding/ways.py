"""The ways of one run: the best, others that are truly different, and where there is none, the nearest miss."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np

from pipemodel.bending.schedule import SolvedRun
from pipemodel.finding.alongside import asked_beside
from pipemodel.finding.around import Around, Obstruction, block_of
from pipemodel.finding.beside import planes_beside, way_beside
from pipemodel.finding.choice import ranked, unbeaten
from pipemodel.finding.different import apart_mm, different_mm, middles_of
from pipemodel.finding.ends import spared_at_ends
from pipemodel.finding.figures import FIRST_ANGLES, OTHER_ANGLES, Figures
from pipemodel.finding.judge import Judge
from pipemodel.finding.lattice import Lattice
from pipemodel.finding.nearest_miss import nearest_miss
from pipemodel.finding.new_cuts import MayCut, joists_to_cut
from pipemodel.finding.planes import Region, WayEnds, planes_in
from pipemodel.finding.room import clip_reach, obstructions_of, wanted_planes
from pipemodel.finding.search import MOST_BENDS, SearchTerms
from pipemodel.finding.turned import axes_of, turned_back
from pipemodel.finding.values import Way
from pipemodel.geometry.arrays import Bools
from pipemodel.geometry.placing import Placing
from pipemodel.geometry.vectors import along, distance
from pipemodel.job.model import Job, Run
from pipemodel.messages.values import Count, Message, Name, message

WAYS = 3
"""From so many ways of a run the best is taken, where the first is not sure to be; and so many are listed."""
MOST_SLANTED = 4
"""Slanted legs are looked for in ways of so many bends at most."""
MORE_BENDS = 2
"""Another way may have so many more bends than the best."""
JUDGED = 40
"""So many ways at one number of bends are judged before more bends are tried."""
MOST_UNPULLED = 4
"""After so many that are clear and cannot be pulled, more bends are tried."""
HUGGING = 3.0
"""What a leg off the faces counts for, in millimetres of leg along them, where ways along faces are looked for."""
Tell = Callable[[Message], None]


def quiet(_: Message) -> None:
    """Say nothing of how the search goes on."""


@dataclass(frozen=True)
class Finder:
    """Looks for the ways of a run.

    `found` grows as it goes on, and `seen` before there is anything in it, so that one that is stopped has something
    to show.
    """

    job: Job
    run: Run
    others: Sequence[SolvedRun]
    tell: Tell = quiet
    found: list[Way] = field(default_factory=list)
    seen: list[Way] = field(default_factory=list)
    """All ways that are clear and can be bent."""
    cutting: bool = False
    """Whether joists may be cut now; looked at where no way is found without, or that counts less than bends."""

    @cached_property
    def ends(self) -> WayEnds:
        """Between what a way is looked for: the ends of the tube itself."""
        asked = self.run.route.find
        assert asked is not None, "asked of runs to be found only"
        corners = self.run.route.corners
        return WayEnds(corners[0], asked.heading, corners[-1], asked.arriving)

    @cached_property
    def judge(self) -> Judge:
        """What judges each way."""
        return Judge(self.job, self.run, self.others, self.may_cut)

    @cached_property
    def may_cut(self) -> dict[str, MayCut]:
        """The joists that may be cut."""
        return joists_to_cut(self.job, self.run) if self.cutting else {}

    @cached_property
    def _with_cuts(self) -> "Finder":
        return replace(self, cutting=True)

    @property
    def _must_cut(self) -> bool:
        """Whether joists may be cut, and nothing is found without, or bends come before that."""
        asked, order = self.run.route.find, self.job.choose
        if self.cutting or asked is None or not asked.may_cut:
            return False
        return order.index("bends") < order.index("cuts") or (not self.found and self._best is None)

    @cached_property
    def _along(self) -> tuple["Finder", Placing]:
        """The same as seen from the axes along which a way is looked for, and how these lie in the room."""
        asked = self.run.route.find
        axes = Placing() if asked is None or asked.beside else axes_of(self.job, self.ends)
        if not axes.turned_deg:
            return self, axes
        job, run, others = turned_back(self.job, self.run, self.others, axes)
        return replace(self, job=job, run=run, others=others), axes

    @cached_property
    def things(self) -> tuple[Obstruction, ...]:
        """All that is kept clear of."""
        found = obstructions_of(self.job, self.run, self.others, self.ends, self.may_cut)
        return tuple(spared_at_ends(one, self.ends) for one in found)

    def ways(self, count: int) -> list[Way]:
        """Return up to so many ways, the best first, which is the same however many are asked for.

        Of the ways with the fewest bends that are looked at first the best is it, unless others might be better by what
        counts before that. Others are looked for then, and if more ways are asked for.
        """
        if self._must_cut:
            return self._with_cuts.ways(count)
        if not self.found:
            best = self._best
            if best is None:
                return []
            self.found.append(best)
            self.found[0] = self.judge.with_way_in(best)
        settled = self._settled(self.found[0])
        if settled and count == 1:
            return [self.found[0]]
        _ = self._all
        first, *others = different = self.different()[: max(count, WAYS)]
        if not settled:
            chosen = ranked([self.judge.with_way_in(way) for way in different[:WAYS]], self.job.choose)
            return [*chosen, *different[WAYS:]][:count]
        return [first, *(self.judge.with_way_in(way) for way in others[: count - 1])]

    def _settled(self, best: Way) -> bool:
        """Tell whether no other way can be better.

        Ways with fewer cuts are left out where some are needed, and so are others where one lies all along another run.
        """
        order = self.job.choose
        needed = self.cutting and order.index("cuts") < order.index("bends")
        left_out = {"cuts"} if needed else set()
        if self._other is not None and self.beside is not None:
            left_out.add("beside")
        return unbeaten(best, [one for one in order if one not in left_out])

    @cached_property
    def _all(self) -> bool:
        """Whether all has been looked at: once asked it is, and the ways are among `found`."""
        self.found.extend(self._others(self.found[0]))
        return True

    def different(self) -> list[Way]:
        """Return the ways found so far, the best first; of ways that are nearly one, the best alone."""
        out = self.found[:1] if self.found and self._settled(self.found[0]) else []
        for way in ranked(self.found or self.seen, self.job.choose):
            if all(apart_mm(way, one) > different_mm(out[0]) for one in out):
                out.append(way)
        return out

    def missed(self) -> Way | None:
        """Return the way that comes least too near to anything, None where not even one through everything is found."""
        if self._must_cut:
            return self._with_cuts.missed()
        self.tell(message("finding.missed"))
        return nearest_miss(self._searches(1.0, FIRST_ANGLES), self.judge)

    @cached_property
    def _best(self) -> Way | None:
        """The best way beside the run that is asked for; where there is none, of the fewest bends."""
        if self.beside is not None:
            return self.beside
        best = self._first()
        if best is None or self._other is None:
            return best
        planes = planes_beside(*self._other)
        search = self._searches(0.5, FIRST_ANGLES, beside=planes)
        good = [best]
        for bends in range(best.bends, best.bends + MORE_BENDS + 1):
            good += self._judged(replace(search, off_faces=HUGGING), bends)
        return ranked(good, self.job.choose)[0]

    def _first(self) -> Way | None:
        """Return the best way found with the fewest bends."""
        asked = self.run.route.find
        held = asked is not None and asked.within is not None
        for wide in (0.5,) if held else (0.5, 1.5):
            for least_straight in (True, False):
                # Longer legs help only where a way was clear and could not be pulled.
                if not least_straight and not self.judge.unpullable:
                    continue
                search = self._searches(wide, FIRST_ANGLES, least_straight)
                if (way := self._by_bends(search, 0, MOST_BENDS, self.tell)) is not None:
                    return way
        return None

    @cached_property
    def _other(self) -> tuple[SolvedRun, float] | None:
        return asked_beside(self.run, self.others)

    @cached_property
    def beside(self) -> Way | None:
        """The way that lies beside the run that is asked for from end to end; None where there is none."""
        if self._other is None:
            return None
        self.tell(message("finding.beside", run=Name(self._other[0].name)))
        region = self._region(1.5)
        around = Around(tuple(one for one in self.things if region.meets(one)))
        way = way_beside(*self._other, self.judge, self.ends, around)
        self.seen.extend([way] if way is not None else [])
        return way

    def with_room(self, aside_mm: float) -> Iterator[Way]:
        """Yield ways that may leave room for a run beside them, the best way of all last.

        They keep farther off everything, or go farther from the ends before they turn, or both.

        Args:
            aside_mm: how far off that run's axis is to lie.
        """
        if self._must_cut:
            yield from self._with_cuts.with_room(aside_mm)
        elif (best := self._best) is not None:
            for off, on in ((0.0, aside_mm), (aside_mm, aside_mm), (aside_mm, 0.0)):
                wider = self._wider(off, on)
                search = wider._searches(0.5, FIRST_ANGLES)
                for bends in range(best.bends, best.bends + MORE_BENDS + 1):
                    if good := self._judged(search, bends, 1):
                        yield good[0]
                        break
            yield best

    def _wider(self, off_mm: float, on_mm: float) -> "Finder":
        """Return what looks for ways as of a thicker run, between ends that lie farther on along it."""
        route, ends = self.run.route, self.ends
        corners = (along(ends.start, ends.heading, on_mm), along(ends.finish, ends.arriving, -on_mm))
        route = replace(route, corners=(corners[0], *route.corners[1:-1], corners[1]))
        return replace(self, run=replace(self.run, insulation_mm=self.run.insulation_mm + off_mm, route=route))

    def _by_bends(self, search: SearchTerms, least: int, most: int, tell: Tell = quiet) -> Way | None:
        """Return the best way with as few bends as can be, between two numbers of them."""
        slanted, rest = replace(search, slanted=True), replace(search, angles=OTHER_ANGLES)
        for bends in range(least, most + 1):
            if search.too_many(bends):
                break
            tell(message("finding.bends", n=Count(bends)))
            more = (slanted, rest) if bends <= MOST_SLANTED else (rest,)
            for one in (search, *more) if bends >= 2 else (search,):
                good = self._judged(one, bends)
                if good:
                    return ranked(good, self.job.choose)[0]
        return None

    def _judged(self, search: SearchTerms, bends: int, most: int = WAYS) -> list[Way]:
        good: list[Way] = []
        before = self.judge.unpullable
        for found in search.ways(bends)[:JUDGED]:
            if self.judge.unpullable - before >= MOST_UNPULLED:
                break
            corners = (self.ends.start, *found.corners[1:-1], self.ends.finish)
            if (way := self.judge.possible(corners)) is not None:
                good.append(way)
                self.seen.append(way)
                if len(good) >= most:
                    break
        return good

    def _others(self, best: Way) -> Iterator[Way]:
        """Yield ways that differ: along the faces, and round what stands in the middle of each leg of the best."""
        base = self._searches(0.5, FIRST_ANGLES)
        if self.run.clips is not None:
            hugging = replace(base, off_faces=HUGGING)
            if (way := self._by_bends(hugging, best.bends, best.bends + MORE_BENDS)) is not None:
                yield way
        for number, middle in enumerate(middles_of(tuple(map(base.axes.before, best.corners)))):
            self.tell(message("finding.other", n=Count(number + 1)))
            off = different_mm(best)
            low, high = tuple(c - off for c in middle), tuple(c + off for c in middle)
            block = block_of(low, high, "", 0.0)
            if block.lacking(np.array([base.ends.start, base.ends.finish])).max() > 0.0:
                continue
            search = replace(base, around=base.around.also([block]), lattice=base.lattice.also([block]))
            if (way := self._by_bends(search, 0, best.bends + MORE_BENDS)) is not None:
                yield way

    def _region(self, wide: float) -> Region:
        asked = self.run.route.find
        if asked is not None and asked.within is not None:
            low, high = asked.within
            return Region(np.array(low), np.array(high))
        ends = self.ends
        return Region.around(ends, 500.0 * (1.0 + wide) + wide * distance(ends.start, ends.finish))

    def _searches(
        self,
        wide: float,
        angles: tuple[float, ...],
        least_straight: bool = True,
        beside: Sequence[tuple[int, float]] = (),
    ) -> SearchTerms:
        own, axes = self._along
        region, figures = own._region(wide), Figures.of(self.run, least_straight)
        around = Around(tuple(one for one in own.things if region.meets(one)))
        wanted = [*beside, *wanted_planes(own.job, own.run, own.may_cut)]
        planes = planes_in(region, around, figures, own.ends, wanted)
        near: list[Bools] = []
        clipped = [(k, at, at) for k, at in beside] or clip_reach(own.job, own.run)
        for axis, across in enumerate(planes):
            near.append(np.array([any(k == axis and a <= at <= b for k, a, b in clipped) for at in across], dtype=bool))
        lattice = Lattice.of(planes, around)
        return SearchTerms(lattice, around, figures, own.ends, angles, (near[0], near[1], near[2]), axes=axes)
