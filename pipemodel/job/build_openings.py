"""Openings, and what is asked of bringing runs in: from their forms, with what cannot be meant noted as faults."""

from collections.abc import Mapping, Sequence
from itertools import combinations
from math import floor

from pipemodel.geometry.shapes.face import inside_outline
from pipemodel.geometry.vectors import Vec3, add, cross, distance, dot, length, scale, sub, unit
from pipemodel.job.expressions import none_called
from pipemodel.job.faults import Faults
from pipemodel.job.model import BEGINNING, BringIn, Fault, Opening, Reach, Run, Spread, Thing
from pipemodel.job.names import name_fault
from pipemodel.job.opening_forms import BringInForm, OpeningForm, ReachForm, SpreadForm
from pipemodel.job.outline import outline_fault
from pipemodel.job.quantities import shown
from pipemodel.job.yaml_tree import YamlPath
from pipemodel.messages.values import Message, Name, Number, listed, message
from pipemodel.trade.materials import find_proof_stress
from pipemodel.trade.model import Tube

FLAT_MM = 1.0
"""How far a corner may stand off the plane of the others."""
BESIDE_MM = 20.0
"""An opening lies in something: its outline is no farther than this from a surface. Common practice, no source."""
BEHIND_MM = 3.0
"""What fills all of an opening so little before or behind its plane is what it should be a hole in."""
CROSSES = message("fault.outline crosses")


def build_openings(forms: Mapping[str, OpeningForm], faults: Faults) -> tuple[Opening, ...]:
    """Return the openings; those at fault are left out and noted."""
    out: list[Opening] = []
    for name, form in forms.items():
        path: YamlPath = ("openings", name)
        if fault := name_fault("opening", name):
            faults.at_key(path, fault)
            continue
        corners = tuple(form.corners)
        if flaw := _outline_fault(corners):
            faults.at((*path, "corners"), flaw)
            continue
        middle, normal = plane(corners)
        if abs(dot(sub(form.outside, middle), normal)) <= FLAT_MM:
            faults.at(
                (*path, "outside"),
                message("fault.outside plane"),
            )
            continue
        out.append(Opening(name, corners, form.outside, faults.key_place(path)))
    return tuple(out)


def plane(corners: Sequence[Vec3]) -> tuple[Vec3, Vec3]:
    """Return the middle of the corners of an outline and a unit normal, zero for an outline with no area."""
    middle = (0.0, 0.0, 0.0)
    for corner in corners:
        middle = add(middle, scale(corner, 1.0 / len(corners)))
    normal = (0.0, 0.0, 0.0)
    for a, b in zip(corners, (*corners[1:], corners[0]), strict=True):
        normal = add(normal, cross(sub(a, middle), sub(b, middle)))
    return middle, unit(normal) if length(normal) > FLAT_MM**2 else (0.0, 0.0, 0.0)


def check_openings(openings: Sequence[Opening], things: Sequence[Thing], faults: Faults) -> None:
    """Note openings that are no hole: filled by something, or with nothing round them.

    Meshes that are not read yet have no surface to tell by; with one in the room only what is filled is seen.
    """
    known = [thing for thing in things if thing.shape.measurable]
    blocks = [thing.shape.bounds() for thing in known] if openings else []
    for opening in openings:
        place = opening.place or BEGINNING
        near = [thing for thing, block in zip(known, blocks, strict=True) if _beside(block, opening.corners)]
        filling = _filling_spots(opening.corners)
        filled = next((thing for thing in near if _fills(thing, *filling)), None)
        if filled is not None:
            said = message("fault.no hole", opening=Name(shown(opening.name)), thing=Name(shown(filled.name)))
            faults.found.append(Fault(said, place))
            continue
        ends = zip(opening.corners, (*opening.corners[1:], opening.corners[0]), strict=True)
        spots = [scale(add(a, b), 0.5) for a, b in ends]
        touching = any(abs(thing.shape.distance(spot)) <= BESIDE_MM for thing in near for spot in spots)
        if not touching and len(known) == len(things):
            said = message("fault.touches nothing", opening=Name(shown(opening.name)), near=Number(BESIDE_MM))
            faults.found.append(Fault(said, place))


def check_outside(openings: Sequence[Opening], runs: Sequence[Run], faults: Faults) -> None:
    """Note openings whose outside is wrong: where all runs that are to come through lie, ends and corners."""
    for opening in openings:
        middle, normal = plane(opening.corners)
        out = unit(scale(normal, dot(sub(opening.outside, middle), normal)))
        asked = [one for one in runs if one.bring_in is not None and one.bring_in.through in (None, opening.name)]
        if asked and all(dot(sub(p, middle), out) > FLAT_MM for one in asked for p in one.route.corners):
            said = message("fault.outside side", opening=Name(shown(opening.name)), run=Name(shown(asked[0].name)))
            faults.found.append(Fault(said, opening.place or BEGINNING))


def _beside(block: tuple[Vec3, ...], corners: Sequence[Vec3]) -> bool:
    """Tell whether a block comes so near to the one that holds an opening that what is in it may fill or hold it."""
    return not block or all(
        block[0][k] - BESIDE_MM <= max(corner[k] for corner in corners)
        and block[1][k] + BESIDE_MM >= min(corner[k] for corner in corners)
        for k in range(3)
    )


def _filling_spots(corners: Sequence[Vec3]) -> tuple[list[Vec3], list[list[Vec3]]]:
    """Return points all over an opening, one well within it first, and those just before and just behind its plane."""
    middle, (_, normal) = _inner_point(corners), plane(corners)
    spots = [middle, *(add(middle, scale(sub(corner, middle), 0.9)) for corner in corners)]
    return spots, [[add(spot, scale(normal, side * BEHIND_MM)) for spot in spots] for side in (-1.0, 1.0)]


def _fills(thing: Thing, spots: Sequence[Vec3], sides: Sequence[Sequence[Vec3]]) -> bool:
    """Tell whether a thing stands in an opening, or in all of it just before or behind its plane."""
    far = thing.shape.distance
    return far(spots[0]) < -FLAT_MM or any(all(far(spot) < -FLAT_MM for spot in own) for own in sides)


def build_bring_in(
    form: BringInForm | None,
    own: BringInForm | None,
    run: str,
    openings: Sequence[Opening],
    lost: bool,
    tube: Tube,
    faults: Faults,
) -> BringIn | None:
    """Return what is asked of bringing a run in, with faults noted; None when nobody asks.

    What the run says, `own`, wins whole over what the job says. `lost` says that some openings could not be read.
    """
    key, outside_mm = "bring in", tube.outside_mm
    path: YamlPath = ("runs", run, key) if own is not None else (key,)
    asked = own or form
    found = {opening.name: opening for opening in openings}
    only = next(iter(found)) if len(found) == 1 else None
    if asked is None:
        return BringIn(only, place=openings[0].place or BEGINNING) if openings else None
    place = faults.key_place(path)
    through = asked.through or only
    if through is not None and through not in found:
        if not lost:
            faults.once((*path, "through"), none_called("opening", through, found))
        return None
    if through is not None:
        wide = least_width(found[through].corners)
        if outside_mm + 2.0 * asked.margin > wide:
            said = message(
                "fault.margin wide",
                outside=Number(outside_mm),
                margin=Number(asked.margin),
                needs=Number(outside_mm + 2.0 * asked.margin),
                opening=Name(shown(through)),
                wide=Number(wide, ".1f"),
                cure=message("fault.margin less", most=Number(floor(5.0 * (wide - outside_mm) + 1e-9) / 10.0, ".1f"))
                if wide >= outside_mm
                else message("fault.widen"),
            )
            faults.once((*path, "margin") if "margin" in asked.model_fields_set else path, said)
            return None
    spread = None if asked.spread is None else _spread(asked.spread, tube)
    if spread is None and asked.spread is not None:
        faults.once(
            (*path, "spread"),
            message("fault.spread unknown", tube=Name(shown(tube.name), quoted=False)),
        )
    return BringIn(through, asked.margin, asked.effort, asked.seed, place, spread)


def build_reach(form: ReachForm | None, openings: Sequence[Opening], lost: bool, faults: Faults) -> Reach | None:
    """Return how a hand gets to what is made in place, None when nobody asks or it cannot be meant."""
    if form is None or lost:
        return None
    named = [opening for opening in openings if form.through in (None, opening.name)]
    if not named:
        names = [Name(one.name) for one in openings]
        there = message("fault.reach there", names=listed(names)) if names else message("fault.reach none")
        said = message("fault.reach", there=there)
        faults.at(("reach",) if form.through is None else ("reach", "through"), said)
        return None
    return Reach(tuple(named), form.arm, form.thick)


def _spread(form: SpreadForm, tube: Tube) -> Spread | None:
    """Return how far a tube may be sprung; None where nothing is known of when it stays bent."""
    if form.strain is not None:
        return Spread(form.strain, form.at_most)
    proof = find_proof_stress(tube, form.proof_stress)
    return None if proof is None else Spread(proof.spring_strain, form.at_most, proof.proof_n_mm2)


def least_width(corners: Sequence[Vec3]) -> float:
    """Return the least distance between two parallel lines that hold a flat outline between them."""
    _, normal = plane(corners)
    across = [cross(normal, unit(sub(b, a))) for a, b in combinations(corners, 2) if distance(a, b) > 1e-9]
    return min(max(dot(c, way) for c in corners) - min(dot(c, way) for c in corners) for way in across)


def _in_one_line(corners: Sequence[Vec3]) -> bool:
    far = max(corners, key=lambda corner: distance(corners[0], corner))
    if distance(corners[0], far) < 1e-9:
        return True
    way = unit(sub(far, corners[0]))
    return all(length(cross(way, sub(corner, corners[0]))) < 1e-6 for corner in corners)


def _outline_fault(corners: Sequence[Vec3]) -> Message | None:
    middle, normal = plane(corners)
    if normal == (0.0, 0.0, 0.0):
        if _in_one_line(corners):
            return message("fault.no area")
        # What goes round one way and what goes round the other are of one size.
        return CROSSES
    off = max(abs(dot(sub(corner, middle), normal)) for corner in corners)
    if off > FLAT_MM:
        return message("fault.not plane", off=Number(off, ".1f"))
    flat = _flat(corners, normal)
    if len(set(flat)) < len(flat):
        return message("fault.corner twice")
    return CROSSES if outline_fault(flat) else None


def _flat(corners: Sequence[Vec3], normal: Vec3) -> tuple[tuple[float, float], ...]:
    across = _across(corners)
    up = cross(normal, across)
    return tuple((dot(sub(c, corners[0]), across), dot(sub(c, corners[0]), up)) for c in corners)


def _inner_point(corners: Sequence[Vec3]) -> Vec3:
    """Return a point within an outline: its middle, or that of three neighbouring corners where it is hollow."""
    middle, normal = plane(corners)
    flat, across = _flat(corners, normal), _across(corners)
    up = cross(normal, across)
    spots = [middle]
    for i in range(len(corners)):
        three = (corners[i - 2], corners[i - 1], corners[i])
        spots.append(scale(add(add(three[0], three[1]), three[2]), 1.0 / 3.0))
    for spot in spots:
        rel = sub(spot, corners[0])
        if inside_outline(flat, dot(rel, across), dot(rel, up)):
            return spot
    return middle


def _across(corners: Sequence[Vec3]) -> Vec3:
    return unit(next(sub(corner, corners[0]) for corner in corners if distance(corner, corners[0]) > 1e-9))
