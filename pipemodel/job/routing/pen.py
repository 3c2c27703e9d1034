"""The pen that draws a run leg by leg: where it is, which way it heads, and what is still to be measured.

The length of a leg is settled only when the bend after it is known, because people measure to its back.
"""

from math import acos, degrees, floor, hypot

from pipemodel.geometry.straighten import BESIDE_RETURN_MM, IN_LINE_MM
from pipemodel.geometry.vectors import Vec3, add, along, angle_deg, distance, scale, sin_deg, sub, unit
from pipemodel.job.fall import Fall
from pipemodel.job.model import Thing, said_of
from pipemodel.job.routing.directions import SAME_DEG, Heading, Standpoint, bent, described
from pipemodel.job.routing.falling import falling, is_level, must_fall
from pipemodel.job.routing.faults import ItemError, PlaceError
from pipemodel.job.routing.legs import LegStretch, Made, Measured, bend_between, leg_length
from pipemodel.job.routing.passover import Excursion, Passover, pass_over
from pipemodel.job.routing.sets import advance_of, clearing_set, least_offset
from pipemodel.messages.values import Message, Name, Number, Word, message
from pipemodel.trade.model import Former, Tube

RETURN_DEG = 179.9
"""Nearer to straight back than this is a return bend, which has two corners."""
_TOUCH_MM = 1e-6


class RoutePen:
    """Draws the corners of a run; `owners` tells which item each comes from, `formers` what its bend is made round.

    `item` is the item being drawn, `own` the former it has of its own, None for the run's; `used` holds the items
    whose own former a bend is made round. Once a leg cannot be measured the pen is `lost`: what follows has a heading
    but no place, and only faults that do not hang on the place are worth telling. `fall` is that of the item being
    drawn, `falls` those of the legs drawn, None for a leg that needs none.
    """

    def __init__(
        self, start: Vec3, heading: Vec3 | None, tube: Tube, former: Former, stand: Standpoint, fall: Fall | None = None
    ) -> None:
        self.at = start
        self.stand = stand
        self.tube, self.former = tube, former
        self.fall, self.falls = fall, list[Fall | None]()
        self.leg_fall: Fall | None = None
        self.sloping = False
        """Whether the leg would be level but for its fall."""
        self.heading: Heading | None = None
        if heading is not None:
            self.turn(heading)
        self.item = 0
        self.own: Former | None = None
        self.used: set[int] = set()
        self.corners, self.owners = [start], [0]
        self.formers: list[Former | None] = [None]
        self.joined: set[int] = set()
        self.legs: list[tuple[int, int, int]] = []
        self.notes: list[Message] = []
        self.faults: list[tuple[int, str | Message]] = []
        self.lost = False
        self.before: Made | None = None
        self._stretches: list[tuple[int, LegStretch]] = []
        self._passovers: list[tuple[int, Passover]] = []
        self._exact_end: Vec3 | None = None
        self._at_end: tuple[int, Former] | None = None
        """The item that names a former for the bend at that end, and the former."""

    @property
    def ahead(self) -> Vec3:
        """Which way the tube heads.

        Raises:
            ItemError: if nothing has said so yet.
        """
        return self.facing.ahead

    @property
    def facing(self) -> Heading:
        """Which way the tube heads, with what left and right are counted from.

        Raises:
            ItemError: if nothing has said so yet.
        """
        if self.heading is None:
            raise ItemError(message("route.no heading"))
        return self.heading

    @property
    def flat(self) -> Heading:
        """Which way the tube heads, as if its leg did not fall."""
        now = self.facing
        return Heading(now.level, now.level, now.stand) if self.sloping and now.level is not None else now

    def side(self, name: str) -> Vec3:
        """Return the unit vector square to the tube that lies nearest to a named direction; level where it can be."""
        side = self.flat.side(name)
        return side if is_level(side) else self.facing.side(name)

    def heads(self, direction: Vec3) -> bool:
        """Whether the tube heads in a direction already, the fall of the item being drawn included."""
        return self.heading is not None and angle_deg(falling(direction, self.fall), self.ahead) < SAME_DEG

    def go(self, stretch: LegStretch) -> None:
        """Go straight on."""
        _ = self.facing
        self._stretches.append((self.item, stretch))
        self._exact_end = self._at_end = None

    def turn(self, direction: Vec3) -> None:
        """Bend until the tube heads in `direction`, falling as asked; before the first leg, just head that way."""
        named, direction = direction, falling(direction, self.fall)
        if self.heading is None or self._only_falls_otherwise(named, direction):
            self.heading = Heading.along(direction, stand=self.stand)
        else:
            angle = angle_deg(self.ahead, direction)
            if angle < SAME_DEG:
                raise ItemError(message("fault.heads already", way=Name(described(named), quoted=False)))
            if angle > RETURN_DEG or angle_deg(self.flat.ahead, named) > RETURN_DEG:
                raise ItemError(message("fault.turns back", ahead=Name(described(self.flat.ahead), quoted=False)))
            self._bend(bend_between(self.ahead, direction, angle, self._former_here()))
        self.leg_fall, self.sloping = self.fall, self.fall is not None and is_level(named)

    def _only_falls_otherwise(self, named: Vec3, direction: Vec3) -> bool:
        """Whether nothing is drawn yet, and the first leg heads as the run does but for its own fall."""
        begun = self._stretches or self._passovers or len(self.corners) > 1
        same = angle_deg(self.flat.ahead, named) < SAME_DEG
        return not begun and same and angle_deg(self.ahead, direction) >= SAME_DEG

    def turn_by(self, name: str, angle: float) -> None:
        """Bend by an angle towards a named side; the angle is that of the headings as if no leg fell."""
        side = self.flat.side(name)
        direction = bent(self.flat.ahead, side, angle)
        if self.sloping or self.fall is not None:
            self.turn(direction)
        else:
            self._bend(Made(angle, direction, side, self._former_here()))
            self.leg_fall = None

    def turn_back(self, side: Vec3, apart: float | None) -> None:
        """Make a return: one bend of 180 degrees to `side`, or two square ones when it is wider than that."""
        if self.fall is not None:
            raise ItemError(message("fault.return rises"))
        former = self._former_here()
        least = 2.0 * former.radius_mm
        wide = least if apart is None else apart
        if wide < least - _TOUCH_MM:
            raise ItemError(message("fault.return tight", wide=Number(wide), least=Number(least)))
        back = scale(self.ahead, -1.0)
        one = wide <= least + _TOUCH_MM
        if one:
            wide = least
        last = Made(180.0 if one else 90.0, back, side, former)
        self._end_leg(last if one else Made(90.0, side, side, former))
        if one:
            self.joined.add(len(self.corners) - 1)
        self.leg_fall = None
        self._corner(along(self.at, side, wide), last)
        self.heading = Heading.along(back, self.heading)
        self.before, self.sloping = last, False

    def to_corner(self, point: Vec3) -> None:
        """Go straight from here to a point, where the next bend or the finish is; an own former is that bend's."""
        own, self.own = self.own, None
        here = self._leg_end()
        if distance(point, here) <= _TOUCH_MM:
            raise PlaceError(message("fault.corner here"))
        direction = unit(sub(point, here))
        if self._stretches:
            angle = angle_deg(self.ahead, direction)
            if angle > RETURN_DEG:
                raise PlaceError(message("fault.corner back"))
            if angle > SAME_DEG:
                self._bend(bend_between(self.ahead, direction, angle, self._former_here()))
        elif self.heading is not None:
            astray = angle_deg(self.ahead, direction)
            after_return = self.before is not None and self.before.angle_deg >= 180.0
            within = BESIDE_RETURN_MM if after_return else IN_LINE_MM
            if astray > 90.0 or distance(point, here) * sin_deg(astray) > within:
                raise PlaceError(
                    message(
                        "fault.corner astray",
                        ahead=Name(described(self.ahead), quoted=False),
                        astray=Number(astray, ".4g"),
                    )
                )
        self.heading = Heading.along(direction, self.heading)
        self.leg_fall, self.sloping = self.fall, False
        self._stretches = [(self.item, Measured(distance(point, self.at)))]
        self._exact_end = point
        self._at_end = None if own is None else (self.item, own)

    def by(self, moved: Vec3) -> None:
        """Go straight from here to a point that far away."""
        self.to_corner(add(self._leg_end(), moved))

    def set_aside(self, side: Vec3, offset: float, angle: float, to_first: float) -> None:
        """Make a set whose first bend's centre is `to_first` on from here."""
        if to_first:
            self._at_end = None
        former = self._former_here()
        radius = former.radius_mm
        least = least_offset(radius, angle)
        if offset < least - _TOUCH_MM:
            most = floor(10.0 * degrees(acos(1.0 - offset / (2.0 * radius)))) / 10.0
            raise ItemError(
                message(
                    "fault.set least",
                    angle=Number(angle),
                    radius=Number(radius),
                    least=Number(least, ".1f"),
                    offset=Number(offset, ".4g"),
                    most=Number(most),
                )
            )
        if to_first or not self._stretches:
            self._stretches.append((self.item, Measured(to_first)))
        heading, ahead = self.heading, self.ahead
        if self.sloping and is_level(side):
            # A set in plan, every leg of which falls alike.
            flat = self.flat.ahead
            middle = falling(bent(flat, side, angle), self.leg_fall)
            first = bend_between(ahead, middle, angle_deg(ahead, middle), former)
            moved = scale(middle, hypot(offset, advance_of(offset, angle)) / hypot(middle[0], middle[1]))
        else:
            first = Made(angle, bent(ahead, side, angle), side, former)
            moved = add(scale(ahead, advance_of(offset, angle)), scale(side, offset))
            if self.leg_fall is not None:
                must_fall(first.direction, self.leg_fall)
        last = Made(first.angle_deg, ahead, first.side, former)
        self._end_leg(first)
        self._corner(add(self.at, moved), last)
        self.heading = heading
        self.before = last

    def set_clear(self, thing: Thing, gap: float, side: Vec3, angle: float) -> None:
        """Make a set that brings the tube clear of a thing, as late as it can."""
        if self._stretches:
            raise ItemError(message("fault.set after go"))
        former = self.own or self.former
        if self.lost:
            self.before = Made(angle, self.ahead, side, former)
            return
        outside = self.tube.outside_mm
        offset, first = clearing_set(thing, gap, self.at, self.ahead, side, angle, outside, former.radius_mm)
        self.set_aside(side, offset, angle, first)

    def pass_over(self, ask: Passover) -> None:
        """Pass over a thing on this leg, which goes on as if it were not there."""
        if self.sloping:
            raise ItemError(message("fault.falling passover"))
        self._passovers.append((self.item, ask))
        self.used.add(self.item)

    def finish(self) -> None:
        """End the run.

        Raises:
            ItemError: if it ends in a bend, or has no leg at all.
        """
        if self._stretches:
            self._end_leg(None)
        elif len(self.corners) > 1 or self._passovers:
            raise ItemError(message("route.ends in a bend"))
        else:
            raise ItemError(message("route.nowhere"))

    def _former_here(self) -> Former:
        """Return what the bend made now goes round: of this item, of the corner it is made at, or of the run."""
        at_end, self._at_end = self._at_end, None
        if self.own is not None and at_end is not None:
            raise ItemError(message("fault.corner former"))
        if self.own is not None:
            self.used.add(self.item)
            return self.own
        if at_end is not None:
            self.used.add(at_end[0])
            return at_end[1]
        return self.former

    def _corner(self, point: Vec3, made: Made | None) -> None:
        self.at = point
        self._drawn(point, self.item, None if made is None else made.former)

    def _drawn(self, corner: Vec3, item: int, former: Former | None) -> None:
        self.corners.append(corner)
        self.falls.append(self.leg_fall)
        self.owners.append(item)
        self.formers.append(None if former is self.former else former)

    def _bend(self, made: Made) -> None:
        self._end_leg(made)
        self.heading = Heading.along(made.direction, self.heading)
        self.before = made

    def _leg_end(self) -> Vec3:
        """Return the end of the leg so far, before the bend there is known."""
        if not self._stretches or self._exact_end is not None:
            return self._exact_end or self.at
        for _, stretch in self._stretches:
            if getattr(stretch, "finish", "centre") != "centre" or getattr(stretch, "gap", None) is not None:
                raise ItemError(message("fault.outside of corner"))
        return along(self.at, self.ahead, self._length(None))

    def _length(self, after: Made | None) -> float:
        stretches = [stretch for _, stretch in self._stretches]
        outside = self.tube.outside_mm
        return leg_length(stretches, self.at, self.ahead, self.flat.ahead, self.before, after, outside)

    def _end_leg(self, after: Made | None) -> None:
        if not self._stretches:
            if len(self.corners) == 1:
                raise ItemError(message("fault.leg first"))
            raise ItemError(message("route.no leg between"))
        item = self._stretches[-1][0]
        gone, begin = 0.0, len(self.corners) - 1
        try:
            gone = self._length(after)
            self._must_have_room(gone, after)
        except ItemError as error:
            self.fault(item, error)
        self._draw_passovers(gone, after)
        end = self._exact_end or along(self.at, self.ahead, gone)
        self._stretches, self._exact_end = [], None
        self._corner(end, after)
        self.legs.append((item, begin, len(self.corners) - 1))

    def _must_have_room(self, gone: float, after: Made | None) -> None:
        if gone <= _TOUCH_MM:
            if gone > -_TOUCH_MM:
                raise PlaceError(message("route.no length"))
            raise PlaceError(message("route.behind", far=Number(gone, ".1f")))
        taken = [bend.setback for bend in (self.before, after) if bend is not None]
        if sum(taken) > gone + _TOUCH_MM:
            bends = message("route.bend takes", one=Number(taken[0], ".1f"))
            if len(taken) > 1:
                bends = message("route.bends take", one=Number(taken[0], ".1f"), other=Number(taken[1], ".1f"))
            missing = Number(sum(taken) - gone, ".1f")
            raise PlaceError(message("route.too short", long=Number(gone, ".1f"), bends=bends, missing=missing))

    def _draw_passovers(self, gone: float, after: Made | None) -> None:
        made: list[tuple[int, Passover, Excursion]] = []
        for item, ask in self._passovers:
            try:
                if not self.lost:
                    made.append((item, ask, pass_over(ask, self.at, self.ahead, self.tube)))
            except ItemError as error:
                self.fault(item, error)
        self._passovers = []
        made.sort(key=lambda m: m[2].begins)
        free = self.before.setback if self.before else 0.0
        ends = gone - (after.setback if after else 0.0)
        for i, (item, ask, excursion) in enumerate(made):
            if excursion.begins < free - _TOUCH_MM:
                what = message("fault.after", what=Word("bend" if self.before else "start"))
                if i:
                    what = message("fault.after passover", thing=Name(made[i - 1][1].thing.name))
                early = Number(free - excursion.begins, ".1f")
                said = message("fault.passover early", thing=Name(ask.thing.name), early=early, what=what)
                self.fault(item, PlaceError(said))
            if i == len(made) - 1 and excursion.ends > ends + _TOUCH_MM:
                more = Number(excursion.ends - ends, ".1f")
                self.fault(item, PlaceError(message("fault.passover long", thing=Name(ask.thing.name), more=more)))
            free = excursion.ends
            for corner in excursion.corners:
                self._drawn(corner, item, ask.former)
            if excursion.note:
                self.notes.append(excursion.note)

    def fault(self, item: int, error: ItemError) -> None:
        """Note a fault of an item; one that hangs on the place of a pen already lost is left out."""
        if not (self.lost and isinstance(error, PlaceError)):
            self.faults.append((item, said_of(error)))
        self.lost = True
