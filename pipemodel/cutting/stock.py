"""Which pieces to cut from which length of stock, with the least waste, and how good that provably is.

The cutting-stock problem by column generation: every way of cutting one length is a pattern; a linear program
over patterns gives a lower bound on the stock that any plan must use, a knapsack finds patterns worth adding, and
an integer program over the patterns found gives the plan. Gilmore and Gomory's method (Operations Research 9,
1961); the solver is HiGHS. Where all patterns can be written down, the integer program has them all, and its answer
is the least there is.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil, floor
from typing import Any

import numpy as np

from pipemodel.cutting.mixed_integer import new_solver
from pipemodel.cutting.stock_fill import fill_bars, place_long
from pipemodel.cutting.stock_patterns import full_patterns
from pipemodel.messages.values import Length, Message, Name, message

UNIT_MM = 0.5
"""Pieces are rounded up, and stock down, to this: as fine as a tape reads."""
MOST_PATTERNS, MOST_SIZES = 4000, 60
"""No more patterns than this are written down, and of no more different lengths."""
NEAR_ENOUGH = 0.005
"""A plan within this part of the bound is only bettered where all patterns are at hand."""
MOST_NODES = 200
"""So far the integer program branches; by count and not by time, for the same plan on every machine."""
MOST_SECONDS = 5.0
"""So long it takes at the very most; the plan is then the best found, and the bound holds all the same."""


@dataclass(frozen=True)
class StockPiece:
    """A straight length wanted, by the name of what it becomes."""

    name: str
    length_mm: float


@dataclass(frozen=True)
class Bar:
    """One length of stock and what is cut from it, in order; `left_mm` remains after the saw."""

    length_mm: float
    offcut: bool
    pieces: tuple[StockPiece, ...]
    left_mm: float


@dataclass(frozen=True)
class StockPlan:
    """Every piece placed. No plan can use less than `bound_mm` of stock; `used_mm` is what this one uses."""

    bars: tuple[Bar, ...]
    used_mm: float
    bound_mm: float

    @property
    def proven_best(self) -> bool:
        """Whether no other plan could use less."""
        return self.used_mm <= self.bound_mm + UNIT_MM

    @property
    def waste_mm(self) -> float:
        """Stock taken less the pieces cut from it: offcuts and sawdust."""
        return self.used_mm - sum(p.length_mm for bar in self.bars for p in bar.pieces)


class StockError(ValueError):
    """Stock that cannot give the pieces; says which piece and what would be long enough."""

    def __init__(self, said: Message) -> None:
        super().__init__(str(said))
        self.said = said


def plan_stock(
    pieces: Sequence[StockPiece],
    stock_mm: float = 3000.0,
    offcuts: Sequence[float] = (),
    kerf_mm: float = 0.0,
) -> StockPlan:
    """Place every piece on new lengths of `stock_mm`, or on the offcuts listed (each once).

    Args:
        pieces: what is wanted, each longer than 0.
        stock_mm: length of new stock, as many as needed.
        offcuts: lengths at hand, used where that saves stock.
        kerf_mm: what the saw takes between two pieces.

    Raises:
        StockError: if a piece is longer than every length of stock.
    """
    if not pieces:
        return StockPlan((), 0.0, 0.0)
    longest = max(pieces, key=lambda p: p.length_mm)
    reach = max([stock_mm, *offcuts])
    if longest.length_mm > reach:
        raise StockError(
            message(
                "stock.piece too long",
                piece=Name(longest.name, quoted=False),
                needs=Length(longest.length_mm, ".1f", beside=reach),
                reach=Length(reach, ".1f", beside=longest.length_mm),
            )
        )
    return _Cutting(pieces, stock_mm, offcuts, kerf_mm).plan()


class _Cutting:
    """The problem in whole units: distinct lengths with their demand, stock lengths with their supply."""

    def __init__(self, pieces: Sequence[StockPiece], stock: float, offcuts: Sequence[float], kerf: float) -> None:
        self.kerf = ceil(kerf / UNIT_MM - 1e-9)
        self.by_size: dict[int, list[StockPiece]] = {}
        for piece in sorted(pieces, key=lambda p: -p.length_mm):
            self.by_size.setdefault(ceil(piece.length_mm / UNIT_MM - 1e-9), []).append(piece)
        self.sizes = sorted(self.by_size, reverse=True)
        self.demand = [len(self.by_size[s]) for s in self.sizes]
        self.wanted = list(self.demand)  # what a new pattern may hold; shrinks while diving
        self.stock = [(floor(stock / UNIT_MM + 1e-9), stock, False, len(pieces))]
        shortest = self.sizes[-1]
        for length in sorted(set(offcuts)):
            units = floor(length / UNIT_MM + 1e-9)
            if units >= shortest:
                self.stock.append((units, length, True, sum(1 for x in offcuts if x == length)))
        self.patterns: list[tuple[int, tuple[int, ...]]] = []  # index of stock, count of each size
        self.known: set[tuple[int, tuple[int, ...]]] = set()

    # ---- the linear program over patterns

    def plan(self) -> StockPlan:
        greedy = min((list(self._first_fit()), self._filled()), key=self._cost)
        if len(self.stock) == 1 and len(greedy) == self._fewest():
            return self._lay_out(greedy, len(greedy) * self.stock[0][1])
        self.lp = new_solver()
        for size in range(len(self.sizes)):
            self.lp.addRow(float(self.demand[size]), self.lp.inf, 0, [], [])
        for _, _, _, count in self.stock:
            self.lp.addRow(-self.lp.inf, float(count), 0, [], [])
        for pattern in greedy:
            self._add(pattern)
        bound = self._generate()
        if len(self.stock) == 1:  # whole lengths only: the bound may be rounded up to a whole number of them
            bound = ceil(bound / self.stock[0][1] - 1e-6) * self.stock[0][1]
        chosen = greedy
        if self._cost(chosen) > bound + UNIT_MM:
            chosen = min((self._dive(), greedy), key=self._cost)
        if self._cost(chosen) > bound + UNIT_MM:
            complete = self._add_all()
            if complete or self._cost(chosen) > bound * (1.0 + NEAR_ENOUGH):
                found, proven = self._integer(MOST_NODES if complete else 1)
                chosen = min((found, chosen), key=self._cost)
                bound = max(bound, proven) if complete else bound
        return self._lay_out(chosen, bound)

    def _add_all(self) -> bool:
        """Add every pattern there is; tell whether there were few enough."""
        if len(self.sizes) > MOST_SIZES:
            return False
        widths = [size + self.kerf for size in self.sizes]
        for kind, (units, *_) in enumerate(self.stock):
            patterns = full_patterns(widths, self.demand, units + self.kerf, MOST_PATTERNS)
            if patterns is None:
                return False
            for pattern in patterns:
                self._add((kind, pattern))
        return True

    def _add(self, pattern: tuple[int, tuple[int, ...]]) -> bool:
        if pattern in self.known:
            return False
        self.known.add(pattern)
        self.patterns.append(pattern)
        kind, counts = pattern
        rows = [i for i, n in enumerate(counts) if n] + [len(self.sizes) + kind]
        values = [float(n) for n in counts if n] + [1.0]
        self.lp.addCol(
            self.stock[kind][1], 0.0, self.lp.inf, len(rows), np.array(rows), np.array(values, dtype=np.float64)
        )
        return True

    def _generate(self, rounds: int = 10_000) -> float:
        """Add patterns until none is worth it; return the least stock any plan can use."""
        best = 0.0
        for _ in range(rounds):
            self.lp.run()
            solution = self.lp.getSolution()
            duals = np.array(solution.row_dual)
            worth, supply = np.maximum(duals[: len(self.sizes)], 0.0), duals[len(self.sizes) :]
            value, take = self._knapsack(worth)
            objective = self.lp.getInfo().objective_function_value
            added, shortfall = False, 0.0
            for kind, (units, cost, _, count) in enumerate(self.stock):
                gap = value[units + self.kerf] + supply[kind] - cost
                if gap > 1e-9 * cost:
                    shortfall += gap * count
                    added |= self._add((kind, self._unpack(take, units + self.kerf)))
            # Any dual point gives a bound: what it lacks per pattern, times the patterns there can be.
            best = max(best, float(objective) - shortfall)
            if not added:
                break
        return best

    def _knapsack(self, worth: Any) -> tuple[Any, list[tuple[int, int, Any]]]:
        """Best worth of pieces for every length up to the longest, each size at most as often as wanted."""
        room = max(units for units, *_ in self.stock) + self.kerf
        value = np.zeros(room + 1)
        take: list[tuple[int, int, Any]] = []
        for i, size in enumerate(self.sizes):
            left, chunk = min(self.wanted[i], room // (size + self.kerf)), 1
            while left > 0 and worth[i] > 0.0:
                n = min(chunk, left)
                width = n * (size + self.kerf)
                if width <= room:
                    with_it = value[: room + 1 - width] + n * worth[i]
                    better = np.zeros(room + 1, dtype=bool)
                    better[width:] = with_it > value[width:] + 1e-12
                    value[width:] = np.where(better[width:], with_it, value[width:])
                    take.append((i, n, better))
                left, chunk = left - n, chunk * 2
        return value, take

    def _unpack(self, take: list[tuple[int, int, Any]], room: int) -> tuple[int, ...]:
        counts = [0] * len(self.sizes)
        for i, n, better in reversed(take):
            if better[room]:
                counts[i] += n
                room -= n * (self.sizes[i] + self.kerf)
        return tuple(counts)

    # ---- plans in whole lengths

    def _dive(self) -> list[tuple[int, tuple[int, ...]]]:
        """Take whole patterns from the linear program one after another, making new ones for what is left."""
        fixed: dict[int, int] = {}
        while any(self.wanted):
            self.lp.run()
            if self.lp.getInfo().primal_solution_status != 2:  # a whole offcut too many: this dive ends nowhere
                fixed.clear()
                break
            values = list(self.lp.getSolution().col_value)
            whole = {j: floor(x + 1e-6) for j, x in enumerate(values) if floor(x + 1e-6) > fixed.get(j, 0)}
            if not whole:
                j = max(range(len(values)), key=lambda j: values[j] - fixed.get(j, 0))
                whole = {j: fixed.get(j, 0) + 1}
            for j, n in whole.items():
                fixed[j] = n
                self.lp.changeColBounds(j, float(n), self.lp.inf)
            placed = [sum(n * self.patterns[j][1][i] for j, n in fixed.items()) for i in range(len(self.sizes))]
            self.wanted = [max(want - got, 0) for want, got in zip(self.demand, placed, strict=True)]
            self._generate(rounds=10)
        for j in range(len(self.patterns)):
            self.lp.changeColBounds(j, 0.0, self.lp.inf)
        self.wanted = list(self.demand)
        return [self.patterns[j] for j, n in fixed.items() for _ in range(n)]

    def _fewest(self) -> int:
        """Return how many new lengths the pieces would take if they could be run together."""
        widths = sum((size + self.kerf) * n for size, n in zip(self.sizes, self.demand, strict=True))
        return -(-widths // (self.stock[0][0] + self.kerf))

    def _filled(self) -> list[tuple[int, tuple[int, ...]]]:
        """Fill new lengths as full as they go; no plan where a piece is longer than they are."""
        if self.sizes[0] > self.stock[0][0]:
            return []
        which = [i for i, n in enumerate(self.demand) for _ in range(n)]
        bars = fill_bars([self.sizes[i] + self.kerf for i in which], self.stock[0][0] + self.kerf)
        counts = (Counter(which[n] for n in bar) for bar in bars)
        return [(0, tuple(count[i] for i in range(len(self.sizes)))) for count in counts]

    def _first_fit(self) -> Iterator[tuple[int, tuple[int, ...]]]:
        """First fit decreasing on new stock; what no new length holds is put on the offcuts first.

        Raises:
            StockError: if the offcuts cannot hold what is longer than new stock.
        """
        new = self.stock[0][0]
        long = [i for i, size in enumerate(self.sizes) if size > new for _ in range(self.demand[i])]
        spare = [(units, kind) for kind, (units, _, offcut, count) in enumerate(self.stock) if offcut]
        room = [(units, kind) for units, kind in spare for _ in range(self.stock[kind][3])]
        held = place_long([self.sizes[i] + self.kerf for i in long], [units + self.kerf for units, _ in room])
        if isinstance(held, int):
            raise StockError(
                message(
                    "stock.no offcut",
                    piece=Name(self.by_size[self.sizes[long[held]]][0].name, quoted=False),
                )
            )
        open_bars: list[list[Any]] = []  # kind, room left, counts
        for bar in sorted(set(held)):
            inside = [long[n] for n, b in enumerate(held) if b == bar]
            counts = [inside.count(i) for i in range(len(self.sizes))]
            left = room[bar][0] + self.kerf - sum(self.sizes[i] + self.kerf for i in inside)
            open_bars.append([room[bar][1], left, counts])
        for i, size in enumerate(self.sizes):
            for _ in range(self.demand[i] if size <= new else 0):
                for open_bar in open_bars:
                    if open_bar[1] >= size + self.kerf:
                        break
                else:
                    open_bar = [0, new + self.kerf, [0] * len(self.sizes)]
                    open_bars.append(open_bar)
                open_bar[1] -= size + self.kerf
                open_bar[2][i] += 1
        for kind, _, counts in open_bars:
            yield kind, tuple(counts)

    def _integer(self, nodes: int) -> tuple[list[tuple[int, tuple[int, ...]]], float]:
        """Return the best plan of the patterns there are, and the least that any plan of them uses."""
        import highspy

        n = len(self.patterns)
        self.lp.changeColsIntegrality(n, np.arange(n, dtype=np.int32), np.array([highspy.HighsVarType.kInteger] * n))
        self.lp.setOptionValue("time_limit", self.lp.getRunTime() + MOST_SECONDS)
        self.lp.setOptionValue("mip_max_nodes", nodes)
        self.lp.setOptionValue("mip_rel_gap", 0.0)
        self.lp.run()
        values = self.lp.getSolution().col_value
        found = [p for p, x in zip(self.patterns, values, strict=True) for _ in range(round(x))]
        return found, float(self.lp.getInfo().mip_dual_bound)

    def _cost(self, plan: Sequence[tuple[int, tuple[int, ...]]]) -> float:
        placed = np.sum([counts for _, counts in plan], axis=0) if plan else np.zeros(len(self.sizes))
        if any(got < want for got, want in zip(placed, self.demand, strict=True)):
            return float("inf")
        return sum(self.stock[kind][1] for kind, _ in plan)

    def _lay_out(self, plan: Sequence[tuple[int, tuple[int, ...]]], bound: float) -> StockPlan:
        waiting = {size: list(reversed(pieces)) for size, pieces in self.by_size.items()}
        bars = []
        for kind, counts in sorted(plan, key=lambda p: (p[0] == 0, [-n for n in p[1]])):
            _, length, offcut, _ = self.stock[kind]
            pieces = [
                waiting[size].pop()
                for size, n in zip(self.sizes, counts, strict=True)
                for _ in range(n)
                if waiting[size]
            ]
            if pieces:
                cut = sum(p.length_mm for p in pieces) + self.kerf * UNIT_MM * len(pieces)
                bars.append(Bar(length, offcut, tuple(pieces), max(length - cut, 0.0)))
        return StockPlan(tuple(bars), sum(b.length_mm for b in bars), bound)
