"""The block along the axes that holds something, as plain numbers."""

from dataclasses import dataclass

from pipemodel.geometry.vectors import Vec3, length, sub


@dataclass(frozen=True)
class Extent:
    """A block along the axes; opposite corners, mm."""

    low: Vec3
    high: Vec3

    @property
    def diagonal_mm(self) -> float:
        """From corner to corner."""
        return length(sub(self.high, self.low))

    def corners(self) -> tuple[Vec3, ...]:
        """The block's eight corners."""
        xs, ys, zs = zip(self.low, self.high, strict=True)
        return tuple((x, y, z) for x in xs for y in ys for z in zs)
