"""What the tool answers to the worked examples in `tests/worked`: one function for each kind of case.

Each takes what a case gives and returns the quantities that a source may print, by name.
"""

import math
from collections.abc import Callable

import numpy as np
from distance_specimens import straight_line
from routes import corners, pipe, table

from pipemodel.adjustment.adjust import adjust, deviations
from pipemodel.adjustment.first_places import first_places
from pipemodel.adjustment.readings import TapeReading, WantedPoint
from pipemodel.bending.bends import bend_corners, gain
from pipemodel.calibration.calibrate import calibrate
from pipemodel.calibration.values import TestPiece
from pipemodel.checks.damage import thickness_factor
from pipemodel.cutting.stock import StockPiece, plan_stock
from pipemodel.geometry.distance import least_distances
from pipemodel.geometry.shapes import Cylinder, HalfSpace
from pipemodel.geometry.vectors import distance
from pipemodel.job.quantities import parse_length
from pipemodel.trade.model import Former, Springback, Tube
from pipemodel.trade.tubes import find_tube

INCH = 25.4
LB_PER_FT = 0.45359237 / 0.3048
SHARP = Former(1e-4)
"""As good as no radius, for figures that are worked at sharp corners."""


def _one_bend(radius, angle, legs):
    a = math.radians(angle)
    first, second = legs
    made = [(0.0, 0.0, 0.0), (first, 0.0, 0.0), (first + second * math.cos(a), second * math.sin(a), 0.0)]
    return bend_corners(made, radius)[0]


def bend(radius, angle, legs=None):
    made = _one_bend(radius, angle, legs or (3 * radius, 3 * radius))
    return {"arc": made.bends[0].arc_mm, "cut": made.length_mm, "gain": gain(radius, angle)}


def edges(outside):
    outer, inner = (_one_bend(100 + s * outside / 2, 90, (300, 300)).bends[0].arc_mm for s in (1, -1))
    return {"difference": outer - inner}


def begin(to_back, radius, outside):
    return {"start": _one_bend(radius, 90, (to_back - outside / 2, 3 * radius)).bends[0].start_mm}


def flats(radius, legs):
    a, b, c = legs
    made, *_ = bend_corners([(0.0, a, 0.0), (0.0, 0.0, 0.0), (b, 0.0, 0.0), (b, c, 0.0)], radius)
    first, second = (bend.straight_before_mm for bend in made.bends)
    return {"first": first, "second": second, "third": made.straight_after_mm}


def pull(fixed, per_degree, angle):
    return {"pull": Springback(per_degree, fixed).pull_deg(angle)}


def a_set(offset, angle):
    made = corners({"east": 1000}, {"set": {"offset": 100, "to": "north", "angle": angle}}, {"go": 999}, former=SHARP)
    travel = (made[2] - made[1]) * offset / 100
    return {"travel": np.linalg.norm(travel), "run": travel[0]}


def rolled(offset, rise, angle, runs=None):
    words = {"set": {"offset": f"{offset} in", "to": "north", "rise": f"{rise} in", "angle": angle}}
    made = corners({"east": 3000}, words, {"go": 500}, former=SHARP) / INCH
    travel = made[2] - made[1]
    said = {"true": math.hypot(*travel[1:]), "travel": np.linalg.norm(travel), "setback": travel[0]}
    if runs:
        first, last = runs
        laid = {
            "set": {"to": {"north": f"{offset} in", "up": f"{rise} in"}, "angle": angle, "last bend": f"{first} in"}
        }
        end = {"corner": [last * INCH, offset * INCH, rise * INCH]}
        whole = corners({"turn": "east"}, laid, end, former=SHARP) / INCH
        said |= {"first": whole[1][0], "last": last - (whole[2] - whole[1])[0]}
    return said


def combination(up, aside):
    u, a = math.radians(up), math.radians(aside)
    ahead = (math.cos(u) * math.cos(a), math.cos(u) * math.sin(a), math.sin(u))
    made, *_ = bend_corners([(-100.0, 0.0, 0.0), (0.0, 0.0, 0.0), tuple(100.0 * x for x in ahead)], 5.0)
    return {"angle": made.bends[0].angle_deg}


def saddle(height, centre):
    """Over a thin rod on the run's own line, so that the gap decides the height; a bender of 4.5 in."""
    emt, shoe = Tube(0.706 * INCH, 0.042 * INCH, "1/2 EMT"), Former(4.5 * INCH)
    crown = shoe.radius_mm * (1 / math.cos(math.radians(22.5)) - 1)
    gap = height * INCH - crown - emt.outside_mm / 2 - 0.25 * INCH
    over = {"pass over": {"thing": "rod", "gap": gap, "angle": 45}}
    rod = pipe(centre * INCH, diameter=0.5 * INCH, name="rod")
    middle = table({"east": 3000}, over, things=[rod], tube=emt, former=shoe).bends[1]
    return {"centre mark": (middle.start_mm + middle.arc_mm / 2) / INCH}


def mass(tube, **unit):
    kg_per_m = find_tube(tube).mass_kg_per_m
    return {"mass": kg_per_m / LB_PER_FT if unit["in"] == "lb/ft" else kg_per_m}


def thickness(outside, radius):
    return {"throat": thickness_factor(outside, radius, -1), "back": thickness_factor(outside, radius, +1)}


def turn(corners):
    made, *_ = bend_corners([tuple(map(float, c)) for c in corners], 1e-3)
    return {"turn": made.bends[1].turn_deg, "middle leg": distance(corners[1], corners[2])}


def gap(tube, other=None, plane=None):
    """Lengths a thousand times larger, so that tube and thing have room for a radius each."""
    at, along = (1000.0 * np.array(tube["at"], float), np.array(tube["along"], float))
    far = 40_000.0 * along / np.linalg.norm(along)
    axis = straight_line(tuple(at - far), tuple(at + far))
    if plane is not None:
        normal = np.array(plane["normal"], float)
        normal *= math.copysign(1.0, (at - 1000.0 * np.array(plane["at"])) @ normal) / np.linalg.norm(normal)
        thing, radius = HalfSpace(tuple(1000.0 * np.array(plane["at"], float)), tuple(normal)), 0.0
    else:
        there, way = 1000.0 * np.array(other["at"], float), np.array(other["along"], float)
        far = 60_000.0 * way / np.linalg.norm(way)
        thing, radius = Cylinder(tuple(there - far), tuple(there + far), 40.0), 20.0
    return {"distance": (least_distances(axis, 15.0, [thing])[0].distance + 7.5 + radius) / 1000.0}


def stock(stock, pieces):
    cut = [StockPiece(f"{size} {n}", float(size)) for size, count in pieces.items() for n in range(count)]
    plan = plan_stock(cut, float(stock))
    wanted = sum(piece.length_mm for piece in cut)
    return {"bars": len(plan.bars), "waste percent": 100 * (plan.used_mm - wanted) / plan.used_mm}


def fit(x, y):
    """Angle and pull are readings of one protractor, so the law of springback is the line of closest fit.

    The points are made larger, mirrored and turned so that they slope as pulls do, and the law is turned back.
    """
    angle = math.radians(19.0)
    turned = 8.0 * np.array([[math.cos(angle), -math.sin(angle)], [math.sin(angle), math.cos(angle)]])
    shift = np.array([[20.0], [75.0]])
    angles, pulls = turned @ np.array([x, -np.array(y)]) + shift
    pieces = [TestPiece(str(n), 400, 150, a, pull_deg=p) for n, (a, p) in enumerate(zip(angles, pulls, strict=True))]
    law = calibrate(pieces, 15.0, protractor_deg=8.0)
    at = np.array([30.0, 90.0])
    there = np.array([at, law.fixed_deg.value + (1.0 + law.per_degree.value) * at])
    (x0, x1), (y0, y1) = np.linalg.solve(turned, there - shift)
    slope = -(y1 - y0) / (x1 - x0)
    return {"slope": slope, "at 0": -y0 - slope * x0}


def inches(text):
    return {"inches": parse_length(text) / INCH}


def network(fixed, wanted, distances=(), heights=()):
    """Points in m, as if a tape of so many mm had read between them."""
    side = {None: None, "south": (0.0, -1.0, 0.0)}
    places = {name: tuple(1000.0 * c for c in place) for name, place in fixed.items()}
    points = [
        WantedPoint(name, tuple(None if c is None else 1000.0 * c for c in place), side[way])
        for name, (*place, way) in wanted.items()
    ]
    readings = [
        TapeReading(kind, (a, b), 1000.0 * read, 1000.0 * sd)
        for kind, read_so in (("distance", distances), ("level", heights))
        for a, b, read, sd in read_so
    ]
    result = adjust(first_places(places, points, readings), points, readings)
    free = sum(len(point.free) for point in points)
    s0 = math.sqrt(sum((r.residual_mm / r.reading.sd_mm) ** 2 for r in result.readings) / (len(readings) - free))
    said = {"s0": s0}
    for point in points:
        for axis in point.free:
            said[f"{point.name} {'xyz'[axis]}"] = result.places[point.name][axis] / 1000.0
            said[f"deviation {point.name} {'xyz'[axis]}"] = s0 * deviations(result, point.name)[axis] / 1000.0
    return said | {f"residual {'-'.join(r.reading.points)}": r.residual_mm / 1000.0 for r in result.readings}


KINDS: dict[str, Callable[..., dict[str, float]]] = {
    "bend": bend,
    "edges": edges,
    "begin": begin,
    "flats": flats,
    "pull": pull,
    "set": a_set,
    "rolled": rolled,
    "combination": combination,
    "saddle": saddle,
    "mass": mass,
    "thickness": thickness,
    "turn": turn,
    "distance": gap,
    "stock": stock,
    "fit": fit,
    "inches": inches,
    "network": network,
}


def answers(case):
    """Return what the tool answers to a case, by the name of the quantity."""
    given = {key if key == "in" else key.replace(" ", "_"): value for key, value in case["given"].items()}
    return KINDS[case["kind"]](**given)
