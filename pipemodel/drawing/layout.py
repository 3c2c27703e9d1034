"""How views and tables share sheets: in rows and columns within each other, as large as a standard scale allows.

Scales are those that ISO 5455 recommends, and 1:25 between 1:20 and 1:50, where most rooms lie: it allows intermediate
scales where the recommended ones do not serve (from memory).
"""

from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from itertools import product
from typing import Literal, NamedTuple, TypeAlias

from pipemodel.drawing.clipping import ClipWindow
from pipemodel.drawing.primitives import FlatPoint
from pipemodel.drawing.title_block import drawing_area
from pipemodel.geometry.vectors import Vec3
from pipemodel.geometry.view import View

SCALES = (1, 2, 5, 10, 20, 25, 50, 100, 200, 500, 1000, 2000, 5000, 10000)
A4, A4_UPRIGHT = (297.0, 210.0), (210.0, 297.0)
A3, A2 = (420.0, 297.0), (594.0, 420.0)
"""Sheets, mm (ISO 216)."""
SHEETS = (A4, A4_UPRIGHT, A3, A2)
"""The smaller first: the smallest lying and upright, and two larger ones."""
INCH_SHEETS = ((279.4, 215.9), (215.9, 279.4), (431.8, 279.4), (558.8, 431.8))
"""The same of those whose smallest is Letter (sizes A, B and C of ASME Y14.1, from memory)."""
LARGER, FULLER = 1.3, 1.1
"""A larger sheet is taken where the views fill so much more of it, and the other way round the same sheet."""
FINE, AS_FULL = 20, 0.9
"""At a scale smaller than 1:20 tubes are mere lines, under a millimetre wide: there a larger sheet is taken as well
that allows twice the scale and is filled nearly as much."""
TINY = 4
"""A larger sheet that allows so many times the scale is taken however little it is filled."""
TITLE_MM = 8.0
"""Room above a view for its title."""
_SAME_MM = 1e-6
STEPS_DOWN, STEPS_UP = 2, 1
"""By how many scales a view that has its own may be smaller than the rest, and larger."""


Way: TypeAlias = Literal["row", "column"]


class BlockGroup(NamedTuple):
    """Blocks beside each other ("row") or one under the other ("column"): numbers of blocks, or groups."""

    way: Way
    parts: tuple["Tree", ...]


Tree: TypeAlias = int | BlockGroup


class Block(NamedTuple):
    """What is to be placed: a view of which some width and height of the room is shown, mm, or a table.

    `around` is the width and height that it takes on the sheet besides, mm, and `least` how wide it is at least.
    A view with its `own_scale` need not have that of the sheet.
    """

    shown: FlatPoint
    around: FlatPoint
    least: float = 0.0
    own_scale: bool = False

    def size(self, n: int) -> FlatPoint:
        """Return its width and height on a sheet at the scale 1:n, mm."""
        return max(self.shown[0] / n + self.around[0], self.least), self.shown[1] / n + self.around[1]

    def drawn(self, n: int) -> FlatPoint:
        """Return what of that is within the view, or the table."""
        return (self.shown[0] / n, self.shown[1] / n) if any(self.shown) else self.around


Blocks: TypeAlias = Mapping[int, Block]


class InLine(NamedTuple):
    """Two blocks that belong beside each other in a row, or one under the other, about one middle line."""

    one: int
    other: int
    way: Way


class Fit(NamedTuple):
    """How blocks share a sheet: its size, the scale 1:n, that of views with their own, and the place of each block.

    `filled` is the share of the sheet within views and tables, `choice` which of several shapes the blocks have.
    """

    size: FlatPoint
    scale: int
    own_scale: int
    cells: dict[int, ClipWindow]
    filled: float
    choice: int = 0


def size_of(tree: Tree, sizes: Mapping[int, FlatPoint]) -> FlatPoint:
    """Return width and height that a group of blocks takes."""
    if isinstance(tree, int):
        return sizes[tree]
    wide, high = zip(*(size_of(part, sizes) for part in tree.parts), strict=True)
    return (sum(wide), max(high)) if tree.way == "row" else (max(wide), sum(high))


def placed(tree: Tree, sizes: Mapping[int, FlatPoint], window: ClipWindow) -> Iterator[tuple[int, ClipWindow]]:
    """Yield each block with its place within a window; what of that is left over is parted evenly."""
    if isinstance(tree, int):
        yield tree, window
        return
    k = 0 if tree.way == "row" else 1
    taken = [size_of(part, sizes)[k] for part in tree.parts]
    spare = ((window.width, window.height)[k] - sum(taken)) / len(taken)
    at = window.left if k == 0 else window.high
    for part, mm in zip(tree.parts, taken, strict=True):
        if k == 0:
            yield from placed(part, sizes, window._replace(left=at, right=at + mm + spare))
            at += mm + spare
        else:
            yield from placed(part, sizes, window._replace(high=at, low=at - mm - spare))
            at -= mm + spare


def trees(blocks: tuple[int, ...]) -> Sequence[Tree]:
    """Return every way to part a sheet into rows and columns of some blocks, each in their order."""
    return blocks if len(blocks) == 1 else (*_groups(blocks, "row"), *_groups(blocks, "column"))


@cache
def _groups(blocks: tuple[int, ...], way: Way) -> tuple[Tree, ...]:
    across: Way = "column" if way == "row" else "row"
    found: list[Tree] = []
    for parts in _partings(blocks):
        if len(parts) > 1:
            each = (part if len(part) == 1 else _groups(part, across) for part in parts)
            found += [BlockGroup(way, chosen) for chosen in product(*each)]
    return tuple(found)


def _partings(blocks: tuple[int, ...]) -> Iterator[list[tuple[int, ...]]]:
    first, rest = blocks[:1], blocks[1:]
    if not rest:
        yield [first]
        return
    for parts in _partings(rest):
        yield [first, *parts]
        for i, part in enumerate(parts):
            yield [(*first, *part), *parts[:i], *parts[i + 1 :]]


def fitted(blocks: Blocks, size: FlatPoint, in_line: Sequence[InLine] = ()) -> Fit:
    """Return how some blocks share a sheet at the largest scale at which they go on it.

    Args:
        blocks: by their numbers; in a row the lower number stands to the left, in a column at the top.
        size: width and height of the sheet, mm.
        in_line: what should stand in line where that takes no smaller scale.
    """
    area, names = drawing_area(size), tuple(sorted(blocks))
    for i, n in enumerate(SCALES):
        own = SCALES[max(i - STEPS_UP, 0) : i + STEPS_DOWN + 1]
        for m in own if any(block.own_scale for block in blocks.values()) else (n,):
            sizes = {name: block.size(m if block.own_scale else n) for name, block in blocks.items()}
            if sum(wide * high for wide, high in sizes.values()) > area.width * area.height:
                continue
            kept = [tree for tree in trees(names) if _goes_in(size_of(tree, sizes), area)]
            if kept:
                cells = min((dict(placed(tree, sizes, area)) for tree in kept), key=lambda c: _astray(c, in_line))
                return Fit(size, n, m, cells, _filled(blocks, n, m, area))
    n = SCALES[-1]
    return Fit(size, n, n, dict.fromkeys(names, area), 0.0)


def shared(
    choices: Sequence[Blocks],
    splits: Sequence[Sequence[Sequence[int]]],
    sizes: Sequence[FlatPoint],
    in_line: Sequence[InLine] = (),
) -> list[Fit]:
    """Return the sheets that some blocks fill best.

    Args:
        choices: the blocks by their numbers; more than one where some may have another shape.
        splits: which blocks may stand on one sheet together; the first is taken unless a later one has
            a larger scale and is filled more.
        sizes: the sheets there are, the smaller first.
        in_line: see `fitted`.
    """
    best: list[Fit] = []
    for split in splits:
        fits = []
        for part in split:
            tried = [
                fitted({n: blocks[n] for n in part}, size, in_line)._replace(choice=k)
                for size in sizes
                for k, blocks in enumerate(choices)
            ]
            fits.append(_best(tried))
        if not best or (_mean(fits) > _mean(best) and fits[0].scale < best[0].scale):
            best = fits
    return best


def widened(shown: ClipWindow, view: View, bounds: Sequence[Vec3], size: FlatPoint) -> ClipWindow:
    """Return what of a view is shown, grown to some width and height about its middle, but not beyond `bounds`."""
    room = ClipWindow.around([view.flat(p) for p in bounds]) if bounds else shown
    beside, over = (max(mm, 0.0) / 2.0 for mm in (size[0] - shown.width, size[1] - shown.height))
    return ClipWindow(
        min(shown.left, max(room.left, shown.left - beside)),
        min(shown.low, max(room.low, shown.low - over)),
        max(shown.right, min(room.right, shown.right + beside)),
        max(shown.high, min(room.high, shown.high + over)),
    )


def stand_in_line(cells: Mapping[int, ClipWindow], pair: InLine) -> bool:
    """Tell whether two blocks stand in line."""
    if pair.one not in cells or pair.other not in cells:
        return False
    a, b = cells[pair.one], cells[pair.other]
    off = a.low + a.high - b.low - b.high if pair.way == "row" else a.left + a.right - b.left - b.right
    return abs(off) < _SAME_MM


def _astray(cells: Mapping[int, ClipWindow], pairs: Sequence[InLine]) -> int:
    return sum(not stand_in_line(cells, pair) for pair in pairs)


def _goes_in(size: FlatPoint, area: ClipWindow) -> bool:
    return size[0] <= area.width and size[1] <= area.height


def _filled(blocks: Blocks, n: int, m: int, area: ClipWindow) -> float:
    sizes = [block.drawn(m if block.own_scale else n) for block in blocks.values()]
    return sum(wide * high for wide, high in sizes) / (area.width * area.height)


def _best(fits: Sequence[Fit]) -> Fit:
    best = fits[0]
    for fit in fits[1:]:
        larger = fit.size[0] * fit.size[1] > best.size[0] * best.size[1]
        coarse = larger and best.scale > FINE and 2 * fit.scale <= best.scale
        # A long table fills a small sheet, and leaves views on it in which nothing can be read.
        tiny = coarse and TINY * fit.scale <= best.scale
        if tiny or fit.filled > (AS_FULL if coarse else LARGER if larger else FULLER) * best.filled:
            best = fit
    return best


def _mean(fits: Sequence[Fit]) -> float:
    return sum(fit.filled for fit in fits) / len(fits)
