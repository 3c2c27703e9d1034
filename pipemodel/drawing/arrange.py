"""How blocks of given sizes share a sheet: in rows and columns within each other, what is left over parted evenly."""

from collections.abc import Iterator, Sequence
from typing import Literal, NamedTuple, TypeAlias

from pipemodel.drawing.clipping import ClipWindow
from pipemodel.drawing.primitives import FlatPoint


class Group(NamedTuple):
    """Blocks beside each other ("row") or one under the other ("column"): numbers of blocks, or groups."""

    way: Literal["row", "column"]
    parts: tuple["Tree", ...]


Tree: TypeAlias = int | Group


def size_of(tree: Tree, sizes: Sequence[FlatPoint]) -> FlatPoint:
    """Return width and height that a group of blocks takes."""
    if isinstance(tree, int):
        return sizes[tree]
    wide, high = zip(*(size_of(part, sizes) for part in tree.parts), strict=True)
    return (sum(wide), max(high)) if tree.way == "row" else (max(wide), sum(high))


def placed(tree: Tree, sizes: Sequence[FlatPoint], window: ClipWindow) -> Iterator[tuple[int, ClipWindow]]:
    """Yield each block with its place within a window, which is at least as large as all of them take."""
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
