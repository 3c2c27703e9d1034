"""Towers: each cradle as a convex block on its foot, the channel cut out of it, and what stands in its way.

Every face of a tower looks up or sideways, but for the roofs of its pockets: over each point of the plan the jig goes
to one height. So it prints without supports, and nothing of it hooks over a piece that is lifted straight up.
"""

from dataclasses import dataclass, replace
from math import floor, sqrt

import numpy as np
from numpy.typing import NDArray

from pipemodel.jigs.cradles import Cradle
from pipemodel.jigs.run_in_jig import Array, JigLeg, RunAxis
from pipemodel.job.jig import JigSettings

GAP_MM = 1.0
"""What a tower leaves free, beyond the position tolerance, round tube that is not its own."""
SKY_MM = 5000.0
"""A channel is open upwards as far as any jig reaches."""
REACH_MM = 2.0
"""How far a cut reaches past what it cuts, so that no skin is left."""
LEANS = 0.35
"""A tower under a steeper slope is pushed along its leg by the piece's weight."""
LINE_DEPTH_MM = 0.6
"""Depth of engraved lines and letters."""
LEAST_POST_MM, MOST_POST_MM = 15.0, 600.0
"""Posts shorter than the one are printed instead; longer than the other they sway (common practice, no source)."""
STOP = 0.5
"""Thickness of the wall of a stop, which both cheeks hold up, as a share of theirs."""
WOOD = 2.0
"""A screw stands so many of its diameters from the sides of its post (common practice, no source)."""


@dataclass(frozen=True)
class TowerPlace:
    """A leg's own axes in plan: `along` the leg and `across` it (left of travel), both level unit vectors (2,).

    `origin` (3,) is the leg's start; the axis climbs `slope` mm per mm of plan, and a plane h mm above the axis,
    square to it, lies `stretch` times h higher.
    """

    origin: Array
    along: Array
    across: Array
    slope: float
    stretch: float

    def point(self, a: float, b: float, z: float) -> tuple[float, float, float]:
        """Return the point a mm along, b mm across, at height z."""
        p = self.origin[:2] + self.along * a + self.across * b
        return (float(p[0]), float(p[1]), z)

    def height(self, a: float, h: float) -> float:
        """Return the height, at a mm along, of the plane h mm above the axis (measured square to it)."""
        return float(self.origin[2]) + a * self.slope + h * self.stretch

    def local(self, points: Array) -> Array:
        """Return points (n, 3) as along, across and height."""
        d = points[:, :2] - self.origin[:2]
        return np.column_stack([d @ self.along, d @ self.across, points[:, 2]])


def place_of(leg: JigLeg) -> TowerPlace:
    """Return the axes of a leg that is not upright."""
    d = leg.direction
    level = float(np.hypot(d[0], d[1]))
    along = d[:2] / level
    return TowerPlace(leg.start, along, np.array([-along[1], along[0]]), float(d[2]) / level, 1.0 / level)


@dataclass(frozen=True)
class Tower:
    """A cradle with its block and foot; a mm along the leg, b mm across it.

    The block's top reaches from `top[0]` to `top[1]` along and `half` to each side; the foot, at height 0, is
    `foot` = (low a, high a, low b, high b) and never less than the top.
    """

    cradle: Cradle
    place: TowerPlace
    top: tuple[float, float]
    half: float
    foot: tuple[float, float, float, float]
    radius: float
    allowance: float
    ear: float = 0.0
    """How far the plate of a cradle on timber goes on past its block at both ends, along the leg."""
    seat: float = 0.0
    """The height of what it stands on: 0 for the base or the board, else the top of its post."""
    plate: float = 0.0
    """Thickness of the plate or base it grows out of, mm."""

    @property
    def clearance(self) -> float:
        """Clearance of the slot on each side, mm."""
        return self.cradle.clearance_mm

    @property
    def ends_mm(self) -> tuple[float, float]:
        """From where to where it holds its leg, mm along that from its start."""
        return self.cradle.low_mm * self.place.stretch, self.cradle.high_mm * self.place.stretch

    @property
    def slot_half(self) -> float:
        """Half the width of the slot as drawn, printer's allowance and all."""
        return self.radius + self.clearance + self.allowance / 2.0

    @property
    def stop_upright(self) -> bool:
        """Whether the stop had to be upright, not square to the leg, because the tube's end looks up."""
        rise = self.place.slope if self.cradle.stop == "finish" else -self.place.slope
        return self.cradle.stop is not None and rise > 0.02

    @property
    def leant_on(self) -> bool:
        """Whether the piece pushes it along the leg: against a stop, or down a slope."""
        return self.cradle.stop is not None or abs(self.place.slope) > LEANS

    @property
    def centre(self) -> Array:
        """The middle of the foot in plan, (2,)."""
        a, b = (self.foot[0] + self.foot[1]) / 2.0, (self.foot[2] + self.foot[3]) / 2.0
        return np.array(self.place.point(a, b, 0.0)[:2])

    @property
    def height(self) -> float:
        """The highest point of the block."""
        return max(self.place.height(a, self.radius + self.clearance) for a in self.top)

    def lowest_floor(self) -> float:
        """Return the height of the lowest point of the channel's floor, its lines and all, ears and all."""
        under = -(self.radius + self.clearance) - LINE_DEPTH_MM / self.place.stretch
        beyond = self.ear + REACH_MM
        return min(self.place.height(a, under) for a in (self.foot[0] - beyond, self.foot[1] + beyond))

    def rectangle(self, low_a: float, high_a: float, low_b: float, high_b: float) -> Array:
        """Return the corners (4, 2) in plan of a rectangle given along and across."""
        corners = ((low_a, low_b), (high_a, low_b), (high_a, high_b), (low_a, high_b))
        return np.array([self.place.point(a, b, 0.0)[:2] for a, b in corners])

    def body(self) -> Array:
        """Return the points (8, 3) whose hull is the block with its foot."""
        lid = self.radius + self.clearance
        top = [self.place.point(a, b, self.place.height(a, lid)) for a in self.top for b in (-self.half, self.half)]
        foot = [self.place.point(a, b, self.seat) for a in self.foot[:2] for b in self.foot[2:]]
        return np.array(top + foot)

    def channel(self) -> Array:
        """Return the points whose hull is the slot: the zone the tube may fill, carried straight up.

        At a stop the zone ends in a plane square to the leg. Carried up, that plane stands upright where the
        tube's end looks up, and leans back where it looks down: either way the end lifts out.
        """
        r = self.radius + self.clearance
        profile: list[tuple[float, float]] = []
        for side, foot in ((-1, self.foot[0]), (1, self.foot[1])):
            if self.cradle.stop == ("start" if side < 0 else "finish"):
                profile += [self._cap(side, -r), self._cap(side, r)]
            else:
                # Past the foot, so that no lip of a flared foot is left at the mouth.
                out = foot + side * (self.ear + REACH_MM)
                profile.append((out, self.place.height(out, -r)))
        return np.array(
            [
                self.place.point(a, b, height)
                for a, z in profile
                for height in (z, SKY_MM)
                for b in (-self.slot_half, self.slot_half)
            ]
        )

    def _cap(self, side: int, h: float) -> tuple[float, float]:
        """Return where the stop's plane meets the plane h above the axis: along, and height."""
        level = 1.0 / self.place.stretch
        sine = self.place.slope * level
        end = (self.cradle.high_mm if side > 0 else self.cradle.low_mm) * self.place.stretch
        s = end + side * (self.cradle.stop_mm + self.allowance / 2.0)
        return s * level - h * sine, float(self.place.origin[2]) + s * sine + h * level


def tower_for(axis: RunAxis, cradle: Cradle, settings: JigSettings) -> Tower:
    """Return the tower of a cradle, upright, with no flare at its foot."""
    leg = axis.legs[cradle.leg]
    place = place_of(leg)
    # Enough lines of plastic to stand a knock (common practice, no source).
    cheek = max(7.0 * settings.print.nozzle_mm, axis.outside_mm / 8.0)
    clearance = cradle.clearance_mm
    half = axis.radius_mm + clearance + settings.print.allowance_mm / 2.0 + cheek
    bare = Tower(
        cradle, place, (0.0, 0.0), half, (0.0, 0.0, 0.0, 0.0), axis.radius_mm, settings.print.allowance_mm,
        plate=settings.plate_mm,
    )  # fmt: skip
    r = axis.radius_mm + clearance
    low, high = cradle.low_mm, cradle.high_mm
    if cradle.stop == "start":
        low = min(bare._cap(-1, -r)[0], bare._cap(-1, r)[0]) - STOP * cheek
    if cradle.stop == "finish":
        high = max(bare._cap(1, -r)[0], bare._cap(1, r)[0]) + STOP * cheek
    stood = replace(bare, top=(low, high), foot=(low, high, -half, half))
    return on_timber(stood, settings) if settings.base == "timber" else stood


def on_timber(tower: Tower, settings: JigSettings) -> Tower:
    """Return a cradle with ears for its screws, on a post cut to a whole mm, or on the board where that is near."""
    eared = replace(tower, ear=ear_mm(settings))
    post = float(floor(eared.lowest_floor() - settings.plate_mm + 1e-6))
    return replace(eared, seat=post if post >= LEAST_POST_MM else 0.0)


def cornerwise(tower: Tower, settings: JigSettings) -> bool:
    """Tell whether a post stands with its diagonal along the leg: its screws would have too little wood beside them."""
    apart = tower.foot[1] - tower.foot[0] + tower.ear
    return settings.timber_mm / 2.0 - apart / 2.0 < WOOD * settings.screw_mm


def ear_mm(settings: JigSettings) -> float:
    """Return how far an ear reaches along the leg: room for a screw's head, and for a number."""
    return settings.screw_mm + 7.0


def too_high(tower: Tower, settings: JigSettings) -> bool:
    """Tell whether a tower is higher than the bed, or the post it stands on longer than a post stands steady."""
    return tower.height - tower.seat > settings.bed.z_mm or tower.seat > MOST_POST_MM


@dataclass(frozen=True)
class Skin:
    """Points just outside the tube that no tower may hold: `points` (n, 3), and the leg or bend each belongs to."""

    points: Array
    leg_of: NDArray[np.int64]


def skin_of(axis: RunAxis, settings: JigSettings) -> Skin:
    """Return rings of points round the axis, the tube's radius plus the tolerance plus a gap away from it."""
    outer = axis.radius_mm + settings.tolerance.position_mm + GAP_MM
    p = axis.points
    ahead = np.gradient(p, axis=0)
    norms = np.linalg.norm(ahead, axis=1, keepdims=True)
    ahead = np.divide(ahead, norms, out=np.zeros_like(ahead), where=norms > 0)
    helper = np.where(np.abs(ahead[:, 2:3]) < 0.9, [[0.0, 0.0, 1.0]], [[1.0, 0.0, 0.0]])
    u = np.cross(ahead, helper)
    lengths = np.linalg.norm(u, axis=1, keepdims=True)
    u = np.divide(u, lengths, out=np.zeros_like(u), where=lengths > 0)
    v = np.cross(ahead, u)
    rings, owners = [p], [axis.leg_of]
    for radius, around in ((outer, 24), (outer / 2.0, 8)):
        for k in range(around):
            angle = k * 2.0 * np.pi / around
            rings.append(p + radius * (np.cos(angle) * u + np.sin(angle) * v))
            owners.append(axis.leg_of)
    return Skin(np.vstack(rings), np.concatenate(owners))


def blocked(tower: Tower, skin: Skin, settings: JigSettings) -> bool:
    """Tell whether tube other than its own would touch the tower, lying in it or being lifted out."""
    # Most of the tube is nowhere near it.
    along, beside = (skin.points[:, :2] - tower.place.origin[:2]) @ tower.place.along, tower.ear + settings.timber_mm
    near = (along >= min(tower.foot[0], tower.top[0]) - beside) & (along <= max(tower.foot[1], tower.top[1]) + beside)
    q, leg_of = tower.place.local(skin.points[near]), skin.leg_of[near]
    a, b, z = q[:, 0], q[:, 1], q[:, 2]
    zone = tower.radius + settings.tolerance.position_mm + GAP_MM + 1e-6
    low, high, left, right = tower.foot
    lid = tower.radius + tower.clearance
    top = tower.place.origin[2] + a * tower.place.slope + lid * tower.place.stretch
    f = np.clip(z / np.maximum(top, 1e-9), 0.0, 1.0)
    inside = (z <= top) & (z >= tower.seat)
    inside &= (a >= low + (tower.top[0] - low) * f) & (a <= high + (tower.top[1] - high) * f)
    inside &= (b >= left + (-tower.half - left) * f) & (b <= right + (tower.half - right) * f)
    if tower.ear:
        inside |= (z <= tower.seat + settings.plate_mm) & _over_foot(tower, a, b, settings)
    axis_height = tower.place.origin[2] + a * tower.place.slope
    own = (np.abs(b) <= zone) & ((z - axis_height) / tower.place.stretch >= -zone)
    # Tube of the bends at both ends of the leg leaves through the mouths of the channel; it counts once it strays.
    leg = tower.cradle.leg
    own &= (leg_of == leg) | ((leg_of < 0) & ((leg_of == -leg) | (leg_of == -leg - 1)))
    return bool(np.any(inside & ~own))


def _over_foot(tower: Tower, a: Array, b: Array, settings: JigSettings) -> NDArray[np.bool_]:
    """Tell which points stand over a cradle's plate or over its post, whichever is the larger."""
    half = settings.timber_mm / 2.0 if tower.seat else 0.0
    off = np.abs(a - (tower.foot[0] + tower.foot[1]) / 2.0)
    wide = 0.0 if (turned := cornerwise(tower, settings)) else half
    long = max((tower.foot[1] - tower.foot[0]) / 2.0 + tower.ear, wide)
    out: NDArray[np.bool_] = (off <= long) & (np.abs(b) <= max(tower.half, wide))
    return out | (off + np.abs(b) <= half * sqrt(2.0)) if turned else out


def flared(tower: Tower, skin: Skin, settings: JigSettings) -> Tower:
    """Return the tower with its foot spread as its height asks for, on every side where nothing is in the way."""
    wanted = 0.0 if tower.ear else min(25.0, 0.08 * max(tower.height - 30.0, 0.0))
    if wanted < 1.0:
        return tower
    for side, sign in enumerate((-1.0, 1.0, -1.0, 1.0)):
        # Half as much along the leg, unless the piece leans on the tower that way.
        most = wanted if side > 1 or tower.leant_on else wanted / 2.0
        for spread in (most, most / 2.0):
            foot = list(tower.foot)
            foot[side] += sign * spread
            wider = replace(tower, foot=(foot[0], foot[1], foot[2], foot[3]))
            if not blocked(wider, skin, settings):
                tower = wider
                break
    return tower
