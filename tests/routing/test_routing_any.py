"""Any route at all is either compiled to corners that can be bent, or refused with its faults; and it may be turned."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from routes import FORMER, box, pipe, route, table
from scipy.spatial.transform import Rotation
from wide import few_or_many

from pipemodel.bending.bends import bend_corners
from pipemodel.bending.corner_faults import UnbendableError
from pipemodel.geometry.shapes import Extrusion, HalfSpace, MeshFile
from pipemodel.job.model import Thing
from pipemodel.job.routing.faults import RouteError
from pipemodel.job.routing.words import DIRECTIONS

ROOM = [
    pipe(800),
    pipe(0, 0, 700, along=(0.6, 0.8, 0.0), name="cable"),
    box((300.0, -400.0, -60.0), (350.0, 400.0, -8.0), "joist"),
    Thing("wall", HalfSpace((1900.0, 0.0, 0.0), (-1.0, 0.0, 0.0))),
    Thing("slope", HalfSpace((0.0, 900.0, 0.0), (0.0, -0.8, 0.6))),
    Thing("ell", Extrusion(((0.0, 300.0), (90.0, 300.0), (90.0, 380.0), (50.0, 380.0), (50.0, 600.0)), 0, 90)),
    Thing("lump", MeshFile("lump.stl")),
]  # fmt: skip

names = st.sampled_from([thing.name for thing in ROOM])
lengths = st.one_of(st.sampled_from([0.0, 40.0, 55.0, 110.0, 300.0]), st.floats(-50, 900))
off = st.floats(0, 60)
directions = st.sampled_from(DIRECTIONS)
angles = st.one_of(st.sampled_from([22.5, 30.0, 45.0, 90.0]), st.floats(0.01, 90))
measures = st.one_of(
    lengths,
    st.builds(
        lambda how, mm: {how: mm},
        st.sampled_from(["to back", "to inside", "from back", "back to back", "inside to inside"]),
        lengths,
    ),
    st.builds(
        lambda how, name, by, mm: {how: name, by: mm},
        st.sampled_from(["to face of", "past"]),
        names,
        st.sampled_from(["gap", "standoff"]),
        off,
    ),
    st.builds(lambda name: {"to centre of": name}, names),
)
turns = st.one_of(
    directions,
    st.builds(lambda to, angle: {"to": to, "angle": angle}, directions, st.floats(0.01, 179.9)),
    st.builds(lambda bearing, rise: {"bearing": bearing, "rise": rise}, st.floats(-360, 360), st.floats(-90, 90)),
    st.builds(lambda side: {"back": side}, directions),
    st.builds(lambda side, wide: {"back": side, "apart": wide}, directions, st.floats(1, 400)),
)
sets = st.one_of(
    st.builds(lambda o, to, a: {"offset": o, "to": to, "angle": a}, st.floats(1, 300), directions, angles),
    st.builds(
        lambda o, to, r, n: {"offset": o, "to": to, "rise": r, "length": n, "centre": 300},
        st.floats(1, 300),
        directions,
        st.floats(-90, 90),
        st.floats(1, 400),
    ),
    st.builds(
        lambda thing, gap, to, a: {"clear": thing, "gap": gap, "to": to, "angle": a}, names, off, directions, angles
    ),
)
passovers = st.builds(
    lambda thing, gap, bends, angle: {"thing": thing, "gap": gap, "bends": bends, "angle": angle},
    names,
    off,
    st.sampled_from([3, 4]),
    angles,
)
follows = st.builds(
    lambda face, standoff, turn, angle: {
        "face": face,
        "standoff": standoff,
        "for": 300,
        **({"turn": turn} if turn else {"angle": angle}),
    },
    names,
    off,
    st.one_of(st.none(), directions),
    angles,
)
points = st.lists(st.floats(-900, 900), min_size=3, max_size=3)
items = st.one_of(
    st.builds(lambda mm: {"go": mm}, measures),
    st.builds(lambda way, mm: {way: mm}, st.sampled_from(["north", "east", "up", "down", "left", "right"]), measures),
    st.builds(lambda turn: {"turn": turn}, turns),
    st.builds(lambda how, point: {how: point}, st.sampled_from(["corner", "by"]), points),
    st.builds(lambda ask: {"set": ask}, sets),
    st.builds(lambda ask: {"pass over": ask}, passovers),
    st.builds(lambda ask: {"follow": ask}, follows),
)


@pytest.mark.slow
@given(st.lists(items, min_size=1, max_size=6))
@settings(max_examples=few_or_many(133, 400))
def test_any_route_is_compiled_or_refused(asked):
    try:
        made = route({"east": 300.0}, *asked, things=ROOM)
    except RouteError as error:
        refused = [(item, str(said)) for item, said in error.said]
    else:
        refused = ()
    if refused:
        assert all(0 <= item <= len(asked) and message for item, message in refused)
        return
    assert len(made.places) == len(made.corners)
    bend_corners(made.corners, FORMER.radius_mm, made.joined)


QUARTER = {"north": "west", "west": "south", "south": "east", "east": "north"}
moves = st.one_of(
    st.builds(lambda way, mm: {way: mm}, st.sampled_from(["north", "south", "east", "west", "up", "down"]),
              st.floats(200, 500)),
    st.builds(lambda to, angle: {"turn": {"to": to, "angle": angle}}, st.sampled_from([*QUARTER, "left"]), angles),
    st.builds(lambda mm: {"go": mm}, st.floats(150, 500)),
    st.builds(lambda o, to: {"set": {"offset": o, "to": to, "angle": 30}}, st.floats(20, 90),
              st.sampled_from([*QUARTER, "up", "right"])),
)  # fmt: skip


def turned(item):
    """The same item in a room turned a quarter anticlockwise, as seen from above."""
    if isinstance(item, dict):
        return {QUARTER.get(key, key): turned(value) for key, value in item.items()}
    return QUARTER.get(item, item) if isinstance(item, str) else item


@pytest.mark.slow
@given(st.lists(moves, min_size=1, max_size=6))
@settings(max_examples=few_or_many(50, 150))
def test_turning_the_room_turns_the_run_and_no_mark(asked):
    asked = [{"east": 300.0}, *asked, {"go": 200.0}]
    try:
        here = route(*asked)
    except RouteError:
        return
    there = route(*(turned(item) for item in asked))
    about = Rotation.from_euler("z", math.pi / 2)
    assert np.allclose(there.corners, about.apply(np.array(here.corners)), atol=1e-8)
    try:
        one = table(*asked)
    except UnbendableError:
        with pytest.raises(UnbendableError):
            table(*(turned(item) for item in asked))
        return
    two = table(*(turned(item) for item in asked))
    assert np.allclose([b.start_mm for b in one.bends], [b.start_mm for b in two.bends], atol=1e-8)
