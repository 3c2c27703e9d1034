"""The bender in the pictures of a pull, as outlines in its own frame: rim, stop, guide and lever, mark and arrow.

The proportions are those of a hand bender for one size (common practice, no source): they show what goes where, and
nothing is measured off them but the radius, the rim's start, the guide's length and where the mark stands.
"""

from math import cos, hypot, pi, radians, sin

from pipemodel.geometry.vectors import Vec3
from pipemodel.trade.model import Former

RIM_POINTS = 48
GUIDE_THICK, ROLLER = 1.0, 0.9
"""The guide's thickness and the roller's radius, in outside diameters of the tube."""
GUIDE_LEAST_RADII = 1.2
ROLLER_RADII, HANDLE_RADII = 0.5, 0.75
"""How far past the rim's start the roller stands, and how much of the lever's handle is drawn."""
HANDLE_WAY = (0.32, 0.947)


class BenderOutlines:
    """What is drawn of a bender with a former of some radius, for a tube of an outside diameter.

    Args:
        former: what the bend is made round.
        radius: of the bend, to the tube's axis, mm.
        outside: the tube's outside diameter, mm.
    """

    def __init__(self, former: Former, radius: float, outside: float) -> None:
        self.radius, self.outside, self.half = radius, outside, outside / 2.0
        self.guide_long = former.guide_block_mm or max(former.guide_mm, GUIDE_LEAST_RADII * radius)

    def ring(self, share: float = 1.0) -> list[Vec3]:
        """Return points of the rim, or of a ring within it."""
        turns = [2.0 * pi * i / RIM_POINTS for i in range(RIM_POINTS)]
        return [(share * self.radius * cos(t), share * self.radius * sin(t), 0.0) for t in turns]

    def cross(self) -> list[tuple[Vec3, Vec3]]:
        """Return the two strokes that mark the former's centre."""
        size = self.radius / 12.0
        return [((-size, 0.0, 0.0), (size, 0.0, 0.0)), ((0.0, -size, 0.0), (0.0, size, 0.0))]

    def stop(self) -> list[Vec3]:
        """Return the corners of the stop, under the held tube."""
        near, far = self.radius - self.half * 1.6, self.radius + self.half * 1.6
        left, right = -5.0 * self.half, -2.4 * self.half
        return [(x, y, -self.half) for x, y in ((right, near), (left, near), (left, far), (right, far))]

    def guide(self) -> list[Vec3]:
        """Return the corners of the guide, which lies on the outside of the free tube from the rim's start on.

        Its far corners are cut off, as on a block that slides.
        """
        low = self.radius + self.half
        high, cut, long = low + GUIDE_THICK * self.outside, 0.4 * self.outside, self.guide_long
        corners = ((0.0, low), (long, low), (long, high - cut), (long - cut, high), (cut, high), (0.0, high - cut))
        return [(x, y, self.half) for x, y in corners]

    def lever(self) -> list[Vec3]:
        """Return the outline of the lever: its roller against the guide, and the beginning of its handle."""
        (x, y), size = self._roller(), ROLLER * self.outside
        dx, dy = HANDLE_WAY
        thin, far = 0.55 * size, HANDLE_RADII * self.radius + size
        begin = 0.5 * pi - radians(18.7)  # the way of the handle
        round_ = [begin + radians(40.0) + radians(280.0) * i / 14.0 for i in range(15)]
        rim = [(x + size * cos(t), y + size * sin(t), self.half) for t in round_]
        end = [(x + dx * far + side * thin * dy, y + dy * far - side * thin * dx, self.half) for side in (1.0, -1.0)]
        return [*rim, *end]

    def pivot(self) -> tuple[Vec3, Vec3]:
        """Return the line from the former's centre, about which the lever swings, to its roller."""
        x, y = self._roller()
        return (0.0, 0.0, self.half), (x, y, self.half)

    def _roller(self) -> tuple[float, float]:
        high = self.radius + self.half + (GUIDE_THICK + ROLLER) * self.outside
        return ROLLER_RADII * self.radius, high

    def rim_start(self) -> list[Vec3]:
        """Return an arrow on the former whose tip is at the rim's start, where the bend begins."""
        tip = self.radius - 1.15 * self.half
        base, side = tip - 0.26 * self.radius, 0.085 * self.radius
        return [(0.0, tip, 0.0), (side, base, 0.0), (-side, base, 0.0)]

    def inside_line(self, long: float) -> tuple[Vec3, Vec3]:
        """Return the line along the inside of the bend to be, on the side of the tube that faces the former."""
        return (0.0, self.radius - self.half, 0.0), (long, self.radius - self.half, 0.0)

    def off_rim(self, past: float) -> tuple[tuple[Vec3, Vec3], ...]:
        """Return the dimension from the rim's start to a mark that stands off it, and its two extension lines."""
        low, high = self.radius - 3.4 * self.half, self.radius - self.half
        beyond = low - 0.6 * self.half
        line = ((0.0, low, 0.0), (past, low, 0.0))
        return line, ((0.0, high, 0.0), (0.0, beyond, 0.0)), ((past, high, 0.0), (past, beyond, 0.0))

    def arrow(self, angle: float, past: float) -> list[Vec3]:
        """Return points along the arrow of a pull: clockwise about the former, outside it and beyond the mark."""
        reach, begin = max(2.3 * self.radius, 1.3 * hypot(past, self.radius)), 14.0
        sweep = min(max(angle, 20.0), 75.0)
        turns = [radians(begin - sweep * i / 12.0) for i in range(13)]
        return [(reach * cos(t), reach * sin(t), 0.0) for t in turns]
