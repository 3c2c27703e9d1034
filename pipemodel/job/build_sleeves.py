"""Sleeves, from their forms to holes in walls and floors, and to bores that are kept free of other runs."""

from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Literal

from pipemodel.geometry.shapes import Box, Cylinder, Extrusion, Shape
from pipemodel.geometry.shapes.plate import Plate
from pipemodel.geometry.vectors import UP, Vec3, along, cross, dot, scale, sub
from pipemodel.job.build_holes import HoleError, pierced
from pipemodel.job.building.parts import plan_way
from pipemodel.job.building.rows import JoistsForm
from pipemodel.job.building.sleeves import SleeveForm
from pipemodel.job.building.walls import WallForm
from pipemodel.job.expressions import none_called
from pipemodel.job.faults import Faults
from pipemodel.job.form import Form
from pipemodel.job.hole_forms import HoleForm
from pipemodel.job.model import Fault, Place, Sleeve, Thing, said_of
from pipemodel.job.room_forms import ThingForm
from pipemodel.messages.values import Length, Name, message

WHY, HOLE_WHY = "sleeve for other runs", "hole for other runs"
"""Why the bore of a sleeve, and of a hole that is for some runs, is kept free."""
HAIR_MM = 1e-6


def with_sleeves(
    things: Sequence[Thing], room: Mapping[str, ThingForm], lost: Collection[str], faults: Faults
) -> list[Thing]:
    """Return the things of a room with a hole for each of its sleeves, and the bores; faulty sleeves are noted.

    `things` are those of a file and of the files that it names, `room` the forms of its own; a sleeve in one of those
    that are `lost`, with faults of their own, is left out.
    """
    found = list(things)
    for name, form in room.items():
        if form.sleeve is None or (form.sleeve.in_ in lost and form.sleeve.in_ not in {one.name for one in found}):
            continue
        if (bore := _bore(name, form, form.sleeve, found, faults)) is not None:
            found.append(bore)
    return found


def _bore(name: str, form: ThingForm, sleeve: SleeveForm, things: list[Thing], faults: Faults) -> Thing | None:
    """Return the bore of a sleeve, its hole made in the things that it goes through; None with the fault noted."""
    path = ("room", name, "sleeve")
    own = [i for i, thing in enumerate(things) if thing.role == "solid" and sleeve.in_ in (thing.name, thing.of)]
    if not own:
        names = dict.fromkeys(thing.of or thing.name for thing in things if thing.role == "solid")
        faults.at((*path, "in"), none_called("wall or floor", sleeve.in_, names))
        return None
    cut: dict[int, Plate] = {}
    for i in own:
        try:
            plate = pierced(_upright(things[i]), sleeve.at, sleeve.outside or sleeve.diameter)
        except HoleError as error:
            faults.at(
                (*path, "at"),
                message("room.no way for sleeve", thing=Name(things[i].name), why=Fault(said_of(error)).value),
            )
            return None
        if plate is not None:
            cut[i] = plate
    if not cut:
        faults.at((*path, "at"), message("room.sleeve beside", thing=Name(sleeve.in_)))
        return None
    normal = next(iter(cut.values())).normal
    plates = [(dot(plate.origin, normal), plate.thickness * dot(plate.normal, normal)) for plate in cut.values()]
    spans = [(depth, depth + thick) for depth, thick in plates]
    low, high = min(map(min, spans)), max(map(max, spans))
    if sleeve.length is not None and sleeve.length < high - low - HAIR_MM:
        long, thick = Length(sleeve.length), Length(high - low)
        faults.at((*path, "length"), message("room.sleeve short", thing=Name(sleeve.in_), long=long, thick=thick))
        return None
    for i, plate in cut.items():
        things[i] = replace(things[i], shape=plate)
    past = 0.0 if sleeve.length is None else max(sleeve.length - (high - low), 0.0) / 2.0
    ends = _at(sleeve.at, normal, low - past), _at(sleeve.at, normal, high + past)
    shape = Cylinder(*ends, sleeve.outside or sleeve.diameter)
    said = Sleeve(sleeve.in_, sleeve.diameter, frozenset(sleeve.for_), form.clearance, sleeve.bare)
    place = faults.key_place(("room", name))
    named = run_places(form, ("room", name), faults)
    return Thing(name, shape, None, place, form.is_ or "", role="kept free", why=WHY, sleeve=said, run_places=named)


def run_places(form: Form, path: tuple[str | int, ...], faults: Faults) -> tuple[tuple[str, Place], ...]:
    """Return where in a thing's form the runs that it, or a hole of it, is for are named."""
    found: list[tuple[str, Place]] = []
    fields = type(form).model_fields
    for name in sorted(form.model_fields_set):
        value, key = getattr(form, name), fields[name].alias or name
        for n, item in enumerate(value if isinstance(value, list) else [value]):
            here = (*path, key, n) if isinstance(value, list) else (*path, key)
            if isinstance(item, Form):
                found += run_places(item, here, faults)
            elif isinstance(item, str) and key in ("for", "runs"):
                found.append((item, faults.place(here)))
    return tuple(found)


def bores_of(thing: Thing, holes: Sequence[HoleForm], layers: Sequence[Sequence[Thing]] = ()) -> Iterator[Thing]:
    """Yield what stands in each hole of a thing that is for some runs: its bore, kept free of all others.

    Args:
        thing: the thing with its holes; of a wall with chases its last layer, which has all of them.
        holes: their forms.
        layers: of a wall, for each hole the layers that it goes through.
    """
    plate, count = thing.shape, Counter[str]()
    name = thing.of if layers else thing.name
    for number, hole in enumerate(holes if isinstance(plate, Plate) else ()):
        assert isinstance(plate, Plate)
        what, bore, wide = _hole_in(
            deepened_plate(plate, [layer.shape for layer in layers[number]]) if layers else plate, hole
        )
        if what == "notch" and not isinstance(thing.frame and thing.frame.term, JoistsForm):
            what = "opening"
        count[what] += 1
        if hole.for_ is not None:
            sleeve = Sleeve(name, wide, frozenset(hole.for_), hole.clearance, hole.bare, what)
            yield Thing(
                f"{name} {what} {count[what]}", bore, None, thing.place,
                role="kept free", of=thing.of, why=HOLE_WHY, sleeve=sleeve,
            )  # fmt: skip


def wall_of(thing: Thing) -> str:
    """Return the name of the wall that a thing is a layer of; its own, if it is none."""
    return thing.of if thing.frame is not None and isinstance(thing.frame.term, WallForm) else thing.name


def deepened_plate(plate: Plate, layers: Sequence[Shape]) -> Plate:
    """Return a plate as thick as some layers that lie against it and each other, itself among them."""
    lows, highs = zip(*(layer.reach(plate.normal) for layer in layers), strict=True)
    return replace(plate, origin=_at(plate.origin, plate.normal, min(lows)), thickness=max(highs) - min(lows))


def _hole_in(plate: Plate, hole: HoleForm) -> tuple[Literal["hole", "opening", "notch"], Shape, float]:
    """Return what a hole in a plate is, the space in it, and how wide it is; one that reaches a side is a notch."""
    if hole.at is not None and hole.diameter is not None:
        low = dot(plate.origin, plate.normal)
        ends = _at(hole.at, plate.normal, low), _at(hole.at, plate.normal, low + plate.thickness)
        return "hole", Cylinder(*ends, hole.diameter), hole.diameter
    sides, reaches = [], False
    for way, k in ((plate.across, 0), (plate.up, 1)):
        a, b = sorted(dot(sub(corner, plate.origin), way) for corner in hole.corners())
        least, most = (end(p[k] for outline in plate.outlines for p in outline) for end in (min, max))
        reaches |= a <= least + HAIR_MM or b >= most - HAIR_MM
        sides.append((max(a, least), min(b, most)))
    (a, b), (c, d) = sides
    square = ((a, c), (b, c), (b, d), (a, d))
    return "notch" if reaches else "opening", replace(plate, outlines=(square,), rounds=()), min(b - a, d - c)


def _at(p: Vec3, normal: Vec3, depth: float) -> Vec3:
    """Return a point moved along a unit vector to a depth."""
    return along(p, normal, depth - dot(p, normal))


def _upright(thing: Thing) -> Shape:
    """Return the shape of a thing; a part of a wall as a plate, so that holes go through its thickness."""
    shape = thing.shape
    if not isinstance(shape, Box | Extrusion) or thing.frame is None or not isinstance(thing.frame.term, WallForm):
        return shape
    across, _ = plan_way(thing.frame.term.from_, thing.frame.term.to)
    for placing in thing.frame.placings:
        across = placing.direction(across)
    normal = cross(across, UP)
    (a, b), (c, d), (e, f) = shape.reach(across), shape.reach(normal), shape.reach(UP)
    origin = along(along(scale(across, a), normal, c), UP, e)
    return Plate(origin, across, UP, d - c, (((0.0, 0.0), (b - a, 0.0), (b - a, f - e), (0.0, f - e)),))


def for_others(things: Sequence[Thing], runs: Collection[str]) -> tuple[Thing, ...]:
    """Return the things with the bore of each sleeve kept free of all runs of the job but those that it is for."""
    return tuple(
        thing if thing.sleeve is None else replace(thing, runs=frozenset(runs) - thing.sleeve.runs) for thing in things
    )
