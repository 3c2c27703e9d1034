"""Joints and stock planned together: which long runs are jointed where, and which piece is cut from which length.

One mixed-integer program for all pieces of one size of tube. Where a joint may lie is a stretch (`split`), so the
lengths of its pieces are unknowns beside the question which length of stock each is cut from. First the fewest
joints, then the least stock, and of all plans with that the one whose joints stand clear of bends and of each other.
The solver is HiGHS.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, inf

import numpy as np

from pipemodel.cutting.mixed_integer import IntegerProgram, Solved
from pipemodel.cutting.split import LEAST_PIECE_MM, Divisible
from pipemodel.cutting.stock import Bar, StockPiece, StockPlan

CLEAR_MM = 300.0
"""Farther than this from bends, ends and other joints is no better for a joint. Common practice, no source."""
CLEAR_WORTH = 1e-4
"""What a mm of that is worth in mm of stock: so little that no stock is ever spent on it."""
MOST_CHOICES = 200
"""With more pairs of piece and length of stock than this, the program is not tried."""
ROUND_MM = 0.5
"""Joints are put on whole multiples of this where the plan allows: as fine as a tape reads."""
TIGHT_MM = 1e-6


@dataclass(frozen=True)
class Long:
    """A run to be jointed, with the least and the greatest number of joints that are tried."""

    run: Divisible
    least: int
    most: int


@dataclass(frozen=True)
class Together:
    """For each long run the places and positions of its joints; and the stock for all pieces, named by the caller."""

    joints: tuple[tuple[tuple[int, float], ...], ...]
    stock: StockPlan


def too_many(long: Sequence[Long], fixed: Sequence[StockPiece], offcuts: Sequence[float]) -> bool:
    """Tell whether there are more pieces and lengths of stock than one program takes."""
    pieces = len(fixed) + sum(one.most + 1 for one in long)
    return pieces * (pieces + len(offcuts)) > MOST_CHOICES


def plan_together(
    long: Sequence[Long], fixed: Sequence[StockPiece], stock_mm: float, offcuts: Sequence[float], kerf_mm: float
) -> Together | None:
    """Joint long runs and cut all pieces from stock; None where no plan exists.

    Args:
        long: the runs to be jointed.
        fixed: the pieces of all other runs.
        stock_mm: length of new stock, as many as needed.
        offcuts: lengths at hand, each once.
        kerf_mm: what the saw takes between two pieces.
    """
    if not long and not fixed:
        return Together((), StockPlan((), 0.0, 0.0))
    program = _Program(long, fixed, stock_mm, offcuts, kerf_mm)
    model = program.model
    if any(one.least < one.most for one in long):
        model.objective(dict.fromkeys(program.used_joints(), 1.0))
        fewest = model.solve()
        if fewest is None:
            return None
        total = round(sum(fewest.values[j] for j in program.used_joints()))
        model.row(dict.fromkeys(program.used_joints(), 1.0), -inf, float(total))
    model.objective(program.cost())
    # No plan takes less stock than all pieces run together.
    model.row(program.stock_used(), program.least_stock(), inf)
    solved = model.solve()
    return None if solved is None else program.read(solved)


class _Program:
    """The variables and rows of the program; piece 0 of each run comes before piece 1, and so on."""

    def __init__(
        self,
        long: Sequence[Long],
        fixed: Sequence[StockPiece],
        stock: float,
        offcuts: Sequence[float],
        kerf: float,
    ) -> None:
        self.model, self.kerf = IntegerProgram(), kerf
        self.long, self.fixed = long, sorted(fixed, key=lambda piece: -piece.length_mm)
        most = len(fixed) + sum(one.most + 1 for one in long)
        self.bars = [*((x, True) for x in sorted(offcuts, reverse=True)), *((stock, False) for _ in range(most))]
        self.taken = [self.model.binary() for _ in self.bars]
        self.load: list[dict[int, float]] = [{} for _ in self.bars]
        self.position: list[list[int]] = []
        self.at: list[list[dict[int, int]]] = []
        self.made: list[list[int]] = []
        self.room: list[int] = []
        self.piece_in: list[list[int]] = []
        for one in long:
            self._add_long(one)
        for piece in self.fixed:
            self._add_piece({}, piece.length_mm, None, piece.length_mm)
        for bar, ((length, _), taken) in enumerate(zip(self.bars, self.taken, strict=True)):
            self.model.row({**self.load[bar], taken: -(length + kerf)}, -inf, 0.0)
        new = [taken for (_, offcut), taken in zip(self.bars, self.taken, strict=True) if not offcut]
        for one_bar, other in pairwise(new):
            self.model.row({one_bar: 1.0, other: -1.0}, 0.0, inf)
        # Where no fewer lengths than pieces can do, each piece has one to itself, whichever: the first the first.
        sure = all(one.least == one.most for one in long) and len(new) == len(self.bars)
        if sure and self.least_stock() > (len(self.piece_in) - 1) * stock + TIGHT_MM:
            for number, choices in enumerate(self.piece_in):
                self.model.low[choices[number]] = 1.0

    def _add_long(self, one: Long) -> None:
        run, model = one.run, self.model
        length, trim = run.length, run.solved.run.ends.trim_mm
        made = [model.binary() for _ in range(one.most)]
        position = [model.number(0.0, length) for _ in range(one.most)]
        at: list[dict[int, int]] = []
        for k in range(one.most):
            if k < one.least:
                model.row({made[k]: 1.0}, 1.0, 1.0)
            if k:
                model.row({made[k - 1]: 1.0, made[k]: -1.0}, 0.0, inf)
            places = {place: model.binary() for place in range(run.finish) if k > 0 or run.possible(run.start, place)}
            at.append(places)
            model.row({**dict.fromkeys(places.values(), 1.0), made[k]: -1.0}, 0.0, 0.0)
            # A joint that is not made stands at the finish, and the piece after it has no length.
            lows = {z: -run.stretch(place)[0] for place, z in places.items()}
            highs = {z: -run.stretch(place)[1] for place, z in places.items()}
            model.row({**lows, position[k]: 1.0, made[k]: length}, length, inf)
            model.row({**highs, position[k]: 1.0, made[k]: length}, -inf, length)
            for place, z in places.items():
                if k:
                    bad = [y for before, y in at[k - 1].items() if before > place or not run.possible(before, place)]
                    if bad:
                        model.row({**dict.fromkeys(bad, 1.0), z: 1.0}, -inf, 1.0)
                if not run.possible(place, run.finish):
                    after = {made[k + 1]: -1.0} if k + 1 < one.most else {}
                    model.row({z: 1.0, **after}, -inf, 0.0)
        for k in range(one.most + 1):
            parts = {position[k]: 1.0} if k < one.most else {}
            if k:
                parts[position[k - 1]] = -1.0
            constant = length if k == one.most else 0.0
            # The trim is on the last piece that is made.
            if k:
                parts[made[k - 1]] = parts.get(made[k - 1], 0.0) + trim
            if k < one.most:
                parts[made[k]] = parts.get(made[k], 0.0) - trim
            constant += 0.0 if k else trim
            self._add_piece(parts, constant, made[k - 1] if k else None, length + trim)
            if one.most:
                beside = made[k - 1] if k else made[0]
                model.row({**parts, beside: parts.get(beside, 0.0) - LEAST_PIECE_MM}, -constant, inf)
        for k in range(one.most):
            self._add_room(one, k, position, made, at[k])
        self.position.append(position)
        self.at.append(at)
        self.made.append(made)

    def _add_room(self, one: Long, k: int, position: list[int], made: list[int], places: Mapping[int, int]) -> None:
        run, model = one.run, self.model
        room = model.number(-run.length, CLEAR_MM)
        self.room.append(room)
        lows = {z: run.places[place].leg_low for place, z in places.items()}
        highs = {z: -run.places[place].leg_high for place, z in places.items()}
        model.row({room: 1.0, position[k]: -1.0, **lows}, -inf, 0.0)
        model.row({room: 1.0, position[k]: 1.0, **highs, made[k]: run.length}, -inf, run.length)
        if k:
            model.row({room: 1.0, position[k]: -1.0, position[k - 1]: 1.0}, -inf, 0.0)

    def _add_piece(self, parts: Mapping[int, float], constant: float, made: int | None, longest: float) -> None:
        """Add a piece of length constant + sum of parts, cut from one length if it is made (None: it always is)."""
        model = self.model
        number = len(self.piece_in)
        chosen: list[int] = []
        first_new = sum(offcut for _, offcut in self.bars)
        for bar, (length, _) in enumerate(self.bars):
            x = model.binary() if bar - first_new <= number else model.number(0.0, 0.0)
            chosen.append(x)
            if not parts:
                self.load[bar][x] = constant + self.kerf
                continue
            most = min(longest, length)
            share = model.number(0.0, most)
            self.load[bar][share] = 1.0
            self.load[bar][x] = self.kerf
            # The share is the whole piece where it is cut from this length, and may be nothing where it is not.
            model.row({share: 1.0, x: -longest, **{j: -c for j, c in parts.items()}}, constant - longest, inf)
        self.piece_in.append(chosen)
        row = dict.fromkeys(chosen, 1.0)
        if made is None:
            model.row(row, 1.0, 1.0)
        else:
            model.row({**row, made: -1.0}, 0.0, 0.0)

    def used_joints(self) -> list[int]:
        return [j for made in self.made for j in made]

    def stock_used(self) -> dict[int, float]:
        return {taken: length for (length, _), taken in zip(self.bars, self.taken, strict=True)}

    def cost(self) -> dict[int, float]:
        return {**self.stock_used(), **dict.fromkeys(self.room, -CLEAR_WORTH)}

    def least_stock(self) -> float:
        """Return the least length of stock that holds all pieces if they could be run together."""
        trims = sum(one.run.length + one.run.solved.run.ends.trim_mm for one in self.long)
        wanted = sum(piece.length_mm for piece in self.fixed) + trims
        stock = self.bars[-1][0]
        sums = {0.0}
        for length, offcut in self.bars:
            if offcut and len(sums) < 4096:
                sums |= {x + length for x in sums}
            elif offcut:
                return wanted
        return min(x + stock * max(ceil((wanted - x) / stock - 1e-9), 0) for x in sums)

    def read(self, solved: Solved) -> Together:
        joints = tuple(
            tuple(
                (max(places, key=lambda place: solved.values[places[place]]), solved.values[position])
                for position, places, made in zip(positions, at, mades, strict=True)
                if solved.values[made] > 0.5
            )
            for positions, at, mades in zip(self.position, self.at, self.made, strict=True)
        )
        bars = [max(range(len(x)), key=lambda b: solved.values[x[b]]) for x in self.piece_in]
        joints = self._rounded(joints, bars)
        cuts: dict[int, list[StockPiece]] = {}
        number = 0
        for one, found in zip(self.long, joints, strict=True):
            for k, length in enumerate(_lengths(one, [at for _, at in found])):
                name = f"{one.run.solved.name} piece {k + 1}" if found else one.run.solved.name
                cuts.setdefault(bars[number + k], []).append(StockPiece(name, length))
            number += one.most + 1
        for k, piece in enumerate(self.fixed):
            cuts.setdefault(bars[number + k], []).append(piece)
        laid = []
        for bar in sorted(cuts):
            length, offcut = self.bars[bar]
            pieces = sorted(cuts[bar], key=lambda piece: -piece.length_mm)
            left = length - sum(p.length_mm for p in pieces) - self.kerf * len(pieces)
            laid.append(Bar(length, offcut, tuple(pieces), max(left, 0.0)))
        laid.sort(key=lambda bar: (not bar.offcut, [-p.length_mm for p in bar.pieces]))
        used = sum(bar.length_mm for bar in laid)
        bound = max(solved.bound, self.least_stock())
        return Together(joints, StockPlan(tuple(laid), used, used if bound > used - ROUND_MM else bound))

    def _rounded(
        self, joints: tuple[tuple[tuple[int, float], ...], ...], bars: Sequence[int]
    ) -> tuple[tuple[tuple[int, float], ...], ...]:
        """Return the joints on whole multiples of a tape's finest where that still fits, each as near as can be."""
        out = [list(found) for found in joints]
        for found, one in zip(out, self.long, strict=True):
            for k, (place, at) in enumerate(found):
                low, high = one.run.stretch(place)
                at = min(max(at, low), high)
                found[k] = (place, at)
                near = round(at / ROUND_MM) * ROUND_MM
                for tried in (near, near - ROUND_MM, near + ROUND_MM):
                    found[k] = (place, tried)
                    if low - TIGHT_MM <= tried <= high + TIGHT_MM and self._fits(out, bars):
                        break
                else:
                    found[k] = (place, at)
        return tuple(tuple(found) for found in out)

    def _fits(self, joints: Sequence[Sequence[tuple[int, float]]], bars: Sequence[int]) -> bool:
        load = np.zeros(len(self.bars))
        number = 0
        for one, found in zip(self.long, joints, strict=True):
            lengths = _lengths(one, [at for _, at in found])
            if found and min(lengths) < LEAST_PIECE_MM - TIGHT_MM:
                return False
            for k, length in enumerate(lengths):
                load[bars[number + k]] += length + self.kerf
            number += one.most + 1
        for k, piece in enumerate(self.fixed):
            load[bars[number + k]] += piece.length_mm + self.kerf
        return all(x <= length + self.kerf + TIGHT_MM for x, (length, _) in zip(load, self.bars, strict=True))


def _lengths(one: Long, at: Sequence[float]) -> list[float]:
    stops = [0.0, *at, one.run.length + one.run.solved.run.ends.trim_mm]
    return [b - a for a, b in pairwise(stops)]
